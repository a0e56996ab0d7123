"""The lift sheet read back from the PDF: every field it must hold, whatever the lift, on two pages."""

from __future__ import annotations

import ctypes
import datetime as dt
import re
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from functools import cache

import pypdfium2 as pdfium
import pytest

from slingwright.check import CODES, Finding, Outcome
from slingwright.citation import Citation, Known
from slingwright.lift.model import KnownBy
from slingwright.papers import lift_sheet
from slingwright.rulebook import load_rulebook
from slingwright.units import Units
from tests.golden import scenes
from tests.golden.building import Scene

DAY = dt.date(2026, 3, 1)
SOURCE = Citation(document="OSHA guidance on safe sling use", clause="chapter 5", known=Known.READ)
MADE_BY = {
    "tool": "slingwright 9.8.7",
    "rulebook": {"id": "us", "edition": "1", "sha256": "ef" * 32, "profile": "own", "adopted": None},
    "shop_sha256": "cd" * 32,
    "price_book": {"version": "1", "sha256": "12" * 32},
    "input_sha256": "ab" * 32,
    "seed": 7,
}
NAMES = sorted(scenes.ALL)


def print_sheet(scene: Scene, *, units: Units | None = None, made_by: dict[str, object] = MADE_BY) -> bytes:
    return lift_sheet(
        scene.lift,
        scene.answer,
        0,
        made_by=made_by,
        date=DAY,
        units=units or Units(scene.lift.units),
        inspection=load_rulebook("us").removal_criteria(),
    )


@contextmanager
def opened(pdf: bytes) -> Iterator[pdfium.PdfDocument]:
    document = pdfium.PdfDocument(pdf)
    try:
        yield document
    finally:
        document.close()


def read(pdf: bytes) -> tuple[int, str]:
    """Pages and text; line breaks and no-break spaces as plain spaces."""
    with opened(pdf) as document:
        texts = []
        for page in document:
            text = page.get_textpage()
            texts.append(text.get_text_range())
            text.close()
            page.close()
        return len(texts), re.sub(r"\s+", " ", " ".join(texts).replace("\ufffe", "-"))


@cache
def sheet(name: str) -> tuple[int, str]:
    return read(print_sheet(scenes.ALL[name]()))


def with_findings(scene: Scene, findings: tuple[Finding, ...]) -> Scene:
    offer = replace(scene.offer, findings=findings)
    return Scene(lift=scene.lift, answer=replace(scene.answer, offers=(offer,)))


def renamed(title: str) -> Scene:
    scene = scenes.chiller()
    return Scene(lift=replace(scene.lift, title=title), answer=scene.answer)


@pytest.mark.parametrize("name", NAMES)
def test_sheet_holds_every_field(name: str) -> None:
    """The fields issue 2 names, found in the text of the finished file."""
    scene = scenes.ALL[name]()
    pages, text = sheet(name)
    assert pages <= 2
    assert scene.lift.title in text
    assert "from its plate" in text  # how the weight is known
    assert "from a drawing" in text  # how the centre is known
    assert "reserve" in text.lower()
    assert "to rated load" in text
    for sling in scene.offer.slings:
        assert sling.id in text
    assert "2 ply" in text
    for path in scene.offer.case("stiff").result.paths:
        assert path.name in text
    assert "out of level at most" in text  # a finding
    assert "OSHA guidance on safe sling use, table 1" in text  # its clause
    assert "The rule alone gives" in text  # rule against hang
    assert "Worst case within what you told us" in text
    for row in load_rulebook("us").removal_criteria():
        assert row.what in text
    assert "Local codes" in text
    assert "qualified person must approve" in text
    assert "PLANNING ONLY" in text
    assert "Signature" in text
    assert "slingwright 9.8.7" in text
    assert "input abababababab" in text
    assert "2026-03-01" in text


