"""Faults in another language: found by the core's own English, which must be the core's to the letter."""

from __future__ import annotations

import ast
import inspect
import json
import re
import tomllib
from pathlib import Path

import pytest

from slingwright.desk.form import tables_from_form
from slingwright.errors import InputFault
from slingwright.lift import lift_from_text, read_lift
from slingwright.words import read_catalogue
from slingwright.words.faults import fault_text

SOURCE = Path(__file__).parents[3] / "src" / "slingwright"
_PLACE = re.compile(r"\{\w+\}")


def said_in_code() -> str:
    """Every text of the code, its places made alike, one a line."""
    found = set()
    for file in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.JoinedStr):
                parts = (v.value if isinstance(v, ast.Constant) else "{}" for v in node.values)
                found.add("".join(map(str, parts)))
            elif isinstance(node, ast.Constant) and isinstance(node.value, str):
                found.add(node.value)
    return "\n".join(found)


def test_every_wording_is_still_the_core_s() -> None:
    code = re.sub(r"(?:\{\})+", "{}", said_in_code())
    for key, english in read_catalogue().sections["faults"].items():
        wording = _PLACE.sub("{}", english)
        # a wording may be put together of two of the code's: a name in front, a shape's article
        pieces = [piece for piece in re.split(r'^"\{\}" is |^a \{\} | a \{\}; ', wording) if piece] or [
            wording
        ]
        assert wording in code or all(piece in code for piece in pieces), f"{key}: {english}"


def faults_in_code(folder: str) -> set[str]:
    """What is said where a fault is told, its places filled with a word."""
    found = set()
    for file in (SOURCE / folder).rglob("*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            name = getattr(node, "func", None)
            if not isinstance(node, ast.Call) or getattr(name, "id", getattr(name, "attr", "")) != "Fault":
                continue
            for said in node.args[1:]:
                if isinstance(said, ast.JoinedStr):
                    parts = (v.value if isinstance(v, ast.Constant) else "this" for v in said.values)
                    found.add("".join(map(str, parts)))
                elif isinstance(said, ast.Constant):
                    found.add(str(said.value))
    return found - {""}


@pytest.mark.parametrize("folder", ["shop", "price"])
def test_every_fault_of_a_shop_s_files_is_told_in_spanish(folder: str) -> None:
    said = faults_in_code(folder)
    assert len(said) > 5
    assert [one for one in sorted(said) if fault_text(one, language="es") is None] == []


@pytest.mark.parametrize(
    ("field", "typed", "problem"),
    [
        ("load.weight", "4 elephants", "«elephants» no es una unidad conocida aquí"),
        ("load.weight", "elephants", "«elephants» no empieza con un número"),
        ("load.weight", "5 tons", "«tons» puede ser una de varias toneladas"),
        ("load.length", "1,5 m", "la coma de «1,5» no está donde se separan los millares"),
        ("load.length", "2.345.678 mm", "«2.345.678» separa los millares con puntos"),
        ("load.shape", "egg", "«egg» no está entre las opciones"),
    ],
)
def test_what_a_form_meets_is_told_in_spanish(field: str, typed: str, problem: str) -> None:
    with pytest.raises(InputFault) as caught:
        read_lift(tables_from_form({}, {field: typed}))
    told = [fault_text(fault.problem, language="es") for fault in caught.value.faults if fault.field == field]
    assert told == [problem]


def test_the_wording_that_says_most_itself_is_taken() -> None:
    assert fault_text("has 2 entries, not 3", language="es") == "tiene 2 partes, no 3"
    assert fault_text("has 2 entries", language="es") == "tiene 2 partes"


@pytest.mark.parametrize(
    ("content", "told"),
    [
        ("no = [", "no es TOML: un valor no válido; un texto va entre comillas (al final del documento)"),
        ("a = egg", "no es TOML: un valor no válido; un texto va entre comillas (línea 1, columna 5)"),
        ("a = 1\na = 2", "no es TOML: un valor se da dos veces (al final del documento)"),
        ("[load\n", "no es TOML: falta «]» al final del nombre de una tabla (línea 1, columna 6)"),
        ("[load]\n[load]\n", "no es TOML: ('load',) se declara dos veces (línea 2, columna 6)"),
        ("a", "no es TOML: falta «=» tras una clave (al final del documento)"),
    ],
)
def test_what_the_reader_of_toml_says_is_told_too(content: str, told: str) -> None:
    with pytest.raises(InputFault) as caught:
        lift_from_text(content, "toml")
    assert fault_text(caught.value.faults[0].problem, language="es") == told


def test_the_readers_wordings_are_the_libraries_own() -> None:
    """A release of Python that words them otherwise is noticed: they would be English again."""
    code = "".join(inspect.getsource(one) for one in (tomllib._parser, json.decoder, json.scanner))
    for key, english in read_catalogue().sections["faults-of-readers"].items():
        if key.startswith("at-"):
            continue  # put together of several; the test above meets both
        for piece in filter(None, _PLACE.split(english)):
            assert piece.strip().replace("\\", "\\\\") in code, key


def test_what_has_no_words_stays_as_it_is() -> None:
    assert fault_text("breaks in a way that nobody foresaw", language="es") is None
    assert (
        fault_text("breaks in a way that nobody foresaw", language="en")
        == "breaks in a way that nobody foresaw"
    )
