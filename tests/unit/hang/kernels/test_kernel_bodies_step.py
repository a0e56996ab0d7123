"""Lanes of bodies at one pose, each lane another case: against the general energy, and NumPy's algebra."""

import math

import numpy as np
import pytest

from slingwright.hang import _kernel_bodies as kb
from slingwright.hang import _kernel_bodies_step as step
from slingwright.hang import _kernel_energy as ke

BODIES, N = 2, 12
# which bodies each path joins: the lower of two first, the upper first, world last, two slack ones
ENDS = ((-1, 1), (1, 0), (0, -1), (0, 1), (-1, 0))
RNG = np.random.default_rng(11)


@pytest.fixture(autouse=True)
def _drawn_anew():
    """The same figures whichever test is run first."""
    RNG.bit_generator.state = np.random.default_rng(11).bit_generator.state


def rows(flat):
    """A view (rows, lanes)."""
    return flat.reshape(-1, step.LANES)


def turned(vector):
    """The rotation matrix of a turn (Rodrigues' formula)."""
    angle = float(np.linalg.norm(vector))
    if angle == 0.0:
        return np.eye(3)
    x, y, z = np.array(vector) / angle
    k = np.array([[0, -z, y], [z, 0, -x], [-y, x, 0]])
    return np.eye(3) + math.sin(angle) * k + (1 - math.cos(angle)) * k @ k


class Lanes:
    """Sixteen different poses of two bodies on five paths."""

    def __init__(self, one=None):
        self.pose, self.vec, self.mat, self.legs, self.ends, self.w, self.block, self.pulls = kb.new_room(
            BODIES, len(ENDS)
        )
        for each in (self.vec, self.mat, self.ends, self.block):
            each[:] = 7.0  # of another sample
        self.w[:] = 7.0
        self.arms = RNG.uniform(-1.0, 1.0, (step.LANES, len(ENDS), 2, 3))
        for i in range(step.LANES):
            for b in range(BODIES):
                rows(self.pose)[12 * b : 12 * b + 3, i] = RNG.uniform(-1, 1, 3) + np.array([0, 0, 2.0 * b])
                rows(self.pose)[12 * b + 3 : 12 * b + 12, i] = turned(RNG.uniform(-1, 1, 3)).ravel()
                rows(self.w)[step.SCALE + 1 + b, i] = 2.0 + b + 0.1 * i
            for p, ends in enumerate(ENDS):
                leg = rows(self.legs)[step.LEG_ROWS * p : step.LEG_ROWS * (p + 1), i]
                at = self.arms[i, p]
                leg[:6] = at.ravel()
                for e in range(2):
                    if ends[e] < 0:
                        leg[3 * e + 2] = at[e, 2] = at[e, 2] + 5.0
                leg[6] = (0.3 + 0.02 * i) if p < 3 else 30.0
                leg[7] = 40.0 + p + i
                leg[8:] = ends
        rows(self.w)[step.SCALE] = np.linspace(0.5, 2.0, step.LANES)
        rows(self.w)[step.WEIGHT] = np.linspace(3.0, 9.0, step.LANES)
        rows(self.w)[step.ONE] = 0.0 if one is None else one
        rows(self.w)[step.AXIS_X], rows(self.w)[step.AXIS_Y] = 0.3, -0.2

    def assemble(self):
        kb._assemble(self.pose, self.vec, self.mat, self.legs, self.ends, self.w, self.block, BODIES)

    def general(self, i):
        """Energy, gradient and Hessian of lane i by the general kernel."""
        pose = rows(self.pose)[: 12 * BODIES, i].reshape(BODIES, 12)
        on = np.array(ENDS).ravel()
        legs = rows(self.legs)[:, i].reshape(len(ENDS), step.LEG_ROWS)
        model = ke.Model(
            rows(self.w)[step.SCALE + 1 :, i].copy(), self.arms[i].reshape(-1, 3), on,
            np.arange(0, len(on) + 1, 2), legs[:, 6].copy(), legs[:, 7].copy(),
            np.array([rows(self.w)[step.SCALE, i], rows(self.w)[step.WEIGHT, i], 0.0, 0.0]),
        )  # fmt: skip
        work = ke.new_work(BODIES, len(ENDS), len(on))
        energy = ke.energy(model, pose, work, 1.0, ke.WITH)
        return energy, work.vec[ke.GRADIENT].copy(), work.mat[ke.HESSIAN].copy()


