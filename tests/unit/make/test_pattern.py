"""Patterns by conservation: the flat pieces, folded by hand here, give back length, eyes and plies."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.make.pattern import Pattern, Piece, pattern, pattern_name
from slingwright.shop import Refusal, buildable, grid_length_m, least_length_m, shop_widths_m, spec_for
from slingwright.sling import Fibre, Form, SlingSpec
from tests.shops import document, harrow_quay

SHOP = harrow_quay()
INCH = 0.0254
TRIM_M = 2 * 0.25 * INCH  # both ends of a piece, as the file says
TWIST = 0.05  # of the width, on each side of a twisted eye, as the file says
TRIANGLES = (Form.TRIANGLE_CHOKER, Form.TRIANGLE_TRIANGLE)
FORMS = (Form.FLAT_EYE, Form.TWISTED_EYE, Form.ENDLESS, *TRIANGLES)
FITTED = {fitting.width_m for fitting in SHOP.sewing.fittings}


def cut(spec: SlingSpec) -> Pattern:
    found = pattern(spec, SHOP)
    assert isinstance(found, Pattern)
    return found


@st.composite
def specs(draw: st.DrawFn, forms: tuple[Form, ...] = FORMS) -> SlingSpec:
    """A sling that Harrow Quay can lay out, any length to a tenth of a millimetre."""
    form = draw(st.sampled_from(forms))
    fibre = draw(st.sampled_from([Fibre.POLYESTER, Fibre.NYLON]))
    webbing_class, plies = draw(st.sampled_from([5, 7])), draw(st.sampled_from([1, 2]))
    kept = shop_widths_m(SHOP, fibre, webbing_class)
    width_m = draw(st.sampled_from([w for w in kept if form not in TRIANGLES or w in FITTED]))
    length_m = draw(st.integers(min_value=30_000, max_value=121_900)) / 10_000
    return spec_for(SHOP, form, fibre, webbing_class, plies, width_m, length_m)


def arc(centre_y: float, radius: float, from_deg: float, to_deg: float) -> list[tuple[float, float]]:
    """An arc about a point on the sling's axis in many short chords."""
    turns = [math.radians(from_deg + (to_deg - from_deg) * k / 400) for k in range(401)]
    return [(radius * math.cos(a), centre_y + radius * math.sin(a)) for a in turns]


def way_round(radius: float, west_y: float, east_y: float, back: float) -> float:
    """Length of a ply's middle surface: back leg, half turn, body, half turn, back leg; in chords."""
    way = [(radius, west_y + back), *arc(west_y, radius, 0, -180), *arc(east_y, radius, 180, 0)]
    way.append((radius, east_y - back))
    return sum(math.dist(a, b) for a, b in itertools.pairwise(way))


def folded_m(spec: SlingSpec, piece: Piece) -> float:
    """What a piece must measure between its trims, from the finished sling alone."""
    row = SHOP.eye_row(spec.width_m, spec.plies)
    webbing = SHOP.webbing(spec.fibre, spec.webbing_class, spec.width_m)
    assert row is not None
    assert webbing is not None
    t = webbing.thickness_m
    if spec.form is Form.ENDLESS:  # wound on itself: each turn lies on the one before
        turns = (way_round((ply + 0.5) * t, 0, spec.length_m, spec.length_m / 2) for ply in range(spec.plies))
        return sum(turns) + row.lap_m
    if spec.form.has_eyes:
        folds = round(spec.width_m / (row.taper_width_m or spec.width_m))
        inside = piece.ply + bool(row.pad_m)
        twist = 4 * TWIST * spec.width_m if spec.form is Form.TWISTED_EYE else 0.0
        return way_round((inside + 0.5) * folds * t, 0, spec.length_m, spec.eye_m + row.lap_m) + twist
    west, east = cut(spec).fittings
    assert west.bar_m == east.bar_m  # at Harrow Quay, so that one radius serves both ends
    ends = west.reach_m + west.bar_m / 2, spec.length_m - east.reach_m - east.bar_m / 2
    return way_round(west.bar_m / 2 + (piece.ply + 0.5) * t, *ends, 2 * INCH + row.lap_m)


@given(spec=specs())
def test_a_sling_folded_by_hand_uses_the_webbing_that_was_cut(spec: SlingSpec) -> None:
    plies = [piece for piece in cut(spec).pieces if piece.role != "eye-pad"]
    assert [piece.ply for piece in plies] == ([0] if spec.form is Form.ENDLESS else list(range(spec.plies)))
    for piece in plies:
        spare = piece.cut_mm / 1000 - folded_m(spec, piece) - TRIM_M
        assert -2e-5 < spare < 1.02e-3  # up to the next whole millimetre, never short


@given(spec=specs((Form.FLAT_EYE, Form.TWISTED_EYE)))
def test_the_floors_marks_give_back_length_and_eyes(spec: SlingSpec) -> None:
    twist = TWIST * spec.width_m if spec.form is Form.TWISTED_EYE else 0.0
    for piece in cut(spec).pieces:
        if piece.role != "ply":
            continue
        names = [stretch.name for stretch in piece.stretches]
        assert names == ["trim", "lap", "eye", "crown", "body", "crown", "eye", "lap", "trim"]
        lengths = [stretch.length_um / 1e6 for stretch in piece.stretches]
        assert lengths[4] - 2 * twist == pytest.approx(spec.length_m, abs=3e-6)
        assert lengths[2] - twist == pytest.approx(spec.eye_m, abs=3e-6)
        assert lengths[2:4] == lengths[6:4:-1]  # both ends alike


