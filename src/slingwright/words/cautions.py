"""Cautions: the standing ones on every result a crew could act on, and those an answer carries by code."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from slingwright.words.catalogue import in_both, read_catalogue

__all__ = ["caution_text", "next_question_text", "note_text", "own_cautions", "standing_cautions"]


def standing_cautions(
    *, on: Literal["answer", "page", "drawing", "sheet"] = "answer", language: str = "en"
) -> tuple[str, ...]:
    """The cautions every result carries; they defer to local codes and a qualified person.

    `on`: what they stand on, which they name: what a reader holds is a sheet, a page is not.
    """
    sections = read_catalogue(language).sections
    own = {} if on == "answer" else sections[f"standing-{on}"]
    return tuple({**sections["standing"], **own}.values())


def caution_text(code: str, *, language: str = "en") -> str:
    """A caution in words. A code is a key, or a key and what it is about ("unknown-edge: B")."""
    return _coded("cautions", code, language)


def own_cautions(codes: Iterable[str]) -> tuple[str, ...]:
    """The cautions no finding tells: a code "rule/detail" is a finding's, whose sentence says it already."""
    return tuple(dict.fromkeys(code for code in codes if "/" not in code))


def note_text(code: str, *, language: str = "en") -> str:
    """An assumption made while reading the lift, in words."""
    return in_both(language, lambda one: _coded("notes", code, one))


def next_question_text(code: str, *, language: str = "en") -> str:
    """The one question whose answer would most change the offer."""
    return _coded("questions", code, language)


def _coded(section: str, code: str, language: str) -> str:
    key, _, about = code.partition(":")
    return read_catalogue(language).fill(section, key.strip(), about=about.strip())