def test_energy_gradient_and_hessian_are_the_general_kernels():
    lanes = Lanes()
    lanes.assemble()
    vec, mat = rows(lanes.vec), lanes.mat.reshape(N, N, step.LANES)
    for i in range(step.LANES):
        energy, gradient, hessian = lanes.general(i)
        assert rows(lanes.w)[step.ROW_E, i] == pytest.approx(energy, rel=1e-12)
        assert vec[:N, i] == pytest.approx(gradient, rel=1e-12, abs=1e-10)
        assert np.abs(np.tril(mat[:, :, i] - hessian)).max() < 1e-10
        assert np.abs(np.tril(hessian)).max() > 10.0
    assert (vec[2 * N : 3 * N] == 7.0).all()


def test_what_all_hangs_from_one_vertical_holds_the_heading():
    """The turn about the hook's vertical: its share of the gradient goes, and it is made stiff."""
    one = np.arange(step.LANES) % 2
    lanes = Lanes(one)
    lanes.assemble()
    mat = lanes.mat.reshape(N, N, step.LANES)
    for i in range(step.LANES):
        _, gradient, hessian = lanes.general(i)
        scale, weight = rows(lanes.w)[[step.SCALE, step.WEIGHT], i]
        way = np.zeros(N)
        for b in range(BODIES):
            x, y = rows(lanes.pose)[12 * b : 12 * b + 2, i]
            way[6 * b : 6 * b + 6] = y - -0.2, x - 0.3, 0.0, 0.0, 0.0, scale
            way[6 * b] *= -1.0  # about z: (x, y) goes to (-y, x)
        if one[i]:
            gradient -= way * (way @ gradient) / (way @ way)
            hessian += np.outer(way, way) * weight / (scale * (way @ way))
        assert rows(lanes.vec)[:N, i] == pytest.approx(gradient, rel=1e-11, abs=1e-9)
        assert np.abs(np.tril(mat[:, :, i] - hessian)).max() < 1e-9


def modified(matrix, firm, weak):
    """The factor, column by column, and the least pivot; one that is not firm is put up."""
    left, factor, least = matrix.copy(), np.zeros_like(matrix), np.inf
    for j in range(len(matrix)):
        pivot = left[j, j]
        least = min(least, pivot)
        root = math.sqrt(pivot if pivot > weak else max(-pivot, 10.0 * firm))
        factor[j, j] = root
        factor[j + 1 :, j] = left[j + 1 :, j] / root
        left = left - np.outer(factor[:, j], factor[:, j])
    return factor, least


def test_newtons_step_and_the_least_pivot():
    n, room = 6, kb.new_room(1, 1)
    vec, mat, w = room[1], room[2], room[5]
    weight, scale = 5.0, 2.0
    w[:] = 7.0
    rows(w)[step.WEIGHT], rows(w)[step.SCALE] = weight, scale
    given, right = np.empty((n, n, step.LANES)), []
    for i in range(step.LANES):
        half = RNG.uniform(-1, 1, (n, n))
        matrix = half @ half.T + 0.5 * np.eye(n)
        if i % 4 == 1:  # no bowl
            matrix[2, 2] -= 6.0
        elif i % 4 == 2:  # soft, as little as is looked at with care, and a little firmer
            matrix[n - 1, :] = matrix[:, n - 1] = 0.0
            matrix[n - 1, n - 1] = weight / scale * step._FIRM * (0.9 if i % 8 == 2 else 1.1)
        elif i % 4 == 3:
            matrix[0, 0] = -0.5 * weight / scale * (1.0 if i % 8 == 3 else 60.0)
        gradient = RNG.uniform(-1, 1, n)
        given[:, :, i] = np.tril(matrix) + np.triu(np.full((n, n), 99.0), 1)  # the upper half is nobody's
        rows(vec)[:n, i] = gradient
        lower, least = modified(matrix, weight / scale, step._FIRM * weight / scale)
        right.append((np.linalg.solve(lower @ lower.T, gradient), least, matrix))
    mat[:] = given.ravel()
    rows(vec)[n : 2 * n] = 7.0
    step.factor(mat, vec, w, n)
    assert (rows(vec)[n : 2 * n] == 7.0).all()  # the last step that was taken
    for i, (newton, least, matrix) in enumerate(right):
        assert rows(vec)[2 * n : 3 * n, i] == pytest.approx(newton, rel=1e-9)
        assert rows(w)[step._LEAST, i] == pytest.approx(least, rel=1e-9)
        if i % 4 == 0:
            assert rows(vec)[2 * n : 3 * n, i] @ matrix == pytest.approx(rows(vec)[:n, i], abs=1e-9)