@given(spec=specs())
def test_stretches_add_up_to_what_is_cut(spec: SlingSpec) -> None:
    found = cut(spec)
    for piece in found.pieces:
        assert sum(stretch.length_um for stretch in piece.stretches) == 1000 * piece.cut_mm
        assert all(stretch.length_um > 0 for stretch in piece.stretches)
    assert found.webbing_mm == sum(piece.count * piece.cut_mm for piece in found.pieces)


def test_a_flat_eye_sling_by_hand() -> None:
    """2 in, 1 ply, 10 ft: 3048 + 2 × (254 eye + 177.8 lap + 7.48 turn + 6.35 trim) = 3939.26 mm."""
    found = cut(spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 120 * INCH))
    assert [(p.role, p.count, p.cut_mm) for p in found.pieces] == [("ply", 1, 3940)]
    assert (found.taper_width_m, found.layers_at_crown, found.lap_rows, found.body_rows) == (None, 1, 7, 0)


def test_a_two_ply_endless_sling_by_hand() -> None:
    """2 in, 2 ply, 6 ft: 4 × 1828.8 + π (4.7625 + 3 × 4.7625) + 177.8 lap + 12.7 trim = 7565.55 mm."""
    found = cut(spec_for(SHOP, Form.ENDLESS, Fibre.POLYESTER, 7, 2, 2 * INCH, 72 * INCH))
    assert [(p.role, p.cut_mm) for p in found.pieces] == [("loop", 7566)]


def test_a_triangle_sling_by_hand() -> None:
    """4 in, 1 ply, 8 ft: 25.4 × (96 − 12 1/2 − 7/8 + 22 + 1/2) + 2 π (11.1125 + 2.38125) = 2754.96 mm."""
    found = cut(spec_for(SHOP, Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 1, 4 * INCH, 96 * INCH))
    straight = 96 - 12.5 - 0.875 + 2 * (2 + 9) + 0.5
    by_hand_mm = 25.4 * straight + 2 * math.pi * (25.4 * 7 / 16 + 4.7625 / 2)
    assert [p.cut_mm for p in found.pieces] == [math.ceil(by_hand_mm)] == [2755]


def test_a_wide_eye_is_folded_and_padded() -> None:
    """12 in folded to a third: three layers at the crown; pads of 14 in and two trims, one an eye."""
    found = cut(spec_for(SHOP, Form.TWISTED_EYE, Fibre.NYLON, 7, 2, 12 * INCH, 240 * INCH))
    assert (found.taper_width_m, found.layers_at_crown) == (pytest.approx(4 * INCH), 3)
    pad = found.pieces[-1]
    assert (pad.role, pad.count, pad.cut_mm) == ("eye-pad", 2, math.ceil(14.5 * 25.4))


def test_the_shortest_sling_is_cut_and_a_shorter_one_refused() -> None:
    for form in FORMS:
        least = least_length_m(SHOP, form, 4 * INCH, 2)
        assert not isinstance(least, Refusal)
        spec = spec_for(SHOP, form, Fibre.POLYESTER, 7, 2, 4 * INCH, least)
        assert cut(spec).least_length_m == least
        shorter = spec_for(SHOP, form, Fibre.POLYESTER, 7, 2, 4 * INCH, least - 2e-6)
        found = pattern(shorter, SHOP)
        assert isinstance(found, Refusal)
        assert (found.code, found.limit, found.nearest) == ("too-short", least, (least,))


@pytest.mark.parametrize(
    ("spec", "code"),
    [
        (spec_for(SHOP, Form.RETURN_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 3.0), "form-not-sewn"),
        (spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYPROPYLENE, 7, 1, 2 * INCH, 3.0), "webbing-not-kept"),
        (spec_for(SHOP, Form.ENDLESS, Fibre.POLYESTER, 7, 3, 2 * INCH, 3.0), "no-eye-row"),
        (spec_for(SHOP, Form.TRIANGLE_TRIANGLE, Fibre.POLYESTER, 7, 1, 1 * INCH, 3.0), "no-fitting"),
    ],
)
def test_what_cannot_be_laid_out_says_why(spec: SlingSpec, code: str) -> None:
    found = pattern(spec, SHOP)
    assert isinstance(found, Refusal)
    assert found.code == code


def test_the_file_says_what_these_tests_took_from_it() -> None:
    sewing = document("shop.toml")["sewing"]
    assert (sewing["end_trim"], sewing["twist"], sewing["throat"]) == ("1/4 in", TWIST, "2 in")


@given(spec=specs(), steps=st.integers(min_value=1, max_value=50))
def test_a_longer_sling_never_takes_less_webbing(spec: SlingSpec, steps: int) -> None:
    longer = spec_for(
        SHOP,
        spec.form,
        spec.fibre,
        spec.webbing_class,
        spec.plies,
        spec.width_m,
        spec.length_m + steps * INCH,
    )
    assert cut(longer).webbing_mm > cut(spec).webbing_mm


@given(spec=specs(), inches=st.integers(min_value=36, max_value=480))
def test_whatever_a_loft_builds_can_be_laid_out(spec: SlingSpec, inches: int) -> None:
    make = (spec.form, spec.fibre, spec.webbing_class, spec.plies, spec.width_m)
    length_m = grid_length_m(SHOP, inches)
    found = pattern(spec_for(SHOP, *make, length_m), SHOP)
    if isinstance(buildable(SHOP, *make, length_m), Refusal):
        assert not isinstance(found, Refusal) or found.code == "too-short"
    else:
        assert isinstance(found, Pattern)


def test_a_pattern_is_named_by_everything_but_its_length() -> None:
    make = (Form.TWISTED_EYE, Fibre.POLYESTER, 7, 2, 2 * INCH)
    short, long = spec_for(SHOP, *make, 2.0), spec_for(SHOP, *make, 9.0)
    assert pattern_name(short) == pattern_name(long) == "twisted-eye/polyester/7/2p/0.0508/0.2540"
