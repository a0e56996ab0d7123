"""Every candidate of a small shop, one by one: what the search must agree with.

Shares with the search the list of arrangements, the verdict on one candidate and the rulebook; lengths,
makes, prices, masses, promises and the order are made here again, and nothing is left out unsolved.
"""

from __future__ import annotations

import functools
import itertools
import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from slingwright.arrangement import Arrangement
from slingwright.arrangement.geometry import level_hook_heights, upper_xy
from slingwright.check.all import HANGLESS, run_checks
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import Ends
from slingwright.choose.evaluate import Verdict, evaluate
from slingwright.choose.rated import SlingRated, rate_slings
from slingwright.choose.setting import Setting
from slingwright.choose.space import Space
from slingwright.price import Supply, price_line, price_sling
from slingwright.rulebook import Refusal as NoRating
from slingwright.shop import Protection, Refusal, StockSling, buildable
from slingwright.sling import Form, Hitch, SlingSpec

FORMS = {
    Hitch.VERTICAL: (Form.FLAT_EYE, Form.TWISTED_EYE, Form.ENDLESS),
    Hitch.BASKET: (Form.FLAT_EYE, Form.ENDLESS, Form.TRIANGLE_TRIANGLE, Form.TRIANGLE_CHOKER),
    Hitch.CHOKER: (Form.TWISTED_EYE, Form.ENDLESS, Form.TRIANGLE_CHOKER),
}
MEASURES = ("price", "delivery", "weight", "reserve")


@dataclass(frozen=True, slots=True)
class Judged:
    """A candidate with its verdict and its four measures."""

    verdict: Verdict
    measures: dict[str, int]
    mass_mg: int

    def key(self, by: str) -> tuple[int, int, int, str]:
        return (self.verdict.grade, self.measures[by], self.mass_mg, self.verdict.candidate.text)


def judge_all(setting: Setting) -> list[Judged]:
    """Every candidate that can be hung at all, judged in full."""
    return [_judged(setting, *found) for found in _candidates(setting)]


def best(judged: list[Judged], by: str) -> Judged | None:
    """The least key among those without a stop."""
    return min((j for j in judged if j.verdict.stop is None), key=lambda j: j.key(by), default=None)


@dataclass(frozen=True, slots=True)
class InOrder:
    """What trying one after the other in the order of price, mass and text finds.

    `chart` is the first that weight, legs, sine and table alone let pass (nothing hung), if it comes before
    the best is known; `same` whether that is the best.
    """

    best: Verdict | None
    chart: Verdict | None
    same: bool
    judged: int


def best_in_order(setting: Setting) -> InOrder:
    """The cheapest of grade 0, else of grade 1; every dearer candidate is left alone."""
    waiting = sorted(
        _candidates(setting), key=lambda c: (c[0].price_minor, round(c[0].mass_kg * 1_000_000), c[0].text)
    )
    best_, chart, judged = None, None, 0
    for candidate, rated, ends in waiting:
        verdict = evaluate(setting, candidate, rated, ends)
        judged += 1
        if chart is None and _by_table(setting, candidate, rated, verdict):
            chart = verdict
        if verdict.stop is None and (best_ is None or verdict.grade == 0):
            best_ = verdict
            if verdict.grade == 0:
                break
    same = (best_ and best_.candidate) == (chart and chart.candidate)
    return InOrder(best_, chart, same, judged)


def _judged(setting: Setting, candidate: Candidate, rated: tuple[SlingRated, ...], ends: Ends) -> Judged:
    verdict = evaluate(setting, candidate, rated, ends)
    used = max(
        max(s.design_n / r.part_limit_n, s.hitch_load_n / s.hitch_rated_n)
        for s, r in zip(verdict.shares, rated, strict=True)
    )
    mass_mg = round(candidate.mass_kg * 1_000_000)
    measures = {
        "price": candidate.price_minor,
        "delivery": candidate.days,
        "weight": mass_mg,
        "reserve": round(used * 1_000_000),
    }
    return Judged(verdict, measures, mass_mg)


