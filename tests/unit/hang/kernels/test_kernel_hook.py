"""The quick kernel lane by lane: each of its steps against NumPy on one sample alone."""

import numpy as np
import pytest

from slingwright.hang import _kernel_hook as kh
from slingwright.hang.batch import Inputs, Variations, run
from slingwright.hang.problem import Body, Path, Point, Problem

LANES = kh.LANES
H = slice(kh._HX * LANES, (kh._HZ + 1) * LANES)


class Lanes:
    """Sixteen lifts of three legs, each a little different."""

    def __init__(self, seed=1, spread=0.1):
        rng = np.random.default_rng(seed)
        self.acc = np.full(kh.ROWS * LANES, 3.75)  # what another block left there
        self.legs = np.zeros(3 * kh.LEG_ROWS * LANES)
        self.out, self.angle = np.full(3 * LANES, 3.75), np.full(3 * LANES, 3.75)
        arms = np.array([[-1.0, 0.2, -0.4], [0.9, 0.7, -0.3], [0.3, -1.1, -0.5]])
        self.arm = arms[:, :, None] + spread * rng.standard_normal((3, 3, LANES))
        self.length = 2.5 + spread * rng.standard_normal((3, LANES))
        self.k = 20.0 + rng.standard_normal((3, LANES))
        self.w = 10.0 + rng.standard_normal(LANES)
        for p in range(3):
            rows = self.legs[p * kh.LEG_ROWS * LANES :][: kh.LEG_ROWS * LANES].reshape(kh.LEG_ROWS, LANES)
            rows[:3], rows[3], rows[4] = self.arm[p], self.length[p], self.k[p]
        self.h = np.array([0.1, -0.1, 2.3])[:, None] + spread * rng.standard_normal((3, LANES))
        self.put("HX", self.h[0]), self.put("HY", self.h[1]), self.put("HZ", self.h[2]), self.put("W", self.w)

    def row(self, name):
        return self.acc.reshape(kh.ROWS, LANES)[getattr(kh, "_" + name)]

    def put(self, name, value):
        self.row(name)[:] = value

    def rows(self, *names):
        return np.array([self.row(n) for n in names])

    def energy(self, i, h):
        """Energy of lane i at h, from the formula at the module's head."""
        d = np.linalg.norm(h - self.arm[:, :, i], axis=1)
        pull = self.k[:, i] * np.maximum(d - self.length[:, i], 0.0)
        return 0.5 * pull @ np.maximum(d - self.length[:, i], 0.0) - self.w[i] * np.linalg.norm(h)

    def slopes(self, i, h):
        """(gradient, Hessian, pulls, directions) of lane i at h."""
        v = h - self.arm[:, :, i]
        d = np.linalg.norm(v, axis=1)
        n = v / d[:, None]
        ext = d - self.length[:, i]
        k = np.where(ext > 0.0, self.k[:, i], 0.0)
        pull, rho = k * ext, np.linalg.norm(h)
        u = h / rho
        hess = -(self.w[i] / rho) * (np.eye(3) - np.outer(u, u))
        for p in range(3):
            hess += k[p] * np.outer(n[p], n[p]) + pull[p] / d[p] * (np.eye(3) - np.outer(n[p], n[p]))
        return pull @ n - self.w[i] * u, hess, pull, n


def test_start_over_its_place_with_every_leg_taut():
    lanes = Lanes()
    lanes.length[1, 3] = 0.5  # a leg that cannot reach under its place
    lanes.legs.reshape(3, kh.LEG_ROWS, LANES)[1, 3, 3] = 0.5
    kh._begin(lanes.acc, lanes.legs, 3)
    for i in range(LANES):
        tops = []
        for p in range(3):
            x, y, z = lanes.arm[p, :, i]
            long = lanes.length[p, i] + 1.2 * lanes.w[i] / (3 * lanes.k[p, i])
            level = (lanes.h[0, i] - x) ** 2 + (lanes.h[1, i] - y) ** 2
            tops.append(z + np.sqrt(max(long**2 - level, (0.1 * lanes.length[p, i]) ** 2)))
        assert lanes.row("HZ")[i] == pytest.approx(max(tops))
    assert (lanes.rows("HX", "HY") == lanes.h[:2]).all()
    assert np.isinf(lanes.row("LAST")).all()
    assert (lanes.row("ON") == 1.0).all()
    assert not lanes.rows("BAD", "SX", "SY", "SZ").any()


