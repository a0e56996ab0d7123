"""The eye's angle over a bar, against DOMAIN 3.3 (derived there): 3.5 d gives 19.2°, 3.0 d gives 23.1°."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from slingwright.check import run_checks
from slingwright.check.eye_fit import eye_angle_deg
from slingwright.citation import Cited
from slingwright.rulebook import load_rulebook
from tests.unit.check.rule_cases import CLEAN


@pytest.mark.parametrize(("ratio", "printed"), [(3.5, 19.2), (3.0, 23.1), (3.38, 20.0)])
def test_printed_angles(ratio: float, printed: float) -> None:
    assert eye_angle_deg(ratio * 0.05, 0.05) == pytest.approx(printed, abs=0.05)


def test_bar_that_just_fits_and_bar_that_does_not() -> None:
    assert eye_angle_deg(1.0, 1.0) == pytest.approx(180.0)
    assert eye_angle_deg(0.999, 1.0) is None
    assert eye_angle_deg(0.5, 1.0) is None


@given(st.floats(0.1, 2.0), st.floats(0.005, 0.09), st.floats(1.01, 3.0))
def test_thicker_bar_opens_the_eye_more(eye_m: float, bar_m: float, thicker: float) -> None:
    thin, thick = eye_angle_deg(eye_m, bar_m), eye_angle_deg(eye_m, bar_m * thicker)
    assert thin is not None
    assert thick is None or thick > thin


@pytest.mark.parametrize(
    ("name", "value", "detail"),
    [
        ("max_eye_angle_deg", 12.0, "too-short-for-hook"),
        ("max_eye_angle_deg", None, "fits-hook"),
        ("elsewhere_eye_angle_deg", 12.0, "wide-for-others-hook"),
    ],
)
def test_angle_alone_can_decide(name: str, value: float | None, detail: str) -> None:
    """The clean lift's eye, 0.25 m on 0.05 m, opens 2 asin(0.025 / 0.225) = 12.76°; None: exactly that."""
    exact = eye_angle_deg(0.25, 0.05)
    assert exact == pytest.approx(12.76, abs=0.005)
    book = load_rulebook("us")
    limit = Cited(exact if value is None else value, book.limit("eye_to_hook_ratio").citation)
    strict = replace(book, limits={**book.limits, name: limit})
    found = {f.detail for f in run_checks(CLEAN, strict) if f.rule == "eye-fit" and f.subject == "A"}
    assert detail in found
