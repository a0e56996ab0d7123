"""Pictures of the pages to learn from: one idea each, in the line weights and marks of the sheet."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from slingwright.draw.explain import HIGH_MM, WIDE_MM, explain_alt, explain_parts
from slingwright.draw.ink import FONT
from slingwright.draw.learning.ends import form_picture, plies_picture, width_picture
from slingwright.draw.learning.holding import (
    angle_picture,
    choke_picture,
    fan_picture,
    hitch_picture,
)
from slingwright.draw.learning.keeping import (
    PROTECTIONS,
    edge_picture,
    protection_picture,
    removal_picture,
    tag_picture,
)
from slingwright.draw.svg import element
from slingwright.rulebook import Rulebook
from slingwright.sling import Form, Hitch
from slingwright.words import read_catalogue

__all__ = ["learn_picture"]

_WIDE_MM = 90.0
_SAID = ("weight", "known-by", "friction", "lug", "best")  # drawn as beside their fields, larger


def _painters(book: Rulebook, language: str) -> dict[str, Callable[[], tuple[float, list[str]]]]:
    words = read_catalogue(language).sections["learn-labels"]
    return {
        **{f"form-{form}": partial(form_picture, form) for form in Form},
        "plies": partial(plies_picture, book),
        "width": partial(width_picture, words["width"]),
        **{f"hitch-{hitch}": partial(hitch_picture, hitch) for hitch in Hitch},
        "angle": partial(angle_picture, words["from-horizontal"], words["from-vertical"]),
        "fan": partial(fan_picture, book, language),
        "choke": partial(choke_picture, words["angle-of-choke"]),
        "edge": partial(edge_picture, words["radius"], words["thickness"]),
        **{kind: partial(protection_picture, kind) for kind in PROTECTIONS},
        "tag": partial(tag_picture, book),
        "removal": partial(removal_picture, book),
        **{name: partial(_enlarged, name, language) for name in _SAID},
    }


def _enlarged(name: str, language: str) -> tuple[float, list[str]]:
    larger = _WIDE_MM / WIDE_MM
    return HIGH_MM * larger, [element("g", explain_parts(name, language), transform=f"scale({larger:.4g})")]


def learn_picture(name: str, book: Rulebook, *, language: str = "en") -> str:
    """Draw a picture by its name (SVG, not to scale); what it means stands beside it in words.

    Its figures are the rulebook's. The element is a picture of its own (`role="img"`) with its description.
    """
    high_mm, parts = _painters(book, language)[name]()
    return element(
        "svg",
        parts,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {_WIDE_MM:g} {high_mm:g}",
        font_family=FONT,
        role="img",
        aria_label=explain_alt(name, language)
        if name in _SAID
        else read_catalogue(language).word("learn-alt", name),
    )