def test_energy_gradient_and_hessian_of_each_lane():
    lanes = Lanes(spread=0.3)
    kh._assemble(lanes.acc, lanes.legs, 3)
    slack = 0
    for i in range(LANES):
        g, h, pull, _ = lanes.slopes(i, lanes.h[:, i])
        slack += (pull == 0.0).any()
        assert lanes.row("E")[i] == pytest.approx(lanes.energy(i, lanes.h[:, i]))
        assert lanes.rows("GX", "GY", "GZ")[:, i] == pytest.approx(g, abs=1e-12)
        assert lanes.rows("XX", "XY", "XZ", "YY", "YZ", "ZZ")[:, i] == pytest.approx(
            h[np.triu_indices(3)], abs=1e-12
        )
        # and these are the energy's own slopes
        d = 1e-6 * np.eye(3)
        assert g == pytest.approx(
            [(lanes.energy(i, lanes.h[:, i] + e) - lanes.energy(i, lanes.h[:, i] - e)) / 2e-6 for e in d],
            abs=1e-7,
        )
    assert 0 < slack < LANES


def stepped(change=None, spread=0.05):
    """Lanes at their start, assembled, changed and stepped once."""
    lanes = Lanes(spread=spread)
    kh._begin(lanes.acc, lanes.legs, 3)
    kh._assemble(lanes.acc, lanes.legs, 3)
    if change:
        change(lanes)
    before = lanes.acc.copy().reshape(kh.ROWS, LANES)
    kh._step(lanes.acc)
    return lanes, before


def test_a_step_is_newtons():
    lanes, before = stepped()
    for i in range(LANES):
        g, h, *_ = lanes.slopes(i, before[:3, i])
        step = np.linalg.solve(h, g)
        assert lanes.rows("HX", "HY", "HZ")[:, i] == pytest.approx(before[:3, i] - step, abs=1e-11)
        assert lanes.rows("SX", "SY", "SZ")[:, i] == pytest.approx(step, abs=1e-11)
    assert (lanes.row("LAST") == before[kh._E]).all()
    assert (lanes.row("ON") == 1.0).all()
    assert not lanes.row("BAD").any()


def test_a_lane_at_rest_goes_on_no_longer():
    """Only the largest entry of the imbalance counts, at 1e-7 of the weight."""

    def change(lanes):
        for row in ("GX", "GY", "GZ"):
            lanes.put(row, 0.0)
        for i, row in enumerate(("GX", "GY", "GZ")):
            for lane, sign, share in ((0, 1, 0.9), (1, 1, 1.1), (2, -1, 0.9), (3, -1, 1.1)):
                lanes.row(row)[4 * i + lane] = sign * share * 1e-7 * lanes.w[4 * i + lane]
        lanes.row("ON")[12] = 0.0

    lanes, before = stepped(change)
    assert lanes.row("ON").tolist() == [0, 1, 0, 1] * 3 + [0, 0, 0, 0]
    assert (lanes.rows("HX", "HY", "HZ")[:, 12] == before[:3, 12]).all()  # it keeps its bits
    assert not lanes.row("BAD").any()


def diagonal(lanes, lane, values, g=(0.0, 0.0, 0.0)):
    for row, value in zip(("XX", "YY", "ZZ", "XY", "XZ", "YZ"), (*values, 0, 0, 0), strict=True):
        lanes.row(row)[lane] = value
    for row, value in zip(("GX", "GY", "GZ"), g, strict=True):
        lanes.row(row)[lane] = value