def test_figures_stand_on_the_sheet_as_they_were_solved() -> None:
    """The contract's bridle example: 15 844, 15 006, 14 075, 14 914 N and 1.02°."""
    _, text = read(print_sheet(scenes.chiller(units="si"), units=Units.SI))
    for tension in ("15.8 kN", "15.0 kN", "14.1 kN", "14.9 kN"):
        assert tension in text
    assert "1° with all as told" in text


def test_same_input_same_bytes_and_another_day_is_another_file() -> None:
    scene = scenes.chiller()
    assert print_sheet(scene) == print_sheet(scene)
    later = lift_sheet(
        scene.lift, scene.answer, 0, made_by=MADE_BY, date=dt.date(2026, 3, 2), units=Units.US, inspection=()
    )
    assert b"2026" in later
    assert later != print_sheet(scene)


def test_file_is_tagged_and_its_pictures_have_words() -> None:
    with opened(print_sheet(scenes.chiller())) as document:
        assert pdfium.raw.FPDFCatalog_IsTagged(document.raw)
        page = document[0]
        tree = pdfium.raw.FPDF_StructTree_GetForPage(page.raw)
        words = "".join(_alternatives(tree))
        pdfium.raw.FPDF_StructTree_Close(tree)
        page.close()
    assert "Drawing to scale of Chiller onto the plant-room roof: four-leg bridle" in words


def _alternatives(tree: object) -> Iterator[str]:
    def walk(element: object) -> Iterator[str]:
        size = pdfium.raw.FPDF_StructElement_GetAltText(element, None, 0)
        if size:
            buffer = ctypes.create_string_buffer(size)
            pdfium.raw.FPDF_StructElement_GetAltText(element, buffer, size)
            yield buffer.raw.decode("utf-16-le").rstrip("\0")
        for i in range(pdfium.raw.FPDF_StructElement_CountChildren(element)):
            child = pdfium.raw.FPDF_StructElement_GetChildAtIndex(element, i)
            if child:
                yield from walk(child)

    for i in range(pdfium.raw.FPDF_StructTree_CountChildren(tree)):
        yield from walk(pdfium.raw.FPDF_StructTree_GetChildAtIndex(tree, i))


@pytest.mark.parametrize(("units", "millimetres"), [(Units.US, (215.9, 279.4)), (Units.SI, (210.0, 297.0))])
def test_paper_is_letter_for_pounds_and_a4_for_metres(units: Units, millimetres: tuple[float, float]) -> None:
    """Sizes: ANSI/ASME Y14.1 A (letter) and ISO 216 A4, from memory; a point is 1/72 in."""
    with opened(print_sheet(scenes.chiller(), units=units)) as document:
        points = document[0].get_size()
    assert tuple(p / 72 * 25.4 for p in points) == pytest.approx(millimetres, abs=0.2)


@pytest.mark.parametrize(
    "title",
    [
        "#panic() *bold* _it_ $x^2$ @ref <label> = heading",
        '<script>alert(1)</script> & "quotes"',
        '#image("/etc/passwd") \\ `raw`',
        "A very long name of a lift " * 12,
    ],
)
def test_title_is_never_read_as_markup(title: str) -> None:
    pages, text = read(print_sheet(renamed(title)))
    assert pages <= 2
    assert title.strip() in text


@pytest.mark.parametrize(
    "title", ["重い荷を吊る", "رفع المبرد", "Подъём чиллера", "control \x01\x02 \ufffe", ""]
)
def test_title_in_any_script_gives_a_sheet(title: str) -> None:
    pages, text = read(print_sheet(renamed(title)))
    assert pages <= 2
    assert "four-leg bridle" in text


def test_adopted_table_and_known_load_may_be_signed() -> None:
    _, text = read(print_sheet(scenes.chiller(adopted=True)))
    assert "PLANNING ONLY: ratings" not in text
    assert "Planning only, not a release to lift" not in text
    assert "I have checked this sheet against the load" in text


