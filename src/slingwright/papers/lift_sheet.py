"""The lift sheet: one lift, one offer, on one or two pages; or, where nothing is offered, why not."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from slingwright.check import Outcome
from slingwright.choose.offer import Answer, Offer
from slingwright.draw import draw_bars, draw_offer, drawing_alt
from slingwright.lift.model import Lift
from slingwright.papers.findings import finding_rows, pass_lines
from slingwright.papers.frame import footer, planning_reasons, signing
from slingwright.papers.legs import leg_rows, sling_rows
from slingwright.papers.typeset import open_press
from slingwright.rulebook.practice import Row
from slingwright.units import Rounding, Units
from slingwright.words import (
    adoption_text,
    alike_refusals,
    arrangement_name,
    case_name,
    caution_text,
    centre_text,
    criterion_texts,
    hold_figures,
    join_both,
    next_question_text,
    note_text,
    outcome_word,
    own_cautions,
    picked_for_text,
    read_catalogue,
    refused_text,
    room_text,
    rule_against_hang_sentence,
    rulebook_name,
    show_load,
    show_share,
    size_text,
    standing_cautions,
    stop_title,
    tilt_text,
    weight_text,
)
from slingwright.words.figures import show_length, show_ratio

__all__ = ["lift_sheet", "sheet_data"]

# Height of the drawing [mm] and whether the text is set close, tried in turn until all is on two pages. Each
# try sets the whole sheet anew, which is most of its time; nearly every sheet fits at the first or second.
_TRIES = ((172.0, False), (144.0, True), (130.0, True), (116.0, True), (102.0, True))
_PAGES = 2
_TEMPLATE = "lift_sheet.typ"


def lift_sheet(
    lift: Lift,
    answer: Answer,
    offer_index: int = 0,
    *,
    made_by: Mapping[str, object],
    date: dt.date,
    units: Units,
    inspection: Sequence[Row],
    language: str = "en",
) -> bytes:
    """Print the lift sheet of one of an answer's offers; an answer that is a stop gives the "why not" sheet.

    Parameters
    ----------
    lift, answer
        The lift and the whole answer to it.
    offer_index
        Which offer, from 0; ignored for a stop.
    made_by
        The document head's `made_by`: tool, rulebook, hashes.
    date
        The paper's date.
    units
        Which units come first; also the paper's size (Letter or A4).
    inspection
        The rulebook's removal criteria: any one takes a sling out of service.

    Returns
    -------
    bytes
        A PDF; the same arguments give the same bytes.

    Raises
    ------
    IndexError
        The answer has no such offer.
    """
    data = sheet_data(
        lift,
        answer,
        offer_index,
        made_by=made_by,
        date=date,
        units=units,
        inspection=inspection,
        language=language,
    )
    with open_press(_TEMPLATE) as press:
        if answer.answer != "stop":
            offer = answer.offers[offer_index]
            tried: set[tuple[str, bool]] = set()
            for height_mm, tight in _TRIES:
                drawing = draw_offer(
                    lift,
                    offer,
                    units=units,
                    made_by=made_by,
                    height_mm=height_mm,
                    on_paper=True,
                    language=language,
                )
                if (drawing, tight) in tried:
                    continue  # the scale goes by steps: a little less height changes nothing
                tried.add((drawing, tight))
                data |= {"drawing": drawing, "tight": tight}
                if press.pages(data) <= _PAGES:
                    break
        return press.pdf(data, on=date)


def sheet_data(
    lift: Lift,
    answer: Answer,
    offer_index: int = 0,
    *,
    made_by: Mapping[str, object],
    date: dt.date,
    units: Units,
    inspection: Sequence[Row],
    language: str = "en",
) -> dict[str, object]:
    """Everything the sheet says, as plain data; arguments as for `lift_sheet`."""
    words = read_catalogue(language)
    offer = None if answer.answer == "stop" else answer.offers[offer_index]
    reasons = planning_reasons(lift, offer, language=language)
    data = {
        "language": language,
        "paper": "us-letter" if units is Units.US else "a4",
        "date": [date.year, date.month, date.day],
        "label": {**words.sections["sheet"], "stops": stop_title(answer, language=language)},
        "heads": {k: dict(words.sections[f"sheet-{k}"]) for k in ("slings", "legs")},
        "stop_word": outcome_word(Outcome.STOP, language=language),
        "title": lift.title.strip() or words.word("sheet", "untitled"),
        "reasons": reasons,
        "facts": [
            *_load_facts(lift, answer, units, language),
            *(_offer_facts(lift, offer, units, language) if offer else []),
        ],
        "stops": finding_rows(answer.stops, units, language=language),
        "drawing": "",
        "tight": False,
        "offer": _offer_data(lift, answer, offer, offer_index, units, language) if offer else None,
        "refused": [] if offer else _refused(answer, units, language),
        "question": _question(answer, language),
        **_inspection(inspection, lift.rulebook, language),
        "cautions": _cautions(answer, offer, language),
        "signing": signing(lift, offer, reasons, language=language),
        "footer": footer(made_by, date, language=language),
    }
    return {key: value if key == "title" else _held(value) for key, value in data.items()}


def _held(value: object) -> object:
    """The same data with every figure held together with its unit; pictures stay as they are."""
    if isinstance(value, str):
        return value if value.startswith("<svg") else hold_figures(value)
    if isinstance(value, list):
        return [_held(item) for item in value]
    if isinstance(value, dict):
        return {key: _held(item) for key, item in value.items()}
    return value


def _load_facts(lift: Lift, answer: Answer, units: Units, language: str) -> list[list[str]]:
    label = read_catalogue(language).sections["sheet"]
    facts = [
        [label["load"], size_text(lift.load, units, language=language)],
        [label["weight"], weight_text(lift.load.weight, units, notes=lift.notes, language=language)],
        [label["centre"], centre_text(lift.load.centre, units, notes=lift.notes, language=language)],
        [label["room"], room_text(lift, units, language=language)],
        [label["rules"], rulebook_name(lift.rulebook, lift.profile, language=language)],
    ]
    notes = [note_text(code, language=language) for code in dict.fromkeys((*lift.notes, *answer.notes))]
    return [*facts, [label["assumed"], join_both(notes, " ")]] if notes else facts


def _offer_facts(lift: Lift, offer: Offer, units: Units, language: str) -> list[list[str]]:
    words = read_catalogue(language)
    label = words.sections["sheet"]
    height = show_length(offer.hook_height_m, units, rounding=Rounding.UP, language=language)
    load = show_load(offer.hook_load_n, units, rounding=Rounding.UP, language=language)
    reserve = show_ratio(1 - offer.utilisation, rounding=Rounding.DOWN, language=language)
    return [
        [label["hung"], arrangement_name(offer.arrangement, language=language)],
        [label["hook"], words.fill("sheet", "hook-text", load=load, height=height)],
        [label["tilt"], tilt_text(lift, offer, language=language)],
        [label["reserve"], words.fill("sheet", "reserve-text", reserve=reserve)],
    ]


def _offer_data(
    lift: Lift,
    answer: Answer,
    offer: Offer,
    index: int,
    units: Units,
    language: str,
) -> dict[str, object]:
    words = read_catalogue(language)
    shown = words.fill(
        "sheet",
        "shown-offer",
        number=str(index + 1),
        count=str(len(answer.offers)),
        why=picked_for_text(offer, language=language),
    )
    careful = [f for f in offer.findings if f.outcome is not Outcome.PASS]
    return {
        "shown": shown,
        "drawing_alt": drawing_alt(lift, offer, language=language),
        "drawing_caption": words.fill("sheet", "drawing-caption", case=case_name("stiff", language=language)),
        "bars": draw_bars(offer, units=units, language=language),
        "bars_alt": words.fill("drawing", "bars-alt", rows="; ".join(_bar_rows(offer, language))),
        "bars_title": words.word("drawing", "bars-title"),
        "slings": sling_rows(offer, units, language=language),
        "tables": list(dict.fromkeys(adoption_text(s, language=language) for s in offer.slings)),
        "legs": list(leg_rows(offer, units, language=language)),
        "rule": rule_against_hang_sentence(offer, units, language=language),
        "careful": finding_rows(careful, units, language=language),
        "passes": pass_lines(offer.findings, units, language=language),
    }


def _bar_rows(offer: Offer, language: str) -> Iterator[str]:
    for s in offer.slings:
        yield f"{s.id} {show_share(s.utilisation, language=language)}"


def _refused(answer: Answer, units: Units, language: str) -> list[list[str]]:
    """What was tried, each with its clause and cure."""
    rows = []
    for refused, *also in alike_refusals(answer.refused, units):
        (row,) = finding_rows([refused.finding], units, language=language)
        rows.append([row[0], refused_text(refused, units, also=also, language=language), *row[2:]])
    return rows


def _question(answer: Answer, language: str) -> str:
    return next_question_text(answer.next_question, language=language) if answer.next_question else ""


def _inspection(rows: Sequence[Row], rulebook: str, language: str) -> dict[str, object]:
    """The removal criteria; the source most of them share is said once."""
    texts = criterion_texts(rows, rulebook, language=language)
    sources = [str(row.citation) for row in rows]
    shared = max(dict.fromkeys(sources), key=sources.count, default="")
    said = read_catalogue(language).fill("sheet", "inspection-source", source=shared)
    listed = [[what, "" if source == shared else source] for what, source in zip(texts, sources, strict=True)]
    return {"inspection": listed, "inspection_source": said}


def _cautions(answer: Answer, offer: Offer | None, language: str) -> list[str]:
    codes = own_cautions((*answer.cautions, *(offer.cautions if offer else ())))
    return [
        *(caution_text(code, language=language) for code in codes),
        *standing_cautions(on="sheet", language=language),
    ]
