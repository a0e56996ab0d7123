"""Samples held to a sieve's conditions one by one, on figures put in by hand."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_held as kh
from slingwright.hang import _kernel_screen as ks

TIGHT, LAST, SURE = 1e-3, 1e-2, 0.05  # the margins, apart from each other


def limits(**changed):
    told = {
        "margin": TIGHT, "sure": SURE, "last": LAST, "least_deg": 50.0, "room_m": 4.0, "level_deg": 10.0,
        "tight": 3, "upright": True, "upright_deg": 30.0, "straight_deg": 20.0, "low_pull_deg": 45.0,
        "sloping_deg": 40.0, "apart_deg": 80.0, "thin": 0.9, "least_sine": 0.1,
    }  # fmt: skip
    return SimpleNamespace(**{**told, **changed})


def figures(**changed):
    """Of a sample that fails nothing and grades by nothing."""
    told = {"SHARE": 0.5, "PICK": 0.25, "TAUT": 4, "FLATTEST": 60.0, "HEIGHT": 3.0, "LEAN": 15.0,
            "ALONG": 60.0, "SPREAD": 0.9}  # fmt: skip
    found = np.empty(ks.FIGURES)
    for name, figure in {**told, **changed}.items():
        found[getattr(ks, name)] = figure
    return found


def excess(mode=kh.TOLD, status=0, tilt_deg=5.0, longer_m=0.2, dry=1.0, over=None, **found):
    """What is over, by the conditions' names."""
    held = limits(**(over or {}))
    told = np.full(kh.CODES, 99.0)
    steep = max(math.sin(math.radians(held.least_deg)), held.least_sine)
    kh._excess(mode, status, tilt_deg, longer_m, dry, held, steep, figures(**found), told)
    assert (told[kh.SLACK :] == 99.0).all()
    names = ("HANGS", "LOAD", "ANGLE", "ROOM", "TILT", "WET", "PICKED", "LEANS", "SLIPS")
    return {name: told[getattr(kh, name)] for name in names}


STEEP = math.sin(math.radians(50.0))


def test_by_how_much_of_its_limit_each_figure_is_over():
    told = {
        "HANGS": -1.0, "LOAD": -0.5, "ANGLE": -0.2, "ROOM": (3.0 + 0.2 / STEEP) / 4.0 - 1.0, "TILT": -0.5,
        "WET": -1.0, "PICKED": -0.75, "LEANS": -0.5, "SLIPS": -0.5,
    }  # fmt: skip
    assert excess() == pytest.approx(told)
    assert excess(mode=kh.CASE) == pytest.approx(told)
    # of strength alone no pose is asked
    for name in ("ANGLE", "ROOM", "TILT", "SLIPS"):
        told[name] = -1.0
    assert excess(mode=kh.STRENGTH) == pytest.approx(told)


@pytest.mark.parametrize(
    ("given", "name", "right"),
    [
        ({"status": 1}, "HANGS", np.inf),
        ({"status": 2}, "HANGS", np.inf),
        ({"SHARE": 1.25}, "LOAD", 0.25),
        ({"SHARE": 0.9, "dry": 0.75}, "WET", 0.2),
        ({"PICK": 1.5}, "PICKED", 0.5),
        ({"LEAN": 45.0}, "LEANS", 0.5),
        ({"LEAN": 45.0, "over": {"upright": False}}, "LEANS", -1.0),
        ({"FLATTEST": 40.0}, "ANGLE", 0.2),
        ({"tilt_deg": 15.0}, "TILT", 0.5),
        ({"ALONG": 30.0}, "SLIPS", 0.25),
        ({"ALONG": 30.0, "over": {"sloping_deg": 0.0}}, "SLIPS", -1.0),
        ({"ALONG": 0.1, "over": {"sloping_deg": 0.2}}, "SLIPS", 0.5),
    ],
)
def test_each_condition_alone(given, name, right):
    assert excess(**given)[name] == pytest.approx(right)