def _candidates(setting: Setting) -> Iterator[tuple[Candidate, tuple[SlingRated, ...], Ends]]:
    for arrangement in Space(setting).arrangements:
        rows = [row for row in _lengths(setting, arrangement) if _hangs_level(arrangement, row)]
        hitch = arrangement.main[0].hitch
        guards = setting.shop.protections if arrangement.main[0].round is not None else (Protection.NONE,)
        for form, web, plies in itertools.product(FORMS[hitch], setting.shop.webbings, setting.shop.plies):
            row = setting.shop.eye_row(web.width_m, plies)
            if row is None and form.has_eyes:
                continue
            base = SlingSpec(
                form=form, fibre=web.fibre, webbing_class=web.webbing_class, plies=plies,
                width_m=web.width_m, length_m=1.0, eye_m=row.eye_m if row and form.has_eyes else 0.0,
            )  # fmt: skip
            rated = rate_slings(arrangement, base, setting.rulebook, setting.choke)
            if isinstance(rated, NoRating) or not rated[0].cell.proposable:
                continue
            stiff, soft = web.strain_at_rated(setting.rulebook.design_factor.value)
            for guard in guards:
                for made in itertools.chain(
                    _made(setting, arrangement, base, guard, rows), _stock(setting, arrangement, base, guard)
                ):
                    yield made, rated, Ends(stiff=stiff, soft=soft)


def _lengths(setting: Setting, arrangement: Arrangement) -> Iterator[tuple[float, ...]]:
    """The length choices of docs/reference/search-space.md, in metres."""
    shop, step_um = setting.shop, round(setting.shop.practice.length_step_m * 1e6)
    fine_um = round(shop.practice.bridle_step_m * 1e6)
    low = min(loft.min_length_m for loft in shop.lofts)
    high = max(loft.max_length_m for loft in shop.lofts)
    grid = [k for k in range(1, 2000) if low <= k * step_um / 1e6 <= high]
    fine = [k for k in range(1, 20000) if low <= k * fine_um / 1e6 <= high]
    many = len(arrangement.holdings)
    if arrangement.lengths == "equal":
        if all(h.lower_m is not None for h in arrangement.holdings):  # legs at picks: to the fine step
            times = step_um // fine_um
            grid, step_um = list(range(grid[0] * times, grid[-1] * times + 1)), fine_um
        yield from ((k * step_um / 1e6,) * many for k in grid)
    elif arrangement.lengths == "made":
        yield from _level(setting, arrangement, fine, fine_um)
    else:
        yield from _on_beam(setting, arrangement, grid, step_um)


def _level(
    setting: Setting, arrangement: Arrangement, grid: list[int], step_um: int
) -> Iterator[tuple[float, ...]]:
    """Every hook height that the longest sling still reaches; what cannot be told apart shares its mean."""
    practice, step = setting.shop.practice, step_um / 1e6
    lowest = min(h.lower_m[2] for h in arrangement.holdings if h.lower_m)
    highest = max(h.lower_m[2] for h in arrangement.holdings if h.lower_m)
    seen = set()
    for k in range(1, int((lowest + grid[-1] * step) / practice.height_step_m) + 2):
        height = k * practice.height_step_m
        if height <= highest:
            continue
        exact = []
        for holding in arrangement.holdings:
            assert holding.lower_m is not None
            exact.append(math.dist((*arrangement.hooks_xy_m[holding.hook or 0], height), holding.lower_m))
        groups = _alike(exact, 2 * practice.matched_tolerance_m)
        for ways in itertools.product((math.floor, math.ceil), repeat=len(groups)):
            steps = [0] * len(exact)
            for legs, way in zip(groups, ways, strict=True):
                mean = sum(exact[i] for i in legs) / len(legs) / step
                nearest = round(mean)
                for i in legs:
                    steps[i] = nearest if abs(mean - nearest) < 1e-9 else way(mean)
            if set(steps) <= set(grid) and _told_apart(
                [s * step for s in steps], 2 * practice.matched_tolerance_m
            ):
                seen.add(tuple(s * step_um / 1e6 for s in steps))
    yield from sorted(seen)


