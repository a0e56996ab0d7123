"""The problem as the planner sees it: equal pieces and equal stock, in units of their common measure.

Lengths carry their kerf, rooms have the head trimmed and one kerf added (the last cut may be the roll's end).
Pieces that must stay together become one compound piece; one longer than the longest roll is split first.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from functools import lru_cache
from math import gcd

import numpy as np
import numpy.typing as npt

from slingwright.make.cutting.problem import CutProblem, Piece, Practice

__all__ = ["Bundle", "Model", "Residual", "build_model"]

IntArray = npt.NDArray[np.int64]
Bundle = tuple[tuple[int, int], ...]  # (index of the piece in the problem, how many of it) cut as one

_WIDEST_COST_BITS = 36  # scaled costs stay near 2**36: sums of them are far inside 63 bits


@dataclass(frozen=True, slots=True, kw_only=True)
class Model:
    """Integer program data: n kinds of piece and g lengths of stock (both longest first), c classes of use.

    A length of stock is used in one of two ways: cut to the end, its leftover worth nothing (`keeps` False),
    or cut so that a usable remnant stays (`keeps` True; its room is smaller by the least remnant). Counting
    the two apart makes the worth concave within a class, so that a relaxation cannot profit from its jump.

    weight, demand, uncut_cost (n,), must (n,) bool; length_room, supply (g,); group, keeps, room, base (c,);
    worth = of the room left over in a class that keeps (largest such room + 1,). `bundles[i]` lists the
    bundles that kind i stands for, `shelf[g]` the stock indices of a length with their counts, `scale` is the
    power of two by which costs are multiplied inside.
    """

    weight: IntArray
    demand: IntArray
    must: npt.NDArray[np.bool_]
    uncut_cost: IntArray
    bundles: tuple[tuple[Bundle, ...], ...]
    length_room: IntArray
    supply: IntArray
    least_kept: int
    group: IntArray
    keeps: npt.NDArray[np.bool_]
    room: IntArray
    base: IntArray
    worth: IntArray
    shelf: tuple[tuple[tuple[int, int], ...], ...]
    scale: int
    counts_rolls: bool
    missing_cost: int
    split: tuple[str, ...]

    def costs(self, patterns: IntArray, classes: IntArray) -> IntArray:
        """Fall in the stock's worth by each pattern (k, n) of its class (k,) [cost units]."""
        left = self.room[classes] - patterns @ self.weight
        kept = self.keeps[classes]
        result: IntArray = self.base[classes] - np.where(kept, self.worth[np.where(kept, left, 0)], 0)
        return result

    def classes_of(self, patterns: IntArray, groups: IntArray) -> IntArray:
        """Class in which each pattern (k, n) of its length of stock (k,) costs least."""
        left = self.length_room[groups] - patterns @ self.weight
        keeping = np.full(self.length_room.size, -1, np.int64)
        keeping[self.group[self.keeps]] = np.flatnonzero(self.keeps)
        found: IntArray = np.where(
            (left >= self.least_kept) & (keeping[groups] >= 0), keeping[groups], groups
        )
        return found

    def everything(self) -> Residual:
        """The whole problem as what is left to do."""
        most = self.supply[self.group]
        return Residual(self.demand, self.supply, np.zeros_like(most), most)


@dataclass(frozen=True, slots=True)
class Residual:
    """What is left to cut (n,) and on the shelf (g,), how often each class must and may be used (c,)."""

    demand: IntArray
    supply: IntArray
    least: IntArray
    most: IntArray