SCALE, WEIGHT = 2.0, 4.0
FIRM = step._FIRM * WEIGHT / SCALE
# of one lane each: least pivot, imbalance, energy now and of the last pose, still on its way; then what
# becomes of it: the share of Newton's step, or "back", or "stays"; on its way, bad, the last pose's energy
STEPS = [
    ("near", 0.1, 1.0, 1e-3, -5.0, -4.0, True, 1.0, True, False, -5.0),
    ("far", 5.0, 1.0, 1e-3, -5.0, -4.0, True, 0.3 * SCALE / 5.0, True, False, -5.0),
    ("no bowl", 0.5, 0.9 * FIRM, 1e-3, -5.0, -4.0, True, 0.01 * SCALE / 0.5, True, False, -5.0),
    ("no bowl, near", 0.01, -1.0, 1e-3, -5.0, -4.0, True, 1.0, True, False, -5.0),
    ("just a bowl", 0.5, 1.1 * FIRM, 1e-3, -5.0, -4.0, True, 1.0, True, False, -5.0),
    ("just no bowl", 0.5, FIRM, 1e-3, -5.0, -4.0, True, 0.01 * SCALE / 0.5, True, False, -5.0),
    ("no number", 0.5, np.nan, 1e-3, -5.0, -4.0, True, 0.01 * SCALE / 0.5, True, False, -5.0),
    ("home in no bowl", 0.1, 0.9 * FIRM, 0.9e-7, -5.0, -4.0, True, "stays", False, True, -5.0),
    ("home", 0.1, 1.0, 0.9e-7, -5.0, -4.0, True, 1.0, False, False, -5.0),
    ("just home", 0.1, 1.0, 1e-7, -5.0, -4.0, True, 1.0, False, False, -5.0),
    ("almost home", 0.1, 1.0, 1.1e-7, -5.0, -4.0, True, 1.0, True, False, -5.0),
    ("rose", 0.1, 1.0, 1e-3, -4.0, -5.0, True, "back", True, False, -5.0),
    ("rose at home", 0.1, 1.0, 0.9e-7, -4.0, -5.0, True, 1.0, False, False, -4.0),
    ("rose by rounding", 0.1, 1.0, 1e-3, -4.0 + 0.9e-12, -4.0, True, 1.0, True, False, -4.0 + 0.9e-12),
    ("arrived", 0.1, 1.0, 1e-3, -5.0, -4.0, False, "stays", False, False, -4.0),
    ("arrived, in no bowl", 0.1, -1.0, 0.5e-7, -5.0, -4.0, False, "stays", False, False, -4.0),
]  # fmt: skip


