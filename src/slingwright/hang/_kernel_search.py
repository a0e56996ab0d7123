"""From the upright pose to the equilibrium: drop, stationary state, flow, verdict.

The state wanted is the one that the load flows to from the upright pose. Newton steps are taken while the
energy falls; every Hessian on the way is checked. Only where one is not positive definite does the second,
slower search run: the downhill flow, compared with the stationary state next to the upright pose.
"""

from __future__ import annotations

import numpy as np

from slingwright.hang._jit import kernel
from slingwright.hang._kernel_dense import cholesky, cholesky_solve, eigen, lu_solve
from slingwright.hang._kernel_energy import energy, measure, move, place_points

__all__ = ["CAPSIZES", "FAILED", "STABLE", "UNREACHABLE", "find"]

STABLE, CAPSIZES, UNREACHABLE, FAILED = 0, 1, 2, 3
FLAT = 1e-9  # of force/scale: a stiffness below this is none
ROLL = 0.05  # of weight times half chord: a roll stiffness below this is what a true round would not have
LIFT_ONLY, ALL = 0.0, 1.0  # floats: whole-number constants would compile one copy for each


@kernel
def imbalance(model, work):  # type: ignore[no-untyped-def]
    """Largest entry of the gradient over the total weight."""
    worst = 0.0
    for i in range(work.g.shape[0]):
        worst = max(worst, abs(work.g[i]))
    return worst / model.force


@kernel
def _noise(model, c):  # type: ignore[no-untyped-def]
    """The imbalance that rounding alone can leave (stiff paths amplify the last bit of a position)."""
    size = model.scale
    for p in range(model.rest.shape[0]):
        size = max(size, abs(model.rest[p]))
    for b in range(c.shape[0]):
        size = max(size, abs(c[b, 2]))
    total = 0.0
    for p in range(model.stiff.shape[0]):
        total += model.stiff[p]
    return 1e-12 + 64.0 * 2.3e-16 * size * total / model.force


@kernel
def _hold(model, work, free, c):  # type: ignore[no-untyped-def]
    """Hold what is not free; with one hook hold the heading, which costs no energy."""
    g, h = work.g, work.h
    n = g.shape[0]
    if free == LIFT_ONLY:
        for i in range(n):
            if i % 6 != 2:
                g[i] = 0.0
                for m in range(n):
                    h[i, m] = 0.0
                    h[m, i] = 0.0
                h[i, i] = model.force / model.scale
    elif model.hooked == 1:
        v = work.j
        v[:] = 0.0
        norm = 0.0
        for b in range(c.shape[0]):
            v[6 * b] = -(c[b, 1] - model.axis_y)
            v[6 * b + 1] = c[b, 0] - model.axis_x
            v[6 * b + 5] = model.scale
            norm += v[6 * b] ** 2 + v[6 * b + 1] ** 2 + v[6 * b + 5] ** 2
        along = 0.0
        for i in range(n):
            along += v[i] * g[i]
        for i in range(n):
            g[i] -= along * v[i] / norm
            for m in range(n):
                h[i, m] += model.force / model.scale * v[i] * v[m] / norm


@kernel
def _length(step):  # type: ignore[no-untyped-def]
    s = 0.0
    for i in range(step.shape[0]):
        s += step[i] * step[i]
    return np.sqrt(s)


