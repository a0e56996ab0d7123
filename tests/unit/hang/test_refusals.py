"""Each bound of a hang problem on both sides, and exactly the faults that are there: none lost or added."""

import copy
import itertools

import pytest

from slingwright.errors import InputFault
from slingwright.hang import _limits
from slingwright.hang.document import problem_from_document
from slingwright.hang.problem import Body, Path
from slingwright.hang.result import Status

HOOK = [0.0, 0.0, 4.0]


def _leg(x, **more):
    points = [{"on": "world", "at_m": HOOK}, {"on": "load", "at_m": [x, 0.0, 0.0]}]
    return {"points": points, "length_m": 4.0, "rated_n": 3e4, "strain_at_rated": 0.03, **more}


def _doc(*legs, **load):
    body = {"weight_n": 1e4, "centre_of_gravity_m": [0.0, 0.0, -0.5], **load}
    return {"bodies": [body], "paths": list(legs) or [_leg(-1.0), _leg(1.0)]}


def _short(hook, *picks, length=4.0):
    legs = [
        {"upper_m": hook, "pick_m": p, "length_m": length, "rated_n": 3e4, "strain_at_rated": 0.03}
        for p in picks
    ]
    return {"weight_n": 1e4, "centre_of_gravity_m": [0, 0, 0], "paths": legs, "hook_m": hook}


def _faults(doc, field=""):
    """Every fault as (field, problem), in the order told; none where the document is a problem."""
    try:
        problem_from_document(doc, field)
    except InputFault as told:
        return [(f.field, f.problem) for f in told.faults]
    return []


def _fields(doc):
    return [field for field, _ in _faults(doc)]


def test_bounds_are_what_they_are_meant_to_be():
    """Own judgement (see the module): the figures once more, so that none slips."""
    assert (_limits.MOST_BODIES, _limits.MOST_PATHS, _limits.MOST_POINTS) == (6, 64, 32)
    assert (_limits.SIZE_M, _limits.LENGTH_LEAST_M, _limits.LENGTH_MOST_M) == (1000.0, 1e-3, 1000.0)
    assert (_limits.WEIGHT_LEAST_N, _limits.WEIGHT_MOST_N, _limits.RATED_MOST_N) == (1e-2, 2e8, 2e9)
    assert (_limits.STRAIN_LEAST, _limits.STRAIN_MOST) == (1e-6, 1.0)
    assert (_limits.STRETCH_MOST, _limits.STRETCH_LEAST) == (10.0, 3e-6)


def test_defaults_and_codes_of_the_contract():
    assert Body(name="a", weight_n=1.0, centre_of_gravity_m=(0.0, 0.0, 0.0)).start_m == (0.0, 0.0, 0.0)
    path = Path(name="a", points=(), length_m=1.0, rated_n=1.0, strain_at_rated=0.1)
    assert (path.sling, path.lies_m, path.elastic_m) == (0, None, None)
    assert [str(s) for s in Status] == ["stable", "capsizes", "unreachable"]


@pytest.mark.parametrize(
    ("key", "inside", "outside"),
    [
        ("length_m", 1000.0, 1000.1),
        ("length_m", 0.001, 0.00099),
        ("rated_n", 2e9, 2.1e9),
        ("rated_n", 1.0, 0.0),
        ("strain_at_rated", 1.0, 1.01),
        ("strain_at_rated", 1e-6, 0.99e-6),
        ("elastic_m", 1000.0, 1000.1),
        ("elastic_m", 0.001, 0.00099),
        ("lies_m", 0.0, -1e-9),
        ("lies_m", 1000.0, 1000.1),
        ("sling", 0, -1),
        ("sling", 64, 65),
    ],
)
def test_both_sides_of_each_bound_of_a_path(key, inside, outside):
    """The first fault is the bound's, or (inside it) none that names the bound."""
    assert ("paths[0]." + key, f"{outside:g} is out of range") in _faults(_doc(_leg(1.0, **{key: outside})))
    assert all("out of range" not in text for _, text in _faults(_doc(_leg(1.0, **{key: inside}))))


