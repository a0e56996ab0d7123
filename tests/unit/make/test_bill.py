"""Bills by hand and by conservation: webbing of the bill is webbing of the pattern."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.make.bill import Bill, bill
from slingwright.make.pattern import Pattern, pattern
from slingwright.shop import Protection, Refusal, spec_for
from slingwright.sling import Fibre, Form, SlingSpec
from tests.shops import harrow_quay

SHOP = harrow_quay()
INCH = 0.0254


def billed(spec: SlingSpec, protection: Protection = Protection.NONE, *, made: bool = True) -> Bill:
    found = bill(spec, protection, SHOP, made=made)
    assert isinstance(found, Bill)
    return found


def test_a_flat_eye_sling_by_hand() -> None:
    """2 in, 1 ply, 10 ft of polyester class 7, from Harrow Quay's own figures.

    Seam: ceil(0.0508 × 120) = 7 rows × 2 laps × 177.8 mm = 2489.2 mm; thread × 3.2 = 7965.44 mm.
    Work: 420 + 60 + 2 × 180 + 120 + 240 + ceil(2.4892 × 40) = 1300 s.
    Mass: 3.940 m × 3.2 × 0.0508 + 7.966 m × 0.5 g + 10 g = 0.654468 kg.
    """
    found = billed(spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 120 * INCH))
    assert (found.webbing_mm, found.thread_mm, found.labour_s, found.pieces) == (3940, 7966, 1300, 1)
    assert found.mass_kg == pytest.approx(3.940 * 3.2 * 0.0508 + 7.966 * 0.0005 + 0.010, abs=1e-12)
    assert found.labour_min == pytest.approx(21.6667, abs=1e-4)
    assert (found.guard, found.guard_pieces, found.labels, found.fittings) == (None, 0, 1, ())


def test_plies_pads_and_twists_are_work() -> None:
    """4 in, 2 ply, 10 ft twisted: 13 rows × 2 × 228.6, pads 2 × 2 × 203.2, body 2 × (3048 − 2 × 304.8) mm."""
    found = billed(spec_for(SHOP, Form.TWISTED_EYE, Fibre.POLYESTER, 7, 2, 4 * INCH, 120 * INCH))
    seam_m = 13 * 2 * 0.2286 + 2 * 2 * 0.2032 + 2 * (3.048 - 0.6096)
    assert found.thread_mm == -int(-seam_m * 3200 // 1)
    assert found.labour_s == 420 + 4 * 60 + 2 * 180 + 2 * 45 + 120 + 240 - int(-seam_m * 40 // 1)
    assert found.pieces == 4


def test_fittings_and_protection_have_mass() -> None:
    spec = spec_for(SHOP, Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 2, 4 * INCH, 120 * INCH)
    bare, sleeved = billed(spec), billed(spec, Protection.WEAR_SLEEVE)
    assert [str(f.kind) for f in bare.fittings] == ["triangle", "choker-triangle"]
    assert bare.mass_kg > 1.7 + 3.0  # the two fittings alone
    assert sleeved.guard_pieces == 2
    assert sleeved.mass_kg - bare.mass_kg == pytest.approx(2 * 0.6096 * 4 * INCH * 2.4, abs=1e-12)
    four = bill(spec, Protection.WEAR_SLEEVE, SHOP, guard_pieces=4)
    assert isinstance(four, Bill)
    assert four.mass_kg - bare.mass_kg == pytest.approx(4 * 0.6096 * 4 * INCH * 2.4, abs=1e-12)


def test_a_sling_on_the_shelf_is_billed_whatever_its_length() -> None:
    spec = spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH, 0.8)
    refused = bill(spec, Protection.NONE, SHOP)
    assert isinstance(refused, Refusal)
    assert refused.code == "too-short"
    assert billed(spec, made=False).webbing_mm < billed(spec_for(SHOP, *MAKE, 1.0)).webbing_mm
    for sling in SHOP.stock:
        assert billed(sling.spec, made=False).mass_kg > 0.1


MAKE = (Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 2 * INCH)


def test_protection_the_shop_cannot_give_is_refused() -> None:
    spec = spec_for(SHOP, *MAKE, 3.0)
    without = dataclasses.replace(SHOP, guards=())
    found = bill(spec, Protection.CUT_SLEEVE, without)
    assert isinstance(found, Refusal)
    assert (found.code, found.subject) == ("protection-not-sold", "cut-sleeve")
    narrow = tuple(dataclasses.replace(guard, max_width_m=0.05) for guard in SHOP.guards)
    tight = dataclasses.replace(SHOP, guards=narrow)
    found = bill(spec, Protection.CUT_SLEEVE, tight)
    assert isinstance(found, Refusal)
    assert (found.code, found.limit) == ("protection-too-wide", 0.05)


@given(
    form=st.sampled_from([f for f in Form if f is not Form.RETURN_EYE]),
    width_m=st.sampled_from([k * 254 / 10_000 for k in (2, 3, 4, 6, 8, 10, 12)]),
    plies=st.sampled_from([1, 2]),
    lengths_um=st.tuples(*[st.integers(min_value=3_000_000, max_value=12_192_000)] * 2),
)
def test_bill_and_pattern_use_the_same_webbing_and_grow_with_length(
    form: Form, width_m: float, plies: int, lengths_um: tuple[int, int]
) -> None:
    short_m, long_m = sorted(um / 1e6 for um in lengths_um)
    short, long = (spec_for(SHOP, form, Fibre.NYLON, 7, plies, width_m, x) for x in (short_m, long_m))
    for spec in (short, long):
        flat = pattern(spec, SHOP)
        assert isinstance(flat, Pattern)
        assert flat.webbing_mm == billed(spec).webbing_mm
        assert sum(piece.count for piece in flat.pieces) == billed(spec).pieces
    for figure in ("webbing_mm", "thread_mm", "labour_s", "mass_kg"):
        assert getattr(billed(short), figure) <= getattr(billed(long), figure)
