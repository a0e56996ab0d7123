"""Judge of a cut plan: reads instance and answer as plain JSON and shares nothing with the planner."""

from __future__ import annotations

from collections import Counter
from typing import Any

Document = dict[str, Any]


def worth(length: int, params: Document) -> int:
    """Worth of a length on the shelf: V(r) = 0 below R, else r − ⌊D (F − r)² / F²⌋."""
    if length < params["remnant_min"]:
        return 0
    full = params["full_length"]
    return length - params["discount"] * max(full - length, 0) ** 2 // full**2


def recount(instance: Document, answer: Document) -> int:
    """Cost of the plan, recounted; fails on any piece too many, too few, too long, or roll too often."""
    params = instance.get("params", {"kerf": 0, "head_trim": 0})
    left = Counter()
    fines: dict[int, list[int]] = {}
    for item in instance["items"]:
        left[item["length"]] += item["quantity"]
        if item.get("uncut_penalty") is not None:
            fines.setdefault(item["length"], []).extend([item["uncut_penalty"]] * item["quantity"])
    mounted = Counter()
    cost = 0
    for row in answer["plan"]:
        used = sum((int(length) + params["kerf"]) * count for length, count in row["cut"].items())
        rest = row["stock_length"] - params["head_trim"] - used
        assert rest >= -params["kerf"], "cut beyond the roll's end"
        assert row["leftover"] == max(rest, 0)
        assert row["times"] >= 1
        assert all(count >= 1 for count in row["cut"].values())
        for length, count in row["cut"].items():
            left[int(length)] -= count * row["times"]
        mounted[row["stock_index"]] += row["times"]
        if "stock" in instance:
            assert instance["stock"][row["stock_index"]]["length"] == row["stock_length"]
            gone = worth(row["stock_length"], params) - worth(row["leftover"], params)
            cost += row["times"] * (gone + params["mount_cost"])
        else:
            assert row["stock_length"] == instance["capacity"]
            cost += row["times"]
    for index, times in mounted.items():
        assert "stock" not in instance or times <= instance["stock"][index]["count"]
    assert {str(length): count for length, count in left.items() if count} == answer["uncut"]
    for length, count in answer["uncut"].items():
        cost += sum(sorted(fines[int(length)])[:count])
    if params.get("keep_orders_together"):
        _orders_stay_together(instance, answer)
    return cost


def _orders_stay_together(instance: Document, answer: Document) -> None:
    """Every order's pieces come from one roll."""
    whole = Counter()
    for item in instance["items"]:
        whole[item["order"]] += item["quantity"]
    for row in answer["plan"]:
        here = Counter()
        for piece in row["pieces"]:
            here[piece["order"]] += piece["count"]
        assert row["times"] == 1
        assert all(here[order] == whole[order] for order in here)
