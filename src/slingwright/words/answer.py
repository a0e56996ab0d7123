"""A whole answer as plain blocks of rows, for any place that prints text (terminal, mail, page)."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from slingwright.check import Finding, Outcome
from slingwright.choose.offer import Answer, Offer, OfferSling, Refused
from slingwright.lift.model import Lift
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.cautions import (
    caution_text,
    next_question_text,
    note_text,
    own_cautions,
    standing_cautions,
)
from slingwright.words.figures import show_angle, show_length, show_load, show_share
from slingwright.words.findings import cure_text, finding_texts, outcome_word
from slingwright.words.loads import centre_text, room_text, weight_text
from slingwright.words.names import hitch_name, place_text, places_text, spec_text, supply_text
from slingwright.words.offers import (
    adoption_text,
    alike_refusals,
    offer_headline,
    picked_for_text,
    refused_text,
    rule_against_hang_sentence,
    search_sentence,
    tilt_text,
    tilts_too_far,
)

__all__ = ["Block", "Row", "answer_blocks", "stop_title"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One line: a short label, its text, and a mark ("pass", "caution", "stop" or "") a printer may style."""

    label: str
    text: str
    mark: str = ""
    detail: str = ""  # the clause, or what would cure it
    about: str = ""  # the rule whose finding it is; or what the row is, where a page says it elsewhere, too


@dataclass(frozen=True, slots=True, kw_only=True)
class Block:
    """A titled group of rows. `kind`: lift, stop, offer, cautions, refused, search, question."""

    kind: str
    title: str
    rows: tuple[Row, ...]


def answer_blocks(
    lift: Lift, answer: Answer, units: Units, *, every_check: bool = False, language: str = "en"
) -> tuple[Block, ...]:
    """The answer in reading order: the lift, offers best first (or the stop), cautions, why not others.

    What passed is told of the first offer, of the others how much; with `every_check` of each.
    """
    blocks = [_lift_block(lift, answer, units, language)]
    if answer.stops:
        stops = tuple(_finding_rows(answer.stops, units, language))
        blocks.append(Block(kind="stop", title=stop_title(answer, language=language), rows=stops))
    for number, offer in enumerate(answer.offers, start=1):
        passes = every_check or number == 1
        blocks.append(_offer_block(lift, number, offer, units, language, passes=passes))
    blocks.append(_block("cautions", _caution_rows(answer, language), language))
    if answer.refused:
        alike = alike_refusals(answer.refused, units)
        rows = [_refused_row(first, also, units, language) for first, *also in alike]
        blocks.append(_block("refused", rows, language))
    blocks.append(
        _block(
            "search",
            [
                Row(
                    label="",
                    text=search_sentence(
                        answer.search, by=lift.want.by, found=bool(answer.offers), language=language
                    ),
                )
            ],
            language,
        )
    )
    if answer.next_question:
        text = next_question_text(answer.next_question, language=language)
        blocks.append(_block("question", [Row(label="", text=text)], language))
    return tuple(blocks)


def stop_title(answer: Answer, *, language: str = "en") -> str:
    """What stands above the stops: what was cut short has not shown that nothing fits."""
    return read_catalogue(language).word("blocks", "stop" if answer.search.proved else "cut-short")


def _block(kind: str, rows: list[Row], language: str) -> Block:
    title = read_catalogue(language).word("blocks", kind)
    return Block(kind=kind, title=title, rows=tuple(rows))


def _lift_block(lift: Lift, answer: Answer, units: Units, language: str) -> Block:
    label = read_catalogue(language).sections["labels"]
    rows = [
        Row(
            label=label["weight"],
            text=weight_text(lift.load.weight, units, notes=lift.notes, language=language),
        ),
        Row(
            label=label["centre"],
            text=centre_text(lift.load.centre, units, notes=lift.notes, language=language),
        ),
        Row(label=label["room"], text=room_text(lift, units, language=language)),
    ]
    notes = dict.fromkeys((*lift.notes, *answer.notes))
    rows += [Row(label=label["note"], text=note_text(code, language=language)) for code in notes]
    return Block(kind="lift", title=lift.title, rows=tuple(rows))


