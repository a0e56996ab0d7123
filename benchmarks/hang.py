"""How fast the statics is, against general tools tuned as well as we could, on one machine and in one run.

    python benchmarks/hang.py             the table, some minutes
    python benchmarks/hang.py --quick     a short look
    python benchmarks/hang.py --start     how long a first run compiles, and a fresh process's first solve

Both sides solve the same samples of the same ensemble, warm, and their tensions are compared to 1e-6 of the
weight before any time is reported. Times are processor time of one thread (best of several runs), so that a
busy machine does not blur them; the two-thread row is by the wall clock. MuJoCo is tuned: the sweep over its
time step and damping is printed. SciPy's SLSQP minimises the three-unknown energy, compiled.
"""

from __future__ import annotations

import argparse
import json
import math
import os
import platform
import subprocess
import sys
import tempfile
import time
from dataclasses import replace
from pathlib import Path

import numpy as np

from slingwright.hang import batch as hang_batch
from slingwright.hang.batch import Variations, solve_many
from slingwright.hang.document import problem_from_document
from slingwright.hang.problem import Problem
from slingwright.hang.solve import solve
from slingwright.hang.warm import warm

ROOT = Path(__file__).parents[1]
DATA = ROOT / "tests" / "data" / "hang"
AGREE = 1e-6  # of the weight


def case(name: str) -> Problem:
    cases = {c["id"]: c["problem"] for c in json.loads((DATA / "cases.json").read_text())["cases"]}
    examples = {e["name"]: e["problem"] for e in json.loads((DATA / "contract.json").read_text())}
    return problem_from_document(cases.get(name) or examples[name])


def ensemble(problem: Problem, samples: int, seed: int = 1) -> Variations:
    """Scatter of the C16 kind: weight 5 %, centre 3 % of the picks' extent, lengths 0.5 %."""
    rng = np.random.default_rng(seed)
    bodies, paths = len(problem.bodies), len(problem.paths)
    weight = np.tile([b.weight_n for b in problem.bodies], (samples, 1))
    weight[:, 0] *= 1 + 0.05 * rng.standard_normal(samples)
    centre = np.tile([b.centre_of_gravity_m for b in problem.bodies], (samples, 1, 1))
    picks = np.array([q.at_m for p in problem.paths for q in p.points if q.on == problem.bodies[0].name])
    centre[:, 0, :2] += 0.03 * np.ptp(picks, axis=0)[:2] * rng.standard_normal((samples, 2))
    length = np.array([p.length_m for p in problem.paths]) * (
        1 + 0.005 * rng.standard_normal((samples, paths))
    )
    assert centre.shape == (samples, bodies, 3)
    return Variations(weight_n=weight, centre_of_gravity_m=centre, length_m=length)


def own_seconds(problem: Problem, variations: Variations, rounds: int) -> float:
    """Processor seconds a sample, one thread, best of `rounds`."""
    best = math.inf
    for _ in range(rounds):
        t = time.thread_time()
        solve_many(problem, variations, threads=1)
        best = min(best, time.thread_time() - t)
    return best / variations.count()


