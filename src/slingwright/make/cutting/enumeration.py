"""Every column that a cheaper plan could hold: where the list is complete, its integer program proves."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting._fill import enumerate_full_patterns
from slingwright.make.cutting._kernel import enumerate_patterns, table_of_values
from slingwright.make.cutting.columns import Columns

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


def columns_within_reach(columns: Columns, prices: IntArray, target: int, most: int) -> IntArray | None:
    """Every column that a plan of cost `target` or less may hold; None if there are more than `most`.

    With prices that prove a bound, a plan costs the bound plus the reduced costs of its columns, none of
    them negative: a column whose own exceeds `target` less the bound is in no such plan. All in integers.
    """
    model = columns.model
    scale = model.scale
    room = int(model.room[0])
    if (model.weight.size + 1) * (room + 1) > _TABLE_CELLS:
        return None
    worth = model.worth * scale
    table = table_of_values(model.weight, prices, model.demand, room, worth)
    dearest = int(table[0, room])
    if model.counts_rolls and dearest > scale:
        prices = np.floor(np.maximum(prices * (scale / dearest) - 1, 0)).astype(np.int64)
        table = table_of_values(model.weight, prices, model.demand, room, worth)
    rent = np.minimum(model.base * scale - table[0, model.room], 0)
    bound = int(prices @ model.demand) + int(rent @ model.supply)
    bound += int(np.minimum(model.uncut_cost * scale - prices, 0) @ model.demand)
    slack = target * scale - bound
    found: set[int] = set()
    for s in range(model.room.size):
        needed = int(model.base[s] * scale - rent[s] - slack)
        patterns, complete = enumerate_patterns(
            model.weight, prices, model.demand, int(model.room[s]), worth, needed, table, most
        )
        if not complete or len(found) + len(patterns) > most:
            return None
        patterns = patterns[patterns.any(axis=1)]
        found.update(columns.add(patterns, np.full(len(patterns), s, np.int64)))
    return np.array(sorted(found), np.int64)
