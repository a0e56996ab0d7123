"""The columns found so far: patterns, their classes and costs, each kept once."""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.model import Model

__all__ = ["Columns", "Picks"]

IntArray = npt.NDArray[np.int64]
Picks = dict[int, int]  # column -> how often it is cut


class Columns:
    """A growing list of patterns, in the order found; equal patterns of one class share an index."""

    def __init__(self, model: Model) -> None:
        self.model = model
        self._index: dict[bytes, int] = {}
        self._patterns = np.zeros((256, model.weight.size), np.int64)
        self._classes = np.zeros(256, np.int64)
        self._costs = np.zeros(256, np.int64)
        self.size = 0

    @property
    def patterns(self) -> IntArray:
        """All patterns (size, n)."""
        return self._patterns[: self.size]

    @property
    def classes(self) -> IntArray:
        """Class of stock of each pattern (size,)."""
        return self._classes[: self.size]

    @property
    def costs(self) -> IntArray:
        """Cost of each pattern (size,)."""
        return self._costs[: self.size]

    def add(self, patterns: IntArray, classes: IntArray) -> list[int]:
        """Index of each pattern given, new or old."""
        costs = self.model.costs(patterns, classes)
        where: list[int] = []
        for pattern, stock_class, cost in zip(patterns, classes, costs, strict=True):
            key = pattern.astype(np.int32).tobytes() + int(stock_class).to_bytes(2, "little")
            at = self._index.get(key)
            if at is None:
                at = self._append(key, pattern, int(stock_class), int(cost))
            where.append(at)
        return where

    def add_best(self, patterns: IntArray, groups: IntArray) -> list[int]:
        """Index of each pattern, in the class of its length of stock (k,) that costs least."""
        return self.add(patterns, self.model.classes_of(patterns, groups))

    def _append(self, key: bytes, pattern: IntArray, stock_class: int, cost: int) -> int:
        at = self.size
        if at == self._classes.size:
            self._patterns = np.concatenate([self._patterns, np.zeros_like(self._patterns)])
            self._classes = np.concatenate([self._classes, np.zeros_like(self._classes)])
            self._costs = np.concatenate([self._costs, np.zeros_like(self._costs)])
        self._patterns[at], self._classes[at], self._costs[at] = pattern, stock_class, cost
        self._index[key] = at
        self.size = at + 1
        return at

    def cost_of(self, picks: Picks) -> int:
        """Cost of a plan, uncut pieces included (a piece that must be cut costs `missing_cost`)."""
        done = np.zeros(self.model.weight.size, np.int64)
        cost = 0
        for at, times in picks.items():
            done += times * self._patterns[at]
            cost += times * int(self._costs[at])
        uncut = np.maximum(self.model.demand - done, 0)
        return cost + int(uncut @ self.model.uncut_cost)

    def trim(self, picks: Picks) -> Picks:
        """The same plan with nothing cut twice over: surplus pieces leave their pattern, never at a cost."""
        over = sum((times * self._patterns[at] for at, times in picks.items()), start=-self.model.demand)
        trimmed: Picks = {}
        for at, times in sorted(picks.items()):
            for _ in range(times):
                pattern = self._patterns[at]
                spare = np.minimum(pattern, np.maximum(over, 0))
                kept = pattern - spare
                over = over - spare
                if kept.any():
                    (new,) = self.add_best(kept[None, :], self.model.group[self._classes[at : at + 1]])
                    trimmed[new] = trimmed.get(new, 0) + 1
        return trimmed
