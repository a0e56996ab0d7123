"""Branch and bound on how often each class of stock is used; for plans where leftovers have a worth.

A relaxation may mount 3.4 rolls and leave 0.6 of a remnant. How many rolls of each length are cut to the end,
and how many leave a remnant, are whole numbers: fixing them costs the pricing nothing and takes most of the
gap. What is left of it is small enough to write every column within reach out.
"""

from __future__ import annotations

import heapq
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.dive import dive
from slingwright.make.cutting.enumeration import columns_within_reach
from slingwright.make.cutting.master import Master, pick_integers
from slingwright.make.cutting.model import Residual
from slingwright.make.cutting.pricing import Relaxation, relax
from slingwright.make.cutting.quick import fill_chosen

__all__ = ["Branching"]

IntArray = npt.NDArray[np.int64]

_NO_ROUND_LIMIT = 1 << 30
_FEW_COLUMNS = 400
_MANY_COLUMNS = 10_000
_STEPS = 16
_WHOLE = 1e-6


@dataclass(frozen=True, slots=True)
class Branching:
    """The tree's surroundings: how to offer a plan, and what the cheapest costs by now."""

    master: Master
    offer: Callable[[Picks | None], None]
    cost: Callable[[], int]
    seconds_left: Callable[[], float]

    @property
    def columns(self) -> Columns:
        """The columns found so far."""
        return self.master.columns

    def _out_of_time(self) -> bool:
        return self.seconds_left() <= 0

    def run(self, bound: int) -> int:
        """Search from the root, best bound first; returns the bound proved for the whole problem."""
        root = self.columns.model.everything()
        open_nodes: list[tuple[int, int, Residual]] = [(bound, 0, root)]
        left_open = self.cost()  # least bound of the nodes that could not be settled
        made = 0
        while open_nodes and open_nodes[0][0] < self.cost():
            bound, _, node = open_nodes[0]
            if self._out_of_time():
                return min(bound, left_open)
            heapq.heappop(open_nodes)
            relaxed = self._relax(node)
            if relaxed.bound >= self.cost() or self._settle(node, relaxed, _FEW_COLUMNS):
                continue
            if self._out_of_time():
                return min(bound, left_open)
            self.offer(fill_chosen(self.columns, relaxed.cut))
            children = self._split(node, relaxed)
            if not children:
                left_open = min(left_open, self._settle_whole(node, relaxed))
                continue
            self._dive(node)
            for child in children:
                made += 1
                heapq.heappush(open_nodes, (max(bound, relaxed.bound), made, child))
        return min(self.cost(), left_open)

    def _relax(self, node: Residual) -> Relaxation:
        self.master.load()
        self.master.restrict(node, np.zeros(self.columns.size, np.bool_))
        return relax(
            self.master,
            node,
            enough=self.cost(),
            give_up=_NO_ROUND_LIMIT,
            out_of_time=self._out_of_time,
            primal=False,
        )

    def _dive(self, node: Residual) -> None:
        cost = self.cost()
        self.offer(dive(self.master, cutoff=cost, goal=0, out_of_time=self._out_of_time, turns=0, start=node))

    def _settle_whole(self, node: Residual, relaxed: Relaxation) -> int:
        """Settle a node with nothing left to branch on; returns the bound proved for it.

        In rising steps: first only plans just above the bound are asked for, so that few columns are within
        reach; a step without a plan raises the bound, a step with one settles the node.
        """
        self._dive(node)
        bound = relaxed.bound
        step = max((self.cost() - bound) // _STEPS, 1)
        while bound < self.cost():
            target = min(bound + step, self.cost() - 1, self.columns.model.missing_cost - 1)
            if target < bound:
                return bound
            chosen = columns_within_reach(self.columns, node, relaxed.prices, target, _MANY_COLUMNS)
            if chosen is None:
                return bound
            picks, proved = pick_integers(
                self.columns, chosen, node, seconds=self.seconds_left(), cutoff=target + 1
            )
            self.offer(picks)
            if not proved:
                return bound
            if picks is not None:
                return self.cost()
            bound = target + 1
            step *= 2
        return bound

    def _settle(self, node: Residual, relaxed: Relaxation, most: int) -> bool:
        """Find the node's best plan among all columns within reach of it, if they are at most so many."""
        target = min(self.cost(), self.columns.model.missing_cost) - 1
        chosen = columns_within_reach(self.columns, node, relaxed.prices, target, most)
        if chosen is None:
            return False
        picks, proved = pick_integers(
            self.columns, chosen, node, seconds=self.seconds_left(), cutoff=target + 1
        )
        self.offer(picks)
        return proved

    def _split(self, node: Residual, relaxed: Relaxation) -> list[Residual]:
        """Two nodes that part on the class used most nearly half a time too often; none if all are whole."""
        uses = np.zeros(node.most.size)
        np.add.at(uses, self.columns.classes[: relaxed.cut.size], relaxed.cut)
        fraction = uses - np.floor(uses + _WHOLE)
        if fraction.max() <= _WHOLE:
            return []
        at = int(np.argmin(np.round(np.abs(fraction - 0.5), 6)))
        down, up = node.most.copy(), node.least.copy()
        down[at] = int(np.floor(uses[at]))
        up[at] = int(np.floor(uses[at])) + 1
        return [replace(node, most=down), replace(node, least=up)]
