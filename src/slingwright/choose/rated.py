"""The limits of a candidate's slings, straight from the rulebook (PRACTICE: two checks, both must pass)."""

from __future__ import annotations

import math
from dataclasses import dataclass

from slingwright.arrangement import Arrangement, Holding
from slingwright.rulebook import Choke, RatedCell, Refusal, Rulebook
from slingwright.sling import Hitch, SlingSpec

__all__ = ["SlingRated", "hitch_rated_at", "rate_slings"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingRated:
    """One sling's rated figures. `upright_n` is its hitch rating with every part vertical."""

    cell: RatedCell
    spec: SlingSpec
    hitch: Hitch
    part_limit_n: float
    upright_n: float
    choke: Choke | None
    choke_factor: float | None


def rate_slings(
    arrangement: Arrangement, spec: SlingSpec, rulebook: Rulebook, choke: Choke
) -> tuple[SlingRated, ...] | Refusal:
    """Rate one specification in every hitch of the arrangement, or say why it has no rating."""
    cell = rulebook.vertical_rated(spec)
    if isinstance(cell, Refusal):
        return cell
    out: list[SlingRated] = []
    for holding in arrangement.holdings:
        one = _rate(holding, spec, rulebook, cell, choke)
        if isinstance(one, Refusal):
            return one
        out.append(one)
    return tuple(out)


def _rate(
    holding: Holding, spec: SlingSpec, rulebook: Rulebook, cell: RatedCell, choke: Choke
) -> SlingRated | Refusal:
    mine, factor = None, None
    if holding.hitch is Hitch.CHOKER:
        band = rulebook.choke_band(choke.state, choke.angle_deg)
        if isinstance(band, Refusal):
            return band
        mine, factor = choke, band.value
    limit = rulebook.part_limit_n(spec, holding.hitch, mine)
    upright = rulebook.hitch_rated_n(spec, holding.hitch, mine, 90.0)
    if isinstance(limit, Refusal):
        return limit
    if isinstance(upright, Refusal):
        return upright
    return SlingRated(
        cell=cell,
        spec=spec,
        hitch=holding.hitch,
        part_limit_n=limit.value,
        upright_n=upright.value,
        choke=mine,
        choke_factor=factor,
    )


def hitch_rated_at(rulebook: Rulebook, rated: SlingRated, flatter_angle_from_horizontal_deg: float) -> float:
    """The sling's hitch rating [N] with its flatter side at this angle.

    Where the regime prints no factor for so flat a basket, the sine of the angle stands in; such an
    angle is a stop of its own.
    """
    if rated.hitch is not Hitch.BASKET:
        return rated.upright_n
    at = rulebook.rules.basket_rated_n(rated.cell, flatter_angle_from_horizontal_deg)
    if isinstance(at, Refusal):
        return rated.upright_n * math.sin(math.radians(max(flatter_angle_from_horizontal_deg, 0.0)))
    return at.value
