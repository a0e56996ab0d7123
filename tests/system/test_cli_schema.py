"""`slingwright schema`: each is a valid one, holds what is printed, and stands on the reference page."""

from __future__ import annotations

import copy
import json
import tomllib
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from slingwright.errors import InputFault
from slingwright.hang import _limits as limits
from slingwright.hang.document import problem_from_document
from slingwright.make.cutting import fields
from slingwright.usecases.print_schema import print_schema, schema_names, tables
from tests.shops import EXAMPLE
from tests.system.command import Command, hold_to
from tests.system.test_cli_cut import JOB
from tests.system.test_cli_hang import BRIDLE
from tools.write_contract import COMMANDS_PAGE, CONTRACT_PAGE, commands_page, contract_page

NAMES = {
    "lift", "shop", "stock", "rolls", "price-book", "adoption", "cut-problem", "hang-problem", "spread",
    "rating", "hang", "offers", "quote", "order", "make", "tag", "certificate", "making-record",
    "route", "routing-day", "load", "export",
    "cut-plan", "adopt", "upgrade", "config", "version", "fault", "ask", "measured",
    "schemas",
}  # fmt: skip


@pytest.mark.parametrize("name", schema_names())
def test_every_schema_is_one(command: Command, name: str) -> None:
    told = command("schema", name)
    assert told.code == 0
    schema = told.document
    Draft202012Validator.check_schema(schema)
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    text = json.dumps(schema)
    for part in schema.get("$defs", {}):
        assert f'"#/$defs/{part}"' in text  # nothing is carried along unused


def test_the_names(command: Command) -> None:
    assert set(schema_names()) == NAMES
    assert command("schema").out.split() == list(schema_names())
    assert command.answers("schemas", "schema")["names"] == list(schema_names())
    fault = command.answers("fault", "schema", "ofers", code=2)
    assert fault["hint"] == "did you mean offers?"


def test_every_table_of_the_list_is_used() -> None:
    used = {name for table in tables().values() for key in table.keys for name in key.kinds}
    shown = {table.name for table in tables().values() if table.prints or table.reads}
    parts = {"made_by", "hang-problem-short", "cut-plans", "cut-rolls-only", "cut-instance"}
    assert set(tables()) == (used & set(tables())) | shown | parts


@pytest.mark.parametrize("name", ["shop", "stock", "rolls", "price_book"])
def test_the_shops_files_hold_to_theirs(name: str) -> None:
    hold_to(name.replace("_", "-"), tomllib.loads((EXAMPLE / f"{name}.toml").read_text()))


def test_version_and_config_hold_to_theirs(command: Command) -> None:
    command.answers("version", "version")
    command.answers("config", "config", "--seed", "5")


def test_bounds_are_those_the_readers_hold() -> None:
    problem = print_schema("hang-problem")
    body = problem["$defs"]["body"]["properties"]
    path = problem["$defs"]["path"]["properties"]
    assert body["weight_n"]["minimum"] == limits.WEIGHT_LEAST_N
    assert body["weight_n"]["maximum"] == limits.WEIGHT_MOST_N
    assert path["length_m"]["minimum"] == limits.LENGTH_LEAST_M
    assert path["length_m"]["maximum"] == limits.LENGTH_MOST_M
    assert path["rated_n"]["maximum"] == limits.RATED_MOST_N
    assert path["strain_at_rated"]["minimum"] == limits.STRAIN_LEAST
    assert path["strain_at_rated"]["maximum"] == limits.STRAIN_MOST
    assert path["points"]["maxItems"] == limits.MOST_POINTS
    forms = problem["anyOf"]
    assert [form["properties"]["paths"]["maxItems"] for form in forms] == [limits.MOST_PATHS] * 2
    assert forms[0]["properties"]["bodies"]["maxItems"] == limits.MOST_BODIES
    cut = print_schema("cut-problem")["$defs"]
    largest = [
        key["maximum"]
        for part in cut.values()
        for name, key in part["properties"].items()
        if "maximum" in key and name != "wish_permille"  # a share of the cost, no length
    ]
    assert set(largest) == {fields._LARGEST}


def changed(where: tuple[Any, ...], value: object) -> dict[str, Any]:
    problem = copy.deepcopy(BRIDLE)
    inner: Any = problem
    for step in where[:-1]:
        inner = inner[step]
    inner[where[-1]] = value
    return problem


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("bodies",), []),
        (("bodies", 0, "weight_n"), 0.0),
        (("bodies", 0, "centre_of_gravity_m"), [0, 0]),
        (("paths", 0, "length_m"), "9 ft"),
        (("paths", 0, "length_m"), 5000.0),
        (("paths", 0, "rated_n"), 0.0),
        (("paths", 0, "points"), [{"on": "world", "at_m": [0, 0, 5]}]),
        (("paths", 0, "sling"), 1.5),
        (("paths", 0, "slack"), False),
        (("path",), []),
    ],
)  # fmt: skip
def test_schema_and_reader_refuse_the_same(where: tuple[Any, ...], value: object) -> None:
    problem = changed(where, value)
    assert not Draft202012Validator(print_schema("hang-problem")).is_valid(problem)
    with pytest.raises(InputFault):
        problem_from_document(problem)


def test_a_job_file_holds_to_its_schema() -> None:
    hold_to("cut-problem", tomllib.loads(JOB))


@pytest.mark.parametrize("name", ["rating", "hang", "offers", "cut-plan", "adopt", "fault"])
def test_an_answers_schema_lets_keys_be_added_and_a_files_does_not(name: str) -> None:
    assert '"additionalProperties": false' not in json.dumps(print_schema(name))
    assert print_schema("adoption")["additionalProperties"] is False


def test_the_pages_are_what_the_program_says() -> None:
    """Written by tools/write_contract.py."""
    assert COMMANDS_PAGE.read_text(encoding="utf-8") == commands_page()
    page = CONTRACT_PAGE.read_text(encoding="utf-8")
    assert page == contract_page(page)


def test_every_document_is_on_the_page_of_the_contract() -> None:
    page = CONTRACT_PAGE.read_text(encoding="utf-8")
    for table in tables().values():
        assert f"\n### {table.name}\n" in page
        assert all(f"\n| `{key.name}` |" in page for key in table.keys)