def test_how_far_each_lane_goes_and_which_go_back():
    assert len(STEPS) == step.LANES
    pose, vec, _, _, _, w, _, _ = kb.new_room(2, 1)
    n = 12
    for i, (_, size, least, left, now, last, on, *_) in enumerate(STEPS):
        newton = RNG.uniform(-1, 1, n)
        rows(vec)[2 * n : 3 * n, i] = newton * size / np.linalg.norm(newton)
        rows(vec)[n : 2 * n, i] = RNG.uniform(-0.2, 0.2, n)  # the last step
        rows(w)[[step._LEAST, step.LEFT, step.ROW_E, step.ROW_E + 1], i] = least, left, now, last
        rows(w)[[step.ON, step.BAD, step.WEIGHT, step.SCALE], i] = on, 0.0, WEIGHT, SCALE
        for k in (0, 12, 24, 36):  # where the two bodies are, and where they were
            rows(pose)[k : k + 3, i] = RNG.uniform(-1, 1, 3)
            rows(pose)[k + 3 : k + 12, i] = turned(RNG.uniform(-1, 1, 3)).ravel()
    old, taken = rows(pose).copy(), rows(vec)[n : 2 * n].copy()
    step.advance(pose, vec, w, 2, n)
    for i, (name, *_, share, on, bad, energy) in enumerate(STEPS):
        told = rows(w)[[step.ON, step.BAD, step.ROW_E + 1], i].tolist()
        assert told == [float(on), float(bad), energy], name
        if share == "stays":
            assert (rows(pose)[:, i] == old[:, i]).all(), name
            assert (rows(vec)[n : 2 * n, i] == taken[:, i]).all(), name
            continue
        begin = old[24:, i] if share == "back" else old[:24, i]
        by = 0.5 * taken[:, i] if share == "back" else -share * rows(vec)[2 * n : 3 * n, i]
        assert rows(vec)[n : 2 * n, i] == pytest.approx(by, rel=1e-12), name
        assert (rows(pose)[24:, i] == begin).all(), name
        for b in range(2):
            here, there = rows(pose)[12 * b : 12 * b + 12, i], begin[12 * b : 12 * b + 12]
            assert here[:3] == pytest.approx(there[:3] + by[6 * b : 6 * b + 3], rel=1e-12), name
            half = by[6 * b + 3 : 6 * b + 6] * 0.5 / SCALE
            size = np.linalg.norm(half)
            turn = turned(half / size * 2.0 * math.atan(size))
            assert here[3:] == pytest.approx((turn @ there[3:].reshape(3, 3)).ravel(), abs=1e-12), name


def test_rounding_of_the_energy_grows_with_it_and_with_the_weight_times_the_scale():
    """What rose by less than a ten-trillionth of both together has not risen."""
    pose, vec, _, _, _, w, _, _ = kb.new_room(1, 1)
    rows(vec)[6:12], rows(w)[step._LEAST] = 0.5, 1.0
    rows(w)[[step.ON, step.LEFT]] = 1.0
    for m in (3, 7, 11, 15, 19, 23):
        rows(pose)[m] = 1.0
    energy, weight, scale = (
        np.repeat(x, 4) for x in ((0.0, 0.0, -9.0, 9.0), (1.0, 8.0, 1.0, 1.0), (8.0, 4.0, 1.0, 1.0))
    )
    by = (abs(energy) + weight * scale) * 1e-13 * np.tile([0.8, 1.3, 0.8, 1.3], 4)
    rows(w)[step.ROW_E], rows(w)[step.ROW_E + 1] = energy, energy - by
    rows(w)[step.WEIGHT], rows(w)[step.SCALE] = weight, scale
    step.advance(pose, vec, w, 1, 6)
    assert (rows(vec)[6] == np.where(by > (abs(energy) + weight * scale) * 1.0e-13, 0.25, 0.0)).all()


def test_no_step_is_none():
    pose, vec, _, _, _, w, _, _ = kb.new_room(1, 1)
    rows(w)[[step.ON, step.LEFT, step._LEAST, step.WEIGHT, step.SCALE]] = 1.0
    rows(w)[step.BAD, 3] = 1.0  # it stays so
    for m in (3, 7, 11):
        rows(pose)[m] = 1.0
    step.advance(pose, vec, w, 1, 6)
    assert (rows(vec)[6:12] == 0.0).all()
    assert rows(pose)[:12, 0].tolist() == [0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1]
    assert rows(w)[step.BAD].tolist() == [0.0] * 3 + [1.0] + [0.0] * 12


def placed():
    """Lanes of upright bodies, as they are placed."""
    lanes = Lanes()
    for b in range(BODIES):
        rows(lanes.pose)[12 * b + 3 : 12 * b + 12] = np.eye(3).ravel()[:, None]
    return lanes


@pytest.mark.parametrize(("p", "e"), [(0, 1), (1, 1), (2, 0), (1, 0)])
def test_where_a_body_would_stand_with_its_end_at_the_other(p, e):
    lanes, b, other = placed(), ENDS[p][e], ENDS[p][1 - e]
    step.above(lanes.pose, lanes.legs, lanes.w, p, e, b, other)
    at = lanes.arms[:, p, 1 - e].T.copy()
    if other >= 0:
        at += rows(lanes.pose)[12 * other : 12 * other + 3]
    assert rows(lanes.w)[:3] == pytest.approx(at - lanes.arms[:, p, e].T)


