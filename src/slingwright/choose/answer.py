"""From walks to the answer: a few good offers, why not the others, and what was searched."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace

from slingwright.check import Finding
from slingwright.check.all import check_lift
from slingwright.choose.evaluate import Verdict, stop_of
from slingwright.choose.fallen import rejected
from slingwright.choose.neighbours import neighbours
from slingwright.choose.offer import Answer, Offer, Refused, SearchReport
from slingwright.choose.present import make_offer
from slingwright.choose.search import MEASURES, Found, Search
from slingwright.choose.setting import Setting
from slingwright.choose.space import Entry
from slingwright.choose.wanted import not_to_be_had, why_not_wanted
from slingwright.sling import Fibre

__all__ = ["answer_lift", "first_graded", "lift_stops"]

_PRICE_TRIES = 1000  # the cheapest is what most ask for beside
_SIDE_TRIES = 150  # walks beside the main one give up here, and then claim nothing
_REFUSED_TRIES = 12  # candidates judged to find the nearest miss of a family and fibre

# why an offer is shown, by the measure it is the best in
_PICKED = {"price": "cheapest", "weight": "lightest", "reserve": "reserve", "delivery": "delivery"}


def lift_stops(setting: Setting) -> Finding | None:
    """The lift's own stop, one that no sling can cure, or the one it wants is not to be had; else None."""
    wanted = setting.lift.want.sling
    missing = None if wanted is None else not_to_be_had(setting.shop, wanted)
    return stop_of(check_lift(setting.lift, setting.rulebook)) or missing


def answer_lift(
    setting: Setting,
    *,
    clock: Callable[[], float],
    limit_s: float | None = None,
    progress: Callable[[int], None] = lambda solved: None,
    walked: Callable[[Search, Found], None] = lambda search, main: None,
    offered: Callable[[Answer], None] = lambda answer: None,
    alone: Callable[[Search, Found], None] | None = None,
) -> Answer:
    """Search the whole space of a lift and answer it.

    Parameters
    ----------
    setting
        Lift, rulebook, shop, prices, random numbers.
    clock
        Seconds on any scale; only its differences are used.
    limit_s
        Stop the search after so long; the answer then says that it is not proved.
    progress
        Called with the number of candidates solved so far.
    walked
        Called with the search and its main walk once the best is found; not for a lift that itself stops.
    offered
        Called with the answer less what is refused, once the offers are known; not where there are none.
    alone
        Called with a search for the best alone, before the whole is searched, where there is one: sooner, and
        at the cost of a search more. What it is told is the best as `walked` is. Half of the time is its.

    Returns
    -------
    Answer
    """
    began = clock()
    stop = lift_stops(setting)
    if stop is not None:
        return _stopped(setting, stop)

    def out_of_time(share: float = 1.0) -> bool:
        return limit_s is not None and clock() - began > share * limit_s

    want = setting.lift.want
    admitted = _admitted(setting)
    if alone is not None:
        # it gives up where the whole can still find what passes, if not the best
        half = Search(setting, out_of_time=lambda: out_of_time(0.5), progress=progress, only_best=True)
        _best_alone(half, want.by, admitted, alone)
    search = Search(setting, out_of_time=out_of_time, progress=progress)
    main = search.walk(want.by, only=admitted)
    walked(search, main)
    offers = tuple(_offers(setting, search, main, admitted))
    answer = Answer(
        answer="offers" if offers else "stop",
        offers=offers,
        refused=(),
        search=_report(search, main),
        notes=setting.lift.notes,
    )
    if offers:
        offered(answer)
    refused = tuple(_refused(search, offers, admitted))
    answer = replace(answer, refused=refused, search=_report(search, main))  # some were solved meanwhile
    return answer if offers else replace(answer, stops=tuple(_nothing_fits(search)))


def first_graded(setting: Setting, *, out_of_time: Callable[[], bool]) -> tuple[Search, Verdict] | None:
    """The first in the wanted order that passes, if with a caution of its own, and the search that found it.

    Nothing that comes before it passes; what is of grade 0 goes before it, and is not looked for here.
    """
    if lift_stops(setting) is not None:
        return None
    search = Search(setting, out_of_time=out_of_time, only_best=True)
    found = search.walk(setting.lift.want.by, only=_admitted(setting), enough=1)
    return None if found.best_grade_1 is None else (search, found.best_grade_1)


def _admitted(setting: Setting) -> Callable[[Entry], bool]:
    return (lambda e: bool(e.stock)) if setting.lift.want.stock_only else (lambda e: True)


def _best_alone(
    search: Search, by: str, admitted: Callable[[Entry], bool], alone: Callable[[Search, Found], None]
) -> None:
    """The best without the cheapest of grade 1 beside it: as grade 0 wins, that need not be looked for.

    Only where there is none of grade 0 the first of the others is the best.
    """
    found = search.walk(by, only=admitted, only_ungraded=True)
    if found.proved and found.best is None:
        found = search.walk(by, only=admitted, enough=1)
    if found.answer is not None:
        alone(search, found)


