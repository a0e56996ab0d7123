"""Reference cases of the statics.

Source: independent reference, project's own; MuJoCo 4.0.0 and SciPy (see tests/data/SOURCES.md, "hang").
"""

import json
from pathlib import Path

import pytest

from slingwright.hang.document import problem_from_document, problem_to_document
from slingwright.hang.solve import solve

DATA = Path(__file__).parents[1] / "data" / "hang"
CASES = json.loads((DATA / "cases.json").read_text())["cases"]
CONTRACT = json.loads((DATA / "contract.json").read_text())


def _turned(a, b):
    return abs((a - b + 180.0) % 360.0 - 180.0)


@pytest.mark.parametrize("case", CASES, ids=lambda c: f"{c['id']} {c['title']}")
def test_case_is_met_within_its_own_tolerance(case):
    want, tolerance = case["expected"], case["tolerance"]
    hang = solve(problem_from_document(case["problem"]))
    assert hang.status == want["status"]
    assert hang.determinate is want["determinate"]
    assert [p.slack for p in hang.paths] == want["slack"]
    for path, tension, angle, stretch in zip(
        hang.paths, want["tension_n"], want["angle_deg"], want["stretch_m"], strict=True
    ):
        assert path.tension_n == pytest.approx(tension, abs=tolerance["tension_n"])
        assert path.stretch_m == pytest.approx(stretch, abs=tolerance["stretch_m"])
        if not path.slack:  # the direction of a slack leg means nothing
            assert path.angle_from_horizontal_deg == pytest.approx(angle, abs=tolerance["angle_deg"])
            assert path.angle_from_vertical_deg == pytest.approx(90.0 - angle, abs=tolerance["angle_deg"])
    assert hang.tilt_deg == pytest.approx(want["tilt_deg"], abs=tolerance["tilt_deg"])
    assert hang.hook_above_cg_m == pytest.approx(want["hook_above_cg_m"], abs=tolerance["hook_above_cg_m"])
    if want["tilt_direction_deg"] is None:
        assert hang.tilt_direction_deg is None
    else:
        assert _turned(hang.tilt_direction_deg, want["tilt_direction_deg"]) <= tolerance["tilt_direction_deg"]


@pytest.mark.parametrize("example", CONTRACT, ids=lambda e: e["name"])
def test_contract_example_gives_the_printed_figures(example):
    """Figures rebuilt in an outside engine and an energy minimiser; printed to 1 N and 0.01 degrees."""
    hang = solve(problem_from_document(example["problem"]))
    assert hang.status == "stable"
    for path, tension in zip(hang.paths, example["tension_n"], strict=True):
        assert path.tension_n == pytest.approx(tension, abs=0.6)
    assert hang.tilt_deg == pytest.approx(example["tilt_deg"], abs=0.006)


@pytest.mark.parametrize("example", CONTRACT, ids=lambda e: e["name"])
def test_a_printed_problem_is_the_same_problem(example):
    problem = problem_from_document(example["problem"])
    printed = json.loads(json.dumps(problem_to_document(problem)))
    again = problem_from_document(printed)
    assert again == problem
    assert solve(again) == solve(problem)
