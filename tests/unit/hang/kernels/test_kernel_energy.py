"""Energy, gradient, Hessian, steps: against figures by NumPy alone and against differences of the energy."""

from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_energy as ke
from slingwright.hang import _kernel_search as search


def model(scale=1.3):
    """Two bodies; a leg, a leg between them, a path over two points of a body, a slack one, a bent one."""
    point = [
        (0, 0, 3), (0.1, 0.2, 0.3), (0.5, 0.1, -0.2), (-0.4, 0.3, 0.2), (1, 0, 3), (-0.3, 0.1, 0.4),
        (0.3, 0.2, 0.1), (-1, 0.5, 3), (0, 0, 3.2), (0.2, 0, 0), (1, 1, 2.8), (0.4, -0.3, 0.2),
        (0.3, 0.4, 0.1), (1, -1, 2.5),
    ]  # fmt: skip
    on = [-1, 0, 0, 1, -1, 0, 0, -1, -1, 0, -1, 0, 1, -1]
    return ke.Model(
        np.array([2.0, 0.7]), np.array(point, dtype=float), np.array(on), np.array([0, 2, 4, 8, 10, 14]),
        np.array([1.9, 0.7, 4.0, 9.0, 2.5]), np.array([3.0, 2.0, 1.5, 8.0, 1.1]),
        np.array([scale, 2.7, 0.0, 0]),
    )  # fmt: skip


def pose_of(seed=3):
    """Two turned bodies: centre, then the turn row by row."""
    rng = np.random.default_rng(seed)
    rows = []
    for at in ((0.1, 0.2, 0.5), (0.2, -0.3, -0.6)):
        q, _ = np.linalg.qr(rng.standard_normal((3, 3)))
        rows.append([*at, *(q * np.sign(np.linalg.det(q))).ravel()])
    return np.array(rows)


def by_numpy(m, pose, load=1.0):
    """(energy, points in the world, extensions, pulls), straight from the formula."""
    x = np.array([
        a if b < 0 else pose[b, :3] + pose[b, 3:].reshape(3, 3) @ a for a, b in zip(m.arm, m.on, strict=True)
    ])  # fmt: skip
    ext = []
    for p in range(len(m.rest)):
        run = range(m.first[p], m.first[p + 1] - 1)
        free = [q for q in run if m.on[q] != m.on[q + 1] or m.on[q] < 0]
        ext.append(sum(np.linalg.norm(x[q + 1] - x[q]) for q in free) - m.rest[p])
    pull = m.stiff * np.maximum(ext, 0.0)
    return load * m.weight @ pose[:, 2] + 0.5 * pull @ np.maximum(ext, 0.0), x, np.array(ext), pull


def moved(pose, step, scale=1.3):
    to = np.zeros_like(pose)
    ke.move(pose, step, scale, to)
    return to


@pytest.mark.parametrize("load", [1.0, 0.0, 0.4])
def test_energy_points_and_pulls(load):
    m, pose, work = model(), pose_of(), ke.new_work(2, 5, 14)
    want, x, ext, pull = by_numpy(m, pose, load)
    assert ke.energy(m, pose, work, load, ke.NONE) == pytest.approx(want, rel=1e-13)
    assert work.point[ke.PLACE] == pytest.approx(x, abs=1e-14)
    held = np.where((m.on >= 0)[:, None], x - pose[m.on, :3], 0.0)
    assert work.point[ke.ARM] == pytest.approx(held, abs=1e-14)
    assert work.path[ke.EXTENSION] == pytest.approx(ext, abs=1e-13)
    assert work.path[ke.PULL] == pytest.approx(pull, abs=1e-13)
    assert work.path[ke.PULL, 3] == 0.0  # slack
    assert (pull > 0.0).sum() == 4


@pytest.mark.parametrize("load", [1.0, 0.4])
def test_gradient_and_hessian_are_the_energys_own(load):
    """Second differences of the energy along exact turns; the scratch held something else before."""
    m, pose, work = model(), pose_of(), ke.new_work(2, 5, 14)
    work.vec[:], work.mat[:], work.ends[:] = 7.0, 7.0, 7.0
    ke.energy(m, pose, work, load, ke.WITH)
    g, h = work.vec[ke.GRADIENT].copy(), work.mat[ke.HESSIAN].copy()
    d = 1e-3

    def e(i, a, j=0, b=0.0):
        step = np.zeros(12)
        step[i] += a
        step[j] += b
        return by_numpy(m, moved(pose, step), load)[0]

    here = e(0, 0.0)
    for i in range(12):
        assert g[i] == pytest.approx((e(i, d) - e(i, -d)) / (2 * d), abs=2e-6)
        assert h[i, i] == pytest.approx((e(i, d) - 2 * here + e(i, -d)) / (d * d), abs=2e-5)
        for j in range(i):
            cross = e(i, d, j, d) - e(i, d, j, -d) - e(i, -d, j, d) + e(i, -d, j, -d)
            assert h[i, j] == pytest.approx(cross / (4 * d * d), abs=2e-5)
            assert h[j, i] == pytest.approx(h[i, j], abs=1e-13)


def test_length_gradient_of_a_path_alone():
    m, pose, work = model(), pose_of(), ke.new_work(2, 5, 14)
    ke.energy(m, pose, work, 1.0, ke.NONE)
    work.mat[:] = 5.0
    for p in range(5):
        ke.path_gradient(m, work, p, 0.0)
        for i in range(12):
            step = np.zeros(12)
            step[i] = 1e-5
            d = by_numpy(m, moved(pose, step))[2][p] - by_numpy(m, moved(pose, -step))[2][p]
            assert work.vec[ke.LENGTHWISE, i] == pytest.approx(d / 2e-5, abs=1e-8)
    assert (work.mat == 5.0).all()  # no curvature was asked for