@pytest.mark.parametrize(
    ("given", "sine"),
    [
        ({}, STEEP),  # room enough with legs as flat as may be: not asked closer
        ({"HEIGHT": 3.9}, math.sin(math.radians(60.0))),  # not enough, with its own legs it is told
        ({"FLATTEST": 40.0}, math.sin(math.radians(40.0))),
        ({"FLATTEST": 2.0}, 0.1),  # no flatter leg is taken
        ({"FLATTEST": 50.0}, STEEP),
    ],
)
def test_longer_legs_raise_the_hook_by_more_the_flatter_they_are(given, sine):
    height = given.get("HEIGHT", 3.0)
    assert excess(**given)["ROOM"] == pytest.approx((height + 0.2 / sine) / 4.0 - 1.0, abs=1e-12)


def grades(found, **changed):
    return bool(kh._grades(limits(**changed), math.cos(math.radians(84.0)), figures(**found), 4))


@pytest.mark.parametrize(
    ("found", "changed", "right"),
    [
        ({}, {}, False),
        ({"TAUT": 3}, {}, True),
        ({"SPREAD": math.cos(math.radians(83.9))}, {}, False),
        ({"SPREAD": math.cos(math.radians(84.1))}, {}, True),
        ({"SPREAD": math.cos(math.radians(84.0))}, {}, False),
        ({"ALONG": 43.0}, {}, False),  # by less than is sure
        ({"ALONG": 42.0}, {}, True),
        ({"ALONG": 42.0}, {"low_pull_deg": 0.0}, False),
        ({"ALONG": 45.0 * (1.0 - SURE)}, {}, False),
        ({"ALONG": 0.1}, {"low_pull_deg": 0.2}, True),
        ({"ALONG": -1.0}, {"low_pull_deg": 0.0}, False),  # not asked
        ({"LEAN": 20.9}, {}, False),
        ({"LEAN": 21.1}, {}, True),
        ({"LEAN": 20.0 * (1.0 + SURE)}, {}, False),
        ({"LEAN": 21.1}, {"upright": False}, False),
    ],
)
def test_what_is_sure_to_be_graded(found, changed, right):
    assert grades(found, **changed) is right


CODES = np.arange(20, 20 + kh.CODES, dtype=np.int8)
# two legs of a load a metre below the hook, 60 degrees from the horizontal
OUT = math.tan(math.radians(30.0))


class Hung:
    """Samples of two legs, every figure of which is put in; `hold` holds them."""

    def __init__(self, count, lanes=None):
        self.at = np.arange(count) if lanes is None else np.array(lanes)
        many = int(self.at.max()) + 1
        ups = np.tile([0.0, 0.0, 1.0], (count, 1))
        self.out = SimpleNamespace(
            status=np.zeros(count, np.int8), tilt_deg=np.full(count, 5.0), up=ups,
            hook_above_cg_m=np.full(count, 1.0), tension_n=np.full((count, 2), 500.0),
            angle_deg=np.full((count, 2), 60.0),
        )  # fmt: skip
        self.given = SimpleNamespace(
            point_m=np.array([[(9.0, 9.0, 9.0), (-OUT, 0.0, 0.0), (OUT, 0.0, 0.0)]]),
            centre_m=np.array([[(0.0, 0.0, 0.0)]]),
        )
        both = np.ones(2, np.bool_)
        self.view = SimpleNamespace(
            pick_n=np.full(2, 2000.0), upright=both, along=both, size_m=np.array([1.0, 1.0, 1.0])
        )
        self.lanes = SimpleNamespace(
            why=np.zeros(many, np.int8), share=np.zeros(many), miss=np.zeros(many),
            flattest_deg=np.full(many, 90.0), crooked=np.zeros(many, np.bool_), longer_m=np.zeros(many),
            limit_n=np.full(many, 1000.0), dry=np.ones(many),
        )  # fmt: skip

    def hold(self, mode, lose=False, **changed):
        """Under limits of which the sample as told fails none, nor grades; return the lanes."""
        easy = {
            "tight": 2, "upright_deg": 40.0, "straight_deg": 35.0, "room_m": 2.0, "low_pull_deg": 50.0,
            "sloping_deg": 50.0,
        }  # fmt: skip
        held = limits(**{**easy, **changed})
        kh.hold_samples(
            mode, self.at, np.array([1, 2]), self.given, self.out, self.view, held, CODES, self.lanes, lose
        )
        return self.lanes


