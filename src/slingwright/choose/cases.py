"""The hang problems of a candidate and their answers: nominal ends, corners, the worst sample, swaps.

Weight stands at its upper bound in all of them. Limits (the box of the centre of gravity, both ends of
the stretch range) are taken at their corners; only what is random from leg to leg (made length, stiffness
about the lot's level) is drawn (PRACTICE).
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import permutations, product
from typing import TYPE_CHECKING

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.bodies import (
    LOAD,
    BodyState,
    SlingState,
    build_problem,
    build_problems,
    renders,
)
from slingwright.arrangement.enumerate import refit
from slingwright.arrangement.geometry import holding_height, upper_xy
from slingwright.arrangement.reading import PathReading, read_paths, upper_in_load
from slingwright.choose.candidate import Candidate
from slingwright.choose.setting import Setting
from slingwright.hang.batch import Variations, problem_of_sample
from slingwright.hang.problem import Problem
from slingwright.hang.ranked import sample_of_rank
from slingwright.hang.result import Hang, Status
from slingwright.hang.solve import solve, solve_all
from slingwright.lift.model import Centre

if TYPE_CHECKING:
    from numpy.typing import NDArray

__all__ = [
    "PERCENTILE",
    "ROUNDS",
    "Ends",
    "SolvedCase",
    "corner_cases",
    "nominal_cases",
    "sampled_case",
    "stretch_ends",
    "swap_cases",
]

ROUNDS = 2  # of taking a string anew for the hook where it hangs
PERCENTILE = 0.99  # the percentile of the worst utilisation (DESIGN)


@dataclass(frozen=True, slots=True, kw_only=True)
class Ends:
    """Strain at the rated load: the stiff end and the soft end of the webbing's range."""

    stiff: float
    soft: float


@dataclass(frozen=True, slots=True, kw_only=True)
class SolvedCase:
    """One case solved and read. `nominal`: told lengths and centre; `pose`: its tilt and angles count.

    `whole` False: solved without the push margin; `present` solves it whole before it is printed.
    """

    name: str
    problem: Problem
    hang: Hang
    readings: tuple[PathReading, ...]
    nominal: bool
    pose: bool
    whole: bool = True


def stretch_ends(setting: Setting, candidate: Candidate) -> Ends:
    """Both ends of the stretch range of the candidate's webbing under the lift's rulebook."""
    base = candidate.base
    webbing = setting.shop.webbing(base.fibre, base.webbing_class, base.width_m)
    if webbing is None:
        msg = f"the shop keeps no webbing for {base.text}"
        raise ValueError(msg)
    stiff, soft = webbing.strain_at_rated(setting.rulebook.design_factor.value)
    return Ends(stiff=stiff, soft=soft)


def _slings(candidate: Candidate, rated_n: float, strain: float) -> tuple[SlingState, ...]:
    return tuple(
        SlingState(length_m=length, rated_n=rated_n, strain_at_rated=strain) for length in candidate.lengths_m
    )


def _centre(setting: Setting) -> BodyState:
    return BodyState(
        weight_n=setting.weight_n,
        centre_of_gravity_m=setting.lift.load.centre.nominal_m,
        beam_factor=setting.lift.site.dynamic_factor,
    )


def _solved(name: str, problem: Problem, *, nominal: bool, pose: bool = True) -> SolvedCase:
    return _solved_all([(name, problem)], nominal=nominal, pose=pose)[0]


def _solved_all(
    named: Sequence[tuple[str, Problem]], *, nominal: bool, pose: bool = True
) -> list[SolvedCase]:
    """Each case solved, all in one go: its figures are its own."""
    # only the told state answers for how far it may be pushed
    hangs = solve_all([problem for _, problem in named], push=nominal)
    return [
        SolvedCase(
            name=name,
            problem=problem,
            hang=hang,
            readings=read_paths(problem, hang),
            nominal=nominal,
            pose=pose,
            whole=nominal,
        )
        for (name, problem), hang in zip(named, hangs, strict=True)
    ]


