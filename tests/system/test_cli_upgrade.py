"""`slingwright upgrade`: every example turned into the newest edition, word for word but for one line."""

from __future__ import annotations

import json
import tomllib
from pathlib import Path

import pytest

from tests.lifts import EXAMPLES, NAMES, read_document
from tests.system.command import Command, hold_to

NEWEST = "slingwright/lift/1"
SMALL = """# A box.
[load]
weight = "2000 lb"   # weighed
shape = "box"
length = "6 ft"
width = "4 ft"
height = "3 ft"
[hook]
headroom = "12 ft"
"""


@pytest.mark.parametrize("name", NAMES)
def test_every_example_upgrades_to_the_same_lift_with_its_comments(command: Command, name: str) -> None:
    file = EXAMPLES / f"{name}.toml"
    told = command("upgrade", file)
    assert told.code == 0
    assert told.out.splitlines()[0] == f'schema = "{NEWEST}"'
    assert [line for line in told.out.splitlines()[1:] if line] == [
        line for line in file.read_text().splitlines() if line and not line.startswith("schema")
    ]
    assert read_document(tomllib.loads(told.out)) == read_document(tomllib.loads(file.read_text()))


def test_the_document_says_what_changed(command: Command) -> None:
    document = command.answers("upgrade", "upgrade", "-", stdin=SMALL)
    assert (document["was"], document["now"], document["changed"]) == (None, NEWEST, True)
    hold_to("lift", document["lift"])
    again = command.answers("upgrade", "upgrade", "-", stdin=f'schema = "{NEWEST}"\n' + SMALL)
    assert (again["was"], again["changed"]) == (NEWEST, False)
    assert again["lift"] == document["lift"]


def test_json_stays_json_and_out_is_written_whole(command: Command, tmp_path: Path) -> None:
    (tmp_path / "lift.json").write_text(json.dumps(tomllib.loads(SMALL)))
    told = command("upgrade", "lift.json", "--out", "newer.json")
    assert (told.code, told.out) == (0, "")
    newer = json.loads((tmp_path / "newer.json").read_text())
    assert newer == {"schema": NEWEST, **tomllib.loads(SMALL)}


def test_an_edition_line_that_was_there_is_not_doubled(command: Command) -> None:
    for line in (f'schema = "{NEWEST}"', f'"schema"="{NEWEST}" # old', f"  schema = '{NEWEST}'"):
        told = command("upgrade", "-", stdin=f"title = 'x'\n{line}\n{SMALL}")
        assert told.code == 0
        assert told.out.count("schema") == 1
        assert tomllib.loads(told.out)["title"] == "x"


MALFORMED = {
    "empty": ("", "load"),
    "not UTF-8": (b"\xff\xfe", ""),
    "no tables": ("[1, 2]", ""),
    "broken TOML": ("[load", ""),
    "a newer edition": ('schema = "slingwright/lift/9"\n' + SMALL, "schema"),
    "another file": ('schema = "slingwright/shop/1"\n' + SMALL, "schema"),
    "no weight": (SMALL.replace("weight", "wieght"), "load.wieght"),
    "no unit": (SMALL.replace('"6 ft"', '"6"'), "load.length"),
    "a bare ton": (SMALL.replace('"2000 lb"', '"2 t"'), "load.weight"),
    "another shape": (SMALL.replace('"box"', '"blob"'), "load.shape"),
    "a number for a text": (SMALL.replace('"12 ft"', "12"), "hook.headroom"),
    "an unknown table": (SMALL + "[sight]\n", "sight"),
    "half a pick point": (SMALL + '[[load.pick_point]]\nat = ["1 ft", "1 ft"]\n', "load.pick_point[0].at"),
}


@pytest.mark.parametrize("name", MALFORMED)
def test_a_malformed_lift_is_exit_2_with_its_field_and_nothing_is_written(
    command: Command, tmp_path: Path, name: str
) -> None:
    content, field = MALFORMED[name]
    document = command.answers("fault", "upgrade", "-", "--out", "newer.toml", stdin=content, code=2)
    assert field in [fault["field"] for fault in document["faults"]]
    told = command("upgrade", "-", "--out", "newer.toml", stdin=content)
    assert (told.code, told.out) == (2, "")
    assert field in told.err
    assert "Traceback" not in told.err
    assert list(tmp_path.iterdir()) == []
