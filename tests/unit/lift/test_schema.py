"""The published schema: every key with its default, and in step with the reader; jsonschema is the judge."""

from __future__ import annotations

import copy
from typing import Any

import jsonschema
import pytest

from slingwright.errors import InputFault
from slingwright.lift import lift_schema, read_lift
from slingwright.lift.keys import tables
from slingwright.lift.kinds import read_value
from tests.lifts import NAMES, lift_document, read_document, smallest_document

VALIDATOR = jsonschema.Draft202012Validator(lift_schema())


def keys_of(schema: dict[str, Any]) -> dict[str, dict[str, Any]]:
    found = {f"lift.{name}": key for name, key in schema["properties"].items()}
    for table, inner in schema["$defs"].items():
        found |= {f"{table}.{name}": key for name, key in inner["properties"].items()}
    return found


def test_it_is_a_json_schema() -> None:
    jsonschema.Draft202012Validator.check_schema(lift_schema())
    assert lift_schema()["title"] == "slingwright/lift/1"


def test_every_key_is_described_and_has_a_default_or_is_required() -> None:
    schema = lift_schema()
    keys = keys_of(schema)
    assert len(keys) > 70
    for path, key in keys.items():
        table, name = path.split(".")
        required = (schema if table == "lift" else schema["$defs"][table])["required"]
        assert len(key["description"]) > 5, path
        assert ("default" in key) != (name in required), path


# as the contract for programs and the design's example list them
CONTRACT_KEYS = {
    "lift": "title rulebook load hook beam site want",
    "load": "weight weight_tolerance known_by shape length width height diameter wall material density parts "
    "mesh section loose bears centre_of_gravity edge_radius surface surface_temperature pick_point",
    "pick_point": "name at pin rated rated_at",
    "part": "shape at density",
    "mesh": "file unit density weight hollow",
    "station": "x points",
    "hook": "at headroom thickness width capacity",
    "beam": "span weight rated least_top_angle lugs",
    "site": "temperature touches purpose service dynamic_factor",
    "want": "level_within least_angle by stock_only",
}


def test_every_key_of_the_contract_is_there() -> None:
    named = {f"{table}.{name}" for table, names in CONTRACT_KEYS.items() for name in names.split()}
    assert named <= set(keys_of(lift_schema()))


@pytest.mark.parametrize("name", NAMES)
def test_examples_are_valid(name: str) -> None:
    assert list(VALIDATOR.iter_errors(lift_document(name))) == []


def test_defaults_read_as_if_left_out() -> None:
    """Writing every default of the schema into a file changes nothing but what is noted as not stated."""
    doc = smallest_document()
    written = copy.deepcopy(doc)
    schema = lift_schema()
    for table in ("load", "site", "want", "hook"):
        place = written.setdefault(table, {})
        for name, key in schema["$defs"][table]["properties"].items():
            if "default" in key:
                place.setdefault(name, key["default"])
    assert read_lift(written) == read_lift(doc)


def test_defaults_are_within_their_own_bounds() -> None:
    for table in tables().values():
        for key in table.keys.values():
            if key.default is not None and key.kind not in ("table", "several"):
                read_value(key, key.default, key.name, "us")


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("load.colour", "red"),
        ("load.length", 9),
        ("load.shape", "ball"),
        ("load.loose", "yes"),
        ("load.weight", {"low": "1 lb"}),
        ("load.centre_of_gravity", ["1 ft", "2 ft"]),
        ("load.bears", [["1 ft"]]),
        ("load.pick_point", {"at": ["0 in", "0 in", "0 in"]}),
        ("hook.headroom", None),
        ("site.dynamic_factor", 0.5),
        ("site.touches", "water"),
        ("beam", [{"span": "9 ft", "weight": "9 lb", "lugs": 1}]),
        ("want.by", "luck"),
    ],
)
def test_schema_and_reader_refuse_alike(path: str, value: Any) -> None:
    doc = smallest_document()
    *way, last = path.split(".")
    place = doc
    for key in way:
        place = place.setdefault(key, {})
    place[last] = value
    assert list(VALIDATOR.iter_errors(doc))
    with pytest.raises(InputFault):
        read_document(doc)


def test_what_is_handed_out_may_be_changed_by_who_gets_it() -> None:
    lift_schema()["$defs"]["load"]["properties"].clear()
    assert lift_schema()["$defs"]["load"]["properties"]