class Mujoco:
    """The four-leg case in MuJoCo: one model, new figures for every sample, started at the nominal pose."""

    def __init__(self, problem: Problem, step: float, damping: float) -> None:
        import mujoco

        self.mj = mujoco
        body, paths = problem.bodies[0], problem.paths
        c = body.centre_of_gravity_m
        arms = [" ".join(repr(a - b) for a, b in zip(p.points[1].at_m, c, strict=True)) for p in paths]
        sites = "".join(f'<site name="p{i}" pos="{arm}"/>' for i, arm in enumerate(arms))
        ropes = "".join(
            f'<spatial stiffness="1" springlength="0 {p.length_m!r}"><site site="h"/><site site="p{i}"/>'
            "</spatial>"
            for i, p in enumerate(paths)
        )
        h = " ".join(map(repr, paths[0].points[0].at_m))
        mass = body.weight_n / 9.80665
        self.model = mujoco.MjModel.from_xml_string(
            f'<mujoco><option timestep="{step}" gravity="0 0 -9.80665" integrator="implicitfast">'
            '<flag contact="disable" constraint="disable"/></option><worldbody>'
            f'<site name="h" pos="{h}"/><body pos="{" ".join(map(repr, c))}"><freejoint/>'
            f'<inertial pos="0 0 0" mass="{mass}" diaginertia="{mass} {mass} {mass}"/>{sites}</body>'
            f"</worldbody><tendon>{ropes}</tendon></mujoco>"
        )
        self.data = mujoco.MjData(self.model)
        self.picks = np.array([p.points[1].at_m for p in paths])
        self.rate = 2 * damping * math.sqrt(9.80665 / paths[0].length_m)
        self.problem = problem
        self.home = None

    def solve(
        self, weight: float, centre: np.ndarray, length: np.ndarray, limit: int = 4000
    ) -> np.ndarray | None:
        """Tensions at rest, or None where it does not settle within `limit` steps."""
        m, d, p0 = self.model, self.data, self.problem.paths[0]
        m.body_mass[1] = mass = weight / 9.80665
        m.body_inertia[1] = mass * 4.0
        m.dof_damping[:3] = mass * self.rate
        m.dof_damping[3:] = 4.0 * mass * self.rate
        m.site_pos[1:] = self.picks - centre
        m.tendon_lengthspring[:, 1] = length
        m.tendon_stiffness[:] = p0.rated_n / (p0.strain_at_rated * length)
        self.mj.mj_setConst(m, d) if self.home is None else None
        if self.home is not None:
            d.qpos[:] = self.home
        d.qvel[:] = 0.0
        for _ in range(limit // 5):
            self.mj.mj_step(m, d, nstep=5)
            # at rest: what is left of the forces is the damping
            if np.abs(d.qvel[:3]).max() * mass * self.rate < 0.2 * AGREE * weight and (
                np.abs(d.qacc).max() < 0.2 * AGREE * 9.8
                and np.abs(d.qvel[3:]).max() * self.rate * 4 < 0.2 * AGREE * 9.8
            ):
                pulls = m.tendon_stiffness * np.maximum(0.0, d.ten_length - length)
                return pulls if np.isfinite(pulls).all() else None
        return None


def mujoco_best(problem: Problem, variations: Variations, count: int) -> tuple[float, str]:
    """(seconds a sample at the best setting, the sweep as text)."""
    nominal = (problem.bodies[0].weight_n, np.array(problem.bodies[0].centre_of_gravity_m))
    length = np.array([p.length_m for p in problem.paths])
    ours = solve_many(problem, variations).tension_n
    lines, best = [], math.inf
    for step in (0.005, 0.01, 0.02, 0.04, 0.06):
        for damping in (0.5, 1.0, 2.0, 4.0):
            engine = Mujoco(problem, step, damping)
            if engine.solve(*nominal, length, 40_000) is None:
                lines.append(f"step {step:5.3f} s, damping {damping:3.1f}: does not settle")
                continue
            engine.home = engine.data.qpos.copy()
            worst, t = 0.0, time.thread_time()
            for i in range(count):
                pulls = engine.solve(
                    variations.weight_n[i, 0], variations.centre_of_gravity_m[i, 0], variations.length_m[i]
                )
                apart = (
                    math.inf if pulls is None else np.abs(pulls - ours[i]).max() / variations.weight_n[i, 0]
                )
                worst = max(worst, apart)
            t = (time.thread_time() - t) / count
            fine = worst <= 5 * AGREE
            lines.append(
                f"step {step:5.3f} s, damping {damping:3.1f}: {1e3 * t:7.3f} ms, worst {worst:.1e}"
                + ("" if fine else "  (not equal: does not count)")
            )
            if fine:
                best = min(best, t)
    return best, "\n".join(lines)


def slsqp_seconds(problem: Problem, variations: Variations, count: int) -> tuple[float, float]:
    """(seconds a sample, worst difference) of SciPy's SLSQP on E(h), compiled, from the nominal state."""
    import numba
    from scipy.optimize import minimize

    @numba.njit(fastmath=True)
    def value(h, arm, length, k, w, scale):
        e = -w * math.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2)
        g = -w * h / math.sqrt(h[0] ** 2 + h[1] ** 2 + h[2] ** 2)
        for p in range(len(k)):
            d = math.sqrt((h[0] - arm[p, 0]) ** 2 + (h[1] - arm[p, 1]) ** 2 + (h[2] - arm[p, 2]) ** 2)
            x = d - length[p]
            if x > 0:
                e += 0.5 * k[p] * x * x
                g += k[p] * x * (h - arm[p]) / d
        return e / scale, g / scale

    picks = np.array([p.points[1].at_m for p in problem.paths])
    path = problem.paths[0]
    hook = np.array(path.points[0].at_m)
    start = hook - np.array(problem.bodies[0].centre_of_gravity_m)
    start[2] = solve(problem).hook_above_cg_m
    ours = solve_many(problem, variations).tension_n
    worst, best = 0.0, math.inf
    for round_ in range(3):
        t = time.thread_time()
        for i in range(count):
            w, length = variations.weight_n[i, 0], variations.length_m[i]
            arm = picks - variations.centre_of_gravity_m[i, 0]
            k = path.rated_n / (path.strain_at_rated * length)
            found = minimize(
                value,
                start,
                args=(arm, length, k, w, w),
                jac=True,
                method="SLSQP",
                options={"ftol": 1e-15, "maxiter": 100},
            )
            if round_ == 0:
                d = np.sqrt(((found.x - arm) ** 2).sum(axis=1))
                worst = max(worst, np.abs(k * np.maximum(0, d - length) - ours[i]).max() / w)
        best = min(best, (time.thread_time() - t) / count)
    return best, worst