@kernel
def descend(model, c, turn, work, load, free, cap, most):  # type: ignore[no-untyped-def]
    """Downhill from (c, turn), in place: Newton steps no longer than a trust radius, energy never rising.

    Returns (converged, every Hessian positive definite, imbalance).
    """
    n = work.g.shape[0]
    ct, tt = work.c_try, work.turn_try
    radius = cap
    convex = True
    floor = FLAT * model.force / model.scale
    tol = _noise(model, c)
    e = energy(model, c, turn, work, load, True)
    _hold(model, work, free, c)
    last = imbalance(model, work)
    polish = 0
    for _ in range(int(most)):
        if last <= tol:
            polish += 1
            if polish > 1:
                break
        shift = 0.0
        if not cholesky(work.h, 0.0, work.low):
            convex = False
            shift = floor
            while not cholesky(work.h, shift, work.low):
                shift *= 4.0
            shift *= 2.0
            cholesky(work.h, shift, work.low)
        cholesky_solve(work.low, work.g, work.step)
        size = _length(work.step)
        taken = False
        for _ in range(60):
            f = -1.0 if size <= radius else -radius / size
            for i in range(n):
                work.full[i] = f * work.step[i]
            move(c, turn, work.full, model.scale, ct, tt)
            e_try = energy(model, ct, tt, work, load, False)
            if e_try <= e + 1e-14 * model.force * model.scale:
                taken = True
                break
            radius = 0.25 * min(size, radius)
        if not taken:
            break
        c[:] = ct
        turn[:] = tt
        e = energy(model, c, turn, work, load, True)
        _hold(model, work, free, c)
        now = imbalance(model, work)
        if now >= last and now < 1e-9 and now <= 100.0 * tol:
            last = now
            break
        last = now
        radius = min(2.0 * radius, cap) if free == ALL else 2.0 * radius
    return last <= max(1e-9, 10.0 * tol) and last <= 1e-6, convex, last


@kernel
def settle(model, c, turn, work, cap, most):  # type: ignore[no-untyped-def]
    """Newton to the stationary state nearest to (c, turn), in place, whatever its kind.

    Returns (converged, every Hessian positive definite and the energy never rising, imbalance).
    """
    ct, tt = work.c_try, work.turn_try
    tol = _noise(model, c)
    clean = True
    e = energy(model, c, turn, work, 1.0, True)
    _hold(model, work, ALL, c)
    last = imbalance(model, work)
    polish = 0
    for _ in range(int(most)):
        if last <= tol:
            polish += 1
            if polish > 1:
                break
        definite = cholesky(work.h, 0.0, work.low)
        if definite:
            cholesky_solve(work.low, work.g, work.step)
        else:
            clean = False
            if not lu_solve(work.h, work.g, work.step, work.h2):
                return False, False, last
        size = _length(work.step)
        f = -1.0 if size <= cap else -cap / size
        for _ in range(12):
            for i in range(work.g.shape[0]):
                work.full[i] = f * work.step[i]
            move(c, turn, work.full, model.scale, ct, tt)
            e_try = energy(model, ct, tt, work, 1.0, False)
            if not definite or e_try <= e + 1e-14 * model.force * model.scale:
                break
            f *= 0.25
        c[:] = ct
        turn[:] = tt
        e = energy(model, c, turn, work, 1.0, True)
        _hold(model, work, ALL, c)
        now = imbalance(model, work)
        if now >= last and now < 1e-9 and now <= 100.0 * tol:
            last = now
            break
        last = now
    return last <= max(1e-9, 10.0 * tol) and last <= 1e-6, clean, last


@kernel
def judge(model, c, turn, work):  # type: ignore[no-untyped-def]
    """(stable, roll is neutral, a turn about a vertical is neutral, unstable in heading only) of a stationary state."""
    energy(model, c, turn, work, 1.0, True)
    _hold(model, work, ALL, c)
    floor = FLAT * model.force / model.scale
    if cholesky(work.h, -floor, work.low):
        if model.round_m == 0.0:
            return True, False, False, False
    n = work.g.shape[0]
    work.h2[:] = work.h
    eigen(work.h2, work.full, work.low)
    stable, roll, spin, heading = True, False, False, True
    for k in range(n):
        if work.full[k] > ROLL * model.force / model.scale:
            continue
        level, upright = 0.0, 0.0
        for b in range(c.shape[0]):
            level += work.low[6 * b + 3, k] ** 2 + work.low[6 * b + 4, k] ** 2
            upright += work.low[6 * b + 5, k] ** 2
        if abs(work.full[k]) <= floor and upright > 0.5:
            spin = True
            continue
        # a turn by one radian is scale metres: stiffness against turning, in N m
        turning = work.full[k] * model.scale**2 / max(level, 1e-12)
        if model.round_m > 0.0 and level > 0.1 and abs(turning) <= ROLL * model.force * model.round_m:
            roll = True
        elif work.full[k] <= floor:
            stable = False
            heading = heading and level < 0.02
    return stable, roll, spin, heading and not stable


