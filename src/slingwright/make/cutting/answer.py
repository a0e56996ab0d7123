"""The body of the answer document `slingwright/cut-plan/1`: plain values, ready for JSON."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from typing import Any

from slingwright.make.cutting.document import CutRequest
from slingwright.make.cutting.plan import CutPlan, MountedRoll, Wishes

__all__ = ["SCHEMA", "cut_answer", "plan_body"]

SCHEMA = "slingwright/cut-plan/1"


def cut_answer(request: CutRequest, plans: Sequence[CutPlan], seconds: Sequence[float]) -> dict[str, Any]:
    """Body for a whole request: the plan itself, or `plans` with their sums where several were asked for.

    `seconds` are measured by the caller, one for each plan.
    """
    bodies = [plan_body(plan, s) for plan, s in zip(plans, seconds, strict=True)]
    if not request.several:
        return bodies[0]
    statuses = {plan.status for plan in plans}
    worst = next(s for s in ("infeasible", "unknown", "feasible", "optimal") if s in statuses)
    whole = [p for p in plans if p.cost is not None and p.bound is not None]
    complete = len(whole) == len(plans)
    return {
        "status": worst,
        "cost": sum(p.cost or 0 for p in whole) if complete else None,
        "least_cost": sum(p.least_cost or 0 for p in whole) if complete else None,
        "bound": sum(p.bound or 0 for p in whole) if complete else None,
        "gap": sum(p.gap or 0 for p in whole) if complete else None,
        "rolls": sum(p.rolls_mounted for p in plans),
        "plans": bodies,
        "seconds": sum(seconds),
    }


def plan_body(plan: CutPlan, seconds: float) -> dict[str, Any]:
    """One plan. Lengths in mm; cost and bound in mm of new webbing, or in rolls where only rolls count."""
    scrap = plan.scrap
    counts_rolls = plan.problem.practice is None
    return {
        "name": plan.problem.name,
        "status": plan.status,
        "cost": plan.cost,
        "least_cost": plan.least_cost,
        "bound": plan.bound,
        "gap": plan.gap,
        "cost_unit": "rolls" if counts_rolls else "mm of new webbing",
        "rolls": plan.rolls_mounted,
        "plan": [_roll_body(plan, roll) for roll in plan.rolls],
        "uncut": _lengths(plan),
        "scrap": {
            "mounted_mm": scrap.mounted_mm,
            "pieces_mm": scrap.pieces_mm,
            "kerf_mm": scrap.kerf_mm,
            "trim_mm": scrap.trim_mm,
            "short_ends_mm": scrap.short_ends_mm,
            "remnants_mm": scrap.remnants_mm,
            "yield": scrap.yield_share,
        },
        "remnants_consumed": plan.remnants_consumed,
        "remnants_created": plan.remnants_created,
        "orders_split": list(plan.orders_split),
        "groups_split": list(plan.groups_split),
        "wishes": _wishes_body(plan.wishes),
        "seconds": seconds,
    }


def _wishes_body(wishes: Wishes | None) -> dict[str, Any] | None:
    if wishes is None:
        return None
    before, after = wishes.before, wishes.after
    return {
        "most_cost": wishes.most_cost,
        "extra_rolls": after.extra_rolls,
        "extra_rolls_before": before.extra_rolls,
        "urgent_wait": after.urgent_wait,
        "urgent_wait_before": before.urgent_wait,
        "most_open": after.most_open,
        "most_open_before": before.most_open,
    }


def _roll_body(plan: CutPlan, roll: MountedRoll) -> dict[str, Any]:
    stock = plan.problem.stock[roll.stock_index]
    pieces = plan.problem.pieces
    return {
        "stock_length": stock.length_mm,
        "stock_index": roll.stock_index,
        "roll": stock.name,
        "lot": stock.lot,
        "times": roll.times,
        "cut": {str(length): count for length, count in roll.cut(plan.problem).items()},
        "leftover": roll.leftover_mm,
        "pieces": [
            {
                "order": pieces[i].order,
                "due": pieces[i].due or None,
                "length": pieces[i].length_mm,
                "count": n,
            }
            for i, n in roll.pieces
        ],
    }


def _lengths(plan: CutPlan) -> dict[str, int]:
    uncut: Counter[int] = Counter()
    for index, count in plan.uncut:
        uncut[plan.problem.pieces[index].length_mm] += count
    return {str(length): count for length, count in sorted(uncut.items(), reverse=True)}