@pytest.mark.parametrize(
    ("key", "inside", "outside", "field"),
    [
        ("weight_n", 0.01, 0.0099, "weight_n"),
        ("weight_n", 2e8, 2.1e8, "weight_n"),
        ("centre_of_gravity_m", [1000, -1000, 0], [1000.1, 0, 0], "centre_of_gravity_m[0]"),
        ("start_m", [0, -1000, 0], [0, -1000.1, 0], "start_m[1]"),
    ],
)
def test_both_sides_of_each_bound_of_a_body(key, inside, outside, field):
    assert "bodies[0]." + field in _fields(_doc(**{key: outside}))
    assert all("out of range" not in text for _, text in _faults(_doc(**{key: inside})))


def test_how_many_bodies_paths_and_points():
    legs = [_leg(0.01 * (i + 1)) for i in range(65)]
    assert _faults(_doc(*legs[:64])) == []
    assert _faults(_doc(*legs)) == [("paths", "has 65 entries")]

    def chain(count):
        bodies = [
            {"name": f"b{i}", "weight_n": 1e3, "centre_of_gravity_m": [0, 0, 0], "start_m": [0, 0, 2 * i]}
            for i in range(count)
        ]
        ons, top = [*(b["name"] for b in bodies), "world"], 2 * count
        paths = [
            {"points": [{"on": a, "at_m": [0, 0, 0]}, {"on": b, "at_m": [0, 0, top if b == "world" else 0]}],
             "length_m": 2.0, "rated_n": 3e4, "strain_at_rated": 0.03}
            for a, b in itertools.pairwise(ons)
        ]  # fmt: skip
        return {"bodies": bodies, "paths": paths}

    assert _faults(chain(6)) == []
    assert _faults(chain(7)) == [("bodies", "has 7 entries")]

    def bent(count):
        leg = _leg(0.5)
        leg["points"] = [
            leg["points"][0],
            *({"on": "load", "at_m": [0.01 * i, 0, 0]} for i in range(1, count)),
        ]
        return _doc(leg)

    assert _faults(bent(32)) == []
    assert _faults(bent(33)) == [("paths[0].points", "has 33 entries")]
    assert _faults(bent(1))[0] == ("paths[0].points", "has 1 entries")
    assert _fields({**_doc(), "paths": []}) == ["paths"]
    assert _fields({**_doc(), "bodies": []}) == ["bodies"]


def test_a_wrong_figure_adds_no_fault_of_its_own_making():
    """What stands in for it is harmless: exactly the faults that are there."""
    doc = _doc(_leg(-1.0, length_m=-1), _leg(1.0, rated_n=-1, strain_at_rated=7, lies_m=-2, sling="x"))
    assert _fields(doc) == [
        "paths[0].length_m", "paths[1].rated_n", "paths[1].strain_at_rated", "paths[1].sling",
        "paths[1].lies_m",
    ]  # fmt: skip
    assert _fields({**_doc(weight_n=None, name=3), "hook_m": [1]}) == [
        "bodies[0].name",
        "bodies[0].weight_n",
        "hook_m",
    ]


def test_both_forms_in_one_are_the_long_one_with_keys_too_many():
    told = _faults({**_doc(), "weight_n": 1e4})
    assert told == [("weight_n", "unknown key")]


def test_each_figures_unit_is_told():
    legs = [_leg(1.0, **{key: -1.0}) for key in ("length_m", "lies_m", "elastic_m", "rated_n")]
    with pytest.raises(InputFault) as told:
        problem_from_document(_doc(*legs, weight_n=-1.0))
    ends = [f.hint.rpartition(" at most ")[2] for f in told.value.faults]
    assert ends == ["2e+08 N; check the unit", *["1000 m; check the unit"] * 3, "2e+09 N; check the unit"]


