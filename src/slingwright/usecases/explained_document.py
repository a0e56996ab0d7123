"""What explains an answer as a part of its document: codes, figures, and the sentence beside each."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from slingwright.choose.explained import Change, Explained, Piece, Question, Standing, TradePoint
    from slingwright.units import Units
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["Speech", "explained_document", "question_document"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Speech:
    """How the sentences are said."""

    units: Units
    currency: str
    language: str


def explained_document(explained: Explained, chosen: Chosen) -> dict[str, Any]:
    """The question, the changes, the curve, stock against made; absent parts are null or empty."""
    from slingwright.words.explaining import supplies_text

    speech = Speech(units=chosen.units, currency=chosen.setting.book.currency, language=chosen.language)
    both = explained.supplies
    return {
        "proved": explained.proved,
        "question": None if explained.question is None else question_document(explained.question, speech),
        "unweighed": list(explained.unweighed),
        "changes": [_change(c, speech) for c in explained.changes],
        "curve": [_point(p) for p in explained.curve],
        "stock_against_made": None
        if both is None
        else supplies_text(both, speech.units, speech.currency, language=speech.language),
    }


def question_document(question: Question, speech: Speech) -> dict[str, Any]:
    """A question with what each of its answers leads to."""
    from slingwright.words import next_question_text

    return {
        "code": question.code,
        "unit": question.unit,
        "worth_minor": question.worth_minor,
        "changes": question.changes,
        "text": next_question_text(question.code, language=speech.language),
        "answers": [_piece(question, p, speech) for p in question.pieces],
    }


def _piece(question: Question, piece: Piece, speech: Speech) -> dict[str, Any]:
    from slingwright.words.explaining import piece_text

    return {
        "choice": piece.choice or None,
        "low": piece.low,
        "high": piece.high,
        "share": piece.share,
        "then": _standing(piece.then, speech),
        "text": piece_text(question, piece, speech.units, speech.currency, language=speech.language),
    }


def _change(change: Change, speech: Speech) -> dict[str, Any]:
    from slingwright.words.explaining import change_text

    text = None
    if change.helps:
        text = change_text(change, speech.units, speech.currency, language=speech.language)
    return {
        "code": change.code,
        "figure": change.figure,
        "unit": change.unit,
        "helps": change.helps,
        "saved_minor": change.saved_minor,
        "then": _standing(change.then, speech),
        "text": text,
    }


def _standing(standing: Standing, speech: Speech) -> dict[str, Any]:
    from slingwright.usecases.offers_document import finding_document

    stop = standing.stop
    return {
        "fits": standing.fits,
        "grade": standing.grade if standing.fits else None,
        "measure": standing.measure,
        "price_minor": standing.price_minor,
        "family": standing.family or None,
        "key": standing.key,
        "proved": standing.proved,
        "off_by": standing.off_by,
        "stop": None if stop is None else finding_document(stop, speech.units, speech.language),
    }


def _point(point: TradePoint) -> dict[str, Any]:
    return {
        "key": point.key,
        "family": point.family,
        "price_minor": point.price_minor,
        "hook_height_m": point.hook_height_m,
        "mass_kg": point.mass_kg,
        "utilisation": point.utilisation,
    }
