"""Hang problems as documents: both forms, and every fault with its field."""

import copy
import json
import math
from pathlib import Path

import pytest

from slingwright.errors import InputFault
from slingwright.hang.document import hang_to_document, problem_from_document, problem_to_document
from slingwright.hang.solve import solve

DATA = Path(__file__).parents[2] / "data" / "hang"
EXAMPLES = {e["name"]: e["problem"] for e in json.loads((DATA / "contract.json").read_text())}
SHORT = json.loads((DATA / "cases.json").read_text())["cases"][0]["problem"]


def _bridle():
    return copy.deepcopy(EXAMPLES["bridle"])


def _put(doc, path, value):
    *way, last = path
    for step in way:
        doc = doc[step]
    if value is KeyError:
        del doc[last]
    else:
        doc[last] = value


BAD = [
    (("paths", 1, "length_m"), 0.0, "paths[1].length_m"),
    (("paths", 1, "length_m"), -2.0, "paths[1].length_m"),
    (("paths", 1, "length_m"), 2750.0, "paths[1].length_m"),  # millimetres
    (("paths", 1, "length_m"), math.nan, "paths[1].length_m"),
    (("paths", 1, "length_m"), math.inf, "paths[1].length_m"),
    (("paths", 1, "length_m"), 10**400, "paths[1].length_m"),  # no float holds it
    (("paths", 1, "length_m"), "2.75 m", "paths[1].length_m"),
    (("paths", 1, "length_m"), True, "paths[1].length_m"),
    (("paths", 1, "length_m"), None, "paths[1].length_m"),
    (("paths", 1, "length_m"), KeyError, "paths[1].length_m"),
    (("paths", 1, "rated_n"), 27.579, "paths[1].rated_n"),  # kilonewtons
    (("paths", 1, "rated_n"), 0, "paths[1].rated_n"),
    (("paths", 1, "strain_at_rated"), 3.0, "paths[1].strain_at_rated"),  # per cent
    (("paths", 1, "strain_at_rated"), 0.0, "paths[1].strain_at_rated"),
    (("paths", 1, "sling"), 1.5, "paths[1].sling"),
    (("paths", 1, "sling"), -1, "paths[1].sling"),
    (("paths", 1, "name"), 7, "paths[1].name"),
    (("paths", 1, "elastic_m"), 0.0, "paths[1].elastic_m"),
    (("paths", 1, "lies_m"), -0.1, "paths[1].lies_m"),
    (("paths", 1, "points"), [], "paths[1].points"),
    (("paths", 1, "points"), {"on": "world"}, "paths[1].points"),
    (("paths", 1, "points", 0), 3, "paths[1].points[0]"),
    (("paths", 1, "points", 0, "on"), "moon", "paths[1].points[0].on"),
    (("paths", 1, "points", 1, "on"), "world", "paths[1].points"),
    (("paths", 1, "points", 1, "at_m"), [1, 2], "paths[1].points[1].at_m"),
    (("paths", 1, "points", 1, "at_m", 2), "high", "paths[1].points[1].at_m[2]"),
    (("paths", 1, "points", 1, "at_m"), [1.3, 0.72, 4.35], "paths[1]"),  # at the hook: no distance
    (("paths", 1, "points", 1, "at_m", 2), 4.36, "paths[1]"),  # above its hook
    (("paths", 1, "points", 1, "at_m", 2), 1950.0, "paths[1].points[1].at_m[2]"),
    (("paths",), [], "paths"),
    (("paths",), None, "paths"),
    (("bodies",), [], "bodies"),
    (("bodies", 0, "weight_n"), 0.0, "bodies[0].weight_n"),
    (("bodies", 0, "weight_n"), 5.25e10, "bodies[0].weight_n"),
    (("bodies", 0, "name"), "world", "bodies[0].name"),
    (("bodies", 0, "start_m"), [0, 0], "bodies[0].start_m"),
    (("hook_m",), "up", "hook_m"),
]


@pytest.mark.parametrize(("path", "value", "field"), BAD)
def test_a_wrong_figure_is_refused_by_its_field(path, value, field):
    doc = _bridle()
    _put(doc, path, value)
    with pytest.raises(InputFault) as caught:
        problem_from_document(doc)
    assert field in [f.field for f in caught.value.faults]


