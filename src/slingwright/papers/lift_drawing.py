"""The drawing of one offer as a paper: the picture, its sentence, the cautions that every result carries."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping

from slingwright.choose.offer import Answer
from slingwright.draw import draw_offer, drawing_alt, pose_sentence
from slingwright.lift.model import Lift
from slingwright.papers.document import Paper, bullets_section, drawing_section, paper_footer, print_paper
from slingwright.papers.frame import planning_reasons
from slingwright.units import Units
from slingwright.words import caution_text, offer_headline, own_cautions, read_catalogue, standing_cautions

__all__ = ["lift_drawing"]

_WIDE_MM = 180.0
_HIGH_MM = 150.0  # leaves the cautions room on the same page


def lift_drawing(
    lift: Lift,
    answer: Answer,
    offer_index: int,
    *,
    case: str = "stiff",
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    language: str = "en",
) -> bytes:
    """Print an offer's drawing in one of its cases (PDF); the same arguments give the same bytes.

    Raises
    ------
    LookupError
        There is no such offer, or it has no such case.
    """
    words, offer = read_catalogue(language), answer.offers[offer_index]
    reasons = planning_reasons(lift, offer, language=language)
    codes = own_cautions((*answer.cautions, *offer.cautions))
    cautions = [caution_text(code, language=language) for code in codes]
    svg = draw_offer(
        lift, offer, units=units, case=case, made_by=made_by, height_mm=_HIGH_MM, on_paper=True,
        language=language,
    )  # fmt: skip
    return print_paper(
        Paper(
            kind=words.word("lift-drawing", "kind"),
            title=lift.title.strip() or words.word("sheet", "untitled"),
            stamp=words.word("sheet", "planning-only") if reasons else "",
            because=words.fill("sheet", "planning-because", reasons="; ".join(reasons)) if reasons else "",
            facts=[[words.word("lift-drawing", "slings"), offer_headline(offer, units, language=language)]],
            sections=[
                drawing_section(
                    words.word("lift-drawing", "hangs"),
                    svg,
                    alt=drawing_alt(lift, offer, case=case, language=language),
                    width_mm=_WIDE_MM,
                    note=pose_sentence(offer, units=units, case=case, language=language),
                ),
                bullets_section(
                    words.word("blocks", "cautions"),
                    [*cautions, *standing_cautions(on="sheet", language=language)],
                ),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            language=language,
        ),
        on=on,
    )