@dataclass(frozen=True, slots=True, kw_only=True)
class Laid:
    """The slings as they lie at one end of the stretch range, strings as the hook hangs, centre as told."""

    arrangement: Arrangement
    slings: tuple[SlingState, ...]
    problem: Problem


def lay(setting: Setting, candidate: Candidate, rated_n: float, strain: float) -> Laid:
    """Lay the slings round the load for where the hook really hangs (told centre).

    A string's leaving points depend on the hook's height, which depends on the stretch: two rounds settle
    it to far below a made length. Slings on pick points lie as they are.
    """
    arrangement = candidate.arrangement
    slings = _slings(candidate, rated_n, strain)
    if not renders(arrangement):
        problem = build_problem(arrangement, _centre(setting), slings)
        return Laid(arrangement=arrangement, slings=slings, problem=problem)
    arrangement = fit_level(setting, arrangement, np.array(candidate.lengths_m))
    problem = build_problem(arrangement, _centre(setting), slings)
    for _ in range(ROUNDS):
        places = upper_in_load(problem, solve(problem, push=False), LOAD)
        arrangement = refit(setting.lift, arrangement, tuple(places.get(i) for i in range(len(slings))))
        problem = build_problem(arrangement, _centre(setting), slings)
    return Laid(arrangement=arrangement, slings=slings, problem=problem)


def fit_level(setting: Setting, arrangement: Arrangement, lengths_m: NDArray[np.float64]) -> Arrangement:
    """The arrangement with its strings taken for the level hook of these lengths, shape (slings,)."""
    hooks: list[tuple[float, float, float] | None] = []
    for i, holding in enumerate(arrangement.holdings):
        if holding.round is None:
            hooks.append(None)
            continue
        height = float(holding_height(arrangement, holding, lengths_m[i : i + 1])[0])
        hooks.append((*upper_xy(arrangement, holding), height) if math.isfinite(height) else None)
    return refit(setting.lift, arrangement, tuple(hooks))


def nominal_cases(
    setting: Setting, candidate: Candidate, rated_n: float, ends: Ends
) -> Iterator[tuple[SolvedCase, Laid]]:
    """Stiff and soft, as told; for baskets both locked (the pose) and, where it is stable, free to render.

    A free state that is not stable has no pose: any one tension in it is a mean of the locked sides',
    never above the larger of them, so the locked case already covers it (PRACTICE).
    """
    both = [lay(setting, candidate, rated_n, strain) for strain in (ends.stiff, ends.soft)]
    locked = _solved_all([(n, x.problem) for n, x in zip(("stiff", "soft"), both, strict=True)], nominal=True)
    for case, laid, free_name in zip(locked, both, ("renders", "renders soft"), strict=True):
        yield case, laid
        if renders(laid.arrangement):
            problem = build_problem(laid.arrangement, _centre(setting), laid.slings, free=True)
            free = _solved(free_name, problem, nominal=True, pose=False)
            if free.hang.status is Status.STABLE:
                yield free, laid


def centre_corners(centre: Centre) -> list[tuple[float, float, float]]:
    """The corners of the centre's box [m]; none where it is a point."""
    axes = [sorted({low, high}) for low, high in zip(centre.low_m, centre.high_m, strict=True)]
    corners = [(x, y, z) for x, y, z in product(*axes)]
    return corners if len(corners) > 1 else []


def corner_cases(setting: Setting, laid: dict[str, Laid]) -> list[SolvedCase]:
    """Every corner of the centre's box at both ends of the stretch range ("stiff", "soft" as laid)."""
    centre = setting.lift.load.centre
    # an unknown centre's box is a guess: it counts for strength and stability, not for the pose asked for
    pose, named = centre.known, []
    for i, corner in enumerate(centre_corners(centre)):
        for end, as_laid in laid.items():
            load, *others = as_laid.problem.bodies  # the load comes first
            bodies = (replace(load, centre_of_gravity_m=corner), *others)
            named.append((f"corner {i + 1} {end}", replace(as_laid.problem, bodies=bodies)))
    return _solved_all(named, nominal=False, pose=pose)


