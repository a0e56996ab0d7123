"""Read one word out of a few, with the nearest named where it is none of them."""

from __future__ import annotations

import difflib
from enum import StrEnum
from typing import TypeVar

from slingwright.errors import fail

__all__ = ["read_word"]

Word = TypeVar("Word", bound=StrEnum)


def read_word(text: str, field: str, words: type[Word]) -> Word:
    """Read a word.

    Raises
    ------
    InputFault
        It is none of them.
    """
    names = [str(word) for word in words]
    if text not in names:
        near = difflib.get_close_matches(text, names, n=1)
        hint = f"did you mean {near[0]}?" if near else f"one of: {', '.join(names)}"
        raise fail(field, f"{text!r} is not known", hint)
    return words(text)