@pytest.mark.parametrize("mode", [kh.TOLD, kh.CASE, kh.STRENGTH])
def test_a_sample_that_fails_nothing_is_kept_and_its_share_with_it(mode):
    hung = Hung(2)
    hung.out.tension_n[1, 1] = 600.0
    lanes = hung.hold(mode, lose=True)
    assert lanes.why.tolist() == [0, 0]
    assert lanes.share.tolist() == [0.5, 0.6]
    assert lanes.miss.tolist() == [0.0, 0.0]
    assert lanes.flattest_deg.tolist() == ([60.0] * 2 if mode == kh.TOLD else [90.0] * 2)
    assert not lanes.crooked.any()


def _short_of(**figure):
    """Put figures of the second sample in."""

    def change(hung):
        for name, value in figure.items():
            getattr(hung.out, name)[1] = value

    return change


def _thin(hung):
    hung.lanes.dry[1] = 0.45


def _weak_pick(hung):
    hung.view.pick_n[1] = 1600.0
    hung.out.tension_n[1, 1] = 1700.0
    hung.lanes.limit_n[:] = 2000.0


def _long(hung):
    hung.lanes.longer_m[1] = 0.9


FAILS = [
    (_short_of(status=1), {}, "HANGS", 3),
    (_short_of(tension_n=1100.0), {}, "LOAD", 3),
    (_short_of(angle_deg=49.0), {}, "ANGLE", 2),
    (_long, {}, "ROOM", 2),
    (_short_of(hook_above_cg_m=2.1), {}, "ROOM", 2),
    (_short_of(tilt_deg=10.1), {}, "TILT", 2),
    (_thin, {}, "WET", 3),
    (_weak_pick, {}, "PICKED", 3),
    (_short_of(hook_above_cg_m=0.5), {}, "LEANS", 3),
    (_short_of(hook_above_cg_m=0.5), {"upright": False}, "SLIPS", 2),
]


@pytest.mark.parametrize(("change", "changed", "name", "modes"), FAILS)
@pytest.mark.parametrize("mode", [kh.TOLD, kh.CASE, kh.STRENGTH])
def test_each_condition_stops_its_lane_alone(mode, change, changed, name, modes):
    """Of strength alone (`modes` 2) no pose counts."""
    hung = Hung(3)
    change(hung)
    lanes = hung.hold(mode, **changed)
    stopped = int(CODES[getattr(kh, name)]) if mode != kh.STRENGTH or modes == 3 else 0
    assert lanes.why.tolist() == [0, stopped, 0]
    assert (lanes.miss > 0.0).tolist() == [False, mode == kh.TOLD, False]


def test_the_first_condition_counts_whichever_sample_of_the_lane_fails_it():
    for first, second in ((0, 1), (1, 0)):
        hung = Hung(4, [0, 0, 1, 1])
        hung.out.tilt_deg[2 + first] = 11.0
        hung.out.tension_n[2 + second] = 1100.0
        lanes = hung.hold(kh.CASE)
        assert lanes.why.tolist() == [0, CODES[kh.LOAD]]
        assert lanes.share.tolist() == [0.5, 1.1]


def test_a_figure_just_over_its_limit_is_left_to_who_looks_closer():
    hung = Hung(3)
    hung.out.tension_n[1:, 0] = 1000.0 * (1.0 + 0.9 * TIGHT), 1000.0 * (1.0 + 1.1 * TIGHT)
    assert hung.hold(kh.TOLD).why.tolist() == [0, 0, CODES[kh.LOAD]]
    assert hung.lanes.miss == pytest.approx([0.0, 0.9 * TIGHT, 1.1 * TIGHT])


def test_the_largest_miss_so_far_stays():
    hung = Hung(2)
    hung.lanes.miss[:] = 0.5
    hung.out.tension_n[:, 0] = 1400.0, 1600.0
    assert hung.hold(kh.TOLD).miss == pytest.approx([0.5, 0.6])


def test_the_flattest_so_far_and_the_share_so_far_stay():
    hung = Hung(2)
    hung.lanes.flattest_deg[:] = 55.0, 65.0
    hung.lanes.share[:] = 0.4, 0.7
    lanes = hung.hold(kh.TOLD)
    assert lanes.flattest_deg.tolist() == [55.0, 60.0]
    assert lanes.share.tolist() == [0.5, 0.7]


