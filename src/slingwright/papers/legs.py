"""Tables of the lift sheet: what each sling is, how each leg hangs, and how near it comes to its rating."""

from __future__ import annotations

from collections.abc import Iterator

from slingwright.choose.offer import Offer, OfferSling
from slingwright.units import Rounding, Units
from slingwright.words import (
    case_name,
    choke_text,
    hitch_name,
    leg_name,
    place_text,
    places_text,
    protection_name,
    read_catalogue,
    show_load,
    show_share,
    spec_text,
    supply_text,
)
from slingwright.words.figures import show_angle

__all__ = ["checked_cells", "leg_rows", "sling_rows"]


def sling_rows(offer: Offer, units: Units, *, language: str = "en") -> list[list[str]]:
    """One row a kind of sling, equal ones together: names, what it is, hitch, places, protection, supply."""
    words = read_catalogue(language)
    groups: dict[tuple[str, ...], list[OfferSling]] = {}
    for sling in offer.slings:
        groups.setdefault(_kind(sling, units, language), []).append(sling)
    rows = []
    for (spec, hitch, protection, supply, upper), slings in groups.items():
        lowers = places_text([s.lower_at for s in slings], units, language=language)
        place = words.fill("sheet", "place", upper=upper, lowers=lowers)
        rows.append([", ".join(s.id for s in slings), spec, hitch, place, protection, supply])
    return rows


def leg_rows(offer: Offer, units: Units, *, language: str = "en") -> Iterator[list[str]]:
    """One row a leg as it hangs; what is checked a sling stands in its first leg's row only."""
    stiff, soft = offer.case("stiff"), offer.case("soft")
    if stiff is None:
        return
    slack = read_catalogue(language).word("drawing", "slack-word")
    pulls = {p.name: p.tension_n for p in soft.result.paths} if soft else {}
    told: set[int] = set()
    for path, hang in zip(stiff.problem.paths, stiff.result.paths, strict=True):
        first = path.sling not in told
        told.add(path.sling)
        yield [
            leg_name(hang.name, language=language),
            slack if hang.slack else show_load(hang.tension_n, units, language=language),
            show_load(pulls[hang.name], units, language=language) if hang.name in pulls else "",
            show_angle(hang.angle_from_horizontal_deg, language=language),
            *(checked_cells(offer.slings[path.sling], units, language) if first else [""] * 6),
        ]


def _kind(sling: OfferSling, units: Units, language: str) -> tuple[str, ...]:
    hitch = hitch_name(sling.hitch, sling.wraps, language=language)
    if sling.choke is not None:
        hitch = f"{hitch}: {choke_text(sling.choke, language=language)}"
    return (
        spec_text(sling.spec, units, language=language),
        hitch,
        protection_name(sling.protection, language=language),
        supply_text(sling, language=language),
        place_text(sling.upper_at, units, language=language),
    )


def checked_cells(sling: OfferSling, units: Units, language: str) -> list[str]:
    """Both checks of a sling, its share and what governs: six cells."""
    by = sling.governed_by
    key = "rule" if by.case == "rule" else by.check
    case = "" if by.case == "rule" else case_name(by.case, language=language)
    return [
        show_load(sling.design_tension_n, units, rounding=Rounding.UP, language=language),
        show_load(sling.part_limit_n, units, rounding=Rounding.DOWN, language=language),
        show_load(sling.hitch_load_n, units, rounding=Rounding.UP, language=language),
        show_load(sling.hitch_rated_n, units, rounding=Rounding.DOWN, language=language),
        show_share(sling.utilisation, language=language),
        read_catalogue(language).fill("governed", key, case=case),
    ]