def test_a_body_is_lowered_till_a_path_carries_its_share():
    lanes, p, b, share = placed(), 1, 1, 0.75
    w, pose = rows(lanes.w), rows(lanes.pose)
    rest, stiff = rows(lanes.legs)[step.LEG_ROWS * p + 6 : step.LEG_ROWS * p + 8]
    rest[:] = 3.0
    w[:3] = pose[12 * b : 12 * b + 3] + np.array([[0.5], [-0.3], [0.9]])
    pose[12 * b + 2, :8] = np.inf  # not placed by another path yet
    w[0, 4:6] += 60.0  # too far aside to reach
    pose[12 * b + 2, 14:] = -90.0  # lower already
    before = pose[: 12 * BODIES].copy()
    w[2] = 2.0
    step.lower(lanes.pose, lanes.legs, lanes.w, p, b, share)
    for i in range(step.LANES):
        drop = 2.0 - pose[12 * b + 2, i]
        if i in (4, 5):
            assert drop == pytest.approx(0.1 * 3.0)
        elif i >= 14:
            assert pose[12 * b + 2, i] == -90.0
        else:
            aside = pose[12 * b : 12 * b + 2, i] - w[:2, i]
            pull = stiff[i] * (math.hypot(*aside, drop) - 3.0)
            assert pull == pytest.approx(share * w[step.WEIGHT, i], rel=1e-9)
    others = np.delete(np.arange(12 * BODIES), 12 * b + 2)
    assert (pose[others] == before[others]).all()


def test_what_a_path_lifts_by_and_how_much_more_lower_down():
    lanes, p, b = placed(), 1, 1
    w, pose = rows(lanes.w), rows(lanes.pose)
    rest, stiff = rows(lanes.legs)[step.LEG_ROWS * p + 6 : step.LEG_ROWS * p + 8]
    w[:3] = pose[12 * b : 12 * b + 3] + np.array([[0.5], [-0.3], [0.9]])
    w[2] += np.linspace(-0.5, 0.6, step.LANES)
    rest[:], rest[-1] = 0.6, 9.0  # the last is slack
    w[step.ROW_E : step.ROW_E + 2] = 1.0

    def lift(i, lower_m):
        way = w[:3, i] - pose[12 * b : 12 * b + 3, i] + (0.0, 0.0, lower_m)
        far = np.linalg.norm(way)
        return stiff[i] * max(far - rest[i], 0.0) * way[2] / far

    step.pulls_up(lanes.pose, lanes.legs, lanes.w, p, b)
    for i in range(step.LANES):
        more = (lift(i, 1e-6) - lift(i, -1e-6)) / 2e-6
        assert w[step.ROW_E, i] - 1.0 == pytest.approx(lift(i, 0.0), rel=1e-12, abs=1e-12)
        assert w[step.ROW_E + 1, i] - 1.0 == pytest.approx(more, rel=1e-6, abs=1e-6)
    assert w[step.ROW_E, -1] == 1.0


@pytest.mark.parametrize(("k", "order"), [(0, (1, 0)), (1, (1, 0)), (0, (0, 1)), (1, (0, 1))])
def test_a_body_rises_to_where_its_paths_lift_what_hangs_from_it(k, order):
    lanes = placed()
    w, pose = rows(lanes.w), rows(lanes.pose)
    b, hangs = order[k], list(order[k:])
    before = pose.copy()
    lifts, slope = np.linspace(1.0, 20.0, step.LANES), np.linspace(0.1, 4.0, step.LANES)
    slope[-1] = 0.0  # all slack
    w[step.ROW_E], w[step.ROW_E + 1] = lifts, slope
    step.rise(lanes.pose, lanes.w, b, np.array(order), k)
    over = lifts - sum(w[step.SCALE + 1 + m] for m in hangs)
    right = np.where(slope > 0.0, over / np.where(slope > 0.0, slope, 1.0), 0.0)
    assert pose[12 * b + 2] - before[12 * b + 2] == pytest.approx(right, abs=1e-12)
    assert (np.delete(pose, 12 * b + 2, axis=0) == np.delete(before, 12 * b + 2, axis=0)).all()


def test_room_is_as_large_as_what_is_asked_of_it():
    """Rows a kernel writes beyond its array are, compiled, somebody else's."""
    sizes = [len(each) // step.LANES for each in kb.new_room(3, 5)]
    assert sizes == [72, 72, 324, 50, 12, step.SCALE + 4, 36, 10]
