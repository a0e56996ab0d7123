"""What the views print: figures in, text out, so that no view knows units or language."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slingwright.draw.picture import LegLine

__all__ = ["Wording"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Wording:
    """Made by the sheet from units and language.

    `leg` words a leg (in full, or its name alone); `length` a length in metres; `caption` a view's name;
    `lean` how far the load hangs down to the right in a view [deg]; `touch` what a leg
    that can be touched is called.
    """

    leg: Callable[[LegLine, bool], str]
    length: Callable[[float], str]
    caption: Callable[[str], str]
    lean: Callable[[float], str]
    left: str
    front: str
    touch: Callable[[LegLine], str]
