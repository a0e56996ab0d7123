"""`slingwright cut`: instances and a shop's job through the command; plans judged outside the planner."""

from __future__ import annotations

import copy
import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from slingwright.make.cutting import parse_cut
from tests.system.command import Command, hold_to

DATA = Path(__file__).parents[1] / "data" / "cutting"


def instances(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (DATA / name).read_text().splitlines()]


SHOP = next(
    one for one in instances("shop.jsonl") if one.get("optimum") is not None and len(one["items"]) < 12
)
JOB = """
title = "Thursday"
[practice]
kerf_mm = 10
head_trim_mm = 50
remnant_min_mm = 2000
discount_mm = 500
full_length_mm = 50000
mount_cost_mm = 100
keep_together = "sling"
[[roll]]
webbing = "polyester 2 in"
name = "R1"
lot = "L-2041"
remaining_mm = 50000
[[roll]]
webbing = "polyester 2 in"
name = "R2"
lot = "L-1990"
remaining_mm = 8510
[[piece]]
webbing = "polyester 2 in"
order = "A-17"
sling = "1"
due = "2026-11-27"
length_mm = 4200
quantity = 2
"""


def test_an_instance_reaches_its_certified_optimum(command: Command) -> None:
    """Optimum certified outside (tests/data/SOURCES.md, cutting)."""
    hold_to("cut-problem", SHOP)
    plan = command.answers("cut-plan", "cut", "-", stdin=json.dumps(SHOP))
    assert (plan["status"], plan["cost"], plan["gap"]) == ("optimal", SHOP["optimum"], 0)
    cut: Counter[str] = Counter()
    for line in plan["plan"]:
        for length, count in line["cut"].items():
            cut[length] += count * line["times"]
        used = sum(int(length) * count for length, count in line["cut"].items())
        assert used + line["leftover"] <= line["stock_length"]
    for length, count in plan["uncut"].items():
        cut[length] += count
    wanted: Counter[str] = Counter()
    for item in SHOP["items"]:
        wanted[str(item["length"])] += item["quantity"]
    assert cut == wanted


def test_every_line_of_the_instance_files_is_read_as_it_is() -> None:
    for name in ("own.jsonl", "shop.jsonl"):
        lines = instances(name)
        hold_to("cut-problem", lines)
        assert len(parse_cut(lines).problems) == len(lines)


def test_rolls_only_and_lists(command: Command) -> None:
    small = {"capacity": 10, "items": [{"length": 6, "quantity": 2}, {"length": 4, "quantity": 2}]}
    plan = command.answers("cut-plan", "cut", "-", stdin=json.dumps(small))
    assert (plan["status"], plan["cost_unit"], plan["rolls"]) == ("optimal", "rolls", 2)  # 6 + 4 twice
    lines = "\n".join(json.dumps(small) for _ in range(2))
    both = command.answers("cut-plan", "cut", "-", stdin=lines)
    assert [one["rolls"] for one in both["plans"]] == [2, 2]
    assert both["rolls"] == 4
    assert command.answers("cut-plan", "cut", "-", stdin=json.dumps([small, small]))["cost"] == 4


def test_a_job_in_words_that_can_be_followed(command: Command, tmp_path: Path) -> None:
    """By hand: 2 x 4200 + one kerf of 10 + head trim of 50 = 8460 of the remnant's 8510, 50 left."""
    (tmp_path / "job.toml").write_text(JOB)
    told = command("cut", tmp_path / "job.toml")
    assert told.code == 0
    flat = " ".join(told.out.split())
    assert "Mount 1 of roll R2, lot L-1990, 8510 mm" in flat
    assert "trim 50 mm off the head" in flat
    assert "2 × 4200 mm, order A-17, due 2026-11-27" in flat
    assert "too short to keep" in flat
    assert "This is a plan, not a release" in flat
    assert "R1" not in flat
    document = command.answers("cut-plan", "cut", tmp_path / "job.toml")
    assert document["plans"][0]["plan"][0]["roll"] == "R2"


def test_a_leftover_worth_keeping_goes_back_to_the_shelf(command: Command) -> None:
    told = command("cut", "-", stdin=JOB.replace("remaining_mm = 8510", "remaining_mm = 8400"))
    assert "put it back on the shelf" in " ".join(told.out.split())


def test_rolls_that_do_not_suffice_are_a_stop(command: Command) -> None:
    """Three pieces of 4200 fit on neither roll together with the trim: one roll of 8510 takes two."""
    job = JOB.replace("remaining_mm = 50000", "remaining_mm = 3000").replace("quantity = 2", "quantity = 3")
    document = command.answers(
        "cut-plan", "cut", "-", stdin=job.replace('"sling"\n', '"nothing"\n', 1), code=1
    )
    assert (document["status"], document["cost"]) == ("infeasible", None)
    told = command("cut", "-", stdin=job.replace('"sling"\n', '"nothing"\n', 1))
    assert told.code == 1
    assert "STOP: the rolls do not suffice" in told.out


def test_the_same_job_gives_the_same_plan(command: Command) -> None:
    first, second = (command.answers("cut-plan", "cut", "-", stdin=json.dumps(SHOP)) for _ in range(2))
    for one in (first, second):
        assert one.pop("seconds") >= 0
    assert first == second


def shop_changed(**more: Any) -> str:
    return json.dumps({**copy.deepcopy(SHOP), **more})


def one_piece(length: float) -> str:
    return json.dumps({"capacity": 10, "items": [{"length": length, "quantity": 1}]})


MALFORMED = {
    "empty": ("", ""),
    "not UTF-8": (b"\xff\xfe", ""),
    "broken JSON": ('{"capacity": ', ""),
    "broken TOML": ("[practice\n", ""),
    "no items": (json.dumps({"capacity": 100}), "items"),
    "half a millimetre": (one_piece(1.5), "items[0].length"),
    "too long": (one_piece(11), "items[0].length"),
    "no stock": (shop_changed(stock=[]), "stock"),
    "unknown key": (shop_changed(itmes=[]), "itmes"),
    "a list of nothing": ("[]", ""),
    "no practice": (JOB.replace("[practice]", "[practise]"), "practise"),
    "no such webbing": (JOB.replace('[[piece]]\nwebbing = "polyester', '[[piece]]\nwebbing = "nylon'),
                        "piece[0].webbing"),
    "no date": (JOB.replace('"2026-11-27"', '"soon"'), "piece[0].due"),
}  # fmt: skip


@pytest.mark.parametrize("name", MALFORMED)
def test_a_malformed_job_is_exit_2_with_its_field(command: Command, name: str) -> None:
    content, field = MALFORMED[name]
    document = command.answers("fault", "cut", "-", stdin=content, code=2)
    assert field in [fault["field"] for fault in document["faults"]]
    told = command("cut", "-", stdin=content)
    assert (told.code, told.out) == (2, "")
    assert field in told.err
    assert "Traceback" not in told.err


@pytest.mark.parametrize("limit", ["0", "-1", "nan", "soon", "inf", "4000"])
def test_a_limit_is_a_number_of_seconds(command: Command, limit: str) -> None:
    document = command.answers("fault", "cut", "-", f"--limit={limit}", stdin=json.dumps(SHOP), code=2)
    assert document["field"] == "--limit"