def test_odd_lanes_are_marked_and_stay():
    """A pivot that is not clear of zero, or a step of more than 0.4 of the plumb length."""
    marked = [0, 1, 2, 4, 6]

    def change(lanes):
        for lane in range(8):
            lanes.row("HX")[lane], lanes.row("HY")[lane], lanes.row("HZ")[lane] = 0.0, 1.2, 1.6  # rho 2
            lanes.row("W")[lane] = 10.0
        low = 1e-4 * 10.0 / 2.0  # of the weight over the plumb length
        diagonal(lanes, 0, (-5, 5, 5), (1, 1, 1))
        diagonal(lanes, 1, (5, -5, 5), (1, 1, 1))
        diagonal(lanes, 2, (5, 5, -5), (1, 1, 1))
        diagonal(lanes, 3, (5, 1.01 * low, 5))
        diagonal(lanes, 4, (5, 0.99 * low, 5))
        s = 0.4 * 2.0 * 5.0 / 3**0.5
        diagonal(lanes, 5, (5, 5, 5), (0.99 * s, 0.99 * s, 0.99 * s))
        diagonal(lanes, 6, (5, 5, 5), (1.01 * s, 1.01 * s, 1.01 * s))
        diagonal(lanes, 7, (-5, 5, 5), (1, 1, 1))
        lanes.row("ON")[7] = 0.0  # done: no longer looked at

    lanes, before = stepped(change)
    assert np.flatnonzero(lanes.row("BAD")).tolist() == marked
    assert (lanes.row("BAD")[marked] == 1.0).all()
    assert not lanes.row("ON")[marked].any()
    assert (lanes.rows("HX", "HY", "HZ")[:, marked] == before[:3, marked]).all()
    assert lanes.row("ON")[5] == 1.0


def test_a_step_that_raised_the_energy_is_halved():
    def change(lanes):
        lanes.row("LAST")[:] = np.inf
        lanes.row("LAST")[0] = lanes.row("E")[0] - 1e-3
        lanes.row("LAST")[1] = lanes.row("E")[1] - 2e-14 * abs(lanes.row("E")[1])  # rounding is no rise
        lanes.row("LAST")[2] = lanes.row("E")[2] - 1e-3
        diagonal(lanes, 2, (-5, 5, 5))  # odd, but it goes back first
        lanes.row("LAST")[3] = lanes.row("E")[3] - 1e-3
        lanes.row("ON")[3] = 0.0
        for row, value in zip(("SX", "SY", "SZ"), (0.2, -0.4, 0.6), strict=True):
            lanes.put(row, value)

    lanes, before = stepped(change)
    for lane in (0, 2):
        assert lanes.rows("HX", "HY", "HZ")[:, lane] == pytest.approx(before[:3, lane] + [0.1, -0.2, 0.3])
        assert lanes.rows("SX", "SY", "SZ")[:, lane] == pytest.approx([0.1, -0.2, 0.3])
        assert lanes.row("LAST")[lane] == before[kh._LAST, lane]
        assert lanes.row("ON")[lane] == 1.0
        assert lanes.row("BAD")[lane] == 0.0
    assert lanes.row("LAST")[1] == lanes.row("E")[1]
    g, h, *_ = lanes.slopes(1, before[:3, 1])
    assert lanes.rows("HX", "HY", "HZ")[:, 1] == pytest.approx(before[:3, 1] - np.linalg.solve(h, g))
    assert (lanes.rows("HX", "HY", "HZ")[:, 3] == before[:3, 3]).all()


def test_tensions_angles_and_imbalance_of_each_lane():
    lanes = Lanes(spread=0.3)
    kh._finish(lanes.acc, lanes.legs, 3, lanes.out, lanes.angle)
    for i in range(LANES):
        h = lanes.h[:, i]
        g, _, pull, n = lanes.slopes(i, h)
        u = h / np.linalg.norm(h)
        assert lanes.out.reshape(3, LANES)[:, i] == pytest.approx(pull, abs=1e-12)
        assert lanes.angle.reshape(3, LANES)[:, i] == pytest.approx(np.degrees(np.arcsin(n @ u)), abs=1e-9)
        assert lanes.row("LEFT")[i] == pytest.approx(np.abs(g).max() / lanes.w[i])
        assert lanes.rows("XX", "XY", "XZ")[:, i] == pytest.approx(u)
        assert lanes.row("GX")[i] == pytest.approx(np.degrees(np.arccos(u[2])), abs=1e-9)
        assert lanes.row("MOST")[i] == pytest.approx((pull / lanes.k[:, i]).max(), abs=1e-12)


