"""How a hang spreads over what is not known: a seeded ensemble, and the worst corner of the limits.

`sd` are standard deviations of normal scatter, `limit` half widths of a box: the ensemble is drawn evenly
over it, and its corners are searched for the worst. A study's tool: customers see the worst corner.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray

from slingwright.errors import fail
from slingwright.hang._draw import NAMES, Widths, corner_steps, drawn, free_figures, vary
from slingwright.hang._read import Reader
from slingwright.hang._tally import Figure, Tally
from slingwright.hang.batch import Batch, solve_many
from slingwright.hang.problem import Problem

__all__ = [
    "Figure", "PathSpread", "Spread", "SpreadAnswer", "Widths", "solve_spread", "spread_from_document",
    "spread_to_document",
]  # fmt: skip

Floats = NDArray[np.float64]
BLOCK = 16384
MOST_SAMPLES = 1 << 24
MOST_CORNERS = 1 << 15
_SURE = 1 << 20  # samples from which an error is known well enough to foretell how many it takes
_STARTS = 64
_TOP = ("samples", "to_error", "seed", "sd", "limit")


@dataclass(frozen=True, slots=True, kw_only=True)
class Spread:
    """What to draw: so many samples, or until an error is met.

    `to_error` is the standard error of the 99th percentile of the largest tension, as a share of it.
    """

    samples: int | None = None
    to_error: float | None = None
    seed: int = 0
    sd: Widths = field(default_factory=Widths)
    limit: Widths = field(default_factory=Widths)


@dataclass(frozen=True, slots=True, kw_only=True)
class PathSpread:
    """One path's figures over the ensemble; `chance_slack_se` is above zero even where none was slack."""

    name: str
    tension_n: Figure
    utilisation: Figure
    chance_slack: float
    chance_slack_se: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SpreadAnswer:
    """Figures over the ensemble. `corners` were searched; `every_corner` tells whether these are all."""

    samples: int
    seed: int
    max_tension_n: Figure
    max_utilisation: Figure
    tilt_deg: Figure
    paths: tuple[PathSpread, ...]
    chance_capsizes: float
    chance_unreachable: float
    corners: int
    every_corner: bool
    corner_capsizes: bool
    corner_unreachable: bool


def spread_from_document(doc: Mapping[str, Any], field: str = "") -> Spread:
    """Read a spread file (parsed TOML or JSON).

    Raises
    ------
    InputFault
        With every fault found.
    """
    read = Reader()
    pre = f"{field}." if field else ""
    top = read.table(doc, field, _TOP)
    samples, error, seed = top.get("samples"), top.get("to_error"), top.get("seed")
    if samples is not None and error is not None:
        read.fault(f"{pre}to_error", "stands beside samples", "give one of the two")
    elif samples is None and error is None:
        read.fault(f"{pre}samples", "is missing", "give samples, or to_error")
    spread = Spread(
        samples=None if samples is None else read.whole(samples, f"{pre}samples", low=2, high=MOST_SAMPLES),
        to_error=None if error is None else read.number(error, f"{pre}to_error", low=1e-4, high=0.5),
        seed=0 if seed is None else read.whole(seed, f"{pre}seed", low=0, high=2**63 - 1),
        sd=_widths(top.get("sd"), f"{pre}sd", read),
        limit=_widths(top.get("limit"), f"{pre}limit", read),
    )
    if not read.faults and spread.sd == spread.limit == Widths():
        read.fault(f"{pre}sd", "nothing varies", f"give at least one of: {', '.join(NAMES)}")
    read.stop_if_faulty()
    return spread


def _widths(doc: object, field: str, read: Reader) -> Widths:
    if doc is None:
        return Widths()
    table = read.table(doc, field, NAMES)
    found: dict[str, Any] = {}
    for name in NAMES:
        value = table.get(name)
        if value is None:
            continue
        high = 10.0 if name.endswith("_m") else 0.3
        if name == "cg_m" and isinstance(value, list | tuple):
            vector = read.vector(value, f"{field}.cg_m", size=high)
            if min(vector) < 0.0:
                read.fault(f"{field}.cg_m", "a width below zero", "give how far to each side")
            found[name] = vector
            continue
        width = read.number(value, f"{field}.{name}", low=0.0, high=high)
        found[name] = (width, width, width) if name == "cg_m" else width
    return Widths(**found)


def _rows(problem: Problem, batch: Batch) -> Floats:
    """Figures of each sample: largest tension, largest utilisation, tilt, then each path's tension."""
    rated = np.array([p.rated_n for p in problem.paths])
    heads = [batch.tension_n.max(axis=1), (batch.tension_n / rated).max(axis=1), batch.tilt_deg]
    return np.column_stack([*heads, batch.tension_n])