def test_names_of_bodies():
    doc = _doc()
    doc["bodies"] += [{**doc["bodies"][0], "name": n} for n in ("a", "world", "a")]
    told = _faults(doc, "problem")
    assert ("problem.bodies[2].name", '"world" is what does not move') in told
    assert ("problem.bodies[3].name", 'a second body is named "a"') in told
    hanging = [(f"problem.bodies[{i}]", '"a" hangs on nothing') for i in (1, 3)]
    assert told[2:] == hanging


def test_points_on_unknown_things_are_told_before_anything_else_of_the_path():
    leg = _leg(1.0, length_m=0.01, lies_m=5.0)
    leg["points"][1]["on"] = "moon"
    assert _faults(_doc(_leg(-1.0), leg)) == [("paths[1].points[1].on", 'there is no body "moon"')]
    with pytest.raises(InputFault) as told:
        problem_from_document(_doc(leg))
    assert told.value.faults[0].hint == "one of: world, load"


def test_points_that_coincide_and_paths_on_one_thing():
    leg = _leg(1.0)
    leg["points"].insert(1, copy.deepcopy(leg["points"][1]))
    assert _faults(_doc(leg)) == [("paths[0].points[2]", "coincides with the point before it")]
    # the same figures on another thing are another point
    leg = _leg(1.0)
    leg["points"][1]["at_m"] = HOOK
    assert _faults(_doc(leg)) == [("paths[0]", "two of its points coincide before the lift")]
    leg = _leg(1.0)
    leg["points"] = [{"on": "load", "at_m": [x, 0, 0]} for x in (0, 1)]
    assert _faults(_doc(_leg(-1.0), leg)) == [("paths[1].points", "lie all on one thing")]


def test_a_body_that_starts_elsewhere_has_its_points_there():
    """The pick is at 0 in the load's own figures; where the load starts decides whether it is above."""
    for z, faults in ((4.0, []), (4.001, ["a pick stands 0.001 m above its hook"] * 2)):
        assert [text for _, text in _faults(_doc(start_m=[0, 0, z]))] == faults
    doc = _doc(_leg(1.0), start_m=[-1.0, 0.0, 4.0])
    assert _faults(doc) == [("paths[0]", "two of its points coincide before the lift")]
    assert _faults(_doc(_leg(1.0), start_m=[-1.0, 0.5, 4.0])) == []


def test_the_highest_pick_and_the_lowest_hook_decide():
    basket = _leg(0.0, length_m=9.0)
    basket["points"] = [
        {"on": "world", "at_m": [0, 0, 4]}, {"on": "load", "at_m": [-1, 0, 0]},
        {"on": "load", "at_m": [1, 0, 2.0]}, {"on": "world", "at_m": [0.5, 0, 3.0]},
    ]  # fmt: skip
    assert _faults(_doc(basket)) == []
    basket["points"][2]["at_m"][2] = 3.5
    assert _faults(_doc(basket)) == [("paths[0]", "a pick stands 0.5 m above its hook")]


def test_in_the_short_form_only_a_pick_out_of_its_legs_reach_above_is_refused():
    """The load's height before the lift means nothing there, as long as one leg's pick is below its hook."""
    below, hook = [1, 0, -1], [0, 0, 0]
    assert _faults(_short(hook, below, [-1, 0, 4.0])) == []
    assert _faults(_short(hook, below, [-1, 0, 4.1])) == [("paths[1]", "a pick stands 4.1 m above its hook")]
    # level with the hook is not above it
    assert _faults(_short(hook, [1, 0, 0.0], [-1, 0, 1.0])) == []
    both = [
        ("paths[0]", "a pick stands 0.1 m above its hook"),
        ("paths[1]", "a pick stands 1 m above its hook"),
    ]
    assert _faults(_short(hook, [1, 0, 0.1], [-1, 0, 1.0])) == both
    # a pick that lies on the hook before the lift is no fault there
    assert _faults(_short(hook, below, [0, 0, 0])) == []


