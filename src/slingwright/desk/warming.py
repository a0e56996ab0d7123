"""One search before anyone asks: what a first one finds cold costs it half as much again."""

from __future__ import annotations

import time
from contextlib import suppress
from typing import TYPE_CHECKING

from slingwright.errors import InputFault

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["search_once"]

_LIMIT_S = 2.0
# nobody's lift: a box on four lugs, its centre a little off the middle
_LIFT = """
title = "warming up"
[load]
weight = "2 tonne"
known_by = "plate"
shape = "box"
length = "3 m"
width = "2 m"
height = "1 m"
centre_of_gravity = ["1.55 m", "1 m", "0.5 m"]
pick_point = [
  { name = "A", at = ["0.2 m", "0.2 m", "1 m"] },
  { name = "B", at = ["2.8 m", "0.2 m", "1 m"] },
  { name = "C", at = ["2.8 m", "1.8 m", "1 m"] },
  { name = "D", at = ["0.2 m", "1.8 m", "1 m"] },
]
[hook]
headroom = "6 m"
[site]
temperature = "20 °C"
"""


class _Found(Exception):  # noqa: N818  (that is all)
    """The best is known."""


def search_once(settings: Settings) -> bool:
    """Search for the best for a lift that is nobody's; whether it was found: a shop may have none."""
    from slingwright.usecases.choose_sling import ChooseRequest, choose_sling

    def found(best: Chosen) -> None:
        raise _Found

    rulebook = settings.rulebook or "us"
    content = f'rulebook = "{rulebook}"{_LIFT}'
    request = ChooseRequest(
        content=content.encode(), file="lift.toml", folder=None, settings=settings, limit_s=_LIMIT_S
    )
    with suppress(InputFault):
        try:
            choose_sling(request, clock=time.monotonic, first=found, sooner=True)
        except _Found:
            return True
    return False