def build_model(problem: CutProblem) -> Model:
    """Gather equal pieces and equal stock; every length in units of the common measure of all of them."""
    kerf = problem.kerf_mm
    rooms_mm = [s.length_mm - problem.head_trim_mm + kerf for s in problem.stock]
    bundles, split = _bundles(problem, max(rooms_mm, default=0))
    weights_mm = [sum((problem.pieces[i].length_mm + kerf) * n for i, n in b) for b in bundles]
    unit = 0
    for length in weights_mm if problem.practice is None else weights_mm + rooms_mm:
        unit = gcd(unit, length)
    unit = unit or 1
    kinds: dict[tuple[int, int], list[Bundle]] = defaultdict(list)
    for bundle, weight in zip(bundles, weights_mm, strict=True):
        kinds[-weight // unit, _uncut_cost(problem, bundle)].append(bundle)
    keys = sorted(kinds)
    shelf: dict[int, list[tuple[int, int]]] = defaultdict(list)
    for index, (stock, room) in enumerate(zip(problem.stock, rooms_mm, strict=True)):
        if room > 0:
            shelf[room].append((index, len(bundles) if stock.count is None else stock.count))
    sizes = sorted(shelf, reverse=True)
    price = [_price_of(problem, shelf[r][0][0]) for r in sizes]
    supply = [sum(count for _, count in shelf[r]) for r in sizes]
    stock_cost = sum(b * u for b, u in zip(price, supply, strict=True))
    missing = 1 + stock_cost + sum(c * len(kinds[w, c]) for w, c in keys if c >= 0)
    rooms = [r // unit for r in sizes]
    least_kept = _least_kept(problem, unit)
    keeping = [] if least_kept is None else [g for g, room in enumerate(rooms) if room > least_kept]
    group = [*range(len(rooms)), *keeping]
    return Model(
        weight=np.array([-w for w, _ in keys], np.int64),
        demand=np.array([len(kinds[k]) for k in keys], np.int64),
        must=np.array([c < 0 for _, c in keys], np.bool_),
        uncut_cost=np.array([c if c >= 0 else missing for _, c in keys], np.int64),
        bundles=tuple(tuple(kinds[k]) for k in keys),
        length_room=np.array(rooms, np.int64),
        supply=np.array(supply, np.int64),
        least_kept=least_kept or 0,
        group=np.array(group, np.int64),
        keeps=np.array([at >= len(rooms) for at in range(len(group))], np.bool_),
        room=np.array([*rooms, *(rooms[g] - (least_kept or 0) for g in keeping)], np.int64),
        base=np.array([price[g] for g in group], np.int64),
        worth=_worth_table(problem, unit, least_kept or 0, max((rooms[g] for g in keeping), default=0)),
        shelf=tuple(tuple(shelf[r]) for r in sizes),
        scale=1 << max(_WIDEST_COST_BITS - max([*price, 1]).bit_length(), 0),
        counts_rolls=problem.practice is None and len(sizes) == 1,
        missing_cost=missing,
        split=split,
    )


def _uncut_cost(problem: CutProblem, bundle: Bundle) -> int:
    """Cost of leaving a bundle uncut, -1 if it must be cut (one piece that must be cut binds its bundle)."""
    costs = [problem.pieces[i].uncut_cost_mm for i, _ in bundle]
    if any(c is None for c in costs):
        return -1
    return sum(c * n for c, (_, n) in zip(costs, bundle, strict=True) if c is not None)


def _price_of(problem: CutProblem, index: int) -> int:
    if problem.practice is None:
        return 1
    return problem.practice.worth_mm(problem.stock[index].length_mm) + problem.practice.mount_cost_mm


def _least_kept(problem: CutProblem, unit: int) -> int | None:
    """Least room left over that is a usable remnant; the kerf added to the room is not webbing."""
    if problem.practice is None:
        return None
    return -(-(problem.practice.remnant_min_mm + problem.practice.kerf_mm) // unit)


def _worth_table(problem: CutProblem, unit: int, least_kept: int, room: int) -> IntArray:
    """Worth of each room left over beyond the least that is kept."""
    if problem.practice is None or room <= least_kept:
        return np.zeros(1, np.int64)
    return _worths(problem.practice, unit, least_kept, room).copy()


@lru_cache(maxsize=8)  # the second stage asks for the same one at each of its tries
def _worths(practice: Practice, unit: int, least_kept: int, room: int) -> IntArray:
    """`Practice.worth_mm` of many rooms at once, where the machine's integers hold its products."""
    lengths = np.arange(least_kept, room + 1, dtype=np.int64) * unit - practice.kerf_mm
    if practice.discount_mm * practice.full_length_mm**2 > np.iinfo(np.int64).max:
        return np.array([practice.worth_mm(int(one)) for one in lengths], np.int64)
    short_of_full = np.maximum(practice.full_length_mm - lengths, 0)
    worth: IntArray = lengths - practice.discount_mm * short_of_full**2 // practice.full_length_mm**2
    worth[lengths < practice.remnant_min_mm] = 0
    return worth


def _bundles(problem: CutProblem, room_mm: int) -> tuple[list[Bundle], tuple[str, ...]]:
    """One bundle a piece, or one a group that must stay together; a group too long is split, and named."""
    bundles: list[Bundle] = []
    groups: dict[str, list[int]] = defaultdict(list)
    for index, piece in enumerate(problem.pieces):
        if piece.together:
            groups[piece.together].append(index)
        else:
            bundles.extend([((index, 1),)] * piece.quantity)
    split: list[str] = []
    for name, members in groups.items():
        parts = _split_group(problem.pieces, members, problem.kerf_mm, room_mm)
        bundles.extend(parts)
        if len(parts) > 1:
            split.append(name)
    return bundles, tuple(split)


def _split_group(pieces: tuple[Piece, ...], members: list[int], kerf_mm: int, room_mm: int) -> list[Bundle]:
    """Longest first into the first part with room: one part if the whole group fits the longest roll."""
    parts: list[tuple[int, dict[int, int]]] = []
    for index in sorted(members, key=lambda i: (-pieces[i].length_mm, i)):
        need = pieces[index].length_mm + kerf_mm
        for _ in range(pieces[index].quantity):
            for at, (used, held) in enumerate(parts):
                if used + need <= room_mm:
                    held[index] = held.get(index, 0) + 1
                    parts[at] = (used + need, held)
                    break
            else:
                parts.append((need, {index: 1}))
    return [tuple(sorted(held.items())) for _, held in parts]
