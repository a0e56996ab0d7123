"""Papers that are facts, tables, drawings and lines to sign: plain data, laid out by one template."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from slingwright.papers.typeset import open_press
from slingwright.units import Units
from slingwright.words import hold_figures, read_catalogue

__all__ = [
    "Column",
    "Paper",
    "Section",
    "bullets_section",
    "drawing_section",
    "fields_section",
    "pairs_section",
    "paper_footer",
    "print_paper",
    "steps_section",
    "table_section",
    "text_section",
]

_SHOWN = 12  # figures of a hash that a person can compare
Section = dict[str, object]


@dataclass(frozen=True, slots=True)
class Column:
    """A table's column: head, width [mm] (0 = what is left over), figures to the right."""

    head: str
    mm: float = 0.0
    right: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Paper:
    """A paper as data. `specimen` is set across every page; `stamp` stands in a box beside the title."""

    kind: str
    title: str
    facts: Sequence[Sequence[str]]
    sections: Sequence[Section]
    footer: str
    units: Units
    stamp: str = ""
    because: str = ""
    specimen: str = ""
    language: str = "en"


def print_paper(paper: Paper, *, on: dt.date) -> bytes:
    """Print a paper as PDF; the same arguments give the same bytes."""
    data: dict[str, object] = {
        "kind": paper.kind,
        "title": paper.title,
        "stamp": paper.stamp,
        "because": paper.because,
        "specimen": paper.specimen,
        "facts": _held([list(fact) for fact in paper.facts]),
        "sections": [_held(section) for section in paper.sections],
        "footer": paper.footer,
        "page": read_catalogue(paper.language).word("quote", "page"),
        "language": paper.language,
        "paper": "us-letter" if paper.units is Units.US else "a4",
        "date": [on.year, on.month, on.day],
    }
    with open_press("document.typ") as press:
        return press.pdf(data, on=on)


def table_section(
    title: str,
    columns: Iterable[Column],
    rows: Iterable[Sequence[str]],
    *,
    note: str = "",
    total: Sequence[str] = (),
    fresh: bool = False,
    tall: bool = False,
) -> Section:
    """A table under a heading; `total` is its last row, bold; `tall` leaves room to write by hand."""
    heads = [{"head": c.head, "mm": c.mm, "right": c.right} for c in columns]
    listed = [list(row) for row in rows]
    more = {"columns": heads, "rows": listed, "total": list(total), "tall": tall}
    return _section("table", title, note, fresh) | more


def pairs_section(title: str, rows: Iterable[Sequence[str]], *, fresh: bool = False) -> Section:
    """Facts under a heading, each with its name; `fresh` begins a page."""
    return _section("pairs", title, "", fresh) | {"rows": [list(row) for row in rows]}


def text_section(title: str, items: Iterable[str], *, note: str = "") -> Section:
    """Paragraphs."""
    return _section("text", title, note) | {"items": list(items)}


def bullets_section(title: str, items: Iterable[str], *, note: str = "") -> Section:
    """A list."""
    return _section("bullets", title, note) | {"items": list(items)}


def drawing_section(
    title: str, svg: str, *, alt: str, width_mm: float, note: str = "", fresh: bool = False
) -> Section:
    """A drawing of so many millimetres across; `alt` says in words what it shows."""
    return _section("drawing", title, note, fresh) | {"svg": svg, "alt": alt, "width": width_mm}


def fields_section(title: str, items: Iterable[str], *, columns: int, note: str = "") -> Section:
    """Blank lines to write on, each with what goes there."""
    return _section("fields", title, note) | {"items": list(items), "columns": columns}


def steps_section(title: str, heads: Sequence[str], steps: Iterable[str], *, note: str = "") -> Section:
    """Numbered steps with room for a name and a date; `heads` are the four columns'."""
    rows = [[str(number), step] for number, step in enumerate(steps, start=1)]
    return _section("steps", title, note) | {"heads": list(heads), "rows": rows}


def _section(kind: str, title: str, note: str, fresh: bool = False) -> Section:
    return {"kind": kind, "title": title, "note": note, "fresh": fresh}


def paper_footer(made_by: Mapping[str, object], on: dt.date, *, language: str = "en") -> str:
    """Tool and version, the hashes of all that went in, and the date."""
    words = read_catalogue(language)
    rules, prices = (made_by.get(key) or {} for key in ("rulebook", "price_book"))
    assert isinstance(rules, Mapping)
    assert isinstance(prices, Mapping)
    figures = {
        "input": str(made_by.get("input_sha256") or "")[:_SHOWN],
        "rules": f"{rules.get('id') or ''} {str(rules.get('sha256') or '')[:_SHOWN]}".strip(),
        "shop": str(made_by.get("shop_sha256") or "")[:_SHOWN],
        "prices": str(prices.get("version") or ""),
    }
    said = [words.fill("paper", f"footer-{key}", figure=figure) for key, figure in figures.items() if figure]
    return " · ".join([str(made_by.get("tool") or ""), *said, on.isoformat()])


def _held(value: object) -> object:
    """The same data with every figure held together with its unit; pictures stay as they are."""
    if isinstance(value, str):
        return value if value.startswith("<svg") else hold_figures(value)
    if isinstance(value, list):
        return [_held(item) for item in value]
    if isinstance(value, dict):
        return {key: _held(item) for key, item in value.items()}
    return value