def test_unknown_centre_or_estimated_weight_may_not_be_signed() -> None:
    scene = scenes.unknown_centre()
    _, text = read(print_sheet(scene))
    assert "PLANNING ONLY" in text
    assert "Not to be signed: the centre of gravity is not known." in text
    assert "Signature" not in text
    guess = replace(scenes.chiller(adopted=True).lift.load.weight, known_by=KnownBy.ESTIMATE)
    lift = scenes.chiller().lift
    guessed = Scene(
        lift=replace(lift, load=replace(lift.load, weight=guess)), answer=scenes.chiller(adopted=True).answer
    )
    _, text = read(print_sheet(guessed))
    assert "Not to be signed: the weight is only estimated." in text
    assert "Signature" not in text


def test_stop_gives_a_sheet_that_says_why_not() -> None:
    pages, text = read(print_sheet(scenes.stopped()))
    assert pages == 1
    assert "This lift stops here" in text
    assert "held too low for its centre of gravity" in text
    assert "Pick it up above its centre of gravity." in text
    assert "two-leg bridle, polyester" in text
    assert "Signature" not in text
    assert "Local codes" in text
    assert "input abababababab" in text


def test_every_rule_with_a_word_still_fits_two_pages() -> None:
    """All rules' first sentences at once for four slings, and eight cautions: more than any lift has."""
    passes = [
        Finding(rule=rule, detail=details[0], outcome=Outcome.PASS, figure=1.2, limit=2.0, unit="m",
                citation=SOURCE, subject=sling)
        for rule, details in CODES.items() for sling in "ABCD"
    ]  # fmt: skip
    codes = [(rule, details[1]) for rule, details in CODES.items() if len(details) > 1][:8]
    cares = [
        Finding(rule=rule, detail=detail, outcome=Outcome.CAUTION, figure=9e3, limit=1e4, unit="N",
                citation=SOURCE, subject="A", cure="ask-hook")
        for rule, detail in codes
    ]  # fmt: skip
    pages, text = read(print_sheet(with_findings(scenes.chiller(), (*passes, *cares))))
    assert pages <= 2
    assert "(the worst of A, B, C, D)" in text
    assert text.count("Measure the hook: thickness, width, and what it is good for.") == 8


def test_of_several_passes_the_one_nearest_its_limit_speaks() -> None:
    figures = {"A": 21000.0, "B": 26000.0, "C": 22000.0}
    found = tuple(
        Finding(rule="rated-load", detail="part-within", outcome=Outcome.PASS, figure=figure, limit=27579.0,
                unit="N", citation=SOURCE, subject=name)
        for name, figure in figures.items()
    )  # fmt: skip
    _, text = read(print_sheet(with_findings(scenes.chiller(), found)))
    assert "Sling B: its hardest pulled part carries" in text
    assert "Sling A: its hardest" not in text


def test_paper_prints_no_chance_and_no_proof() -> None:
    """PRACTICE: no sheet prints a chance that a rating is exceeded; checked, not proved; reserve."""
    for name in NAMES:
        _, text = sheet(name)
        assert not re.search(r"chance|probab|\bproved\b|margin of safety|percentile", text, re.IGNORECASE)
        assert "Checked against the rated loads" in text


def test_file_tells_nothing_of_the_machine() -> None:
    pdf = print_sheet(scenes.chiller())
    for trace in (b"/tmp", b"/root", b"/home", b"/work", b".venv"):
        assert trace not in pdf
    with opened(pdf) as document:
        told = document.get_metadata_dict()
    assert told["CreationDate"].startswith("D:20260301")
    assert told["ModDate"].startswith("D:20260301")
    assert told["Title"] == "Chiller onto the plant-room roof"


def test_offer_that_is_not_there() -> None:
    scene = scenes.chiller()
    with pytest.raises(IndexError):
        lift_sheet(scene.lift, scene.answer, 3, made_by=MADE_BY, date=DAY, units=Units.US, inspection=())