@pytest.mark.parametrize("mode", [kh.TOLD, kh.CASE])
def test_slack_legs_stop_a_told_hang_alone(mode):
    hung = Hung(2)
    hung.out.tension_n[1, 1] = 0.0
    lanes = hung.hold(mode, upright_deg=80.0)
    told = mode == kh.TOLD
    assert lanes.why.tolist() == [0, CODES[kh.SLACK] if told else 0]
    assert lanes.crooked.tolist() == [False, told]  # a slack leg grades, too
    # where as many need not be taut it grades only
    hung = Hung(2)
    hung.out.tension_n[1, 1] = 0.0
    assert hung.hold(kh.TOLD, tight=1).why.tolist() == [0, 0]
    # what failed before is told first
    hung = Hung(2)
    hung.out.tension_n[1], hung.out.tilt_deg[1] = (500.0, 0.0), 11.0
    assert hung.hold(kh.TOLD).why.tolist() == [0, CODES[kh.TILT]]


def test_another_order_of_the_legs_is_held_to_parts_and_tilt_within_the_last_bits():
    hung = Hung(7)
    hung.out.tension_n[1:3, 1] = 1000.0 * (1.0 + 0.9 * LAST), 1000.0 * (1.0 + 1.1 * LAST)
    hung.out.status[3] = 1
    hung.out.tension_n[3, 1] = 1200.0
    hung.out.tilt_deg[4:6] = 10.0 * (1.0 + 0.9 * LAST), 10.0 * (1.0 + 1.1 * LAST)
    hung.out.angle_deg[6] = 10.0  # no pose but the tilt
    lanes = hung.hold(kh.TURNED)
    assert lanes.why.tolist() == [0, 0, CODES[kh.SWAPPED], CODES[kh.HANGS], 0, 0, 0]
    assert lanes.crooked.tolist() == [False] * 5 + [True, False]
    assert lanes.share.tolist() == [0.0] * 7
    assert lanes.miss.tolist() == [0.0] * 7


def test_of_several_orders_the_worst_counts():
    hung = Hung(6, [0, 0, 1, 1, 1, 2])
    hung.out.tension_n[2, 1] = 1200.0
    hung.out.status[3] = 1
    hung.out.tension_n[4, 1] = 1200.0
    hung.out.tilt_deg[2] = 11.0
    lanes = hung.hold(kh.TURNED)
    assert lanes.why.tolist() == [0, CODES[kh.HANGS], 0]
    assert lanes.crooked.tolist() == [False, True, False]


def test_what_was_crooked_stays_so_and_what_failed_keeps_its_reason():
    for mode in (kh.TOLD, kh.CASE, kh.TURNED):
        hung = Hung(3)
        hung.lanes.crooked[1] = True
        hung.lanes.why[2] = 99
        hung.out.status[2] = 1
        lanes = hung.hold(mode)
        assert lanes.crooked.tolist() == [False, True, False]
        assert lanes.why.tolist() == [0, 0, 99]


def test_lanes_are_beaten_that_are_sure_to_be_graded_where_that_loses():
    """Crooked, or with little in hand beyond the margins; told so only where nothing fails."""
    near = 0.9 * (1.0 + LAST) / (1.0 - TIGHT)  # from which on little is in hand for sure
    for lose in (False, True):
        hung = Hung(5)
        hung.lanes.crooked[1] = True
        hung.lanes.share[2:4] = near * 0.9999, near * 1.0001
        hung.lanes.crooked[4], hung.lanes.why[4] = True, 99
        beaten = int(CODES[kh.BEATEN]) if lose else 0
        assert hung.hold(kh.CASE, lose).why.tolist() == [0, beaten, 0, beaten, 99]


@pytest.mark.parametrize("apart_deg", [58.0, 55.0, 175.0])
def test_legs_far_apart_grade(apart_deg):
    """The two are 60 degrees apart; sure is 5 %. No angle is beyond a straight one."""
    assert Hung(1).hold(kh.TOLD, apart_deg=apart_deg).crooked.tolist() == [apart_deg * 1.05 < 60.0]
    hung = Hung(1)
    hung.out.hook_above_cg_m[:] = 0.005  # 179 degrees apart
    asked = {"upright_deg": 95.0, "straight_deg": 95.0, "low_pull_deg": 0.0}
    lanes = hung.hold(kh.TOLD, apart_deg=apart_deg, **asked)
    assert lanes.crooked.tolist() == [apart_deg < 170.0]