def _alike(lengths: list[float], apart_m: float) -> list[list[int]]:
    """Legs from short to long, together while no more than so far from the shortest of their group."""
    groups: list[list[int]] = []
    for i in sorted(range(len(lengths)), key=lambda i: lengths[i]):
        if groups and lengths[i] - lengths[groups[-1][0]] <= apart_m + 1e-9:
            groups[-1].append(i)
        else:
            groups.append([i])
    return groups


def _told_apart(lengths: list[float], apart_m: float, share: float = 0.0) -> bool:
    """Whether some lengths differ, and all that differ do so by more than their tolerances together."""
    distinct = sorted({round(x, 7): x for x in lengths}.values())
    return len(distinct) > 1 and all(
        b - a > apart_m + share * (a + b) + 1e-9 for a, b in itertools.pairwise(distinct)
    )


def _on_beam(
    setting: Setting, arrangement: Arrangement, grid: list[int], step_um: int
) -> Iterator[tuple[float, ...]]:
    beam = arrangement.beam
    assert beam is not None
    steepest = max(setting.lift.want.least_angle_deg, beam.least_top_angle_deg or 0.0)
    least = beam.span_m / 2 / math.cos(math.radians(min(steepest, 89.0)))
    tops = [k for k in grid if k >= math.ceil(least / (step_um / 1e6))]
    first = max(grid[0], math.ceil(least / (step_um / 1e6)))
    for low in (k for k in grid if k % 12 == 0):
        for top in (k for k in tops if k < first + 36):
            yield tuple((low if h.role == "main" else top) * step_um / 1e6 for h in arrangement.holdings)


def _hangs_level(arrangement: Arrangement, row: tuple[float, ...]) -> bool:
    """Whether the slings reach, and this span of heights is the one that a curved load's hook stands in."""
    heights = level_hook_heights(arrangement, np.array([row]))[0]
    if not np.isfinite(heights).all():
        return False
    low, high = arrangement.level_height_m or (0.0, math.inf)
    return bool(low <= heights[0] < high)


def _made(
    setting: Setting,
    arrangement: Arrangement,
    base: SlingSpec,
    guard: Protection,
    rows: list[tuple[float, ...]],
) -> Iterator[Candidate]:
    make = (base.form, base.fibre, base.webbing_class, base.plies, base.width_m)
    lofts_of = functools.cache(lambda length: buildable(setting.shop, *make, length))
    line_of = functools.cache(lambda mine: price_line(*make, mine, setting.book, setting.shop))
    price_of = functools.cache(
        lambda length, mine: price_sling(_at(base, length), Supply.MADE, mine, setting.book, setting.shop)
    )
    for lengths in rows:
        able = [lofts_of(length) for length in lengths]
        if any(isinstance(lofts, Refusal) for lofts in able):
            continue
        both = [loft for loft in setting.shop.lofts if all(loft in lofts for lofts in able)]  # type: ignore[operator]
        price, mass = 0, 0.0
        for holding, length in zip(arrangement.holdings, lengths, strict=True):
            mine = guard if holding.role == "main" else Protection.NONE
            one, line = price_of(length, mine), line_of(mine)
            if isinstance(one, Refusal) or isinstance(line, Refusal):
                break
            price, mass, least = price + one.price_minor, mass + line.mass_kg(length), line.least_length_m
        else:
            if both:
                yield Candidate(
                    arrangement=arrangement, base=base, lengths_m=lengths, protection=guard, stock=(),
                    price_minor=price, mass_kg=mass, days=min(loft.days for loft in both),
                    lofts=tuple(loft.id for loft in sorted(both, key=lambda loft: (loft.days, loft.id))),
                    least_length_m=least,
                )  # fmt: skip


