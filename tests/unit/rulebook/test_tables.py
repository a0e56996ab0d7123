"""Rated-load grids: a checksum over each, then bounds, order and refusals.

The checksums are sums worked by hand from DOMAIN 2.2 to 2.4 (lower of series A and B in each cell); no
readable copy of WSTDA-WS-1 was to be had, so the figures are from memory and say so.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from slingwright.citation import Known
from slingwright.rulebook import RatedCell, Refusal, Rulebook
from slingwright.sling import Fibre, Form, SlingSpec

LB_N = 4.4482216152605
EYE_7 = {
    1: {1: 1600, 2: 3100, 3: 4700, 4: 6200, 5: 7800, 6: 9300, 8: 11800, 10: 14700, 12: 17600},
    2: {1: 3100, 2: 6200, 3: 8600, 4: 11000, 6: 16300, 8: 19200, 10: 22400, 12: 26900},
    3: {1: 4100, 2: 8300, 3: 12500, 4: 16000, 6: 23000},
    4: {1: 5500, 2: 11000, 3: 16400, 4: 20000, 6: 30700},
}
EYE_5 = {1: {1: 1100, 2: 2200, 3: 3300, 4: 4400, 6: 6600}, 2: {1: 2200, 2: 4400, 3: 6600, 4: 8200, 6: 12300}}
ENDLESS_7 = {1: {1: 3200, 2: 6400, 3: 8600, 4: 11500, 6: 16300}}
EN_WLL = {
    1: {60: 1, 120: 2, 180: 3, 240: 4, 300: 5},
    2: {30: 1, 60: 2, 90: 3, 120: 4, 150: 5, 180: 6, 240: 8, 300: 10},
}


def grid(book: Rulebook, table_id: str) -> dict[int, dict[int, float]]:
    table = next(t for t in book.tables if t.id == table_id)
    per_unit = 0.0254 if table.width_unit == "in" else 0.001
    out: dict[int, dict[int, float]] = {}
    for cell in table.cells.values():
        width = round(cell.width_m / per_unit)
        assert cell.width_m == pytest.approx(width * per_unit, rel=1e-15)
        out.setdefault(cell.plies, {})[width] = float(cell.rated_units)
    return out


@pytest.mark.parametrize(
    ("book_id", "table_id", "expected", "checksum"),
    [
        ("us", "us-class7-eye", EYE_7, 76800 + 113700 + 63900 + 83600),
        ("us", "us-class5-eye", EYE_5, 17600 + 33700),
        ("us", "us-class7-endless", ENDLESS_7, 46000),
        ("en", "en-wll", EN_WLL, 15 + 39),
    ],
)
def test_grid(
    request: pytest.FixtureRequest, book_id: str, table_id: str, expected: dict, checksum: int
) -> None:
    found = grid(request.getfixturevalue(book_id), table_id)
    assert found == expected
    assert sum(sum(row.values()) for row in found.values()) == checksum


def test_there_are_no_other_tables(us: Rulebook, en: Rulebook) -> None:
    assert [t.id for t in us.tables] == ["us-class7-eye", "us-class5-eye", "us-class7-endless"]
    assert [t.id for t in en.tables] == ["en-wll"]


def test_cell_is_the_printed_figure(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = us.vertical_rated(make_spec(2, inches=2))
    assert isinstance(cell, RatedCell)
    assert cell.rated_n == pytest.approx(6200 * LB_N, rel=1e-15)
    assert (cell.printed, cell.table_id, cell.cell) == ("6,200 lb", "us-class7-eye", "2 ply, 2 in")
    assert (cell.adopted, cell.proposable, cell.unit, cell.plies) == (False, True, "lb", 2)
    assert cell.citation.known is Known.MEMORY
    assert cell.choker_units is None
    assert cell.basket_units is None


def test_en_cell(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = en.vertical_rated(make_spec(2, mm=90))
    assert isinstance(cell, RatedCell)
    assert cell.rated_n == 29419.95  # 3,000 kg x 9.80665
    assert (cell.printed, cell.cell, cell.unit) == ("3 t", "2 ply, 90 mm", "t")
    assert cell.citation.known is Known.PRACTICE


@pytest.mark.parametrize(
    "form", [Form.FLAT_EYE, Form.TWISTED_EYE, Form.TRIANGLE_CHOKER, Form.TRIANGLE_TRIANGLE]
)
@pytest.mark.parametrize("fibre", [Fibre.POLYESTER, Fibre.NYLON])
def test_types_one_to_four_share_a_table(
    us: Rulebook, make_spec: Callable[..., SlingSpec], form: Form, fibre: Fibre
) -> None:
    cell = us.vertical_rated(make_spec(1, inches=4, form=form, fibre=fibre))
    assert isinstance(cell, RatedCell)
    assert cell.printed == "6,200 lb"


def test_endless_is_the_tables_own(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = us.vertical_rated(make_spec(1, inches=6, form=Form.ENDLESS))
    assert isinstance(cell, RatedCell)
    assert (cell.printed, cell.table_id, cell.proposable) == ("16,300 lb", "us-class7-endless", True)


@pytest.mark.parametrize(("plies", "inches"), [(3, 2), (4, 6), (1, 5)])
def test_cells_of_one_series_are_not_proposed(
    us: Rulebook, make_spec: Callable[..., SlingSpec], plies: int, inches: int
) -> None:
    cell = us.vertical_rated(make_spec(plies, inches=inches))
    assert isinstance(cell, RatedCell)
    assert not cell.proposable


def test_exactly_the_one_series_cells_are_not_proposed(us: Rulebook, en: Rulebook) -> None:
    held = {
        (t.id, c.cell) for book in (us, en) for t in book.tables for c in t.cells.values() if not c.proposable
    }
    thick = {("us-class7-eye", f"{p} ply, {w} in") for p in (3, 4) for w in (1, 2, 3, 4, 6)}
    assert held == thick | {("us-class7-eye", "1 ply, 5 in")}


@pytest.mark.parametrize(
    ("keywords", "reason", "nearest"),
    [
        ({"plies": 2, "inches": 5}, "no-cell", ["2 ply, 4 in", "2 ply, 6 in"]),
        ({"plies": 2, "inches": 14}, "no-cell", ["2 ply, 12 in"]),
        ({"plies": 2, "inches": 0.5}, "no-cell", ["2 ply, 1 in"]),
        ({"plies": 3, "inches": 8}, "no-cell", ["3 ply, 6 in"]),
        ({"plies": 5, "inches": 6}, "no-cell", ["4 ply, 6 in"]),
        ({"plies": 6, "inches": 7}, "no-cell", []),
        ({"plies": 2, "inches": 2.01}, "no-cell", ["2 ply, 2 in", "2 ply, 3 in"]),
        ({"plies": 1, "inches": 8, "webbing_class": 5}, "no-cell", ["1 ply, 6 in"]),
        ({"plies": 2, "inches": 2, "form": Form.ENDLESS}, "no-cell", ["1 ply, 2 in"]),
        ({"plies": 1, "inches": 2, "form": Form.ENDLESS, "webbing_class": 5}, "no-table", []),
        ({"plies": 2, "inches": 2, "form": Form.RETURN_EYE}, "no-table", []),
        ({"plies": 2, "inches": 2, "fibre": Fibre.POLYPROPYLENE}, "no-table", []),
        ({"plies": 2, "inches": 2, "webbing_class": 6}, "no-table", []),
    ],
)
def test_missing_cells_are_refused_with_the_nearest_rows(
    us: Rulebook, make_spec: Callable[..., SlingSpec], keywords: dict, reason: str, nearest: list[str]
) -> None:
    refusal = us.vertical_rated(make_spec(keywords.pop("plies"), **keywords))
    assert isinstance(refusal, Refusal)
    assert refusal.reason == reason
    assert [cell.cell for cell in refusal.nearest] == nearest
    assert refusal.citation.document


def test_en_refuses_what_is_not_in_the_series(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    for keywords in (
        {"plies": 1, "mm": 30},
        {"plies": 1, "mm": 90},
        {"plies": 2, "mm": 210},
        {"plies": 3, "mm": 60},
    ):
        refusal = en.vertical_rated(make_spec(keywords["plies"], mm=keywords["mm"]))
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "no-cell"
    wide_own = en.vertical_rated(make_spec(2, inches=2))
    assert isinstance(wide_own, Refusal)  # 50.8 mm is no width of the series
    for other in ({"webbing_class": 5}, {"fibre": Fibre.POLYPROPYLENE}, {"form": Form.RETURN_EYE}):
        refusal = en.vertical_rated(make_spec(2, mm=60, **other))
        assert isinstance(refusal, Refusal)
        assert refusal.reason == "no-table"


def test_shipped_tables_pass_their_own_gate(us: Rulebook, en: Rulebook) -> None:
    odd = set()
    for book in (us, en):
        for table in book.tables:
            assert book.gate.faults(table, table.id) == []
            odd |= {
                (table.id, cell.cell)
                for cell in table.cells.values()
                if book.gate.is_odd(cell, webbing_class=table.webbing_class, legs=table.legs)
            }
    # above .73 at two plies wider than 2 in, as printed in DOMAIN 2.2 and 2.3: .731, .809, .754, .754
    assert odd == {("us-class7-eye", "2 ply, 3 in")} | {
        ("us-class5-eye", f"2 ply, {w} in") for w in (3, 4, 6)
    }


@pytest.mark.parametrize(
    ("plies", "inches", "webbing_class", "printed"),
    # efficiencies printed in DOMAIN 2.2 and 2.3 to three places
    [
        (1, 1, 7, 0.816),
        (1, 8, 7, 0.753),
        (2, 4, 7, 0.702),
        (2, 12, 7, 0.572),
        (4, 6, 7, 0.653),
        (2, 6, 5, 0.754),
    ],
)
def test_efficiency_as_printed(
    us: Rulebook,
    make_spec: Callable[..., SlingSpec],
    plies: int,
    inches: int,
    webbing_class: int,
    printed: float,
) -> None:
    cell = us.vertical_rated(make_spec(plies, inches=inches, webbing_class=webbing_class))
    assert isinstance(cell, RatedCell)
    assert us.gate.efficiency(cell, webbing_class=webbing_class, legs=1) == pytest.approx(printed, abs=6e-4)


def test_endless_uses_two_strands(us: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = us.vertical_rated(make_spec(1, inches=1, form=Form.ENDLESS))
    assert isinstance(cell, RatedCell)
    # 3,200 lb x 5 over 2 x 9,800 lb
    assert us.gate.efficiency(cell, webbing_class=7, legs=2) == pytest.approx(0.8163, abs=1e-4)


def test_en_uses_two_thirds_of_class_seven(en: Rulebook, make_spec: Callable[..., SlingSpec]) -> None:
    cell = en.vertical_rated(make_spec(2, mm=30))
    assert isinstance(cell, RatedCell)
    # 7,000 kg over 2 x 30 mm x 9,800 lb/in = 10,500.4 kg
    assert en.gate.efficiency(cell, webbing_class=7, legs=1) == pytest.approx(0.66664, abs=1e-4)


def test_table_hash_tells_figures_apart(us: Rulebook, en: Rulebook) -> None:
    hashes = {t.sha256 for book in (us, en) for t in book.tables}
    assert len(hashes) == 4
    assert all(len(h) == 64 for h in hashes)