def test_ends_that_coincide_pull_in_no_direction():
    m, pose = model(), pose_of()
    m.arm[0] = by_numpy(m, pose)[1][1]
    work = ke.new_work(2, 5, 14)
    ke.energy(m, pose, work, 1.0, ke.NONE)
    ke.path_gradient(m, work, 0, 1.0)
    assert not work.vec[ke.LENGTHWISE].any()
    m.arm[0, 0] += 1e-11
    ke.energy(m, pose, work, 1.0, ke.NONE)
    ke.path_gradient(m, work, 0, 1.0)
    assert work.vec[ke.LENGTHWISE].any()


@pytest.mark.parametrize("size", [0.0, 1e-9, 9.9e-5, 1.1e-4, 0.3, 2.0])
def test_a_step_turns_exactly(size):
    """Rodrigues' formula in extended precision is the judge, to the last places of a small turn too."""
    pose, step = pose_of(), size * np.array([0.3, -0.2, 0.9, 0.4, -0.5, 0.8, -0.1, 0.2, 0.3, -0.7, 0.1, 0.2])
    to = moved(pose, step)
    for b in range(2):
        v = step[6 * b + 3 : 6 * b + 6].astype(np.longdouble) / np.longdouble(1.3)
        a = np.sqrt(v @ v)
        k = np.array([[0, -v[2], v[1]], [v[2], 0, -v[0]], [-v[1], v[0], 0]])
        c = 2 * np.sin(a / 2) ** 2 / (a * a) if a else np.longdouble(0)
        turn = (np.sin(a) / a if a else 1) * k + c * (k @ k)
        old = pose[b, 3:].reshape(3, 3)
        assert to[b, :3] == pytest.approx(pose[b, :3] + step[6 * b : 6 * b + 3], abs=1e-16)
        # from the unturned pose, where the small parts of a turn keep all their figures
        unit = moved(np.array([[0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0, 1.0]]), step[6 * b : 6 * b + 6])
        flat = unit[0, 3:].reshape(3, 3) - np.eye(3)
        off = ~np.eye(3, dtype=bool)
        assert flat[off] == pytest.approx(np.asarray(turn[off], dtype=float), rel=1e-13, abs=0)
        assert to[b, 3:].reshape(3, 3) == pytest.approx(np.asarray(old + turn @ old, dtype=float), abs=1e-15)


def test_rows_are_copied_and_cleared():
    a, b = np.zeros((2, 3)), np.arange(6.0).reshape(2, 3)
    ke.copy_rows(a, b)
    assert (a == b).all()
    work = ke.new_work(2, 5, 14)
    shapes = [f.shape for f in work]
    assert shapes == [(2, 14, 3), (2, 5), (6, 12), (3, 12, 12), (6, 2, 12), (4, 12), (12,)]
    work.vec[:], work.mat[:] = 1.0, 1.0
    ke.clear(work)
    assert not work.vec[ke.GRADIENT].any()
    assert not work.mat[ke.HESSIAN].any()
    assert work.vec.sum() == 5 * 12
    assert work.mat.sum() == 2 * 144


def test_imbalance_and_noise_by_hand():
    m, pose, work = model(), pose_of(), ke.new_work(2, 5, 14)
    work.vec[ke.GRADIENT, 3:5] = -0.9, 0.5
    assert search.imbalance(m, work) == pytest.approx(0.9 / 2.7)
    work.path[ke.PULL, 1] = 5.0
    assert search.imbalance(m, work) == pytest.approx(0.9 / 5.0)
    stiff = m.stiff.sum()
    assert search._noise(m, pose) == pytest.approx(1e-12 + 1.5e-14 * 9.0 * stiff / 2.7, rel=1e-12)
    pose[1, 1] = -20.0
    assert search._noise(m, pose) == pytest.approx(1e-12 + 1.5e-14 * 20.0 * stiff / 2.7, rel=1e-12)
    wide = model(scale=50.0)
    assert search._noise(wide, pose) == pytest.approx(1e-12 + 1.5e-14 * 50.0 * stiff / 2.7, rel=1e-12)


@pytest.mark.parametrize("samples", [1, 2])
def test_stiffness_is_the_samples_own(samples):
    """Rated load over (strain there times what stretches); a figure that does not vary has one row."""
    length, strain = (
        np.array([[3.0, 4.0], [3.5, 4.5]])[:samples],
        np.array([[0.1, 0.2], [0.3, 0.4]])[:samples],
    )
    for lengths in (length, length[:1]):
        given = SimpleNamespace(
            length_m=lengths, strain=strain, own_m=np.array([3.25, 4.25]), elastic_m=np.array([2.0, 9.0]),
            elastic_given=np.array([True, False]), rated_n=np.array([6.0, 7.0]),
        )  # fmt: skip
        for s in range(samples):
            own = lengths[min(s, len(lengths) - 1)]
            assert ke.stiffness(given, s, 0) == pytest.approx(6.0 / (strain[s, 0] * (2.0 + own[0] - 3.25)))
            assert ke.stiffness(given, s, 1) == pytest.approx(7.0 / (strain[s, 1] * own[1]))
