"""The options that say a sling: the same words wherever one is asked for."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

__all__ = ["SlingSaid"]


@Parameter(name="*")
@dataclass(frozen=True, slots=True, kw_only=True)
class SlingSaid:
    """Which sling. All are text here: the use-case tells all faults at once, and what else it takes."""

    form: Annotated[
        str | None,
        Parameter(help="triangle-choker, triangle-triangle, flat-eye, twisted-eye or endless."),
    ] = None

    fibre: Annotated[str | None, Parameter(help="polyester or nylon.")] = None

    webbing_class: Annotated[
        str | None,
        Parameter(name="--class", help="Webbing class: 5 or 7. A quote takes the highest kept, and says so."),
    ] = None

    plies: Annotated[str | None, Parameter(help="Layers of webbing in the body.")] = None

    width: Annotated[str | None, Parameter(help='Webbing width with its unit: "3 in", "60 mm".')] = None
