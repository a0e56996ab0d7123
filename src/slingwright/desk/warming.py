"""One search before anyone asks: what a first one finds cold costs it half as much again."""

from __future__ import annotations

import json
import time
from contextlib import suppress
from typing import TYPE_CHECKING

from slingwright.errors import InputFault

if TYPE_CHECKING:
    from slingwright.usecases.choose_sling import Chosen
    from slingwright.usecases.settings import Settings

__all__ = ["search_once"]

_LIMIT_S = 2.0


class _Found(Exception):  # noqa: N818  (that is all)
    """The best is known."""


def search_once(settings: Settings) -> bool:
    """Search for the best for an example's lift; whether it was found: a shop may have none."""
    from slingwright.desk.api.examples import SMALL
    from slingwright.usecases.choose_sling import ChooseRequest, choose_sling

    def found(best: Chosen) -> None:
        raise _Found

    lift = {**SMALL["lift"], "rulebook": settings.rulebook or SMALL["lift"]["rulebook"]}
    request = ChooseRequest(
        content=json.dumps(lift).encode(), file="lift.json", folder=None, settings=settings, limit_s=_LIMIT_S
    )
    with suppress(InputFault):
        try:
            choose_sling(request, clock=time.monotonic, first=found, sooner=True)
        except _Found:
            return True
    return False
