"""Instances with known optima: Falkenauer's (OR-Library), and this project's own certified ones.

Sources and terms: tests/data/SOURCES.md, "cutting". Every plan is recounted by `tests/judge/cut_plan.py`,
which shares nothing with the planner.
"""

from __future__ import annotations

import json
import time
from pathlib import Path
from typing import Any

import pytest

from slingwright.make.cutting import cut_answer, read_cut_text
from slingwright.make.cutting.solve import solve_cut
from tests.judge.cut_plan import recount

DATA = Path(__file__).parents[1] / "data" / "cutting"
LONG_ENOUGH_S = 60.0  # a busy machine; each takes well under a second on a quiet one


def _lines(name: str) -> list[str]:
    return (DATA / name).read_text(encoding="utf-8").splitlines()


ROLLS = _lines("falkenauer.jsonl") + _lines("own.jsonl")
SHOP = _lines("shop.jsonl")


def _solve(line: str) -> tuple[dict[str, Any], dict[str, Any]]:
    request = read_cut_text(line)
    plan = solve_cut(request.problems[0], time_limit_s=LONG_ENOUGH_S, clock=time.monotonic)
    return json.loads(line), json.loads(json.dumps(cut_answer(request, [plan], [0.0])))


@pytest.mark.parametrize("line", ROLLS, ids=lambda line: json.loads(line)["name"])
def test_rolls_counted_at_the_known_optimum(line: str) -> None:
    instance, answer = _solve(line)
    assert recount(instance, answer) == answer["cost"] == answer["rolls"] == instance["optimum"]
    assert (answer["status"], answer["bound"], answer["gap"]) == ("optimal", instance["optimum"], 0)


@pytest.mark.parametrize("line", SHOP, ids=lambda line: json.loads(line)["name"])
def test_shop_day_at_its_certified_optimum(line: str) -> None:
    instance, answer = _solve(line)
    assert recount(instance, answer) == answer["cost"] == answer["bound"]
    if instance["optimum"] is None:  # best known only: never above it
        assert answer["cost"] <= instance["best_known"]
    else:
        assert answer["cost"] == instance["optimum"]
