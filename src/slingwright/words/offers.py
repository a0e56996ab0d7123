"""An offer in sentences: its headline, why it is shown, the rule against the hang, what was searched."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.choose.offer import Offer, OfferSling, Refused, SearchReport
from slingwright.lift.model import KnownBy, Lift
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import in_both, read_catalogue
from slingwright.words.figures import (
    show_angle,
    show_count,
    show_load,
    show_mass,
    show_money,
    show_ratio,
    show_share,
)
from slingwright.words.findings import bare_finding_text
from slingwright.words.names import arrangement_name, cell_text, fibre_name, spec_text

__all__ = [
    "adoption_text",
    "alike_refusals",
    "offer_headline",
    "picked_for_text",
    "planning_only",
    "ready_text",
    "refused_text",
    "rule_against_hang_sentence",
    "search_sentence",
    "slings_text",
    "tilt_text",
    "tilts_too_far",
]


def offer_headline(offer: Offer, units: Units, *, language: str = "en") -> str:
    """One line: how many of which sling, how hung, the reserve to rated load, the price."""
    words = read_catalogue(language)
    return words.fill(
        "offers",
        "headline",
        slings="; ".join(slings_text(offer, units, language=language)),
        arrangement=arrangement_name(offer.arrangement, language=language),
        reserve=show_ratio(1 - offer.utilisation, rounding=Rounding.DOWN, language=language),
        price=show_money(offer.price_minor, offer.currency, language=language),
        mass=show_mass(offer.mass_kg, units, language=language),
        days=ready_text(offer.ready_in_days, language=language),
    )


def picked_for_text(offer: Offer, *, language: str = "en") -> str:
    """Why this offer is shown among all that pass."""
    words = read_catalogue(language)
    return ", ".join(words.word("picked-for", code) for code in offer.picked_for)


def planning_only(lift: Lift, offer: Offer) -> bool:
    """Whether a result is for planning only: a table nobody adopted, a centre or weight not really known."""
    known = lift.load.centre.known and KnownBy.ESTIMATE not in (
        lift.load.centre.known_by,
        lift.load.weight.known_by,
    )
    return not known or not all(s.table_adopted for s in offer.slings)


def adoption_text(sling: OfferSling, *, language: str = "en") -> str:
    """Whose table the rating rests on, and whether the shop's qualified person has adopted it."""
    return in_both(language, lambda one: _adoption(sling, one))


def _adoption(sling: OfferSling, language: str) -> str:
    words = read_catalogue(language)
    key = "table-adopted" if sling.table_adopted else "table-not-adopted"
    return words.fill(
        "offers", key, table=sling.table_id, cell=cell_text(sling.table_cell, language=language)
    )


def tilt_text(lift: Lift, offer: Offer, *, language: str = "en") -> str:
    """How far out of level it hangs.

    An unknown centre is told apart: only a load that hangs with its centre in the middle is held to what is
    wanted (docs/decisions/0003), so that the other figure is a caution.
    """
    if lift.load.centre.known:
        return _tilt("tilt", offer, language)
    return in_both(language, lambda one: _tilt("tilt-unknown", offer, one))


def _tilt(key: str, offer: Offer, language: str) -> str:
    worst = show_angle(offer.worst_tilt_deg, rounding=Rounding.UP, language=language)
    tilt = show_angle(offer.tilt_deg, language=language)
    return read_catalogue(language).fill("offers", key, tilt=tilt, worst=worst)


def tilts_too_far(lift: Lift, offer: Offer) -> bool:
    """Whether a load whose centre nobody knows may hang further out of level than is wanted."""
    return not lift.load.centre.known and offer.worst_tilt_deg > lift.want.level_within_deg


def rule_against_hang_sentence(offer: Offer, units: Units, *, language: str = "en") -> str:
    """The rule's figure for the worst leg against the hang's; empty where no rule applies."""
    if offer.rule_against_hang is None:
        return ""
    return in_both(language, lambda one: _rule_against_hang(offer, units, one))


def _rule_against_hang(offer: Offer, units: Units, language: str) -> str:
    both = offer.rule_against_hang
    assert both is not None
    key = "rule-short" if both.rule_unconservative else "rule-covers"
    return read_catalogue(language).fill(
        "offers",
        key,
        rule=show_load(both.rule_n, units, rounding=Rounding.UP, language=language),
        hang=show_load(both.hang_n, units, rounding=Rounding.UP, language=language),
        ratio=show_share(both.hang_n / both.rule_n - 1, language=language)
        if both.rule_unconservative
        else "",
        angle=show_angle(offer.least_angle_from_horizontal_deg, rounding=Rounding.DOWN, language=language),
        citation=str(both.citation),
    )


def refused_text(
    refused: Refused, units: Units, *, also: Sequence[Refused] = (), language: str = "en"
) -> str:
    """Why a family is not offered: its nearest candidate and what stops it.

    `also`: the same family in other fibres, which the same stops; they are named with it.
    """
    return in_both(language, lambda one: _refused(refused, also, units, one))


def alike_refusals(refused: Sequence[Refused], units: Units) -> list[list[Refused]]:
    """Refusals that differ in nothing but the fibre, together, in the order of the first of each."""
    groups: dict[tuple[object, ...], list[Refused]] = {}
    for one in refused:
        said = bare_finding_text(one.finding, units, language="en")
        same = (one.family, one.fibre is None, one.finding.rule, str(one.finding.citation), one.finding.cure)
        groups.setdefault((*same, said), []).append(one)
    return list(groups.values())


def _refused(refused: Refused, also: Sequence[Refused], units: Units, language: str) -> str:
    words = read_catalogue(language)
    fibres = dict.fromkeys(fibre_name(r.fibre, language=language) for r in (refused, *also) if r.fibre)
    return words.fill(
        "offers",
        "refused" if refused.fibre else "refused-any",
        arrangement=arrangement_name(refused.family, language=language),
        fibre=", ".join(fibres),
        reason=bare_finding_text(refused.finding, units, language=language),
    )


def search_sentence(
    search: SearchReport, *, by: str = "price", found: bool = True, language: str = "en"
) -> str:
    """What was searched and whether anything better (or, with nothing found, anything at all) can be left.

    `by` is the measure that was asked for: price | weight | delivery | reserve.
    """
    key = "search-none" if not search.space else "search-whole" if search.proved else "search-part"
    if search.space and not found:
        key += "-nothing"
    elif key == "search-whole" and search.cheaper_and_rejected is None:
        key += "-uncounted"
    words = read_catalogue(language)
    return words.fill(
        "offers",
        key,
        before=words.word("offers", f"before-{by}"),
        space=show_count(search.space, language=language),
        solved=show_count(search.solved or 0, language=language),
        rejected=show_count(search.cheaper_and_rejected or 0, language=language),
        pruned=show_count(sum(search.pruned.values()), language=language),
        hangs=show_count(search.hang_problems, language=language),
    )


def slings_text(offer: Offer, units: Units, *, language: str = "en") -> list[str]:
    """The offer's slings, equal ones counted together, in the order they first appear."""
    counts: dict[str, int] = {}
    for sling in offer.slings:
        text = spec_text(sling.spec, units, language=language)
        counts[text] = counts.get(text, 0) + 1
    return [f"{count} × {text}" for text, count in counts.items()]


def ready_text(days: int, *, language: str = "en") -> str:
    """When it is ready, counted in working days."""
    words = read_catalogue(language)
    key = {0: "ready-now", 1: "ready-day"}.get(days, "ready-days")
    return words.fill("offers", key, days=str(days))
