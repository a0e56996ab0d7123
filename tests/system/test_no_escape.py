"""No sentence of the command line, its documents, drawings and papers escapes the catalogue."""

from __future__ import annotations

import json
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from slingwright.usecases import settings
from tests.escapes import citations_in, escaped, names_in, pdf_texts, svg_texts
from tests.pseudo import PSEUDO, pseudo_language, rulebook_sections
from tests.system.command import Command
from tests.system.test_cli_cut import JOB

HARROW = Path(__file__).parents[2] / "examples" / "harrow_quay"
SHOP = ("--shop", HARROW / "shop.toml")
AT = ("--at", "2026-05-31")
SLING = ("--form", "endless", "--fibre", "polyester", "--class", "7", "--plies", "1", "--width", "2 in")
HANG = {
    "weight_n": 50000.0,
    "centre_of_gravity_m": [0.1, 0.0, -1.0],
    "hook_m": [0.0, 0.0, 3.0],
    "paths": [
        {"name": name, "upper_m": [0.0, 0.0, 3.0], "pick_m": [x, y, 0.0], "length_m": 3.4, "rated_n": 80000.0,
         "strain_at_rated": 0.03}
        for name, x, y in (("A", 1.0, 1.0), ("B", -1.0, 1.0), ("C", -1.0, -1.0), ("D", 1.0, -1.0))
    ],
}  # fmt: skip


@pytest.fixture
def speak(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Command]:
    """The command line, which now takes the made-up language as well."""
    monkeypatch.setitem(settings._READERS, "language", settings._read_one_of("en", PSEUDO))
    monkeypatch.setenv("SLINGWRIGHT_LANGUAGE", PSEUDO)
    with pseudo_language(tmp_path / "words", also=rulebook_sections()):
        yield command


@pytest.fixture(scope="module")
def allowed() -> set[str]:
    """Names out of the example files, and every citation of rulebooks and checks."""
    from slingwright.check import sources
    from slingwright.usecases.rulebooks import open_rulebook

    found = {"Slingwright", "the lift file", *CODES}
    for file in HARROW.glob("*.toml"):
        found |= names_in(tomllib.loads(file.read_text("utf-8")))
    own = settings.resolve_settings({"shop": str(HARROW / "shop.toml")}, {}, HARROW)
    for regime in ("us", "en"):
        book = open_rulebook(own, regime=regime)
        found |= citations_in(book) | set(book.documents)
    return found | citations_in(vars(sources))


# an option that a file was written for, a sling's type under US rules, signs of units on a drawing
CODES = ("sheet", "drawing", "quote", "traveler", "approval", "tag", "pdf", "svg", "out", "IV", "V")
TITLES = [str(tomllib.loads(file.read_text("utf-8")).get("title", "")) for file in HARROW.glob("*.toml")]
CASES: dict[str, tuple[object, ...]] = {
    "choose": (
        "choose",
        HARROW / "chiller.toml",
        *AT,
        "--limit",
        "3",
        "--sheet",
        "out.pdf",
        "--drawing",
        "out.svg",
    ),
    "choose-explain": ("choose", HARROW / "chiller.toml", "--limit", "3", "--explain"),
    "choose-stop": ("choose", HARROW / "scrubber_vessel.toml", *AT, "--limit", "3", "--sheet", "out.pdf"),
    "choose-round": ("choose", HARROW / "duct_section.toml", *AT, "--limit", "3", "--sheet", "out.pdf"),
    "rate": ("rate", *SLING, "--rulebook", "us", "--hitch", "basket", "--table"),
    "rate-refused": ("rate", *SLING[:-1], "5 in", "--rulebook", "us"),
    "quote": ("quote", HARROW / "order.toml", *AT, "--pdf", "out.pdf"),
    "quote-sling": ("quote", *SLING, "--length", "6 ft", "--rulebook", "us", *SHOP, *AT, "--pdf", "out.pdf"),
    "quote-refused": ("quote", *SLING[:-1], "11 in", "--length", "6 ft", "--rulebook", "us", *SHOP, *AT),
    "make": ("make", HARROW / "order.toml", *AT, "--specimen", "--traveler", "out.pdf"),
    "approval": ("make", HARROW / "order.toml", *AT, "--approval", "out.pdf"),
    "tag": ("tag", HARROW / "order.toml", *AT, "--specimen", "--pdf", "out.pdf"),
    "certificate": ("certificate", HARROW / "order.toml", *AT, "--specimen", "--out", "papers"),
    "sheet": ("sheet", *SLING, "--length", "6 ft", "--rulebook", "us", *SHOP, *AT, "--pdf", "out.pdf"),
    "route": ("route", HARROW / "routing_day.toml"),
    "hang": ("hang", "hang.json"),
    "cut": ("cut", "job.toml", *AT, "--pdf", "out.pdf"),
    "ask": ("ask", "chiller.toml", *SHOP),
    "adopt": ("adopt", "us-class7-endless", "--rulebook", "us"),
}


@pytest.mark.parametrize("case", CASES)
def test_no_sentence_escapes(
    speak: Command, allowed: set[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    monkeypatch.chdir(tmp_path)
    _write_files(tmp_path)
    told = speak(*CASES[case])
    assert told.code in (0, 1), told.err
    texts = [*told.out.split("\n\n"), *told.err.splitlines()]
    for file in sorted(tmp_path.glob("*.*")) + sorted(tmp_path.glob("papers/*")):
        if file.suffix == ".pdf":
            texts += pdf_texts(file.read_bytes())
        if file.suffix == ".svg":
            texts += svg_texts(file.read_text("utf-8"))
    assert escaped(texts, allowed, titles=TITLES) == {}


@pytest.mark.parametrize("case", [case for case in CASES if case != "ask"])  # it has no document
def test_no_sentence_of_a_document_escapes(
    speak: Command, allowed: set[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, case: str
) -> None:
    monkeypatch.chdir(tmp_path)
    _write_files(tmp_path)
    told = speak(*CASES[case], "--json")
    assert told.code in (0, 1), told.out
    assert escaped(_sentences(told.document), allowed, titles=TITLES) == {}


def _write_files(folder: Path) -> None:
    (folder / "papers").mkdir()
    (folder / "hang.json").write_text(json.dumps(HANG))
    (folder / "job.toml").write_text(JOB)
    (folder / "chiller.toml").write_bytes((HARROW / "chiller.toml").read_bytes())


def _sentences(value: Any, key: str = "") -> list[str]:
    """What a document says to people: its texts, and lists of cautions that are no codes."""
    if isinstance(value, dict):
        return [text for k, one in value.items() for text in _sentences(one, k)]
    if isinstance(value, list):
        return [text for one in value for text in _sentences(one, key)]
    said = key in ("text", "cure_text", "headline", "label") or (
        key in ("cautions", "included", "assumptions") and " " in str(value)
    )
    return [value] if said and isinstance(value, str) else []