@pytest.mark.parametrize(
    ("where", "key", "near"),
    [
        ((), "bodys", "bodies"),
        (("paths", 0), "lenght_m", "length_m"),
        (("paths", 0), "strain", "strain_at_rated"),
        (("bodies", 0), "weight", "weight_n"),
        (("paths", 0, "points", 0), "at", "at_m"),
    ],
)
def test_an_unknown_key_names_the_nearest(where, key, near):
    doc = _bridle()
    _put(doc, (*where, key), 1)
    with pytest.raises(InputFault, match="unknown key") as caught:
        problem_from_document(doc)
    assert near in caught.value.faults[0].hint
    assert caught.value.faults[0].field.endswith(key)


def test_all_faults_are_told_at_once_and_under_the_given_field():
    doc = _bridle()
    _put(doc, ("paths", 0, "length_m"), -1)
    _put(doc, ("paths", 2, "rated_n"), "much")
    _put(doc, ("bodies", 0, "weight_n"), math.nan)
    with pytest.raises(InputFault) as caught:
        problem_from_document(doc, "problem")
    fields = {f.field for f in caught.value.faults}
    assert fields == {"problem.paths[0].length_m", "problem.paths[2].rated_n", "problem.bodies[0].weight_n"}


@pytest.mark.parametrize("doc", [None, [], 3, "lift", {}, {"weight_n": 1}, {"bodies": 3, "paths": 4}])
def test_what_is_no_problem_is_refused(doc):
    with pytest.raises(InputFault):
        problem_from_document(doc)


def test_a_body_that_hangs_on_nothing_is_refused():
    doc = copy.deepcopy(EXAMPLES["beam"])
    doc["paths"] = doc["paths"][:2]
    with pytest.raises(InputFault, match="hangs on nothing") as caught:
        problem_from_document(doc)
    assert caught.value.field == "bodies[0]"


def test_two_bodies_of_one_name_are_refused():
    doc = copy.deepcopy(EXAMPLES["beam"])
    doc["bodies"][1]["name"] = "load"
    with pytest.raises(InputFault, match="second body"):
        problem_from_document(doc)


def test_neighbours_that_coincide_on_a_body_are_refused():
    doc = copy.deepcopy(EXAMPLES["basket, renders"])
    doc["paths"][0]["points"][2] = copy.deepcopy(doc["paths"][0]["points"][1])
    with pytest.raises(InputFault, match="coincides") as caught:
        problem_from_document(doc)
    assert caught.value.field == "paths[0].points[2]"


def test_the_short_form_is_one_body_named_load():
    problem = problem_from_document(SHORT)
    assert [b.name for b in problem.bodies] == ["load"]
    assert problem.hook_m == (0.0, 0.0, 0.0)
    assert [q.on for q in problem.paths[0].points] == ["world", "load"]


@pytest.mark.parametrize("pick", [[0.0, 0.0, 2.0], [0.0, 0.0, 40.0]])
def test_the_short_form_refuses_a_load_above_its_hook(pick):
    """Heights before the lift mean little there, but a load wholly above its hook means a wrong sign."""
    doc = copy.deepcopy(SHORT)
    doc["paths"][0]["pick_m"] = pick
    with pytest.raises(InputFault, match="above its hook"):
        problem_from_document(doc)


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_answer_has_the_contracts_keys_and_only_finite_figures(name):
    hang = solve(problem_from_document(EXAMPLES[name]))
    doc = json.loads(json.dumps(hang_to_document(hang), allow_nan=False))
    assert list(doc) == [
        "status", "determinate", "null_modes", "paths", "bodies", "tilt_deg", "tilt_direction_deg",
        "hook_above_cg_m", "supports", "stability", "reach_margin_m", "residual",
    ]  # fmt: skip
    assert set(doc["stability"]) == {"centre_may_rise_m", "push_deg"}
    assert {
        "name",
        "tension_n",
        "slack",
        "angle_from_horizontal_deg",
        "angle_from_vertical_deg",
        "stretch_m",
    } <= set(doc["paths"][0])


def test_a_problem_of_whole_numbers_prints_back_the_same_bits():
    doc = _bridle()
    doc["bodies"][0]["weight_n"] = 52500
    problem = problem_from_document(doc)
    assert problem_from_document(json.loads(json.dumps(problem_to_document(problem)))) == problem