def _stock(
    setting: Setting, arrangement: Arrangement, base: SlingSpec, guard: Protection
) -> Iterator[Candidate]:
    """As many of one row of the shelf; at picks also every choice from several rows of one kind."""
    many, practice = len(arrangement.holdings), setting.shop.practice
    kin = [
        s
        for s in setting.shop.stock
        if s.rulebook == setting.rulebook.id and _at(base, s.spec.length_m) == s.spec
    ]
    chosen: list[tuple[StockSling, ...]] = []
    if arrangement.lengths == "equal":
        chosen = [(s,) * many for s in kin if s.count >= many]
    elif arrangement.lengths == "made":
        seen = set()
        for pick in itertools.product(kin, repeat=many):
            lengths = [s.spec.length_m for s in pick]
            same_slings = tuple(
                (x, tuple(sorted(s.id for s in pick if s.spec.length_m == x))) for x in lengths
            )
            if len(set(pick)) == 1 or any(pick.count(s) > s.count for s in pick) or same_slings in seen:
                continue
            seen.add(same_slings)
            if len(set(lengths)) == 1 or _told_apart(
                lengths, 2 * practice.tolerance_m, practice.tolerance_rel
            ):
                chosen.append(pick)
    for pick in chosen:
        lengths_m = tuple(s.spec.length_m for s in pick)
        if not _hangs_level(arrangement, lengths_m):
            continue
        price, mass = 0, 0.0
        for stock in pick:
            one = price_sling(stock.spec, Supply.STOCK, guard, setting.book, setting.shop)
            make = (base.form, base.fibre, base.webbing_class, base.plies, base.width_m)
            line = price_line(*make, guard, setting.book, setting.shop)
            if isinstance(one, Refusal) or isinstance(line, Refusal):
                break
            price, mass = price + one.price_minor, mass + line.mass_kg(stock.spec.length_m)
        else:
            yield Candidate(
                arrangement=arrangement, base=pick[0].spec, lengths_m=lengths_m, protection=guard, stock=pick,
                price_minor=price, mass_kg=mass, days=max(s.days for s in pick),
                lofts=tuple(dict.fromkeys(s.loft for s in pick)), least_length_m=None,
            )  # fmt: skip


def _at(base: SlingSpec, length_m: float) -> SlingSpec:
    return SlingSpec(
        form=base.form, fibre=base.fibre, webbing_class=base.webbing_class, plies=base.plies,
        width_m=base.width_m, length_m=length_m, eye_m=base.eye_m,
    )  # fmt: skip


def _by_table(
    setting: Setting, candidate: Candidate, rated: tuple[SlingRated, ...], verdict: Verdict
) -> bool:
    """What a chart does: level load, lengths as told, weight over legs and sine against the table."""
    if any(f.outcome == "stop" for f in run_checks(verdict.facts, setting.rulebook, HANGLESS)):
        return False
    a, want = candidate.arrangement, setting.lift.want
    heights = level_hook_heights(a, np.array([candidate.lengths_m]))[0]
    if max(heights) > min(h.headroom_m for h in setting.lift.hooks):
        return False
    flattest = 90.0
    for holding in a.main:
        x, y = upper_xy(a, holding)
        top = float(heights[holding.hook]) if holding.hook is not None else math.inf
        ends = (
            [holding.lower_m]
            if holding.round is None
            else [*holding.round.turns_m[:1], *holding.round.turns_m[-1:]]
        )
        for end in ends:
            assert end is not None
            flattest = min(flattest, math.degrees(math.atan2(top - end[2], math.dist((x, y), end[:2]))))
    main = next(i for i, h in enumerate(a.holdings) if h.role == "main")
    parts = 2 if a.holdings[main].hitch is Hitch.BASKET else 1
    floor = setting.rulebook.leg_floor(a.legs, setting.weight_n / parts, flattest)
    return floor.value < rated[main].part_limit_n and flattest >= want.least_angle_deg
