"""The documents' keys are the contract's, one by one; what is left out has the contract's default."""

import pytest

from slingwright.errors import InputFault
from slingwright.hang.document import hang_to_document, problem_from_document, problem_to_document
from slingwright.hang.solve import solve

LEG = {"points": [{"on": "world", "at_m": [1, 1, 4]}, {"on": "load", "at_m": [0, 0, 1]}], "length_m": 3.0,
       "rated_n": 3e4, "strain_at_rated": 0.03}  # fmt: skip
OTHER = {**LEG, "points": [{"on": "world", "at_m": [1, 1, 4]}, {"on": "load", "at_m": [2, 2, 1]}]}
LONG = {"bodies": [{"weight_n": 1e4, "centre_of_gravity_m": [1, 1, 0.5]}], "paths": [LEG, OTHER]}
SHORT = {"weight_n": 1e4, "centre_of_gravity_m": [1, 1, 0.5], "hook_m": [1, 1, 4],
         "paths": [{"upper_m": [1, 1, 4], "pick_m": p, "length_m": 3, "rated_n": 3e4, "strain_at_rated": 0.03}
                   for p in ([0, 0, 1], [2, 2, 1])]}  # fmt: skip


def test_what_is_left_out_has_its_default():
    problem = problem_from_document(LONG)
    assert [b.name for b in problem.bodies] == ["load"]
    assert problem.bodies[0].start_m == (0.0, 0.0, 0.0)
    assert [(p.name, p.sling) for p in problem.paths] == [("leg 1", 0), ("leg 2", 1)]
    assert all(p.lies_m is None and p.elastic_m is None for p in problem.paths)
    assert problem.hook_m is None


def test_names_given_are_kept_and_others_numbered():
    second = {"weight_n": 500.0, "centre_of_gravity_m": [0, 0, 0], "start_m": [1, 1, 3]}
    third = {**second, "name": "plate"}
    top = {**LEG, "points": [LEG["points"][0], {"on": "body 2", "at_m": [0, 0, 0]}], "length_m": 1.0}
    low = {
        **LEG,
        "points": [{"on": "body 2", "at_m": [0, 0, 0]}, LEG["points"][1]],
        "length_m": 2.0,
        "name": "low",
    }
    hung = {**LEG, "points": [LEG["points"][0], {"on": "plate", "at_m": [0, 0, 0]}], "length_m": 1.0}
    problem = problem_from_document(
        {"bodies": [*LONG["bodies"], second, third], "paths": [top, low, hung, OTHER]}
    )
    assert [b.name for b in problem.bodies] == ["load", "body 2", "plate"]
    assert problem.bodies[1].start_m == (1.0, 1.0, 3.0)
    assert [p.name for p in problem.paths] == ["leg 1", "low", "leg 3", "leg 4"]


def test_the_problem_is_printed_with_the_contracts_keys():
    path = {**LEG, "name": "A", "sling": 3, "lies_m": 0.0, "elastic_m": 3.5}
    doc = problem_to_document(problem_from_document({**LONG, "paths": [path, OTHER]}))
    assert set(doc) == {"bodies", "paths"}
    assert set(doc["bodies"][0]) == {"name", "weight_n", "centre_of_gravity_m", "start_m"}
    first, second = doc["paths"]
    assert (first["name"], first["sling"], first["lies_m"], first["elastic_m"]) == ("A", 3, 0.0, 3.5)
    assert set(first["points"][0]) == {"on", "at_m"}
    assert "lies_m" not in second
    assert "elastic_m" not in second
    short = problem_to_document(problem_from_document(SHORT))
    assert short["hook_m"] == [1.0, 1.0, 4.0]
    assert short["bodies"][0]["name"] == "load"
    assert problem_from_document(short) == problem_from_document(SHORT)


def test_the_answer_is_printed_with_the_contracts_keys():
    doc = hang_to_document(solve(problem_from_document(LONG)))
    assert {"status", "determinate", "null_modes", "paths", "bodies", "tilt_deg", "tilt_direction_deg",
            "hook_above_cg_m", "supports", "stability", "reach_margin_m", "residual"} <= set(doc)  # fmt: skip
    assert set(doc["bodies"][0]) == {"name", "origin_m", "rotation"}
    assert set(doc["supports"][0]) == {"at_m", "force_n"}
    assert set(doc["stability"]) == {"centre_may_rise_m", "push_deg"}
    assert {"name", "tension_n", "slack", "angle_from_horizontal_deg", "angle_from_vertical_deg",
            "stretch_m"} <= set(doc["paths"][0])  # fmt: skip
    basket = {**LEG, "length_m": 7.0, "points": [LEG["points"][0], LEG["points"][1], OTHER["points"][1],
                                                 LEG["points"][0]]}  # fmt: skip
    path = hang_to_document(solve(problem_from_document({**LONG, "paths": [basket]})))["paths"][0]
    assert {"lower_angle_from_horizontal_deg", "lower_angle_from_vertical_deg"} <= set(path)


@pytest.mark.parametrize("doc", [[], "legs", 3, None])
def test_what_is_no_table_is_one_fault(doc):
    with pytest.raises(InputFault) as told:
        problem_from_document(doc)
    assert len(told.value.faults) == 1


def test_a_short_form_is_told_by_weight_or_centre_alone():
    for left_out in ("weight_n", "centre_of_gravity_m"):
        doc = {k: v for k, v in SHORT.items() if k != left_out}
        with pytest.raises(InputFault) as told:
            problem_from_document(doc, "lift")
        assert {f.field for f in told.value.faults} == {f"lift.{left_out}"}


def test_a_length_out_of_range_names_its_unit_and_no_less_than_nothing_may_lie():
    for key in ("length_m", "lies_m"):
        with pytest.raises(InputFault) as told:
            problem_from_document({**LONG, "paths": [{**LEG, key: -0.1}, OTHER]})
        (fault,) = told.value.faults
        assert fault.field == f"paths[0].{key}"
        assert " m" in fault.problem + fault.hint
