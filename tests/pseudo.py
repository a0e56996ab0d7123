"""A made-up language for tests: every word of the English catalogue in letters that English has not.

No code of ours knows it. It is written as one more folder beside the English one: what a page or paper
then still says in plain letters did not come from a catalogue: a name somebody typed, a unit, a code, a
citation, or a sentence that escaped.
"""

from __future__ import annotations

import json
import re
import tomllib
from collections.abc import Iterator
from contextlib import contextmanager
from importlib import resources
from pathlib import Path
from typing import Any
from unittest.mock import patch

from slingwright.words import catalogue

__all__ = ["DATA", "PSEUDO", "pseudo_language", "pseudo_text", "rulebook_sections"]

PSEUDO = "qps"  # of the codes that ISO 639-2 leaves to private use
DATA = Path(str(resources.files("slingwright.words"))) / "data"
_LETTERS = dict(
    zip(
        "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ",
        "αβçðεƒğħίĵκłμηορφřşτυνŵχγζΑΒÇÐΕƑĞĦΊĴΚŁΜΗΟΡΦŘŞΤΥΝŴΧΓΖ",
        strict=True,
    )
)
_PLACE = re.compile(r"(\{\w+\})")


def pseudo_text(text: str) -> str:
    """The text in the made-up letters; the places of figures stay."""
    return "".join(
        part if _PLACE.fullmatch(part) else "".join(_LETTERS.get(c, c) for c in part)
        for part in _PLACE.split(text)
    )


@contextmanager
def pseudo_language(
    folder: Path, *, reviewed: bool = True, also: dict[str, Any] | None = None
) -> Iterator[str]:
    """Give the code of the made-up language while it is there.

    Parameters
    ----------
    folder
        An empty folder to write catalogues to.
    reviewed
        False: each caution and finding has the English beside it.
    also
        Further sections that English has elsewhere (the rulebooks' lists).
    """
    (folder / PSEUDO).mkdir(parents=True)
    (folder / "en").symlink_to(DATA / "en")
    for file in sorted((DATA / "en").glob("*.toml")):
        document = tomllib.loads(file.read_text(encoding="utf-8"))
        if "about" in document:
            document = {
                "about": {"name": "Ψ", "locale": "en", "reviewed_by": "nobody needs to" if reviewed else ""},
                **_pseudo(also or {}),
            }
        else:
            document = _pseudo(document)
        (folder / PSEUDO / file.name).write_text(_toml(document), encoding="utf-8")
    with patch.object(catalogue, "_data", lambda: folder):
        catalogue.read_catalogue.cache_clear()
        try:
            yield PSEUDO
        finally:
            catalogue.read_catalogue.cache_clear()


def _pseudo(value: Any, key: str = "") -> Any:
    if isinstance(value, dict):
        return {k: _pseudo(v, k) for k, v in value.items()}
    return value if key in ("sense", "ratio") else pseudo_text(value)


def _toml(table: dict[str, Any], head: str = "") -> str:
    lines = [f'"{k}" = {_quoted(v)}' for k, v in table.items() if not isinstance(v, dict)]
    text = (f"[{head}]\n" if head else "") + "\n".join(lines) + "\n"
    for key, value in table.items():
        if isinstance(value, dict):
            text += _toml(value, f'{head}."{key}"' if head else f'"{key}"')
    return text


def _quoted(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)  # its escapes are TOML's, new lines included


def rulebook_sections() -> dict[str, dict[str, str]]:
    """What the rulebooks' own data say in English of a sling's service, as sections of a catalogue."""
    from slingwright.usecases.rulebooks import open_rulebook
    from slingwright.usecases.settings import resolve_settings

    found: dict[str, dict[str, str]] = {}
    settings = resolve_settings({}, {}, DATA)
    for regime in ("us", "en"):
        book = open_rulebook(settings, regime=regime)
        found[f"removal-{regime}"] = {row.id: row.what for row in book.removal_criteria()}
        found[f"inspection-{regime}"] = {row.id: row.what for row in book.inspection()}
    return found