def _stopped(setting: Setting, stop: Finding) -> Answer:
    return Answer(
        answer="stop",
        offers=(),
        refused=(),
        stops=(stop,),
        search=SearchReport(
            space=0,
            hang_problems=0,
            pruned={},
            solved=0,
            cheaper_and_rejected=0,
            rejected_by={},
            proved=True,
            seconds=None,
            samples=setting.draws.samples,
            seed=setting.draws.seed,
        ),
        next_question="weight" if stop.detail == "weight-unknown" else None,
        notes=setting.lift.notes,
    )


def _report(search: Search, main: Found) -> SearchReport:
    counts = rejected(search, main)
    return SearchReport(
        space=search.space.candidates,
        hang_problems=search.space.hang_problems,
        pruned={reason: count for reason, count in sorted(search.space.pruned.items()) if count},
        solved=search.solved,
        cheaper_and_rejected=sum(counts.values()),
        rejected_by=counts,
        proved=main.proved,
        seconds=None,
        samples=search.setting.draws.samples,
        seed=search.setting.draws.seed,
    )


def _offers(
    setting: Setting, search: Search, main: Found, admitted: Callable[[Entry], bool]
) -> Iterator[Offer]:
    """Best first, then the cheapest by each other measure and from stock; the same candidate once."""
    best = main.answer
    if best is None:
        return
    by = setting.lift.want.by
    picks: dict[str, tuple[Verdict, list[str]]] = {best.candidate.text: (best, ["best", _PICKED[by]])}

    def add(verdict: Verdict | None, why: str) -> None:
        if verdict is not None:
            picks.setdefault(verdict.candidate.text, (verdict, []))[1].append(why)

    if main.best is not None and main.best_grade_1 is not None:
        add(_completed(main.best_grade_1), "grade-1")
    stock = search.walk(by, only=lambda e: admitted(e) and bool(e.stock), tries=_SIDE_TRIES)
    add(stock.answer, "stock")
    for measure in MEASURES:
        if measure != by:
            tries = _PRICE_TRIES if measure == "price" else _SIDE_TRIES
            found = search.walk(measure, only=admitted, tries=tries)
            add(found.answer if found.proved else None, _PICKED[measure])
    for why, verdict in neighbours(search, best):
        add(verdict, why)
    for verdict, whys in picks.values():
        yield make_offer(setting, verdict, by=by, picked_for=tuple(dict.fromkeys(whys)))


def _completed(verdict: Verdict) -> Verdict | None:
    """A grade 1 verdict with all of its cases; None where the further cases stop it."""
    return verdict if verdict.complete and verdict.stop is None else None


def _kinds(search: Search) -> list[tuple[str, Fibre]]:
    """Every family and fibre of the space, in its order."""
    out: dict[tuple[str, Fibre], None] = {}
    fibres = sorted({w.fibre for w in search.setting.shop.webbings})
    for arrangement in search.space.arrangements:
        for fibre in fibres:
            out[arrangement.family, fibre] = None
    return list(out)


def _refused(
    search: Search, offers: tuple[Offer, ...], admitted: Callable[[Entry], bool]
) -> Iterator[Refused]:
    """For each family and fibre that has no offer at all, the stop of its nearest candidate."""
    offered = {(o.arrangement.family, o.slings[0].spec.fibre) for o in offers}
    for family, fibre in _kinds(search):
        if (family, fibre) in offered:
            continue

        def mine(entry: Entry, family: str = family, fibre: Fibre = fibre) -> bool:
            return admitted(entry) and entry.arrangement.family == family and entry.make.fibre is fibre

        found = search.walk(search.setting.lift.want.by, only=mine, tries=_REFUSED_TRIES)
        if found.answer is not None:  # it could be offered, only dearer
            continue
        known = search.nearest_of(family, fibre)
        if known is not None:
            off, finding, text = known
            yield Refused(
                family=family,
                fibre=fibre,
                finding=finding,
                off_by=off if off != float("inf") else None,
                spec_text=text,
            )
        elif (family, fibre) in search.space.too_weak:
            yield Refused(
                family=family, fibre=fibre, finding=search.space.too_weak[family, fibre], off_by=None
            )


def _nothing_fits(search: Search) -> Iterator[Finding]:
    """The stop of the least infeasible candidate, and of each family's where it is another rule."""
    seen: set[str] = set()
    for _, finding, _ in sorted(search.nearest.values(), key=lambda n: (n[0], n[2])):
        if finding.rule not in seen:
            seen.add(finding.rule)
            yield finding
    if not seen and search.space.too_weak:
        yield from list(search.space.too_weak.values())[:1]
    elif not seen and search.setting.lift.want.sling is not None:
        yield from why_not_wanted(search.space)