def _offer_block(
    lift: Lift, number: int, offer: Offer, units: Units, language: str, *, passes: bool
) -> Block:
    words = read_catalogue(language)
    label = words.sections["labels"]
    title = words.fill("blocks", "offer", number=str(number), why=picked_for_text(offer, language=language))
    rows = [Row(label="", text=offer_headline(offer, units, language=language), about="headline")]
    rows += [_sling_row(group, units, language) for group in _alike(offer)]
    rows += _figure_rows(lift, offer, units, language)
    against = rule_against_hang_sentence(offer, units, language=language)
    rows += [Row(label=label["rule"], text=against, about="rule")] if against else []
    rows += _finding_rows(offer.findings, units, language, passes=passes)
    rows += [
        Row(label=label["caution"], text=caution_text(code, language=language), mark="caution")
        for code in own_cautions(offer.cautions)
    ]
    tables = dict.fromkeys(adoption_text(s, language=language) for s in offer.slings)
    rows += [Row(label=label["table"], text=text) for text in tables]
    return Block(kind="offer", title=title, rows=tuple(rows))


def _figure_rows(lift: Lift, offer: Offer, units: Units, language: str) -> list[Row]:
    words = read_catalogue(language)
    label = words.sections["labels"]
    least = show_angle(offer.least_angle_from_horizontal_deg, rounding=Rounding.DOWN, language=language)
    return [
        Row(
            label=label["tilt"],
            text=tilt_text(lift, offer, language=language),
            mark="caution" if tilts_too_far(lift, offer) else "",
            about="tilt",
        ),
        Row(label=label["angle"], text=words.fill("offers", "angle", angle=least)),
        Row(
            label=label["hook-height"],
            text=show_length(offer.hook_height_m, units, rounding=Rounding.UP, language=language),
        ),
        Row(
            label=label["hook-load"],
            text=show_load(offer.hook_load_n, units, rounding=Rounding.UP, language=language),
        ),
    ]


def _alike(offer: Offer) -> list[list[OfferSling]]:
    """Slings that differ only in where they go, together."""
    groups: dict[tuple[object, ...], list[OfferSling]] = {}
    for s in offer.slings:
        groups.setdefault((s.spec, s.hitch, s.wraps, s.upper_at, s.role, s.supply, s.stock_id), []).append(s)
    return list(groups.values())


def _sling_row(group: list[OfferSling], units: Units, language: str) -> Row:
    """One row for slings that are alike; the hardest worked of them gives the figures."""
    sling = max(group, key=lambda s: s.utilisation)
    text = read_catalogue(language).fill(
        "offers",
        "sling",
        spec=spec_text(sling.spec, units, language=language),
        hitch=hitch_name(sling.hitch, sling.wraps, language=language),
        upper=place_text(sling.upper_at, units, language=language),
        lower=places_text([s.lower_at for s in group], units, language=language),
        share=show_share(sling.utilisation, language=language),
        design=show_load(sling.design_tension_n, units, rounding=Rounding.UP, language=language),
        limit=show_load(sling.part_limit_n, units, rounding=Rounding.DOWN, language=language),
    )
    label = ", ".join(s.id for s in group)
    return Row(label=label, text=text, detail=supply_text(sling, language=language))


def _finding_rows(
    findings: Iterable[Finding], units: Units, language: str, *, passes: bool = True
) -> list[Row]:
    """Stops first, then cautions, then what passed: in full, or only how many did."""
    told = finding_texts(findings, units, language=language)
    shown = [(f, text) for f, text in told if passes or f.outcome is not Outcome.PASS]
    rows = [
        Row(
            label=outcome_word(f.outcome, language=language),
            text=text,
            mark=str(f.outcome),
            about=f.rule,
            detail=" ".join(_details(f, language)),
        )
        for f, text in shown
    ]
    if len(shown) < len(told):
        words = read_catalogue(language)
        text = words.fill("offers", "passed", count=str(len(told) - len(shown)))
        rows.append(Row(label=outcome_word(Outcome.PASS, language=language), text=text, mark="pass"))
    return rows


def _details(finding: Finding, language: str) -> Iterator[str]:
    yield f"[{finding.citation}]"
    if finding.cure:
        yield cure_text(finding, language=language)


def _caution_rows(answer: Answer, language: str) -> list[Row]:
    own = [caution_text(code, language=language) for code in own_cautions(answer.cautions)]
    return [Row(label="", text=text) for text in (*own, *standing_cautions(language=language))]


def _refused_row(refused: Refused, also: list[Refused], units: Units, language: str) -> Row:
    return Row(
        label="",
        text=refused_text(refused, units, also=also, language=language),
        mark=str(refused.finding.outcome),
        detail=" ".join(_details(refused.finding, language)),
        about=refused.finding.rule,
    )
