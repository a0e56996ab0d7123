"""Faults of an input as a page tells them: by the field's own label, with a hint that speaks of the page.

The core's hints serve files and options as well. What one says of those means nothing to somebody who fills
in a form: it is replaced by the page's own words, or left out.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass

from markupsafe import Markup

from slingwright.desk.bench import Look
from slingwright.desk.form import FIELDS, field_id
from slingwright.errors import Fault
from slingwright.words import read_catalogue
from slingwright.words.faults import fault_text
from slingwright.words.figures import hold_figures

__all__ = ["Told", "english", "told_of_lift", "told_of_sling"]

_OF_A_FILE = re.compile(r"--\w|\[|\.toml\b|\w \| \w")
_TOO_LARGE = "larger than 1 MB"  # said of a whole file
_WHOLE = {"hook": "hook.headroom", "load": "load.weight"}  # a table that is missing: where to begin
_LIFT_FIELDS = frozenset(field.path for field in FIELDS)
_PICK = re.compile(r"load\.pick_point\.(\d+)(?:\.(.+))?")


@dataclass(frozen=True, slots=True, kw_only=True)
class Told:
    """One fault: its field's element (empty: none), the field's name, what is wrong, what would be right."""

    id: str
    name: str
    problem: str
    hint: str

    @property
    def between(self) -> str:
        """What stands between the problem and its hint: a hint that is a sentence is one of its own."""
        return ". " if self.hint[:1].isupper() else ": "


def told_of_lift(faults: Iterable[Fault], look: Look) -> list[Told]:
    """The faults of a lift."""
    return [_told_of_lift(fault, look) for fault in faults]


def told_of_sling(faults: Iterable[Fault], look: Look, fields: Iterable[str]) -> list[Told]:
    """The faults of a sling that is rated; `fields` are the form's."""
    labels = read_catalogue(look.language).sections["desk-sling-fields"]
    known = set(fields)
    return [
        _told(fault, fault.field if fault.field in known else "", labels.get(fault.field, fault.field), look)
        for fault in faults
    ]


def _told_of_lift(fault: Fault, look: Look) -> Told:
    words = read_catalogue(look.language)
    at = field_id(fault.field)
    if fault.field in _WHOLE:
        return _told(fault, _WHOLE[fault.field], words.word("desk-groups", fault.field), look)
    if at in _LIFT_FIELDS:
        return _told(fault, at, words.word("desk-fields", at), look)
    if found := _PICK.fullmatch(at):
        name = f"{words.word('desk', 'picks')} {int(found[1]) + 1}"
        column = words.sections["desk-picks"].get(found[2] or "")
        place = f"{at}.0" if at.endswith(".at") else at  # three fields: it begins at the first
        return _told(fault, place, f"{name}, {column}" if column else name, look)
    return _told(fault, at, fault.field, look)


def _told(fault: Fault, at: str, name: str, look: Look) -> Told:
    words, problem = read_catalogue(look.language), english(look, fault.problem)
    hint: str = english(look, fault.hint)
    if _OF_A_FILE.search(fault.hint):
        hint = words.sections["page-hints"].get(at, hint if not at else "")
    if not name and fault.problem == f"is {_TOO_LARGE}":
        name = words.word("desk", "the-file")
    elif not name and not isinstance(problem, Markup):
        problem = problem[:1].upper() + problem[1:]
    return Told(id=at, name=name, problem=problem, hint=hint)


def english(look: Look, text: str) -> str:
    """What the core says, in the page's language; what has no words there stays English, marked as such."""
    own = fault_text(text, language=look.language)
    if own is not None or not text:
        return hold_figures(own or text)  # escaped by the template
    return Markup('<span lang="en">{}</span>').format(hold_figures(text))
