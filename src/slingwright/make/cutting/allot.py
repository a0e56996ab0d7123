"""From patterns to a list a cutter can follow: whose piece comes from which roll, and in what sequence.

Costs nothing and changes no pattern: equal pieces are handed to orders so that few orders are spread over
several rolls, and rolls with the most urgent pieces are mounted first.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field

from slingwright.make.cutting.columns import Columns, Picks
from slingwright.make.cutting.model import Model
from slingwright.make.cutting.plan import MountedRoll, Scrap
from slingwright.make.cutting.problem import CutProblem

__all__ = ["account", "allot", "orders_over_rolls"]


@dataclass(slots=True)
class _Open:
    """One physical roll: how many bundles of each kind it gives, and to whom they went so far."""

    stock_index: int
    room: dict[int, int]
    orders: Counter[str] = field(default_factory=Counter)
    pieces: Counter[int] = field(default_factory=Counter)


def allot(problem: CutProblem, columns: Columns, picks: Picks) -> tuple[MountedRoll, ...]:
    """Mounted rolls in the order of cutting: earliest due first, then longest stock first."""
    model = columns.model
    rolls = _physical_rolls(model, columns, picks)
    for kind, bundles in enumerate(model.bundles):
        _share(problem, rolls, kind, bundles)
    grouped: Counter[tuple[str, int, int, tuple[tuple[int, int], ...]]] = Counter()
    for roll in rolls:
        pieces = tuple(sorted(roll.pieces.items(), key=lambda p: (-problem.pieces[p[0]].length_mm, p[0])))
        due = min((problem.pieces[i].due or "~" for i, _ in pieces), default="~")
        grouped[due, -problem.stock[roll.stock_index].length_mm, roll.stock_index, pieces] += 1
    return tuple(
        MountedRoll(
            stock_index=index, times=times, pieces=pieces, leftover_mm=_leftover(problem, index, pieces)
        )
        for (_, _, index, pieces), times in sorted(grouped.items())
    )


def _physical_rolls(model: Model, columns: Columns, picks: Picks) -> list[_Open]:
    """One entry a roll to mount; equal stock is taken in the order of the shelf."""
    shelf = {s: [index for index, count in c for _ in range(count)] for s, c in enumerate(model.shelf)}
    taken: Counter[int] = Counter()
    rolls: list[_Open] = []
    for at, times in sorted(picks.items(), key=lambda p: p[0]):
        stock_class = int(model.group[columns.classes[at]])
        pattern = columns.patterns[at]
        for _ in range(times):
            index = shelf[stock_class][taken[stock_class]]
            taken[stock_class] += 1
            rolls.append(_Open(index, {int(k): int(pattern[k]) for k in pattern.nonzero()[0]}))
    return rolls


def _share(
    problem: CutProblem, rolls: list[_Open], kind: int, bundles: tuple[tuple[tuple[int, int], ...], ...]
) -> None:
    """Hand the bundles of one kind to rolls: most urgent first, into a roll that already has the order."""
    waiting: dict[tuple[tuple[int, int], ...], int] = Counter(bundles)
    ordered = sorted(waiting, key=lambda b: (problem.pieces[b[0][0]].due or "~", b))
    for bundle in ordered:
        order = problem.pieces[bundle[0][0]].order
        need = waiting[bundle]
        while need:
            having = [r for r in rolls if r.room.get(kind, 0) > 0]
            if not having:
                break  # the rest stays uncut
            roll = max(having, key=lambda r: (r.orders[order] > 0, min(r.room[kind], need), -r.room[kind]))
            give = min(roll.room[kind], need)
            roll.room[kind] -= give
            roll.orders[order] += give
            for index, count in bundle:
                roll.pieces[index] += give * count
            need -= give


def _leftover(problem: CutProblem, index: int, pieces: tuple[tuple[int, int], ...]) -> int:
    """What stays on the roll [mm]; the last cut's kerf may be narrower where the piece ends the roll."""
    used = sum((problem.pieces[i].length_mm + problem.kerf_mm) * n for i, n in pieces)
    return max(problem.stock[index].length_mm - problem.head_trim_mm - used, 0)


def account(problem: CutProblem, rolls: tuple[MountedRoll, ...]) -> Scrap:
    """Follow every millimetre of the mounted rolls."""
    least = problem.practice.remnant_min_mm if problem.practice else None
    sums: Counter[str] = Counter()
    for roll in rolls:
        length = problem.stock[roll.stock_index].length_mm
        pieces = sum(problem.pieces[i].length_mm * n for i, n in roll.pieces)
        usable = least is not None and roll.leftover_mm >= least
        sums["mounted"] += roll.times * length
        sums["pieces"] += roll.times * pieces
        sums["kerf"] += roll.times * (length - problem.head_trim_mm - pieces - roll.leftover_mm)
        sums["remnants" if usable else "short"] += roll.times * roll.leftover_mm
        sums["trim"] += roll.times * problem.head_trim_mm
    return Scrap(
        mounted_mm=sums["mounted"],
        pieces_mm=sums["pieces"],
        kerf_mm=sums["kerf"],
        trim_mm=sums["trim"],
        short_ends_mm=sums["short"],
        remnants_mm=sums["remnants"],
    )


def orders_over_rolls(problem: CutProblem, rolls: tuple[MountedRoll, ...]) -> tuple[str, ...]:
    """Orders whose pieces come from more than one roll, by name."""
    places: dict[str, int] = defaultdict(int)
    for roll in rolls:
        for order in {problem.pieces[i].order for i, _ in roll.pieces}:
            places[order] += roll.times
    return tuple(sorted(order for order, count in places.items() if count > 1 and order))
