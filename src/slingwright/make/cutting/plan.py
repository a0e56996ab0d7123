"""The cut plan as a value: which roll gives which pieces, the cost, the proof, where the webbing goes."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.make.cutting.problem import CutProblem

__all__ = ["INFEASIBLE", "NO_PLAN_YET", "CutPlan", "MountedRoll", "Scrap", "Tidiness", "Wishes"]

OPTIMAL = "optimal"
FEASIBLE = "feasible"
INFEASIBLE = "infeasible"
NO_PLAN_YET = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class MountedRoll:
    """A roll of the stock mounted and cut so; `times` equal ones.

    `pieces` = (index of the piece in the problem, how many) for each line cut from it, longest first.
    """

    stock_index: int
    times: int
    pieces: tuple[tuple[int, int], ...]
    leftover_mm: int

    def cut(self, problem: CutProblem) -> dict[int, int]:
        """Length [mm] -> how many of it, longest first."""
        cut: dict[int, int] = {}
        for index, count in self.pieces:
            length = problem.pieces[index].length_mm
            cut[length] = cut.get(length, 0) + count
        return dict(sorted(cut.items(), reverse=True))


@dataclass(frozen=True, slots=True, kw_only=True)
class Scrap:
    """Where the webbing of the mounted rolls went [mm]; the five parts add up to `mounted_mm` exactly."""

    mounted_mm: int
    pieces_mm: int
    kerf_mm: int
    trim_mm: int
    short_ends_mm: int
    remnants_mm: int

    @property
    def yield_share(self) -> float | None:
        """Pieces over webbing used up; a leftover counts as used unless it is a usable remnant."""
        used = self.mounted_mm - self.remnants_mm
        return self.pieces_mm / used if used else None


@dataclass(frozen=True, slots=True, kw_only=True)
class Tidiness:
    """How a plan suits the floor; the less the better.

    `extra_rolls` = rolls beyond the first that an order is cut from, in sum over the orders. `urgent_wait`
    = rolls cut until an order is finished, times the orders that are due after it, in sum. `most_open` = most
    orders begun and not finished after any roll.
    """

    extra_rolls: int
    urgent_wait: int
    most_open: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Wishes:
    """The second stage: the first one's cost and plan, what a tidier plan may cost, how tidy both are."""

    least_cost: int
    most_cost: int
    before: Tidiness
    after: Tidiness


@dataclass(frozen=True, slots=True, kw_only=True)
class CutPlan:
    """The answer for one webbing. `cost`, `bound` in mm of new webbing, or in rolls where only rolls count.

    status `optimal`: bound = least cost. `feasible`: the time ran out before that. `infeasible`: proved that
    the stock does not suffice. `unknown`: no whole plan found in time. The last two cut nothing. The least
    cost is the plan's own, but for what is spent on wishes.
    """

    problem: CutProblem
    status: str
    cost: int | None
    bound: int | None
    rolls: tuple[MountedRoll, ...]
    uncut: tuple[tuple[int, int], ...]
    scrap: Scrap
    remnants_consumed: int
    remnants_created: int
    orders_split: tuple[str, ...]
    groups_split: tuple[str, ...]
    wishes: Wishes | None = None

    @property
    def least_cost(self) -> int | None:
        """Cost of the cheapest plan found."""
        return self.wishes.least_cost if self.wishes else self.cost

    @property
    def spent(self) -> int:
        """What this plan costs above the cheapest found, for the wishes' sake."""
        return self.cost - self.wishes.least_cost if self.wishes and self.cost is not None else 0

    @property
    def gap(self) -> int | None:
        """What could be saved of the least cost at most; 0 = proved that no plan costs less."""
        return None if self.least_cost is None or self.bound is None else self.least_cost - self.bound

    @property
    def rolls_mounted(self) -> int:
        """Number of rolls and remnants mounted."""
        return sum(roll.times for roll in self.rolls)
