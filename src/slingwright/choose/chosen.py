"""Every choice of one sling a leg among the shelf's rows of one kind: what of it needs no lift."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING, NamedTuple

import numpy as np

from slingwright.choose.individual import Apart, ShelfHangs, shelf_hangs, stock_choices
from slingwright.choose.makes import Make
from slingwright.choose.rows import unequal
from slingwright.shop import StockSling
from slingwright.sling import SlingSpec

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = ["Chosen", "Kind", "choose_from", "kinds_of"]


class Kind(NamedTuple):
    """Two rows of the shelf or more whose slings differ in nothing but their length."""

    make: Make
    slings: tuple[StockSling, ...]


class Chosen(NamedTuple):
    """Choices among a kind's slings that a crew can tell apart: their numbers (S, legs) and lengths [m]."""

    kind: Kind
    steps: NDArray[np.int64]
    lengths_m: NDArray[np.float64]
    hangs: ShelfHangs


def kinds_of(stock: Sequence[StockSling]) -> tuple[Kind, ...]:
    """The kinds of the shelf, in the order of their first rows."""
    kinds: dict[SlingSpec, list[StockSling]] = {}
    for sling in stock:
        kinds.setdefault(replace(sling.spec, length_m=1.0), []).append(sling)
    return tuple(Kind(Make.of(spec), tuple(slings)) for spec, slings in kinds.items() if len(slings) > 1)


def choose_from(kind: Kind, legs: int, apart: Apart, step_m: float, base: int) -> Chosen:
    """All choices for so many legs; `step_m` and `base` as `shelf_hangs` has them."""
    steps = stock_choices(kind.slings, legs)
    lengths = np.array([s.spec.length_m for s in kind.slings])[steps]
    told = ~unequal(lengths) | apart.told(lengths)
    steps, lengths = steps[told], lengths[told]
    return Chosen(kind, steps, lengths, shelf_hangs(lengths, step_m, base))
