"""Adoption: two names, a document, the right hash, and nothing implausible."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from fractions import Fraction
from typing import Any

import pytest

from slingwright.citation import Known
from slingwright.errors import InputFault
from slingwright.rulebook import (
    Choke,
    ChokeState,
    RatedCell,
    Rating,
    Refusal,
    Rulebook,
    load_rulebook,
    parse_adoption,
)
from slingwright.rulebook.adopt import rated_from_breaks
from slingwright.sling import Hitch, SlingSpec

LB_N = 4.4482216152605


def sheet(**changes: Any) -> dict[str, Any]:
    """An adoption as two people of the demo shop would write it."""
    base: dict[str, Any] = {
        "rulebook": "us",
        "by": ["Ines Calder", "Tom Wray"],
        "document": "WSTDA-WS-1",
        "edition": "2015",
        "date": "2026-02-03",
    }
    return {key: value for key, value in {**base, **changes}.items() if value is not None}


def checked(book: Rulebook, index: int = 0) -> list[dict[str, str]]:
    table = book.tables[index]
    return [{"table": table.id, "sha256": table.sha256}]


def own(*cells: dict[str, Any], table: str = "us-class7-eye") -> list[dict[str, Any]]:
    return [{"table": table, "cell": list(cells)}]


def test_a_checked_table_is_adopted(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    adoption = parse_adoption(sheet(checked=checked(us)))
    book = load_rulebook("us", adoption=adoption)
    thick = book.vertical_rated(make_spec(3, inches=2))
    assert isinstance(thick, RatedCell)
    assert (thick.printed, thick.adopted, thick.proposable) == ("8,300 lb", True, True)
    assert (thick.citation.document, thick.citation.edition) == ("WSTDA-WS-1", "2015")
    assert thick.citation.known is Known.READ
    assert "Ines Calder" in thick.citation.note
    assert "Tom Wray on 2026-02-03" in thick.citation.note
    class5 = book.vertical_rated(make_spec(1, inches=2, webbing_class=5))
    assert isinstance(class5, RatedCell)
    assert not class5.adopted  # only what was checked
    rating = book.rate(make_spec(3, inches=2), Hitch.VERTICAL)
    assert isinstance(rating, Rating)
    assert rating.adopted
    assert book.adopted is adoption
    assert adoption.as_record() == {
        "by": ["Ines Calder", "Tom Wray"],
        "document": "WSTDA-WS-1",
        "edition": "2015",
        "date": "2026-02-03",
        "tables": {"us-class7-eye": us.tables[0].sha256},
        "own": [],
    }
    assert load_rulebook("us").adopted is None
    strict = load_rulebook("us", "strictest", adoption)
    assert (strict.profile, strict.adopted) == ("strictest", adoption)


def test_an_own_table_replaces_the_shipped_one(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cells = (
        {"plies": 1, "width": "2 in", "vertical": "3 200 lb", "choker": "2 500 lb", "basket": "6 300 lb"},
        {"plies": 2, "width": "2 in", "breaks": ["31 400 lb", "31,000 lb", "32,900 lb"]},
        {"plies": 2, "width": "3 in", "vertical": "8,000 lb", "breaks": ["40,000 lb"] * 3},
    )
    adoption = parse_adoption(sheet(own=own(*cells), document="break tests 17 to 25"))
    book = load_rulebook("us", adoption=adoption)
    tested = book.vertical_rated(make_spec(2, inches=2))
    assert isinstance(tested, RatedCell)
    assert (tested.printed, tested.adopted, tested.cell) == ("6,200 lb", True, "2 ply, 2 in")
    assert tested.proposable
    assert tested.citation.known is Known.SHOP
    borne_out = book.vertical_rated(make_spec(2, inches=3))
    assert isinstance(borne_out, RatedCell)
    assert borne_out.printed == "8,000 lb"
    gone = book.vertical_rated(make_spec(1, inches=4))
    assert isinstance(gone, Refusal)  # the shipped cell does not shine through
    narrow = make_spec(1, inches=2)
    choker = book.rate(narrow, Hitch.CHOKER, choke=Choke(state=ChokeState.FREE))
    basket = book.rate(narrow, Hitch.BASKET)
    assert isinstance(choker, Rating)
    assert isinstance(basket, Rating)
    assert (choker.printed, basket.printed) == ("2,500 lb", "6,300 lb")
    part = book.part_limit_n(narrow, Hitch.BASKET)
    assert not isinstance(part, Refusal)
    assert part.value == pytest.approx(3150 * LB_N, rel=1e-15)  # half of the lower basket rating
    hitch = book.hitch_rated_n(narrow, Hitch.BASKET, None, 30.0)
    assert not isinstance(hitch, Refusal)
    assert hitch.value == pytest.approx(3150 * LB_N, rel=1e-15)
    assert adoption.own == ("us-class7-eye",)
    assert adoption.as_record()["own"] == ["us-class7-eye"]
    assert adoption.tables[0].sha256 != us.tables[0].sha256


def test_own_choker_above_the_computed_one_counts_no_more(make_spec: Callable[..., SlingSpec]) -> None:
    cell = {"plies": 1, "width": "2 in", "vertical": "3 100 lb", "choker": "3 000 lb", "basket": "6 200 lb"}
    book = load_rulebook("us", adoption=parse_adoption(sheet(own=own(cell))))
    choker = book.rate(make_spec(1, inches=2), Hitch.CHOKER, choke=Choke(state=ChokeState.FREE))
    assert isinstance(choker, Rating)
    assert choker.printed == "2,480 lb"


def test_own_choker_is_computed_and_rounded_down(make_spec: Callable[..., SlingSpec]) -> None:
    book = load_rulebook(
        "us", adoption=parse_adoption(sheet(own=own({"plies": 1, "width": "2 in", "vertical": "3 110 lb"})))
    )
    choker = book.choker_rated_n(make_spec(1, inches=2))
    assert not isinstance(choker, Refusal)
    assert choker.value == pytest.approx(2480 * LB_N, rel=1e-15)  # 2,488 rounded down


def test_en_adoption_is_in_tonnes(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = {"plies": 2, "width": "60 mm", "vertical": "2 t", "breaks": ["14.2 t", "14 t", "15 t"]}
    adoption = parse_adoption(
        sheet(rulebook="en", document="EN 1492-1", edition="2000", own=own(cell, table="en-wll"))
    )
    book = load_rulebook("en", adoption=adoption)
    found = book.vertical_rated(make_spec(2, mm=60))
    assert isinstance(found, RatedCell)
    assert (found.printed, found.cell, found.adopted) == ("2 t", "2 ply, 60 mm", True)


def test_an_adoption_is_of_one_rulebook(us: Rulebook) -> None:
    adoption = parse_adoption(sheet(checked=checked(us)))
    with pytest.raises(InputFault, match='not of "en"') as caught:
        load_rulebook("en", adoption=adoption)
    assert caught.value.field == "adoption"


@pytest.mark.parametrize(
    ("breaks_lb", "rated_lb"),
    [
        ((31_000, 31_500, 33_000), 6200),
        ((30_999, 31_500, 33_000), 6190),
        ((31_049, 40_000, 40_000, 31_050), 6200),
    ],
)
def test_the_lowest_break_governs(breaks_lb: tuple[int, ...], rated_lb: int) -> None:
    breaks_n = tuple(b * LB_N for b in breaks_lb)
    assert rated_from_breaks(breaks_n, design_factor=5.0, unit="lb", step=Fraction(10)) == rated_lb


def test_three_breaks_are_the_least() -> None:
    assert rated_from_breaks((1e5, 1e5, 1e5), design_factor=7.0, unit="t", step=Fraction(1, 100)) == Fraction(
        145, 100
    )
    with pytest.raises(InputFault, match="2 break tests, not 3") as caught:
        rated_from_breaks((1e5, 1e5), design_factor=5.0, unit="lb", step=Fraction(10))
    assert caught.value.field == "breaks"


CELL = {"plies": 2, "width": "2 in", "vertical": "6 200 lb"}


@pytest.mark.parametrize(
    ("changes", "field", "problem"),
    [
        ({"by": ["Ines Calder"]}, "by", "two people"),
        ({"by": ["Ines Calder", "ines calder "]}, "by", "two people"),
        ({"by": ["Ines Calder", " "]}, "by", "two people"),
        ({"by": "Ines Calder, Tom Wray"}, "by", "two people"),
        ({"by": None}, "by", "two people"),
        ({"by": ["Ines Calder", 3]}, "by", "two people"),
        ({"own": [{"table": "us-class7-eye", "cell": [CELL], "note": "x"}]}, "own[0].note", "not a key"),
        ({"checked": [{"table": "us-class7-eye", "hash": "x"}]}, "checked[0].hash", "not a key"),
        ({"own": own({"plies": 2, "width": "2 in", "breaks": ["40 lb"] * 3})},
         "own[0].cell[2 ply, 2 in]", "not above zero"),
        ({"own": own({**CELL, "breaks": ["0 lb"] * 3})}, "own[0].cell[0].breaks[0]", "more than 0"),
        ({"own": own({**CELL, "vertical": "0 lb"})}, "own[0].cell[0].vertical", "more than 0"),
        ({"document": None}, "document", "missing"),
        ({"edition": " "}, "edition", "missing"),
        ({"date": "yesterday"}, "date", "not a date"),
        ({"date": None}, "date", "not a date"),
        ({"own": None}, "checked", "adopts no table"),
        ({"own": {}}, "own", "not a list"),
        ({"own": [1]}, "own", "not a list"),
        ({"checked": [{"table": "us-class7-eye", "sha256": "0" * 64}]}, "checked[0].sha256", "not the hash"),
        ({"checked": [{"table": "en-wll", "sha256": "0" * 64}]}, "checked[0].table", "no table"),
        ({"own": [{"table": "mine", "cell": [CELL]}]}, "own[0].table", "no table"),
        ({"own": own(CELL) + own(CELL)}, "own", "adopted twice"),
        ({"approved": True}, "approved", "not a key"),
        ({"own": own()}, "own[0].cell", "no cells"),
        ({"own": own({**CELL, "eff": 1})}, "own[0].cell[0].eff", "not a key"),
        ({"own": own({**CELL, "plies": 0})}, "own[0].cell[0].plies", "plies"),
        ({"own": own({**CELL, "plies": True})}, "own[0].cell[0].plies", "plies"),
        ({"own": own({**CELL, "plies": "2"})}, "own[0].cell[0].plies", "plies"),
        ({"own": own({**CELL, "width": "two"})}, "own[0].cell[0].width", "number"),
        ({"own": own({**CELL, "width": "0 in"})}, "own[0].cell[0].width", "more than 0"),
        ({"own": own({**CELL, "vertical": "3 t"})}, "own[0].cell[0].vertical", "tons"),
        ({"own": own({"plies": 2, "width": "2 in"})}, "own[0].cell[0]", "neither"),
        ({"own": own({**CELL, "breaks": ["31 000 lb"] * 2})}, "own[0].cell[0].breaks", "2 break tests"),
        ({"own": own({**CELL, "breaks": "31 000 lb"})}, "own[0].cell[0].breaks", "not a list"),
        ({"own": own({**CELL, "breaks": ["31 000 lb", "x", "31 000 lb"]})},
         "own[0].cell[0].breaks[1]", "number"),
        ({"own": own({**CELL, "breaks": ["30 900 lb"] * 3})}, "own[0].cell[0].breaks", "bear out"),
        ({"own": own(CELL, CELL)}, "own[0].cell[1]", "twice"),
        ({"own": own({**CELL, "choker": "6 210 lb"})}, "own[0].cell[2 ply, 2 in]", "choker"),
        ({"own": own({**CELL, "basket": "12 410 lb"})}, "own[0].cell[2 ply, 2 in]", "basket"),
        ({"own": own({**CELL, "vertical": "7 850 lb"})}, "own[0].cell[2 ply, 2 in]", "strength"),
        ({"own": own(CELL, {"plies": 2, "width": "3 in", "vertical": "6 100 lb"})},
         "own[0].cell[2 ply, 3 in]", "below the 6,200 lb of 2 ply, 2 in"),
        ({"own": own(CELL, {"plies": 3, "width": "2 in", "vertical": "6 100 lb"})},
         "own[0].cell[3 ply, 2 in]", "below the 6,200 lb of 2 ply, 2 in"),
    ],
)  # fmt: skip
def test_refused_with_the_field(changes: dict[str, Any], field: str, problem: str) -> None:
    with pytest.raises(InputFault, match=problem) as caught:
        parse_adoption(sheet(**{"own": own(CELL), **changes}))
    assert field in [fault.field for fault in caught.value.faults]


def test_one_cell_at_fault_costs_only_its_own_fault() -> None:
    bad = {**CELL, "plies": 0}
    with pytest.raises(InputFault) as caught:
        parse_adoption(sheet(own=own(bad, {**CELL, "width": "x"}), by=None))
    assert [f.field for f in caught.value.faults] == ["by", "own[0].cell[0].plies", "own[0].cell[1].width"]


def test_equal_strength_and_limits_of_the_gate_pass() -> None:
    same = {"plies": 2, "width": "3 in", "vertical": "6 200 lb", "choker": "6 200 lb", "basket": "12 400 lb"}
    # 11,760 lb x 5 = 3 plies x 2 in x 9,800 lb: the whole webbing, not more
    full = {"plies": 3, "width": "2 in", "vertical": "11 760 lb"}
    adoption = parse_adoption(sheet(own=own(CELL, same, full)))
    assert adoption.flags == ("us-class7-eye: 3 ply, 2 in",)


@pytest.mark.parametrize(
    # one ply: odd above .82 of 9,800 lb/in over 5; two plies wider than 2 in: above .73
    ("plies", "width", "vertical", "odd"),
    [
        (1, "10 in", "16 072 lb", False), (1, "10 in", "16 080 lb", True),
        (2, "2 in", "6 428 lb", False), (2, "2 in", "6 430 lb", True),
        (2, "4 in", "11 446 lb", False), (2, "4 in", "11 450 lb", True),
    ],
)  # fmt: skip
def test_odd_efficiencies_are_flagged_not_refused(plies: int, width: str, vertical: str, odd: bool) -> None:
    adoption = parse_adoption(sheet(own=own({"plies": plies, "width": width, "vertical": vertical})))
    assert bool(adoption.flags) is odd


@pytest.mark.parametrize("value", [date(2026, 2, 3), datetime(2026, 2, 3, 12, 0), "2026-02-03"])
def test_a_date_is_a_date(us: Rulebook, value: object) -> None:
    adoption = parse_adoption(sheet(date=value, checked=checked(us)))
    assert adoption.on == date(2026, 2, 3)
    assert type(adoption.on) is date


def test_no_rulebook_no_adoption() -> None:
    with pytest.raises(InputFault, match="no rulebook") as caught:
        parse_adoption(sheet(rulebook="iso"))
    assert caught.value.field == "rulebook"
    with pytest.raises(InputFault, match="no rulebook"):
        parse_adoption(sheet(rulebook=None))
