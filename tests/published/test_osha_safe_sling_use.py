"""OSHA, Guidance on Safe Sling Use, Table 1 (alloy steel chain, grade 80; osha.gov/safe-sling-use).

Chain, not web: the table is here for its leg rule and its rounding, which are the same trigonometry. Printed
to 100 lb, "not always nearest" (31,350 is printed 31,300): tolerance 100 lb. Rows 4,500, 18,100 and 72,300
were read (WE10 to WE13 of the check values); the other rows are from memory of the same table.
"""

from __future__ import annotations

from collections.abc import Callable

import pytest

from slingwright.rulebook import RatedCell, Rating
from slingwright.rulebook.rate import RateRules
from slingwright.sling import Hitch

LB_N = 4.4482216152605

# leg rated load, two legs at 60 / 45 / 30 deg from the horizontal, three (and four) legs at 60 / 45 / 30 [lb]
TABLE_1 = [
    (2_100, (3_600, 3_000, 2_100), (5_500, 4_400, 3_200)),
    (3_500, (6_100, 4_900, 3_500), (9_100, 7_400, 5_200)),
    (4_500, (7_800, 6_400, 4_500), (11_700, 9_500, 6_800)),
    (7_100, (12_300, 10_000, 7_100), (18_400, 15_100, 10_600)),
    (12_000, (20_800, 17_000, 12_000), (31_200, 25_500, 18_000)),
    (18_100, (31_300, 25_600, 18_100), (47_000, 38_400, 27_100)),
    (28_300, (49_000, 40_000, 28_300), (73_500, 60_000, 42_400)),
    (34_200, (59_200, 48_400, 34_200), (88_900, 72_500, 51_300)),
    (47_700, (82_600, 67_400, 47_700), (123_900, 101_200, 71_500)),
    (72_300, (125_200, 102_200, 72_300), (187_800, 153_400, 108_400)),
]
CASES = [
    (leg, legs, angle, printed)
    for leg, two, three in TABLE_1
    for legs, row in ((2, two), (3, three), (4, three))
    for angle, printed in zip((60.0, 45.0, 30.0), row, strict=True)
]


@pytest.mark.parametrize(("leg", "legs", "angle_deg", "printed"), CASES)
def test_table_1(
    by_the_pound: RateRules,
    printed_leg: Callable[..., RatedCell],
    leg: int,
    legs: int,
    angle_deg: float,
    printed: int,
) -> None:
    rating = by_the_pound.rate(
        printed_leg(str(leg)), Hitch.VERTICAL, choke=None, angle_deg=angle_deg, wraps=1, legs=legs
    )
    assert isinstance(rating, Rating)
    assert rating.rated_n / LB_N == pytest.approx(printed, abs=100)
