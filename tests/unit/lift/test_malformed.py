"""Several hundred lift files that are wrong, made from the right ones: each is a fault that says where.

Nothing but `InputFault` may come out, whatever goes in.
"""

from __future__ import annotations

import copy
import datetime
import json
import random
import time
from collections.abc import Iterator
from typing import Any

import pytest

from slingwright.errors import InputFault
from slingwright.lift import folder_reader, lift_from_text
from slingwright.lift.text import document_from_text
from tests.lifts import EXAMPLES, NAMES, lift_document, read_document

Way = tuple[str | int, ...]

# no key of the lift file takes any of these
NEVER_RIGHT = (
    datetime.date(2024, 2, 29),
    float("nan"),
    float("-inf"),
    10**400,
    {"zzz": 1},
    [[[["deep"]]]],
    "x" * 5000,
    "9 parsecs\x00",
)


def leaves(value: Any, way: Way = ()) -> Iterator[Way]:
    """Ways to every single value of a document."""
    if isinstance(value, dict):
        for key, inner in value.items():
            yield from leaves(inner, (*way, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from leaves(inner, (*way, index))
    else:
        yield way


def field_of(way: Way) -> str:
    """A way as a fault writes it: `load.pick_point[2].at[0]`."""
    return "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in way).removeprefix(".")


def with_value(doc: dict[str, Any], way: Way, value: Any) -> dict[str, Any]:
    doc = copy.deepcopy(doc)
    place: Any = doc
    for key in way[:-1]:
        place = place[key]
    place[way[-1]] = value
    return doc


def faults_of(doc: Any) -> list[str]:
    with pytest.raises(InputFault) as caught:
        read_document(doc)
    assert all(fault.problem and len(fault.problem) < 400 for fault in caught.value.faults)
    return [fault.field for fault in caught.value.faults]


def wrong_values() -> list[tuple[str, Way, Any]]:
    every = [
        (name, way, value)
        for name in NAMES
        for way in leaves(lift_document(name))
        for value in NEVER_RIGHT
        if name != "barrier_mesh" or way[0] != "load"  # its mesh is read each time; test_mesh has it
    ]
    return random.Random(20240229).sample(every, 400)


def names_it(field: str, way: Way) -> bool:
    """Whether a fault's field is the wrong place, or the table or list right round it."""
    right = field_of(way)
    return field == right or (bool(field) and right.startswith((f"{field}.", f"{field}[")))


def test_four_hundred_wrong_values_are_each_named() -> None:
    docs = {name: lift_document(name) for name in NAMES}
    for name, way, value in wrong_values():
        fields = faults_of(with_value(docs[name], way, value))
        assert any(names_it(field, way) for field in fields), (name, way, value, fields)


def test_every_key_misspelt_is_named_with_the_right_one() -> None:
    for name in NAMES:
        doc = lift_document(name)
        for way in leaves(doc):
            key = way[-1]
            if not isinstance(key, str) or len(key) < 3 or way[-2:-1] in (("weight",), ("weight_tolerance",)):
                continue
            changed = with_value(doc, (*way[:-1], key[:-2] + key[-1] + key[-2] + "q"), "1 ft")
            field = field_of((*way[:-1], key[:-2] + key[-1] + key[-2] + "q"))
            assert field in faults_of(changed)


def test_every_quantity_without_its_unit_is_named() -> None:
    """ "9 ft" written as "9", as 9 and as "9 parsecs"."""
    count = 0
    for name in NAMES:
        doc = lift_document(name)
        for way in leaves(doc):
            place: Any = doc
            for key in way:
                place = place[key]
            is_quantity = isinstance(place, str) and place[:1].isdigit() and way[-1] not in ("name", "title")
            if not is_quantity or place[0] == "0" or way[-1] == "weight_tolerance" or "%" in place:
                continue
            number = "".join(c for c in place.split(" ")[0] if c.isdigit())
            for wrong in (number, int(number), f"{number} parsecs"):
                count += 1
                assert field_of(way) in faults_of(with_value(doc, way, wrong))
    assert count > 300


CHILLER = (EXAMPLES / "chiller.toml").read_bytes()
CHILLER_JSON = json.dumps(lift_document("chiller")).encode()
# each with a word of the fault it must give: a file may be wrong for one reason only
BAD_TEXTS: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "missing"),
    "one byte": (b"\xff", "UTF-8"),
    "png": (b"\x89PNG\r\n\x1a\n" + bytes(range(256)) * 4, "UTF-8"),
    "gzip": (b"\x1f\x8b\x08\x00" + bytes(range(255, -1, -1)), "UTF-8"),
    "zeros": (bytes(5000), "not TOML"),
    "utf-16": (CHILLER.decode().encode("utf-16"), "UTF-8"),
    "latin-1": (CHILLER.decode().encode("latin-1"), "UTF-8"),
    "cut in the middle of a string": (CHILLER[: CHILLER.index(b"Chiller onto the") + 8], "not TOML"),
    "cut in the middle of a letter": (CHILLER[: CHILLER.index("°".encode()) + 1], "UTF-8"),
    "key twice": (CHILLER.replace(b'length = "9 ft"', b'length = "9 ft"\nlength = "8 ft"'), "not TOML"),
    "table twice": (CHILLER + b'\n[want]\nby = "weight"\n', "not TOML"),
    "text without quotes": (CHILLER.replace(b'"9 ft"', b"9 ft"), "not TOML"),
    "no closing bracket": (CHILLER.replace(b"[hook]", b"[hook"), "not TOML"),
    "a table where a value is": (CHILLER + b'\n[load.length.more]\na = "1"\n', "not TOML"),
    "deep lists": (b"a = " + b"[" * 20_000 + b"]" * 20_000, "line of more than"),
    "deep lists on many lines": (b"a = " + b"[\n" * 5000 + b"]\n" * 5000, "too deeply"),
    "lists a little too deep": (CHILLER + b"a = " + b"[" * 30 + b"]" * 30, "too deeply"),
    "deep tables": (b"[" + b".".join([b"a"] * 3000) + b"]\n", "too deeply"),
    "dotted key of a megabyte": (b".".join([b"a"] * 400_000) + b" = 1\n", "line of more than"),
    "many dotted keys": (
        b"\n".join(b".".join([b"a"] * 9000) + b".k%d = 1" % i for i in range(50)),
        "too deeply",
    ),
    "dotted key in a table": (b"a = { " + b" . ".join([b'"a"'] * 2000) + b" = 1 }\n", "too deeply"),
    "one word of many letters": (b"\n".join([b"a" * 19_000] * 50), "not TOML"),
    "thirty thousand keys": (b"\n".join(b"k%d = 1" % i for i in range(30_000)), "not a key"),
    "more than a megabyte": (CHILLER + b"#" * 1_000_001, "1 MB"),
    "a number of five thousand digits": (b"a = " + b"9" * 5000 + b"\n", "too long"),
    "control characters": (b'title = "a\x07b"\n', "not TOML"),
    "an XML file": (b"<?xml version='1.0'?><lift weight='1'/>", "not TOML"),
    "a spreadsheet's export": (b"weight;length\n11 800;9\n", "not TOML"),
    "JSON": (CHILLER_JSON, "not TOML"),
}
BAD_JSON: dict[str, tuple[bytes, str]] = {
    "empty": (b"", "not JSON"),
    "binary": (bytes(range(256)), "UTF-8"),
    "a list": (b"[1, 2]", "not a lift file"),
    "a word": (b'"chiller"', "not a lift file"),
    "a number": (b"3", "not a lift file"),
    "null": (b"null", "not a lift file"),
    "cut": (CHILLER_JSON[:300], "not JSON"),
    "key twice": (CHILLER_JSON.replace(b'"title"', b'"rulebook": "us", "title"'), "given twice"),
    "nan": (CHILLER_JSON.replace(b'"9 ft"', b"NaN"), "holds NaN"),
    "infinity": (CHILLER_JSON.replace(b'"9 ft"', b"-Infinity"), "holds -Infinity"),
    "deep": (b'{"a":' * 50_000 + b"1" + b"}" * 50_000, "too deeply"),
    "deep lists": (b'{"a":' + b"[" * 100_000, "too deeply"),
    "a number of five thousand digits": (b'{"a": ' + b"9" * 5000 + b"}", "too long"),
    "a lone half of a pair": (CHILLER_JSON.replace(b"Chiller", b"\\ud800"), "cannot be printed"),
    "comments": (b'{"load": {} // none\n}', "not JSON"),
    "TOML": (CHILLER, "not JSON"),
    "more than a megabyte": (b'{"title": "' + b"x" * 1_000_001 + b'"}', "1 MB"),
    "strange key twice": (b'{"a\\u0007": 1, "a\\u0007": 2}', "given twice"),
}


