"""What can be built: lofts by their limits, the grid of lengths, and refusals that say what would do."""

from __future__ import annotations

import dataclasses

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.shop import (
    Refusal,
    buildable,
    buildable_spec,
    end_fittings,
    grid_length_m,
    grid_steps,
    least_length_m,
    length_um,
    shop_widths_m,
    spec_for,
)
from slingwright.shop.space import loft_takes
from slingwright.sling import Fibre, Form
from slingwright.units import parse_length_m
from tests.shops import harrow_quay

SHOP = harrow_quay()
TWO_INCHES = 0.0508


def lofts_of(*make: object) -> list[str]:
    found = buildable(SHOP, *make)  # type: ignore[arg-type]
    assert not isinstance(found, Refusal)
    return [loft.id for loft in found]


@given(inches=st.integers(min_value=1, max_value=2000))
def test_grid_lengths_have_the_bits_of_lengths_read_from_a_file(inches: int) -> None:
    assert grid_length_m(SHOP, inches) == parse_length_m(f"{inches} in", "x")
    feet, rest = divmod(inches, 12)
    assert grid_length_m(SHOP, inches) == parse_length_m(f"{feet} ft {rest} in", "x")


def test_the_grid_holds_both_ends_and_nothing_beyond() -> None:
    steps = grid_steps(SHOP, parse_length_m("3 ft", "x"), parse_length_m("40 ft", "x"))
    assert (steps[0], steps[-1], len(steps)) == (36, 480, 445)
    assert list(grid_steps(SHOP, 0.9145, 0.9652)) == [37, 38]  # just above 36 in; 38 in exactly


def test_the_soonest_loft_comes_first() -> None:
    make = (Form.TWISTED_EYE, Fibre.POLYESTER, 7, 2, TWO_INCHES)
    assert lofts_of(*make, 3.0) == ["fell", "strand", "quay"]
    assert lofts_of(*make, 6.5) == ["strand", "quay"]  # over Fell's 20 ft
    assert lofts_of(*make, 10.0) == ["quay"]  # over Strand's 30 ft
    assert 48 * 0.0254 < 1.2192  # 4 ft, Strand's shortest: the last bit of a float decides nothing
    assert lofts_of(*make, 1.2192) == lofts_of(*make, 48 * 0.0254) == ["fell", "strand", "quay"]
    assert lofts_of(Form.TWISTED_EYE, Fibre.NYLON, 7, 2, TWO_INCHES, 3.0) == ["fell", "quay"]
    assert lofts_of(Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 2, TWO_INCHES, 3.0) == ["strand", "quay"]


@pytest.mark.parametrize(
    ("make", "code", "nearest"),
    [
        ((Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 0.127, 3.0), "webbing-not-kept", (0.12, 0.15)),
        ((Form.FLAT_EYE, Fibre.NYLON, 5, 1, 0.127, 3.0), "webbing-not-kept", (0.1016, 0.1524)),
        ((Form.FLAT_EYE, Fibre.POLYPROPYLENE, 7, 1, TWO_INCHES, 3.0), "webbing-not-kept", ()),
        ((Form.FLAT_EYE, Fibre.POLYESTER, 7, 3, TWO_INCHES, 3.0), "plies-not-built", (1.0, 2.0)),
        ((Form.RETURN_EYE, Fibre.POLYESTER, 7, 1, TWO_INCHES, 3.0), "form-not-sewn", ()),
        ((Form.TRIANGLE_CHOKER, Fibre.POLYESTER, 7, 1, 0.0254, 3.0), "no-fitting", ()),
        ((Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, TWO_INCHES, 0.965), "too-short", (0.9906,)),
        ((Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, TWO_INCHES, 20.0), "no-loft", (19.5072,)),
        ((Form.ENDLESS, Fibre.POLYESTER, 7, 1, TWO_INCHES, 0.8), "no-loft", (0.9144,)),
    ],
)
def test_a_refusal_names_what_would_do(
    make: tuple[object, ...], code: str, nearest: tuple[float, ...]
) -> None:
    found = buildable(SHOP, *make)  # type: ignore[arg-type]
    assert isinstance(found, Refusal)
    assert (found.code, found.nearest) == (code, pytest.approx(nearest, abs=1e-9))


def test_each_loft_gives_its_own_reason() -> None:
    found = buildable(SHOP, Form.ENDLESS, Fibre.NYLON, 7, 1, 0.1524, 20.0)
    assert isinstance(found, Refusal)
    assert dict(found.lofts) == {"quay": "long", "fell": "width", "strand": "form"}


def test_a_loft_is_asked_for_class_and_plies() -> None:
    assert lofts_of(Form.FLAT_EYE, Fibre.POLYESTER, 5, 2, TWO_INCHES, 3.0) == ["fell", "quay"]
    thin = tuple(dataclasses.replace(loft, max_plies=1) for loft in SHOP.lofts)
    shop = dataclasses.replace(SHOP, lofts=thin)
    found = buildable(shop, Form.FLAT_EYE, Fibre.POLYESTER, 5, 2, TWO_INCHES, 3.0)
    assert isinstance(found, Refusal)
    assert dict(found.lofts) == {"quay": "plies", "fell": "plies", "strand": "class"}