def test_reach_looks_at_two_nearer_hooks():
    lanes = Lanes(spread=0.3)
    kh._finish(lanes.acc, lanes.legs, 3, lanes.out, lanes.angle)
    kh._reach(lanes.acc, lanes.legs, 3)
    zeros = 0
    for i in range(LANES):
        for row, share in (("REACH", 2.0), ("YY", 6.0)):
            at = lanes.h[:, i] - share * lanes.row("MOST")[i] * lanes.rows("XX", "XY", "XZ")[:, i]
            over = ((at - lanes.arm[:, :, i]) ** 2).sum(axis=1) - lanes.length[:, i] ** 2
            assert lanes.row(row)[i] == pytest.approx(max(0.0, over.max()), abs=1e-12)
            zeros += over.max() <= 0.0
    assert 0 < zeros < 2 * LANES


def test_verdict_sends_all_doubt_to_the_careful_search():
    lanes = Lanes(spread=0.0)
    for row, value in (("ON", 0.0), ("BAD", 0.0), ("LEFT", 0.0), ("REACH", 0.0), ("YY", 1.0)):
        lanes.put(row, value)
    noise = 1e-9 + 1e-14 * (lanes.k * lanes.length).sum(axis=0) / lanes.w
    lanes.row("ON")[1] = 1.0
    lanes.row("BAD")[2] = 1.0
    lanes.row("LEFT")[3], lanes.row("LEFT")[4] = 1.001 * noise[3], 0.999 * noise[4]
    lanes.row("REACH")[5] = 1e-3  # neither hook is near enough
    lanes.row("REACH")[6], lanes.row("YY")[6] = 1e-3, 0.0
    for lane, z, x in ((7, 0.49, 0.8717), (8, 0.51, 0.8601), (9, -1.0, 0.0)):
        lanes.row("HX")[lane], lanes.row("HY")[lane], lanes.row("HZ")[lane] = x, 0.0, z
    stiff = lanes.legs.reshape(3, kh.LEG_ROWS, LANES)
    stiff[:, 4, 10] = 1e7  # stiff legs: rounding leaves more
    lanes.row("LEFT")[10] = 1e-9 + 0.99e-14 * 3 * 1e7 * 2.5 / lanes.w[10]
    kh._verdict(lanes.acc, lanes.legs, 3)
    assert np.flatnonzero(lanes.row("BAD")).tolist() == [1, 2, 3, 5, 7, 9]
    assert set(lanes.row("BAD")) == {0.0, 1.0}
    assert lanes.row("E") == pytest.approx(np.linalg.norm(lanes.rows("HX", "HY", "HZ"), axis=0))


def _inputs(samples):
    """Figures of two legs, each with its samples."""
    rng = np.random.default_rng(3)
    return Inputs(
        rng.uniform(1, 2, (samples, 1)), rng.uniform(-1, 1, (samples, 1, 3)),
        rng.uniform(-1, 1, (samples, 4, 3)),
        rng.uniform(2, 3, (samples, 2)), rng.uniform(0.02, 0.03, (samples, 2)), np.array([5.0, 6.0]),
        np.array([2.5, 2.6]), np.array([3.0, 3.5]), np.array([True, False]),
    )  # fmt: skip


@pytest.mark.parametrize("samples", [40, 1])
@pytest.mark.parametrize("pick", [(1, 2), (0, 2)])
def test_samples_are_filled_into_lanes(samples, pick):
    given, lanes = _inputs(samples), Lanes()
    place = np.array([0.3, -0.2, 9.0])
    kh._fill(lanes.acc, lanes.legs, np.array(pick), place, given, 16, 20)
    legs = lanes.legs.reshape(3, kh.LEG_ROWS, LANES)
    for i in range(LANES):
        s = min(16 + i, 19) if samples > 1 else 0  # past the end the last one again
        hook = given.point_m[s, 0 if pick[0] else 1]
        assert lanes.row("W")[i] == given.weight_n[s, 0]
        assert lanes.rows("HX", "HY")[:, i] == pytest.approx((hook - place - given.centre_m[s, 0])[:2])
        for p in range(2):
            assert legs[p, :3, i] == pytest.approx(given.point_m[s, pick[p]] - given.centre_m[s, 0])
            assert legs[p, 3, i] == given.length_m[s, p]
            elastic = given.length_m[s, p] + (0.5 if p == 0 else 0.0)
            assert legs[p, 4, i] == pytest.approx(given.rated_n[p] / (given.strain[s, p] * elastic))


