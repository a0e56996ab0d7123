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


_READERS = ("not-toml", "not-json")  # faults that quote what a reader of the language's library says


def fault_text(text: str, *, language: str) -> str | None:
    """A fault's problem or hint in a language; None where it has no words for it."""
    return text if language == SOURCE else _said(text, "faults", language)


def _said(text: str, section: str, language: str) -> str | None:
    said = read_catalogue(language).sections[section]
    own = own_words(language).sections.get(section, {})
    for key, pattern in _patterns(section):
        if key in own and (found := pattern.fullmatch(text)):
            places = found.groupdict()
            if key in _READERS or section == "faults-of-readers":
                places = {at: _said(one, "faults-of-readers", language) or one for at, one in places.items()}
            return said[key].format_map(places)
    return None


@cache
def _patterns(section: str) -> Sequence[tuple[str, re.Pattern[str]]]:
    """Each English wording as a pattern; those that say most themselves first."""
    said = read_catalogue(SOURCE).sections[section]
    by_length = sorted(said.items(), key=lambda pair: -len(_PLACE.sub("", pair[1])))
    return [(key, re.compile(_pattern(english), re.DOTALL)) for key, english in by_length]


def _pattern(english: str) -> str:
    parts = _PLACE.split(english)  # text, place, text, place, … text
    return "".join(f"(?P<{part}>.+?)" if at % 2 else re.escape(part) for at, part in enumerate(parts))