def solve_spread(problem: Problem, spread: Spread, *, threads: int | None = None) -> SpreadAnswer:
    """Solve an ensemble and the limits' corners.

    The same seed gives the same figures on any number of threads; memory does not grow with the samples.

    Raises
    ------
    InputFault
        If `to_error` takes more than `MOST_SAMPLES`: an answer that misses it would look as if it met it.
    """
    paths = len(problem.paths)
    tally = Tally(3 + paths)
    slack, status = np.zeros(paths), np.zeros(3)
    most = spread.samples if spread.samples is not None else MOST_SAMPLES
    block = 0
    while tally.samples < most:
        count = min(BLOCK, most - tally.samples)
        # a whole block is always drawn, so that a sample does not depend on how many are wanted
        steps = [
            (n, s[:count]) for n, s in drawn(problem, spread.sd, spread.limit, spread.seed, block, BLOCK)
        ]
        batch = solve_many(problem, vary(problem, steps), threads=threads)
        tally.add(_rows(problem, batch))
        slack += batch.slack.sum(axis=0)
        status += np.bincount(batch.status, minlength=3)
        block += 1
        if spread.to_error is not None and _is_met(tally, spread.to_error):
            break
    worst, states, corners, every = _worst_corner(problem, spread, threads)
    return _answer(
        problem, spread, tally, slack / tally.samples, status / tally.samples, worst, states, corners, every
    )


def _is_met(tally: Tally, to_error: float) -> bool:
    """Whether the samples so far suffice; refused where the most that are allowed will not."""
    largest = tally.figure(0, None)
    if largest.p99_se <= to_error * largest.p99:
        return True
    takes = tally.samples * (largest.p99_se / (to_error * largest.p99)) ** 2
    if tally.samples >= MOST_SAMPLES or (tally.samples >= _SURE and takes > 2 * MOST_SAMPLES):
        raise fail(
            "spread.to_error",
            f"{to_error:g} would take about {takes:,.0f} samples; at most {MOST_SAMPLES:,} are drawn",
            "ask for a larger error, or give samples",
        )
    return False


def _answer(
    problem: Problem, spread: Spread, tally: Tally, slack: Floats, status: Floats, worst: Floats | None,
    states: set[int], corners: int, every: bool,
) -> SpreadAnswer:  # fmt: skip
    figures = [
        tally.figure(m, None if worst is None else float(worst[m])) for m in range(3 + len(problem.paths))
    ]
    rated = [p.rated_n for p in problem.paths]
    paths = tuple(
        PathSpread(
            name=path.name, tension_n=t, utilisation=_over(t, r), chance_slack=float(s),
            chance_slack_se=_share_error(float(s), tally.samples),
        )
        for path, t, r, s in zip(problem.paths, figures[3:], rated, slack, strict=True)
    )  # fmt: skip
    return SpreadAnswer(
        samples=tally.samples, seed=spread.seed, max_tension_n=figures[0], max_utilisation=figures[1],
        tilt_deg=figures[2], paths=paths,
        chance_capsizes=float(status[1]), chance_unreachable=float(status[2]),
        corners=corners, every_corner=every, corner_capsizes=1 in states, corner_unreachable=2 in states,
    )  # fmt: skip


def _share_error(share: float, samples: int) -> float:
    """Standard error of a share: that of its posterior with every chance alike at first, so never zero."""
    likely = (share * samples + 1.0) / (samples + 2.0)
    return float(np.sqrt(likely * (1.0 - likely) / (samples + 3.0)))


def _over(figure: Figure, rated_n: float) -> Figure:
    worst = None if figure.worst_corner is None else figure.worst_corner / rated_n
    return Figure(
        mean=figure.mean / rated_n, mean_se=figure.mean_se / rated_n, p95=figure.p95 / rated_n,
        p95_se=figure.p95_se / rated_n, p99=figure.p99 / rated_n, p99_se=figure.p99_se / rated_n,
        worst_corner=worst,
    )  # fmt: skip


def _worst_corner(
    problem: Problem, spread: Spread, threads: int | None
) -> tuple[Floats | None, set[int], int, bool]:
    """Largest of each figure over the corners: all of them, or where they are too many by flips from many."""
    free = free_figures(problem, spread.limit)
    if free == 0:
        return None, set(), 0, True
    states: set[int] = set()

    def solve(signs: NDArray[np.int8]) -> Floats:
        batch = solve_many(
            problem, vary(problem, corner_steps(problem, spread.limit, signs)), threads=threads
        )
        states.update(np.unique(batch.status).tolist())
        return _rows(problem, batch)

    if 2**free <= MOST_CORNERS:
        bits = (np.arange(2**free)[:, None] >> np.arange(free)) & 1
        return solve((2 * bits - 1).astype(np.int8)).max(axis=0), states, 2**free, True
    rng = np.random.default_rng([spread.seed, 1 << 32])
    signs = (2 * rng.integers(0, 2, (_STARTS, free)) - 1).astype(np.int8)
    rows = solve(signs)
    best, solved = rows.max(axis=0), len(signs)
    for m in range(rows.shape[1]):
        corner, value = signs[int(rows[:, m].argmax())].copy(), float(rows[:, m].max())
        while True:
            flips = np.tile(corner, (free, 1))
            flips[np.arange(free), np.arange(free)] *= -1
            tried = solve(flips)
            solved += free
            best = np.maximum(best, tried.max(axis=0))
            k = int(tried[:, m].argmax())
            if not tried[k, m] > value:
                break
            corner, value = flips[k].copy(), float(tried[k, m])
    return best, states, solved, False


def spread_to_document(answer: SpreadAnswer) -> dict[str, Any]:
    """The value of the answer's key `spread`, ready for `json.dumps`."""
    doc = asdict(answer)
    doc["paths"] = [asdict(p) for p in answer.paths]
    return doc