def test_samples_are_read_from_their_own_points_and_centre():
    hung = Hung(2)
    hung.given.point_m = np.repeat(hung.given.point_m, 2, axis=0)
    hung.given.point_m[1, 1:, 0] *= 2.0
    lanes = hung.hold(kh.TOLD)
    assert lanes.why.tolist() == [0, CODES[kh.LEANS]]
    assert lanes.miss[1] == pytest.approx(math.degrees(math.atan(2 * OUT)) / 40.0 - 1.0)
    hung = Hung(2)
    hung.given.centre_m = np.array([[(0.0, 0.0, 0.0)], [(0.0, 0.0, 1.2)]])
    hung.given.point_m = hung.given.point_m - np.array([0.0, 0.0, 1.2]) * np.arange(0, 2)[:, None, None] * -1
    lanes = hung.hold(kh.TOLD)
    assert lanes.why.tolist() == [0, CODES[kh.ROOM]]
    assert lanes.miss[1] == pytest.approx((1.0 + 1.2) / 2.0 - 1.0)


@pytest.mark.parametrize("name", ["upright", "sloping_deg"])
def test_a_case_asks_how_legs_lie_where_one_condition_needs_it(name):
    """Either is enough; where neither is asked nothing of it is read."""
    none = {"upright": False, "sloping_deg": 0.0}
    asked = {"upright": True} if name == "upright" else {"sloping_deg": 50.0}
    if name == "sloping_deg":
        hung = Hung(1)
        hung.out.hook_above_cg_m[:] = 0.0005
        assert hung.hold(kh.CASE, **{**none, "sloping_deg": 0.2}).why.tolist() == [CODES[kh.SLIPS]]
    for changed, code in ((none, 0), ({**none, **asked}, None)):
        hung = Hung(1)
        hung.out.hook_above_cg_m[:] = 0.5
        right = CODES[kh.LEANS if name == "upright" else kh.SLIPS] if code is None else code
        assert hung.hold(kh.CASE, **changed).why.tolist() == [right]


@pytest.mark.parametrize("longer_m", [0.85, 0.95])
def test_where_the_flattest_legs_have_no_room_a_lanes_own_are_asked(longer_m):
    """At 60 degrees, of two metres of room one is left; at the flattest allowed neither would have room."""
    hung = Hung(1)
    hung.lanes.longer_m[:] = longer_m
    lanes = hung.hold(kh.TOLD, least_deg=36.0)
    over = (1.0 + longer_m / math.sin(math.radians(60.0))) / 2.0 - 1.0
    assert lanes.why.tolist() == [CODES[kh.ROOM] if over > 0.0 else 0]
    assert lanes.miss == pytest.approx([max(over, 0.0)])


def test_a_told_hang_grades_by_its_legs_whatever_is_asked_of_them():
    hung = Hung(3)
    hung.out.hook_above_cg_m[1] = 0.3  # 125 degrees apart, not 60
    lanes = hung.hold(kh.TOLD, upright=False, sloping_deg=0.0, low_pull_deg=0.0)
    assert (lanes.why.tolist(), lanes.crooked.tolist()) == ([0, 0, 0], [False, True, False])


def test_what_is_just_at_a_limit_with_its_margin_is_not_over_it():
    """Figures that are exact in binary."""
    hung = Hung(1)
    hung.lanes.limit_n[:] = 400.0
    assert hung.hold(kh.TOLD, margin=0.25).why.tolist() == [0]
    assert hung.lanes.miss.tolist() == [0.25]
    hung = Hung(1)
    hung.lanes.limit_n[:], hung.out.tilt_deg[:] = 400.0, 10.0
    lanes = hung.hold(kh.TURNED, last=0.25, level_deg=8.0)
    assert (lanes.why.tolist(), lanes.crooked.tolist()) == ([0], [False])
    assert Hung(1).hold(kh.TOLD, True, margin=0.0, last=0.0, thin=0.5).why.tolist() == [0]
