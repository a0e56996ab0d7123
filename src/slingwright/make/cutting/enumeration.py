"""Every column that a cheaper plan could hold: where the list is complete, its integer program proves."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._fill import enumerate_full_patterns
from slingwright.make.cutting._kernel import enumerate_patterns, table_of_values
from slingwright.make.cutting.columns import Columns
from slingwright.make.cutting.model import Model, Residual
from slingwright.make.cutting.pricing import class_rents

__all__ = ["columns_within_reach", "full_columns"]

IntArray = npt.NDArray[np.int64]

_TABLE_CELLS = 30_000_000  # 240 MB
_FULL_TABLE_BYTES = 100_000_000
_SPARE_SHARE = 20


def full_columns(columns: Columns, rolls: int, most: int) -> IntArray | None:
    """Every pattern that a plan of so many equal rolls may hold; None if there are more than `most`.

    Such a plan wastes only what its rolls are longer than all pieces together: no pattern may waste more.
    """
    model = columns.model
    room = int(model.room[0])
    spare = rolls * room - int(model.weight @ model.demand)
    if (model.weight.size + 1) * (room + 1) > _FULL_TABLE_BYTES or not 0 <= spare <= room // _SPARE_SHARE:
        return None
    patterns, complete = enumerate_full_patterns(model.weight, model.demand, room, spare, most)
    if not complete:
        return None
    return np.array(columns.add(patterns, np.zeros(len(patterns), np.int64)), np.int64)


def columns_within_reach(
    columns: Columns, residual: Residual, prices: IntArray, target: int, most: int
) -> IntArray | None:
    """Every column that a plan of cost `target` or less may hold; None if there are more than `most`.

    With prices that prove a bound, a plan costs the bound plus the reduced costs of its columns, none of
    them negative: a column whose own exceeds `target` less the bound is in no such plan. All in integers.
    """
    model = columns.model
    scale = model.scale
    if (model.weight.size + 1) * (int(model.room[0]) + 1) > _TABLE_CELLS:
        return None
    tables = _tables(model, prices)
    if model.counts_rolls and int(tables[0][1][0, -1]) > scale:
        prices = np.floor(np.maximum(prices * (scale / int(tables[0][1][0, -1])) - 1, 0)).astype(np.int64)
        tables = _tables(model, prices)
    best = np.array([tables[int(k)][1][0, r] for k, r in zip(model.keeps, model.room, strict=True)])
    share, rent = class_rents(model, residual, model.base * scale - best)
    bound = int(prices @ model.demand) + share
    bound += int(np.minimum(model.uncut_cost * scale - prices, 0) @ model.demand)
    slack = target * scale - bound
    found: set[int] = set()
    for c in range(model.room.size):
        worth, table = tables[int(model.keeps[c])]
        needed = int(model.base[c] * scale - rent[c] - slack)
        patterns, complete = enumerate_patterns(
            model.weight, prices, model.demand, int(model.room[c]), worth, needed, table, most
        )
        if not complete or len(found) + len(patterns) > most:
            return None
        patterns = patterns[patterns.any(axis=1)]
        found.update(columns.add(patterns, np.full(len(patterns), c, np.int64)))
    return np.array(sorted(found), np.int64)


def _tables(model: Model, prices: IntArray) -> list[tuple[IntArray, IntArray]]:
    """Terminal worth and table of values: of rolls cut to the end, and of rolls that leave a remnant."""
    nothing = np.zeros(int(model.room[0]) + 1, np.int64)
    worths = [nothing, model.worth * model.scale]
    return [
        (w, table_of_values(model.weight, prices, model.demand, w.size - 1, w))
        for w in worths[: 1 + int(model.keeps.any())]
    ]