@kernel
def _apart(c, turn, c2, turn2, scale):  # type: ignore[no-untyped-def]
    """How far two poses are apart, turns of the vertical only (heading costs nothing)."""
    s = 0.0
    for b in range(c.shape[0]):
        for i in range(3):
            s += (turn[b, 2, i] - turn2[b, 2, i]) ** 2
    return np.sqrt(s)


@kernel
def reaches(model, c, turn, work):  # type: ignore[no-untyped-def]
    """Whether the unstretched paths can all reach: the elastic energy without weight falls to nothing."""
    c2, t2 = work.c_far, work.turn_far
    c2[:] = c
    t2[:] = turn
    descend(model, c2, t2, work, 0.0, ALL, 0.5 * model.scale, 60.0)
    place_points(model, c2, t2, work)
    measure(model, work)
    worst = 0.0
    for p in range(model.rest.shape[0]):
        worst = max(worst, work.ext[p])
    return worst <= 1e-7 * model.scale


@kernel
def _lifted(model, c, turn, work):  # type: ignore[no-untyped-def]
    """A quick proof of reach: all bodies a little higher, unturned, and every path slack."""
    c2 = work.c_far
    most = 0.0
    for p in range(model.rest.shape[0]):
        most = max(most, work.ext[p])
    for rise in (2.0, 6.0):
        for b in range(c.shape[0]):
            c2[b, 0] = c[b, 0]
            c2[b, 1] = c[b, 1]
            c2[b, 2] = c[b, 2] + rise * most * (c.shape[0] - b)
        place_points(model, c2, turn, work)
        measure(model, work)
        slack = True
        for p in range(model.rest.shape[0]):
            if work.ext[p] > 0.0:
                slack = False
        if slack:
            return True
    return False


@kernel
def find(model, start, c, turn, work):  # type: ignore[no-untyped-def]
    """Solve one problem from its upright start (B,3); the pose comes back in c, turn, tensions in work.pull.

    Returns (status, imbalance, roll is neutral, a turn about a vertical is neutral).
    """
    scale = model.scale
    c[:] = start
    turn[:] = 0.0
    for b in range(c.shape[0]):
        for i in range(3):
            turn[b, i, i] = 1.0
    dropped, _, _ = descend(model, c, turn, work, 1.0, LIFT_ONLY, 0.25 * scale, 200.0)
    work.c_drop[:] = c
    work.turn_drop[:] = turn
    good, clean, left = settle(model, c, turn, work, 0.3 * scale, 60.0)
    stable, roll, spin, heading = False, False, False, False
    if good:
        stable, roll, spin, heading = judge(model, c, turn, work)
    if not (good and stable and (clean or roll)):
        upright = good and not stable and not heading
        good, stable, roll, spin, left = _by_flow(model, c, turn, work, good, upright, roll, spin, left)
    energy(model, c, turn, work, 1.0, True)
    if not (good and dropped):
        return FAILED, left, roll, spin
    status = STABLE if stable else CAPSIZES
    if not _lifted(model, c, turn, work) and not reaches(model, c, turn, work):
        status = UNREACHABLE
    energy(model, c, turn, work, 1.0, True)
    return status, left, roll, spin


@kernel
def _by_flow(model, c, turn, work, good, upright, roll, spin, left):  # type: ignore[no-untyped-def]
    """Follow the flow from the dropped pose; say which state is the answer: its end or the upright one (c, turn)."""
    scale = model.scale
    c_up, t_up = c.copy(), turn.copy()
    c[:] = work.c_drop
    turn[:] = work.turn_drop
    ends, _, rest = descend(model, c, turn, work, 1.0, ALL, 0.1 * scale, 1500.0)
    if not ends:
        if good:
            c[:] = c_up
            turn[:] = t_up
        return upright, False, roll, spin, left
    firm, roll_end, spin_end, _ = judge(model, c, turn, work)
    far = _apart(c, turn, work.c_drop, work.turn_drop, scale)
    near = _apart(c_up, t_up, work.c_drop, work.turn_drop, scale)
    if upright and near <= far:
        c[:] = c_up
        turn[:] = t_up
        return True, False, roll, spin, left
    turned_over = False
    for b in range(c.shape[0]):
        if turn[b, 2, 2] < 0.0:
            turned_over = True
    return True, firm and not turned_over, roll_end, spin_end, rest