def test_least_lengths_by_hand() -> None:
    """DOMAIN 10 (derived, common practice): eyes, laps, a clear body of two widths that holds the label."""
    inch = 0.0254
    assert least_length_m(SHOP, Form.FLAT_EYE, 2 * inch, 1) == pytest.approx((20 + 14 + 5) * inch, abs=1e-9)
    assert least_length_m(SHOP, Form.FLAT_EYE, 6 * inch, 2) == pytest.approx((32 + 20 + 12) * inch, abs=1e-9)
    assert least_length_m(SHOP, Form.FLAT_EYE, 2 * inch, 1, 0.3) == pytest.approx(0.6 + 19 * inch, abs=1e-9)
    assert least_length_m(SHOP, Form.ENDLESS, 4 * inch, 1) == pytest.approx((9 + 8) * inch, abs=1e-9)
    triangles = (3 + 4.5) + 2 * 0.625 + 2 * 2 + 2 * 7 + 5  # reaches, bars, throats, laps, label
    assert least_length_m(SHOP, Form.TRIANGLE_CHOKER, 2 * inch, 1) == pytest.approx(
        triangles * inch, abs=1e-9
    )


def test_a_longer_eye_needs_a_longer_sling() -> None:
    spec = spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, TWO_INCHES, 1.0)
    longer = dataclasses.replace(spec, eye_m=0.3)
    assert not isinstance(buildable_spec(SHOP, spec), Refusal)
    found = buildable_spec(SHOP, longer)
    assert isinstance(found, Refusal)
    assert found.code == "too-short"


@given(
    form=st.sampled_from([f for f in Form if f is not Form.RETURN_EYE]),
    fibre=st.sampled_from([Fibre.POLYESTER, Fibre.NYLON]),
    width_m=st.sampled_from(shop_widths_m(SHOP, Fibre.NYLON, 7)),
    plies=st.sampled_from([1, 2]),
    inches=st.integers(min_value=10, max_value=520),
)
def test_what_is_buildable_fits_every_limit_and_what_is_not_has_a_reason(
    form: Form, fibre: Fibre, width_m: float, plies: int, inches: int
) -> None:
    length_m = grid_length_m(SHOP, inches)
    found = buildable(SHOP, form, fibre, 7, plies, width_m, length_m)
    if isinstance(found, Refusal):
        if found.nearest and found.unit == "m":  # the nearest is not itself refused for the same reason
            again = buildable(SHOP, form, fibre, 7, plies, width_m, found.nearest[0])
            assert not isinstance(again, Refusal) or again.code != found.code
        assert found.code in {"too-short", "no-loft", "no-fitting"}
        return
    spec = spec_for(SHOP, form, fibre, 7, plies, width_m, length_m)
    assert buildable_spec(SHOP, spec) == found
    assert (spec.eye_m > 0) == form.has_eyes
    assert [loft.days for loft in found] == sorted(loft.days for loft in found)
    for loft in SHOP.lofts:
        fits = loft.min_length_m <= length_m <= loft.max_length_m
        takes = form in loft.forms and fibre in loft.fibres and width_m <= loft.max_width_m
        assert (loft in found) == (fits and takes)
        assert loft_takes(loft, (form, fibre, 7, plies, width_m)) == takes


def test_an_eye_without_a_row_is_our_own_bug() -> None:
    with pytest.raises(LookupError, match="no eye row"):
        spec_for(SHOP, Form.FLAT_EYE, Fibre.POLYESTER, 7, 3, TWO_INCHES, 3.0)
    assert spec_for(SHOP, Form.ENDLESS, Fibre.POLYESTER, 7, 3, TWO_INCHES, 3.0).eye_m == 0.0


def test_fittings_come_in_pairs_or_not_at_all() -> None:
    pair = end_fittings(SHOP, Form.TRIANGLE_CHOKER, TWO_INCHES)
    assert pair is not None
    assert [str(f.kind) for f in pair] == ["triangle", "choker-triangle"]
    assert end_fittings(SHOP, Form.FLAT_EYE, TWO_INCHES) == ()
    assert end_fittings(SHOP, Form.TRIANGLE_TRIANGLE, 0.0254) is None
    assert length_um(0.0254) == 25_400


def test_a_width_computed_elsewhere_is_still_found() -> None:
    """6 × 0.0254 is not the float nearest 0.1524; a width is one to the micrometre."""
    assert 6 * 0.0254 != 0.1524
    assert SHOP.webbing(Fibre.POLYESTER, 7, 6 * 0.0254) is SHOP.webbing(Fibre.POLYESTER, 7, 0.1524)
    assert SHOP.eye_row(6 * 0.0254, 1) is SHOP.eye_row(0.1524, 1)
    assert SHOP.webbing(Fibre.POLYESTER, 7, 0.1525) is None
    assert lofts_of(Form.FLAT_EYE, Fibre.POLYESTER, 7, 1, 8 * 0.0254, 3.0) == ["strand", "quay"]
