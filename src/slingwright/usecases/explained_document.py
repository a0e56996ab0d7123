"""What explains an answer as a part of its document: codes, figures, and the sentence beside each."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from slingwright.choose.explained import Change, Explained, Piece, Question, Standing, TradePoint
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["explained_document"]


def explained_document(explained: Explained, chosen: Chosen) -> dict[str, Any]:
    """The question, the changes, the curve, stock against made; absent parts are null or empty."""
    from slingwright.words.explaining import supplies_text

    currency = chosen.setting.book.currency
    both = explained.supplies
    return {
        "proved": explained.proved,
        "question": None if explained.question is None else _question(explained.question, chosen),
        "changes": [_change(c, chosen) for c in explained.changes],
        "curve": [_point(p) for p in explained.curve],
        "stock_against_made": None
        if both is None
        else supplies_text(both, chosen.units, currency, language=chosen.language),
    }


def _question(question: Question, chosen: Chosen) -> dict[str, Any]:
    from slingwright.words import next_question_text

    return {
        "code": question.code,
        "unit": question.unit,
        "worth_minor": question.worth_minor,
        "changes": question.changes,
        "text": next_question_text(question.code, language=chosen.language),
        "answers": [_piece(question, p, chosen) for p in question.pieces],
    }


def _piece(question: Question, piece: Piece, chosen: Chosen) -> dict[str, Any]:
    from slingwright.words.explaining import piece_text

    currency, language = chosen.setting.book.currency, chosen.language
    return {
        "choice": piece.choice or None,
        "low": piece.low,
        "high": piece.high,
        "share": piece.share,
        "then": _standing(piece.then, chosen),
        "text": piece_text(question, piece, chosen.units, currency, language=language),
    }


def _change(change: Change, chosen: Chosen) -> dict[str, Any]:
    from slingwright.words.explaining import change_text

    currency, language = chosen.setting.book.currency, chosen.language
    return {
        "code": change.code,
        "figure": change.figure,
        "unit": change.unit,
        "helps": change.helps,
        "saved_minor": change.saved_minor,
        "then": _standing(change.then, chosen),
        "text": change_text(change, chosen.units, currency, language=language) if change.helps else None,
    }


def _standing(standing: Standing, chosen: Chosen) -> dict[str, Any]:
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
        "stop": None if stop is None else finding_document(stop, chosen.units, chosen.language),
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