def test_a_path_between_bodies_has_no_hook_to_be_above():
    beam = {"name": "beam", "weight_n": 1e3, "centre_of_gravity_m": [0, 0, 0], "start_m": [0, 0, 3]}

    def path(a, at, b, bt, length):
        return {"points": [{"on": a, "at_m": at}, {"on": b, "at_m": bt}], "length_m": length, "rated_n": 3e4,
                "strain_at_rated": 0.03}  # fmt: skip

    doc = _doc(
        path("world", [0, 0, 5], "beam", [0, 0, 0], 2.0), path("beam", [-1, 0, 0], "load", [-1, 0, 9], 3.0),
        path("beam", [1, 0, 0], "load", [1, 0, 0], 3.0),
    )  # fmt: skip
    doc["bodies"].append(beam)
    assert _faults(doc) == []
    # held only through what is held
    doc["paths"].pop(0)
    assert _faults(doc) == [
        ("bodies[0]", '"load" hangs on nothing'),
        ("bodies[1]", '"beam" hangs on nothing'),
    ]


def test_the_lowest_hook_of_a_leg_counts_for_all_above():
    """Two hooks of one path, one below the load: that alone is no load wholly below its hooks."""
    both = {
        "points": [{"on": "world", "at_m": [0, 0, 4]}, {"on": "load", "at_m": [-1, 0, 0]},
                   {"on": "load", "at_m": [1, 0, 0]}, {"on": "world", "at_m": [1, 0, -1]}],
        "length_m": 9.0, "rated_n": 3e4, "strain_at_rated": 0.03,
    }  # fmt: skip
    told = [("paths[0]", "a pick stands 1 m above its hook")]
    assert _faults({**_doc(both), "hook_m": HOOK}) == told
    assert _faults(_doc(both)) == told


def test_stretch_of_a_wrong_unit():
    """Weight over rated load, times strain, times what stretches over the length: ten times is no sling."""
    limit = 1e4 / 10.0 * 0.03  # rated load at which the leg alone would stretch tenfold

    def told(rated, **more):
        return _faults(_doc(_leg(1.0, rated_n=rated, **more)))

    assert told(limit * 1.001) == []
    ((field, text),) = told(limit * 0.999)
    assert (field, text) == (
        "paths[0].rated_n",
        "would stretch to 11 times its length if it held the load alone",
    )
    # half as much that stretches, half the stretch; every body's weight counts
    assert told(limit * 0.501, elastic_m=2.0) == []
    assert told(limit * 0.499, elastic_m=2.0) != []
    stiff = 1e4 / 3e-6 * 1e-6 * 3  # 3e-6 of the length at a strain of 3e-6
    assert told(stiff * 0.999, strain_at_rated=3e-6) == []
    ((field, text),) = told(stiff * 1.001, strain_at_rated=3e-6)
    assert field == "paths[0].rated_n"
    assert "lost in rounding" in text


def test_all_bodies_weights_count_for_the_stretch():
    doc = _doc(_leg(1.0, rated_n=45.0))
    assert len(_faults({**doc, "bodies": [doc["bodies"][0], {**doc["bodies"][0], "name": "b"}]})) == 2
    assert _faults(doc) == []


def test_something_is_left_to_reach_beyond_what_lies():
    def told(length, **more):
        return [text for _, text in _faults(_doc(_leg(1.0, length_m=length, **more)))]

    assert told(2.0015, lies_m=2.0) == []
    assert told(2.0005, lies_m=2.0) == ["2.0005 m is no longer than the 2 m that lie on the body"]
    basket = _leg(0.0, length_m=2.0015)
    basket["points"] = [
        {"on": "world", "at_m": HOOK}, {"on": "load", "at_m": [-1, 0, 0]}, {"on": "load", "at_m": [1, 0, 0]},
        {"on": "world", "at_m": HOOK},
    ]  # fmt: skip
    assert _faults(_doc(basket)) == []
    basket["length_m"] = 2.0005
    assert _fields(_doc(basket)) == ["paths[0].length_m"]
    # given as zero it is zero, whatever the chord
    assert _faults(_doc({**basket, "lies_m": 0.0})) == []
    # two neighbours in the world lie on nothing
    basket["points"].append({"on": "world", "at_m": [9, 0, 4]})
    basket["length_m"] = 2.0015
    assert _faults(_doc(basket)) == []
