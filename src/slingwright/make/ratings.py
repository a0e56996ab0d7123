"""One sling's rated loads in every hitch and at every angle that its papers print."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.rulebook import Choke, ChokeState, Rating, Refusal, Rulebook
from slingwright.shop import Refusal as ShopRefusal
from slingwright.shop import Shop, end_fittings
from slingwright.sling import Hitch, SlingSpec

__all__ = ["HitchLoad", "hitch_loads", "weak_fitting"]

_BASKET_ANGLES_DEG = (90.0, 60.0, 45.0, 30.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class HitchLoad:
    """A rated load. A basket has the angle of its flatter side; a choker's choke hangs free."""

    hitch: Hitch
    angle_from_horizontal_deg: float | None
    rating: Rating


def hitch_loads(rulebook: Rulebook, spec: SlingSpec) -> tuple[HitchLoad, ...] | Refusal:
    """Rate a sling straight, in a choker (if it may choke) and in a basket at the angles papers print.

    A cell that rests on one series is refused until its table is adopted (`one-series`).
    """
    straight = rulebook.rate(spec, Hitch.VERTICAL)
    if isinstance(straight, Refusal):
        return straight
    if not straight.cell.proposable:
        return Refusal(reason="one-series", citation=straight.citation, nearest=(straight.cell,))
    found = [HitchLoad(hitch=Hitch.VERTICAL, angle_from_horizontal_deg=None, rating=straight)]
    choked = rulebook.rate(spec, Hitch.CHOKER, choke=Choke(state=ChokeState.FREE))
    if isinstance(choked, Rating):
        found.append(HitchLoad(hitch=Hitch.CHOKER, angle_from_horizontal_deg=None, rating=choked))
    for angle_deg in _BASKET_ANGLES_DEG:
        basket = rulebook.rate(spec, Hitch.BASKET, angle_from_horizontal_deg=angle_deg)
        if isinstance(basket, Rating):
            found.append(HitchLoad(hitch=Hitch.BASKET, angle_from_horizontal_deg=angle_deg, rating=basket))
    return tuple(found)


def weak_fitting(shop: Shop, spec: SlingSpec, vertical_rated_n: float) -> ShopRefusal | None:
    """Refuse an end fitting rated below its sling (DOE-STD-1090-96 11.3.5 c: as strong as the sling)."""
    for fitting in end_fittings(shop, spec.form, spec.width_m) or ():
        if fitting.rated_n < vertical_rated_n:
            return ShopRefusal(
                code="fitting-too-weak", figure=fitting.rated_n, limit=vertical_rated_n, unit="N",
                subject=str(fitting.kind),
            )  # fmt: skip
    return None
