"""Codes and figures become sentences: one catalogue a language, pure functions, nothing stored.

Everything below this floor speaks in codes; everything above prints what these functions return.
"""

from slingwright.words.answer import Block, Row, answer_blocks
from slingwright.words.catalogue import (
    BESIDE,
    Catalogue,
    MissingWords,
    join_both,
    languages,
    read_catalogue,
)
from slingwright.words.cautions import (
    caution_text,
    next_question_text,
    note_text,
    own_cautions,
    standing_cautions,
)
from slingwright.words.figures import (
    hold_figures,
    show_figure,
    show_load,
    show_made_length,
    show_money,
    show_share,
)
from slingwright.words.findings import cure_text, finding_text, finding_texts, outcome_word
from slingwright.words.loads import centre_text, room_text, size_text, weight_text
from slingwright.words.names import (
    arrangement_name,
    case_name,
    choke_text,
    fibre_name,
    form_name,
    hitch_name,
    known_by_text,
    place_text,
    places_text,
    protection_name,
    rulebook_name,
    shape_name,
    spec_text,
    supply_text,
)
from slingwright.words.offers import (
    adoption_text,
    offer_headline,
    picked_for_text,
    planning_only,
    refused_text,
    rule_against_hang_sentence,
    search_sentence,
    slings_text,
)
from slingwright.words.practice import criterion_texts, inspection_text

__all__ = [
    "BESIDE",
    "Block",
    "Catalogue",
    "MissingWords",
    "Row",
    "adoption_text",
    "answer_blocks",
    "arrangement_name",
    "case_name",
    "caution_text",
    "centre_text",
    "choke_text",
    "criterion_texts",
    "cure_text",
    "fibre_name",
    "finding_text",
    "finding_texts",
    "form_name",
    "hitch_name",
    "hold_figures",
    "inspection_text",
    "join_both",
    "known_by_text",
    "languages",
    "next_question_text",
    "note_text",
    "offer_headline",
    "outcome_word",
    "own_cautions",
    "picked_for_text",
    "place_text",
    "places_text",
    "planning_only",
    "protection_name",
    "read_catalogue",
    "refused_text",
    "room_text",
    "rule_against_hang_sentence",
    "rulebook_name",
    "search_sentence",
    "shape_name",
    "show_figure",
    "show_load",
    "show_made_length",
    "show_money",
    "show_share",
    "size_text",
    "slings_text",
    "spec_text",
    "standing_cautions",
    "supply_text",
    "weight_text",
]
