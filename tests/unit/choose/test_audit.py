"""The audit against the document's own figures, and against the order it claims to certify."""

from __future__ import annotations

import json
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.choosing import coarse_shop, run_command
from tests.lifts import EXAMPLES


def audited(name: str, folder: Path) -> tuple[dict[str, Any], dict[str, Any], list[dict[str, Any]]]:
    """The document, the audit's head and its lines, of an example on the coarse shop."""
    file = folder / f"{name}.jsonl"
    line = ["choose", str(EXAMPLES / f"{name}.toml"), "--json", "--shop", str(coarse_shop("1 ft"))]
    done = run_command([*line, "--audit", str(file)])
    assert done.code in (0, 1), done.err
    head, *lines = (json.loads(x) for x in file.read_text(encoding="utf-8").splitlines())
    return done.document, head, lines


@pytest.mark.parametrize("name", ["caustic_heat_exchanger", "scrubber_vessel", "yard_launch"])
def test_lines_are_as_many_as_the_document_says(name: str, tmp_path: Path) -> None:
    document, head, lines = audited(name, tmp_path)
    pruned: Counter[str] = Counter()
    for line in lines:
        if line["pruned"]:
            pruned[line["rule"]] += line["candidates"]
    assert pruned == document["search"]["pruned"]
    lines = [line for line in lines if not line["pruned"]]
    counts = Counter(line["rule"] for line in lines)
    assert counts == document["search"]["rejected_by"] == head["rejected_by"]
    assert len(lines) == document["search"]["cheaper_and_rejected"] > 0
    assert head["pruned"] == document["search"]["pruned"]
    keys = [line["key"] for line in lines if line["key"]]
    assert len(keys) == len(set(keys))  # no candidate loses twice


def test_only_what_comes_before_the_answer_is_listed(tmp_path: Path) -> None:
    document, head, lines = audited("crane_rail_beam", tmp_path)
    order = document["offers"][0]["order"]
    assert head["answer"] == order["key"]
    best = (order["measure"], order["mass_mg"], order["key"])
    lines = [line for line in lines if not line["pruned"]]
    assert lines
    for line in lines:
        assert (line["price_minor"], line["mass_mg"], line["key"]) < best
        assert line["before_answer"] is True
    judged = [line for line in lines if line["stop"]]
    assert all(line["stop"]["citation"]["document"] for line in judged)


def test_a_lift_that_stops_by_itself_has_a_head_and_no_lines(tmp_path: Path) -> None:
    _, head, lines = audited("hot_casting", tmp_path)
    assert (head["answer"], head["rejected_by"], lines) == (None, {}, [])


def test_a_place_that_cannot_be_written_is_a_fault_of_the_option(tmp_path: Path) -> None:
    place = tmp_path / "missing" / "audit.jsonl"
    line = ["choose", str(EXAMPLES / "hot_casting.toml"), "--json", "--audit", str(place)]
    done = run_command(line)
    assert (done.code, done.document["field"]) == (2, "--audit")