def check_bad_text(data: bytes, form: Any, words: str) -> None:
    start = time.process_time()
    with pytest.raises(InputFault) as caught:
        lift_from_text(data, form, mesh_reader=folder_reader(EXAMPLES))
    assert words in caught.value.problem
    assert str(caught.value).isprintable()
    assert time.process_time() - start < 5  # minutes, for the dotted keys, before they were stopped


@pytest.mark.parametrize("what", sorted(BAD_TEXTS))
def test_bad_toml_is_a_fault_and_soon(what: str) -> None:
    check_bad_text(BAD_TEXTS[what][0], "toml", BAD_TEXTS[what][1])


@pytest.mark.parametrize("what", sorted(BAD_JSON))
def test_bad_json_is_a_fault_and_soon(what: str) -> None:
    check_bad_text(BAD_JSON[what][0], "json", BAD_JSON[what][1])


def test_bytes_flipped_at_random_never_break_the_reader() -> None:
    """Some stay right (a changed comment); none may raise anything but a fault."""
    rng = random.Random(7)
    at_fault = 0
    for _ in range(300):
        data = bytearray(CHILLER)
        for _ in range(rng.randint(1, 6)):
            place = rng.randrange(len(data))
            data[place] = rng.choice((rng.randrange(256), 0x22, 0x5B, 0x3D, 0x2E, 0x0A))
        try:
            lift_from_text(bytes(data), "toml")
        except InputFault:
            at_fault += 1
    assert at_fault > 150


def test_json_and_toml_of_one_lift_are_one_lift() -> None:
    for name in ("chiller", "pump_skid_parts", "pontoon_two_hooks"):
        as_json = json.dumps(lift_document(name))
        assert lift_from_text(as_json, "json") == lift_from_text(
            (EXAMPLES / f"{name}.toml").read_text(), "toml"
        )


def test_byte_order_mark_and_windows_line_ends_are_read() -> None:
    data = b"\xef\xbb\xbf" + CHILLER.replace(b"\n", b"\r\n")
    assert document_from_text(data, "toml") == lift_document("chiller")
    assert document_from_text(data.decode(), "toml") == lift_document("chiller")