def bridle(length=3.0, centre=(0.1, 0.05, -0.5), hook_m=None, turned=False, **more):
    legs = []
    for i, (x, y) in enumerate(((-1, -1), (1, -1), (1, 1), (-1, 1))):
        points = (Point("world", (0.0, 0.0, 3.0)), Point("load", (float(x), float(y), 0.0)))
        legs.append(
            Path(
                name=str(i), points=points[::-1] if turned else points, length_m=length, rated_n=2e4,
                strain_at_rated=0.03,
            )
        )  # fmt: skip
    load = Body(name="load", weight_n=1e4, centre_of_gravity_m=centre, **more)
    return Problem(bodies=(load,), paths=tuple(legs), hook_m=hook_m)


@pytest.mark.parametrize("turned", [False, True])
def test_plain_lifts_are_answered_here_and_odd_ones_are_not(turned):
    assert not run(bridle(turned=turned), Variations())[2].todo[0]
    tall, short = bridle(centre=(0.0, 0.0, 3.5)), bridle(length=1.3)
    for problem, status in ((tall, 1), (short, 2)):
        out = run(problem, Variations())[2]
        assert out.todo[0]
        assert out.status[0] == status
    out = run(bridle(turned=turned), Variations(), poses=True)[2]
    assert out.h[0, 2] == pytest.approx(0.5 + np.sqrt(9.0 - 2.0), abs=0.2)
    assert out.residual[0] < 1e-9
    # the plumb line goes through the hook, and the angle at the hook is the one to the plumb line
    assert out.hook_above_cg_m[0] == pytest.approx(np.linalg.norm(out.h[0]), rel=1e-12)
    assert out.tilt_deg[0] == pytest.approx(np.degrees(np.arccos(out.h[0, 2] / out.hook_above_cg_m[0])))


@pytest.mark.parametrize("turned", [False, True])
def test_the_hooks_mark_raises_the_height_alone(turned):
    plain = run(bridle(turned=turned), Variations())[2]
    marked = run(bridle(hook_m=(0.0, 0.0, 3.25), turned=turned), Variations())[2]
    assert marked.hook_above_cg_m[0] == pytest.approx(plain.hook_above_cg_m[0] + 0.25)
    assert (marked.tension_n == plain.tension_n).all()


def test_a_batch_of_more_than_a_block_is_each_sample_alone():
    """Nineteen samples: a full block and three more, one of them for the careful search."""
    centre = np.tile([[0.1, 0.05, -0.5]], (19, 1, 1)) + 0.02 * np.arange(19)[:, None, None]
    centre[5] = [[0.0, 0.0, 3.5]]
    height = np.zeros((19, 8, 3))
    height[:, ::2, 2] = 0.01 * np.arange(19)[:, None]  # every hook a little higher
    many = run(bridle(hook_m=(0.0, 0.0, 3.0)), Variations(centre_of_gravity_m=centre, points_m=height))[2]
    assert np.flatnonzero(many.todo).tolist() == [5]
    for s in (0, 3, 15, 16, 18):
        one = run(
            bridle(hook_m=(0.0, 0.0, 3.0)),
            Variations(centre_of_gravity_m=centre[s : s + 1], points_m=height[s : s + 1]),
        )[2]
        for name in ("tension_n", "angle_deg", "tilt_deg", "hook_above_cg_m", "status", "residual"):
            assert (getattr(one, name)[0] == getattr(many, name)[s]).all(), name
    # a higher hook against a fixed mark: the load hangs higher by as much
    fixed = run(bridle(hook_m=(0.0, 0.0, 3.0)), Variations(centre_of_gravity_m=centre[:1]))[2]
    raised = run(
        bridle(hook_m=(0.0, 0.0, 3.0)), Variations(centre_of_gravity_m=centre[:1], points_m=height[18:])
    )[2]
    assert raised.hook_above_cg_m[0] == pytest.approx(fixed.hook_above_cg_m[0] - 0.18)
