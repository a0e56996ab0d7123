"""What the core says of a faulty input, in another language: found by its English wording.

The core words its faults in English, for files, terminal and pages alike. `[faults]` of the English catalogue
holds those that somebody who fills in a form can meet, with places for what is quoted or counted; another
language says them again under the same key. A fault that is not among them stays English.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import cache

from slingwright.words.catalogue import SOURCE, own_words, read_catalogue

__all__ = ["fault_text"]

_PLACE = re.compile(r"\{(\w)\}")


def fault_text(text: str, *, language: str) -> str | None:
    """A fault's problem or hint in a language; None where it has no words for it."""
    if language == SOURCE:
        return text
    said = read_catalogue(language).sections["faults"]
    own = own_words(language).sections.get("faults", {})
    for key, pattern in _patterns():
        if key in own and (found := pattern.fullmatch(text)):
            return said[key].format_map(found.groupdict())
    return None


@cache
def _patterns() -> Sequence[tuple[str, re.Pattern[str]]]:
    """Each English wording as a pattern; those that say most themselves first."""
    said = read_catalogue(SOURCE).sections["faults"]
    by_length = sorted(said.items(), key=lambda pair: -len(_PLACE.sub("", pair[1])))
    return [(key, re.compile(_pattern(english), re.DOTALL)) for key, english in by_length]


def _pattern(english: str) -> str:
    parts = _PLACE.split(english)  # text, place, text, place, … text
    return "".join(f"(?P<{part}>.+?)" if at % 2 else re.escape(part) for at, part in enumerate(parts))