def rows(quick: bool) -> list[tuple[str, float]]:
    """Seconds a sample for each kind of lift."""
    six = case("C16")
    extra = tuple(
        replace(
            six.paths[0],
            name=f"x{i}",
            points=(six.paths[0].points[0], replace(six.paths[0].points[1], at_m=(0.0, s, 0.0))),
        )
        for i, s in enumerate((-1.0, 1.0))
    )
    six = replace(six, paths=six.paths + extra)
    kinds = {
        "four legs, polyester (C16)": (case("C16"), 65536),
        "four legs, one short (C19)": (case("C19"), 65536),
        "two near-rigid legs (C10)": (case("C10"), 65536),
        "four wire legs, one short (C18)": (case("C18"), 65536),
        "six legs": (six, 65536),
        "two baskets, locked": (case("basket, locked"), 65536),
        "two baskets, free": (case("basket, renders"), 1024),
        "two hooks": (case("two hooks"), 1024),
        "free beam": (case("beam"), 512),
    }
    found = []
    for name, (problem, samples) in kinds.items():
        variations = ensemble(problem, samples // (4 if quick else 1))
        found.append((name, own_seconds(problem, variations, 5 if quick else 15)))
    return found


def two_threads(quick: bool) -> float:
    """Solves a second by the wall clock on two threads."""
    problem = case("C16")
    variations = ensemble(problem, 1 << (18 if quick else 20))
    best = math.inf
    for _ in range(5):
        t = time.perf_counter()
        solve_many(problem, variations, threads=2)
        best = min(best, time.perf_counter() - t)
    return variations.count() / best


def single() -> list[tuple[str, float]]:
    """Seconds of one solve alone: arrays, search and, for the front door, margins and answer."""
    found = []
    for name in ("C16", "basket, renders", "two hooks", "beam"):
        problem = case(name)
        for what, job in (
            ("search alone", lambda p=problem: hang_batch.run(p, Variations(), poses=True)),
            ("with margins but the push, and answer", lambda p=problem: solve(p, push=False)),
            ("with margins and answer", lambda p=problem: solve(p)),
        ):
            best = math.inf
            for _ in range(60):
                t = time.thread_time()
                for _ in range(5):
                    job()
                best = min(best, (time.thread_time() - t) / 5)
            found.append((f"{name}, {what}", best))
    return found


FRESH = """
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.solve import solve
legs = tuple(
    Path(name=str(x), points=(Point("world", (0.0, 0.0, 3.0)), Point("load", (x, 0.0, 0.0))),
         length_m=3.0, rated_n=2e4, strain_at_rated=0.03)
    for x in (-1.0, 1.0)
)
solve(Problem(bodies=(Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.0, -0.5)),), paths=legs))
"""
FIRST = "from slingwright.hang.warm import warm; warm()"


def start() -> None:
    """A first run with an empty cache, then the quickest of five fresh processes, by the wall clock."""
    with tempfile.TemporaryDirectory() as folder:
        place = {**os.environ, "NUMBA_CACHE_DIR": folder}

        def timed(script: str) -> float:
            t = time.perf_counter()
            subprocess.run([sys.executable, "-c", script], env=place, check=True)
            return time.perf_counter() - t

        print(f"first run, all kernels compiled: {timed(FIRST):.1f} s")
        print(f"fresh process, one lift solved: {min(timed(FRESH) for _ in range(5)):.2f} s")


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--quick", action="store_true", help="fewer samples and rounds")
    ask.add_argument(
        "--start", action="store_true", help="only how long a first run and a fresh process take"
    )
    given = ask.parse_args()
    if given.start:
        start()
        return 0
    quick = given.quick
    t = time.perf_counter()
    warm()
    machine = platform.processor() or platform.machine()
    print(f"{machine}, Python {platform.python_version()}; warm after {time.perf_counter() - t:.1f} s")
    problem = case("C16")
    variations = ensemble(problem, 64 if quick else 400)
    count = variations.count()
    peer, sweep = mujoco_best(problem, variations, count if not quick else 24)
    print("MuJoCo, processor time a solve, warm start at the nominal pose:")
    print(sweep)
    slsqp, apart = slsqp_seconds(problem, variations, count)
    print(f"SLSQP: {1e3 * slsqp:.3f} ms, worst {apart:.1e} of the weight")
    if not (peer < math.inf and apart <= 5 * AGREE):
        print("the sides do not agree: no time is reported")
        return 1
    table = rows(quick)
    for name, seconds in table:
        print(f"{name:36} {1e6 * seconds:9.3f} us  {1e-6 / seconds:8.3f} million a second a core")
    own = table[0][1]
    print(f"two threads, wall clock: {two_threads(quick) / 1e6:.2f} million a second")
    print(f"against MuJoCo tuned: {peer / own:,.0f} times; against SLSQP: {slsqp / own:,.0f} times")
    for name, seconds in single():
        print(f"one solve, {name:40} {1e6 * seconds:8.1f} us")
    return 0


if __name__ == "__main__":
    sys.exit(main())
