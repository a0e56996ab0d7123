"""Every figure of a leg in words: what hangs on it as told and at worst, what it is good for, the rule's own.

The table leg by leg is the drawing's twin for who cannot see it; a leg's own list is what a page shows when
the leg is touched. Both are made here, so that they cannot differ.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from slingwright.choose.offer import Case, Offer, OfferSling
from slingwright.hang.result import PathHang
from slingwright.papers.legs import checked_cells
from slingwright.units import Rounding, Units
from slingwright.words import (
    hitch_name,
    leg_name,
    read_catalogue,
    show_load,
    spec_text,
)
from slingwright.words.catalogue import in_both
from slingwright.words.figures import show_angle

__all__ = ["LegFigures", "leg_anchors", "leg_figures", "rule_text"]

_PLAIN = re.compile(r"[A-Za-z0-9]{1,24}")
_PULLS = ("stiff", "soft", "worst")


@dataclass(frozen=True, slots=True, kw_only=True)
class LegFigures:
    """One leg: `cells` is its row of the table, `facts` its own list of (what, figure)."""

    name: str
    anchor: str
    cells: Sequence[str]
    facts: Sequence[tuple[str, str]]


def leg_anchors(offer: Offer) -> Mapping[str, str]:
    """A name for each leg that can stand in a link, whatever somebody called it: "leg-A", or "leg.3"."""
    names = [path.name for path in _case(offer, "stiff").problem.paths]
    return {name: f"leg-{name}" if _PLAIN.fullmatch(name) else f"leg.{i}" for i, name in enumerate(names)}


def leg_figures(
    offer: Offer, units: Units, *, case: str = "stiff", language: str = "en"
) -> tuple[Sequence[str], Sequence[LegFigures]]:
    """The table's head and the legs of an offer as it hangs in one of its cases.

    Pulls stand for the told state at both ends of the stretch range and for the worst case; the angles are
    those of the case drawn, and the head says so.

    Raises
    ------
    LookupError
        The offer has no such case.
    """
    words = read_catalogue(language)
    drawn, anchors = _case(offer, case), leg_anchors(offer)
    pulls = {name: {p.name: p for p in c.result.paths} for name in _PULLS if (c := offer.case(name))}
    label = {**words.sections["leg-figures"], "worst": _worst_head(offer, language)}
    heads = [
        label["name"],
        *(words.fill("leg-figures", "drawn", what=label[n]) if n == case else label[n] for n in pulls),
        label["horizontal"],
        label["vertical"],
    ]
    checks = [label[k] for k in ("design", "limit", "hitch-load", "hitch-rated", "share", "governed")]
    legs, told = list[LegFigures](), set[int]()
    for path, hang in zip(drawn.problem.paths, drawn.result.paths, strict=True):
        sling = offer.slings[path.sling]
        own = [
            *(_pull(found.get(hang.name), units, language) for found in pulls.values()),
            show_angle(hang.angle_from_horizontal_deg, language=language),
            show_angle(hang.angle_from_vertical_deg, language=language),
        ]
        checked = checked_cells(sling, units, language)
        blank_or_checked = [""] * len(checked) if path.sling in told else checked
        rows = [*zip(heads[1:], own, strict=True), *zip(checks, checked, strict=True)]
        legs.append(
            LegFigures(
                name=leg_name(hang.name, language=language),
                anchor=anchors[hang.name],
                cells=[leg_name(hang.name, language=language), *own, *blank_or_checked],
                facts=[
                    (label["sling"], _sling_text(sling, units, language)),
                    *rows,
                    *_rule_row(offer, hang.name, units, language),
                ],
            )
        )
        told.add(path.sling)
    return [*heads, *checks], legs


def _worst_head(offer: Offer, language: str) -> str:
    """Which case the column of the worst one shows: another leg may pull harder in another."""
    words, worst = read_catalogue(language), offer.case("worst")
    if worst is None or len(worst.result.paths) == 1:
        return words.word("leg-figures", "worst")
    hardest = max(worst.result.paths, key=lambda path: path.tension_n)
    return words.fill("leg-figures", "worst-of", leg=leg_name(hardest.name, language=language))


def rule_text(offer: Offer, units: Units, *, language: str = "en") -> str:
    """The rule's figure beside the hardest pulled leg of the cases that the offer keeps; "" without a rule.

    The hardest leg is looked for here: where the rule governs all legs alike, the offer's own comparison
    names the first of them.
    """
    if _rule_n(offer) is None or offer.rule_against_hang is None:
        return ""
    return in_both(language, lambda one: _rule_text(offer, units, one))


def _rule_text(offer: Offer, units: Units, language: str) -> str:
    rule_n = _rule_n(offer)
    assert rule_n is not None
    assert offer.rule_against_hang is not None
    most_n, leg = max((n, leg) for leg, n in _largest(offer).items())
    return read_catalogue(language).fill(
        "leg-figures",
        "rule-all-short" if most_n > rule_n else "rule-all-covers",
        leg=leg_name(leg, language=language),
        rule=show_load(rule_n, units, rounding=Rounding.UP, language=language),
        truth=show_load(most_n, units, rounding=Rounding.UP, language=language),
        source=str(offer.rule_against_hang.citation),
    )


def _rule_row(offer: Offer, leg: str, units: Units, language: str) -> list[tuple[str, str]]:
    """The rule's figure, the same for every leg, against this leg's own largest pull as the lift is told."""
    rule_n = _rule_n(offer)
    if rule_n is None:
        return []
    most_n, words = _largest(offer)[leg], read_catalogue(language)
    text = words.fill(
        "leg-figures",
        "rule-leg-short" if most_n > rule_n else "rule-leg-covers",
        rule=show_load(rule_n, units, rounding=Rounding.UP, language=language),
        truth=show_load(most_n, units, rounding=Rounding.UP, language=language),
    )
    return [(words.word("leg-figures", "rule"), text)]


def _rule_n(offer: Offer) -> float | None:
    """What the rule counts on each leg [N]; None where it counts not the same on all."""
    kinds = {(sling.role, sling.hitch) for sling in offer.slings}
    return offer.rule_against_hang.rule_n if offer.rule_against_hang and len(kinds) == 1 else None


def _largest(offer: Offer) -> dict[str, float]:
    """Each leg's largest pull [N] over the cases kept, but for legs fitted in a wrong order."""
    found = dict[str, float]()
    for case in offer.cases:
        if not case.name.startswith("swap"):
            for path in case.result.paths:
                found[path.name] = max(found.get(path.name, 0.0), path.tension_n)
    return found


def _sling_text(sling: OfferSling, units: Units, language: str) -> str:
    hitch = hitch_name(sling.hitch, sling.wraps, language=language)
    return f"{sling.id}: {spec_text(sling.spec, units, language=language)}; {hitch}"


def _pull(hang: PathHang | None, units: Units, language: str) -> str:
    if hang is None:
        return ""
    if hang.slack:
        return read_catalogue(language).word("drawing", "slack-word")
    return show_load(hang.tension_n, units, language=language)


def _case(offer: Offer, name: str) -> Case:
    found = offer.case(name)
    if found is None:
        msg = f"the offer has no case {name!r}; it has {', '.join(c.name for c in offer.cases)}"
        raise LookupError(msg)
    return found
