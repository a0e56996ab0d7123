"""The cut plan as a value: which roll gives which pieces, the cost, the proof, where the webbing goes."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.make.cutting.problem import CutProblem

__all__ = ["INFEASIBLE", "NO_PLAN_YET", "CutPlan", "MountedRoll", "Scrap"]

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
class CutPlan:
    """The answer for one webbing. `cost`, `bound` in mm of new webbing, or in rolls where only rolls count.

    status `optimal`: bound = cost. `feasible`: the time ran out, gap = cost − bound. `infeasible`: proved
    that the stock does not suffice. `unknown`: no whole plan found in time. The last two cut nothing.
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

    @property
    def gap(self) -> int | None:
        """What is not proved, in the unit of the cost; 0 = the plan is optimal."""
        return None if self.cost is None or self.bound is None else self.cost - self.bound

    @property
    def rolls_mounted(self) -> int:
        """Number of rolls and remnants mounted."""
        return sum(roll.times for roll in self.rolls)