def length_tolerance_m(setting: Setting, candidate: Candidate, length_m: float) -> float:
    """How far a made length may be off: what the user states, else the shop's for a set or a loose sling."""
    return float(length_tolerances_m(setting, np.array(length_m), matched=candidate.matched))


def length_tolerances_m(
    setting: Setting, lengths_m: NDArray[np.float64], *, matched: bool
) -> NDArray[np.float64]:
    """As `length_tolerance_m`, of many lengths; `matched`: the slings of a lift are a matched set."""
    want, practice = setting.lift.want, setting.shop.practice
    if want.tolerance_length_m is not None or want.tolerance_length_rel is not None:
        stated = (want.tolerance_length_m or 0.0) + (want.tolerance_length_rel or 0.0) * lengths_m
        return np.asarray(stated)
    if matched and want.matched_set:
        return np.full_like(lengths_m, practice.matched_tolerance_m)
    return np.asarray(practice.tolerance_rel * lengths_m + practice.tolerance_m)


def sampled_case(
    setting: Setting, candidate: Candidate, worst: SolvedCase, limits_n: Sequence[float]
) -> SolvedCase:
    """The sample at the 99th percentile of the worst utilisation, at the corner and end whose own is worst.

    Lengths and leg-to-leg stiffness are uniform within their tolerances (own judgement: the widest
    spread that a tolerance allows without knowing more). A sample that does not hang counts as worse than
    any that does.
    """
    variations = _variations(setting, candidate, worst.problem)
    limits = np.array([limits_n[p.sling] for p in worst.problem.paths])
    rank = math.ceil(PERCENTILE * setting.draws.samples) - 1
    pick = sample_of_rank(worst.problem, variations, limits, rank)
    return _solved("worst", problem_of_sample(worst.problem, variations, pick), nominal=False, pose=False)


def _variations(setting: Setting, candidate: Candidate, problem: Problem) -> Variations:
    """Each sling's own draw, the same for both sides of a locked basket (each side half the difference)."""
    draws = setting.draws
    sides = [sum(p.sling == q.sling for q in problem.paths) for p in problem.paths]
    lengths = np.empty((draws.samples, len(problem.paths)))
    strains = np.empty_like(lengths)
    spread = setting.shop.practice.stiffness_spread_rel
    for k, path in enumerate(problem.paths):
        tolerance = length_tolerance_m(setting, candidate, candidate.lengths_m[path.sling])
        lengths[:, k] = path.length_m + draws.length[:, path.sling] * tolerance / sides[k]
        strains[:, k] = path.strain_at_rated * (1.0 + spread * draws.stiffness[:, path.sling])
    return Variations(length_m=lengths, strain_at_rated=strains)


def swap_cases(setting: Setting, candidate: Candidate, rated_n: float, ends: Ends) -> list[SolvedCase]:
    """Every other order of unequal legs over their picks (a crew may hang them wrong)."""
    if not candidate.unequal:
        return []
    told = candidate.lengths_m
    ids = [h.id for h in candidate.arrangement.holdings]
    names, each, seen = [], [], {told}
    for order in permutations(range(len(told))):
        lengths = tuple(told[i] for i in order)
        if lengths in seen:
            continue
        seen.add(lengths)
        name = "swap " + "".join(ids[i] for i in order)
        for end, strain in (("", ends.stiff), (" soft", ends.soft)):
            names.append(name + end)
            each.append(
                tuple(SlingState(length_m=x, rated_n=rated_n, strain_at_rated=strain) for x in lengths)
            )
    problems = build_problems(candidate.arrangement, _centre(setting), each)
    # one that cannot even reach the crew cannot hang
    named = [(name, problem) for name, problem in zip(names, problems, strict=True) if problem is not None]
    return _solved_all(named, nominal=False, pose=False)
