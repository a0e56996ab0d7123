"""More of anything never makes the best worse (a stricter demand is the same read backwards).

It follows from the search being over a larger (smaller) set of candidates whose verdicts do not change, so no
source outside is needed; what it finds is a candidate lost or gained on the way.
"""

from __future__ import annotations

import copy
from collections.abc import Callable
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.choosing import SmallShop, small_shop
from tests.lifts import read_document

DRAWS = draw(3, samples=32)  # a property of any fixed set
FEW = small_shop(widths=("2 in",), forms=("twisted-eye",), fibres=("polyester",), plies=(1,))
FIBRES = small_shop(widths=("2 in",), forms=("twisted-eye",), fibres=("polyester", "nylon"), plies=(1,))
PLIES = small_shop(widths=("2 in",), forms=("twisted-eye",), fibres=("polyester",), plies=(1, 2))
WIDTHS = small_shop(widths=("2 in", "3 in"), forms=("twisted-eye",), fibres=("polyester",), plies=(1,))
FORMS = small_shop(widths=("2 in",), forms=("twisted-eye", "endless"), fibres=("polyester",), plies=(1,))

Doc = dict[str, Any]


@st.composite
def lifts(draw_: st.DrawFn) -> Doc:
    """A box with two to four lugs, its centre off the middle, its weight near what the small shop carries."""
    legs = draw_(st.integers(2, 4))
    long, wide, high = draw_(st.integers(60, 110)), draw_(st.integers(36, 60)), draw_(st.integers(24, 50))
    places = {2: ((1, 5), (9, 5)), 3: ((1, 1), (1, 9), (9, 5)), 4: ((1, 1), (9, 1), (9, 9), (1, 9))}[legs]
    raised = draw_(st.sampled_from((0, 0, 6)))
    picks = [
        {"name": "ABCD"[i], "pin": "1 in", "rated": "20,000 lb", "rated_at": "any angle",
         "at": [f"{x * long / 10} in", f"{y * wide / 10} in", f"{high + (raised if i == 0 else 0)} in"]}
        for i, (x, y) in enumerate(places)
    ]  # fmt: skip
    off = draw_(st.integers(-5, 5)) / 100
    return {
        "load": {
            "weight": f"{draw_(st.integers(1500, 4500)) * min(legs, 3)} lb", "known_by": "scale",
            "shape": "frame", "length": f"{long} in", "width": f"{wide} in", "height": f"{high} in",
            "centre_of_gravity": [f"{(0.5 + off) * long} in", f"{wide / 2} in", f"{high / 3} in"],
            "centre_tolerance": "1 in", "pick_point": picks, "surface_temperature": "70 °F",
        },
        "hook": {"headroom": f"{high + draw_(st.integers(40, 110))} in",
                 "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": f"{draw_(st.integers(15, 60)) / 10} deg",
                 "least_angle": f"{draw_(st.integers(40, 60))} deg",
                 "by": draw_(st.sampled_from(("price", "price", "weight", "delivery")))},
    }  # fmt: skip


def best(doc: Doc, shop: SmallShop) -> tuple[int, float]:
    """(grade, measure) of the best; (2, inf) where nothing fits."""
    lift = read_document(doc)
    setting = Setting(lift=lift, rulebook=load_rulebook("us"), shop=shop.shop, book=shop.book, draws=DRAWS)
    only = (lambda e: bool(e.stock)) if lift.want.stock_only else (lambda e: True)
    found = Search(setting).walk(lift.want.by, only=only).answer
    if found is None:
        return 2, float("inf")
    measures = {"price": found.candidate.price_minor, "delivery": found.candidate.days}
    return found.grade, measures.get(lift.want.by, round(found.candidate.mass_kg * 1_000_000))


def _room(doc: Doc, amount: int) -> None:
    doc["hook"]["headroom"] = f"{float(doc['hook']['headroom'].split()[0]) + amount} in"


def _tilt(doc: Doc, amount: int) -> None:
    doc["want"]["level_within"] = f"{float(doc['want']['level_within'].split()[0]) + amount / 10} deg"


def _angle(doc: Doc, amount: int) -> None:
    doc["want"]["least_angle"] = f"{float(doc['want']['least_angle'].split()[0]) - amount / 3} deg"


LOOSER: dict[str, Callable[[Doc, int], None]] = {"room": _room, "tilt": _tilt, "angle": _angle}
MORE = {"fibres": FIBRES, "plies": PLIES, "widths": WIDTHS, "forms": FORMS}


@settings(max_examples=200, deadline=None)
@given(lifts(), st.sampled_from([*LOOSER, *MORE, "made"]), st.integers(1, 30))
def test_more_of_anything_never_makes_the_best_worse(doc: Doc, what: str, amount: int) -> None:
    more = copy.deepcopy(doc)
    if what in LOOSER:
        LOOSER[what](more, amount)
    if what == "made":
        doc["want"]["stock_only"] = True
    assert best(more, MORE.get(what, FEW)) <= best(doc, FEW)
