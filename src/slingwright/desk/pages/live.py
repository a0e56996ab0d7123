"""The lift page in place: the form sends itself, and the answer comes in parts as it becomes known.

Every open page (a tab) says who it is and counts its questions; a newer one drops the older one's search. A
part that is not known yet is answered with how far the search is, a button that stops it, and asks again.
"""

from __future__ import annotations

import asyncio
import re
import secrets
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import dataclass, field, replace
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request, Response
from fastapi.responses import HTMLResponse, RedirectResponse
from starlette.concurrency import run_in_threadpool
from starlette.datastructures import QueryParams as Query

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import says_unknown
from slingwright.desk.jobs import Job
from slingwright.desk.link import unpack_lift
from slingwright.desk.pages.asked import QUESTIONS, look_of, query_of, shown_query, whole_of
from slingwright.desk.pages.figure import pose_of
from slingwright.desk.pages.render import Shown, Waits, lift_part
from slingwright.desk.pages.typed import tables_of, words_of
from slingwright.desk.tabs import Outdated
from slingwright.desk.turns import Busy
from slingwright.errors import InputFault
from slingwright.usecases.ask import answered

if TYPE_CHECKING:
    from slingwright.desk.pages.view import AnswerView
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["add_live", "live_lift", "shown_of", "until"]

_PATIENCE_S = 0.9  # before it is said how far the search is
_AGAIN_S = 0.7  # a further look, and hardly any pause between two: what comes then would wait for its end
_STOPPING_S = 0.2  # for a stopped search to say what it had, which it does at its next candidate
_AGAIN_MS, _BUSY_MS = 100, 3000
_TAB = re.compile(r"[0-9a-f]{8,32}")

_Enough = Callable[[Job], bool]
_ENOUGH: Mapping[str, _Enough] = {
    "first": lambda job: job.first is not None or job.whole is not None,
    "rest": lambda job: job.whole is not None,
    "question": lambda job: job.asked,
    "changes": lambda job: False,  # all of it: when the job is done
}
_PARTS = {
    "first": "answered.html",
    "rest": "rest_after.html",
    "question": "question.html",
    "changes": "changes.html",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Ask:
    """One request of an open page."""

    tables: Mapping[str, Any]
    look: Look
    tab: str
    turn: int | None  # None: a part of what was asked
    offer: int = 0
    pose: str = "told"
    again: bool = False  # what was stopped is searched to its end
    seen: bool = False  # what was found so far stands there already, or is not to be shown
    typed: Mapping[str, str] = field(default_factory=dict)

    @property
    def part_query(self) -> str:
        """What a part's address says of the lift."""
        again = "&again=1" if self.again else ""
        return shown_query(self.tables, self.look, self.offer, self.pose) + again

    def enough(self, part: str) -> _Enough:
        """What is enough to answer with: of the first part also what was found so far, once."""
        enough = _ENOUGH[part]
        if part != "first" or self.seen:
            return enough
        return lambda job: job.early is not None or enough(job)


def add_live(router: APIRouter, bench: Bench) -> None:
    """Add the routes; they stand before those whose names they could be taken for."""

    @router.post("/lift/live")
    async def live(request: Request) -> Response:
        async with request.form(max_files=0, max_fields=400) as form:
            look, words = look_of(request, form), words_of(form, pressed=False)
            tab, turn = _who(request)
            pressed = "lift-pressed" in request.headers
            try:
                tables = await tables_of(form, words, bench, look)
            except InputFault as fault:
                return await _faulty(bench, look, fault, words, pressed)
        ask = _Ask(tables=tables, look=look, tab=tab, turn=turn, typed=words)
        try:
            return await _part(bench, ask, "first", _PATIENCE_S)
        except InputFault as fault:
            return await _faulty(bench, look, fault, words, pressed)

    @router.get("/lift/part/{part}")
    async def part(part: str, request: Request) -> Response:
        if part not in _PARTS or "hx-request" not in request.headers:
            return RedirectResponse(f"/lift?{request.query_params}", status_code=303)
        try:
            ask = replace(_asked(request), turn=None)
            return await _part(bench, ask, part, _PATIENCE_S if part == "rest" else _AGAIN_S)
        except InputFault as fault:
            return await _faulty(bench, look_of(request), fault, {}, pressed=True)

    @router.get("/lift/tell")
    async def tell(request: Request) -> Response:
        query, look = request.query_params, look_of(request)
        code, text = query.get("question", ""), query.get("text", "")
        try:
            tables = unpack_lift(query.get("l", ""))
            if says_unknown(text):
                look = replace(look, skip=(*look.skip, code) if code in QUESTIONS else look.skip)
            else:
                tables = answered(tables, code, text)
        except InputFault as fault:
            template = "live.html" if "hx-request" in request.headers else "lift.html"
            shown = Shown(faults=fault.faults)
            html = await run_in_threadpool(lift_part, template, bench, {}, look, shown)
            return HTMLResponse(html, status_code=200 if template == "live.html" else 422)
        return RedirectResponse(f"/lift?{query_of(tables, look)}", status_code=303)

    @router.post("/lift/stop")
    async def stop(request: Request) -> Response:
        if "hx-request" not in request.headers:
            from slingwright.desk.pages.opened import stopped_lift

            return await stopped_lift(bench, request)
        part = request.query_params.get("part", "first")
        ask = replace(_asked(request), turn=None)
        # a page just opened by its link has not asked for a part yet: it takes that search on here
        job = bench.job_of(ask.tab) or await _begin(bench, ask)
        job.stop()
        await until(job, lambda job: job.done, _STOPPING_S)
        job.cut()
        return await _part(bench, ask, part if part in _PARTS else "first", _AGAIN_S)


async def live_lift(bench: Bench, request: Request) -> Response:
    """The whole lift page's inside, for a lift opened in place."""
    try:
        ask = _asked(request)
    except InputFault as fault:
        shown = Shown(faults=fault.faults)
        return HTMLResponse(lift_part("live.html", bench, {}, look_of(request), shown))
    try:
        job = await _begin(bench, ask)
        await until(job, ask.enough("first"), _PATIENCE_S)
        if job.unwanted:
            raise Outdated
        shown = await run_in_threadpool(_shown, ask, job, "first")
    except Outdated:
        return Response(status_code=204)
    except Busy:
        shown = _busy(ask, "first")
    except InputFault as fault:
        shown = Shown(faults=fault.faults)
    html = await run_in_threadpool(lift_part, "live.html", bench, ask.tables, ask.look, shown)
    return HTMLResponse(html)


def _who(request: Request) -> tuple[str, int]:
    """Which open page asks, and its how-manieth question it is; a page that does not say is a new one."""
    tab, turn = request.headers.get("lift-tab", ""), request.headers.get("lift-turn", "")
    named = _TAB.fullmatch(tab) is not None and turn.isascii() and turn.isdigit() and len(turn) < 10
    return (tab, int(turn)) if named else (secrets.token_hex(8), 0)


def _asked(request: Request) -> _Ask:
    query: Query = request.query_params
    tab, turn = _who(request)
    return _Ask(
        tables=unpack_lift(query.get("l", "")),
        look=look_of(request),
        tab=tab,
        turn=turn,
        offer=whole_of(query.get("offer")),
        pose=pose_of(query.get("pose")),
        again="again" in query,
        seen="seen" in query,
    )


async def _part(bench: Bench, ask: _Ask, part: str, seconds: float) -> Response:
    """A part of the answer where it is known, else how far the search is."""
    try:
        job = await _begin(bench, ask)
        await until(job, ask.enough(part), seconds)
        if job.unwanted:
            raise Outdated
        shown = await run_in_threadpool(_shown, ask, job, part)
    except Outdated:
        return Response(status_code=204)
    except Busy:
        shown = _busy(ask, part)
    template = "progress.html" if shown.waits and not shown.so_far else _PARTS[part]
    html = await run_in_threadpool(lift_part, template, bench, ask.tables, ask.look, shown)
    # what was answered before stays in sight while the first part of what is new is on its way
    aside = template == "progress.html" and part == "first"
    return HTMLResponse(html, headers=_beside("#progress") if aside else {})


def _beside(target: str) -> dict[str, str]:
    return {"HX-Retarget": target, "HX-Reswap": "innerHTML"}


async def _begin(bench: Bench, ask: _Ask) -> Job:
    return await run_in_threadpool(
        bench.ask, ask.tables, ask.look, tab=ask.tab, turn=ask.turn, again=ask.again
    )


async def until(job: Job, enough: _Enough, seconds: float) -> None:
    """Wait for enough, holding no thread.

    Raises
    ------
    InputFault, Busy
        What ended the job.
    """
    loop, news = asyncio.get_running_loop(), asyncio.Event()

    def wake() -> None:  # called by the thread that knows
        with suppress(RuntimeError):  # the desk is ending
            loop.call_soon_threadsafe(news.set)

    job.watchers.add(wake)
    try:
        with suppress(TimeoutError):
            async with asyncio.timeout(seconds):
                while not (job.done or (enough(job) and not job.stopped)):
                    await news.wait()
                    news.clear()
    finally:
        job.watchers.discard(wake)
    job.wait(enough, 0.0)


def shown_of(
    job: Job, tables: Mapping[str, Any], look: Look, part_query: str, *, offer: int, pose: str
) -> Shown:
    """What a whole page shows of a job as it stands."""
    ask = _Ask(tables=tables, look=look, tab="", turn=0, offer=offer, pose=pose, seen=True)
    shown = _shown(ask, job, "first", explained=job.explained is not None)
    # a page without a script waits for the best; one with a script asks for what was found so far
    waits = None if shown.waits is None else replace(shown.waits, seen=False)
    return replace(shown, part_query=part_query, waits=waits, settled="")


def _shown(ask: _Ask, job: Job, part: str, *, explained: bool = True) -> Shown:
    if not (job.done or (_ENOUGH[part](job) and not job.stopped)):
        quiet = part == "changes" and not job.asked
        waits = _waits(part, "stopping" if job.stopped else job.stage, job.solved, quiet)
        so_far = job.early if ask.enough(part)(job) and not job.stopped else None
        seen = part == "first" and (ask.seen or so_far is not None)
        return Shown(
            view=None if so_far is None else _view(ask, job, so_far, drawn=True),
            waits=replace(_weighing(waits, job), seen=seen),
            so_far=so_far is not None,
            part_query=ask.part_query,
            typed=ask.typed,
        )
    chosen = job.shown
    return Shown(
        view=None if chosen is None else _view(ask, job, chosen, drawn=part == "first"),
        settled=_settled(ask, job, part),
        rest=job.done or job.whole is not None,
        asked=(job.done and explained) or job.asked,
        explained=job.done and explained,
        part_query=ask.part_query,
        halted=job.halted or chosen is None,
        died=job.died,
        typed=ask.typed,
    )


def _settled(ask: _Ask, job: Job, part: str) -> str:
    """What became of what was found so far, where that is still in sight; "" where it is said otherwise."""
    early, shown = job.early, job.shown
    if part != "first" or not ask.seen or early is None or shown is None or job.halted:
        return ""
    was, best = early.answer, shown.answer
    if not best.search.proved:
        return "unproved"
    return "same" if was.offers[0].order == best.offers[0].order else "other"


def _view(ask: _Ask, job: Job, chosen: Chosen, *, drawn: bool) -> AnswerView:
    """The answer made ready; several parts of one page show the same, and the first of them the drawing."""
    from slingwright.desk.pages.view import AnswerView, view_of

    key = (ask.look, ask.offer, ask.pose, drawn)
    known, view = job.views.get(key, (None, None))
    if known is not chosen or not isinstance(view, AnswerView):
        view = view_of(chosen, ask.tables, ask.look, offer=ask.offer, pose=ask.pose, drawn=drawn)
        job.views[key] = (chosen, view)
    return view


def _waits(part: str, stage: str, solved: int = 0, quiet: bool = False) -> Waits:
    target, swap = ("#answer", "innerHTML") if part == "first" else (f"#{part}", "outerHTML")
    delay_ms = _BUSY_MS if stage == "busy" else _AGAIN_MS
    return Waits(
        part=part, stage=stage, solved=f"{solved:,}", delay_ms=delay_ms, target=target, swap=swap, quiet=quiet
    )


def _weighing(waits: Waits, job: Job) -> Waits:
    """With how many of the open points are weighed, while it is looked for what to ask."""
    explained = None if job.explained is None else job.explained.answer.explained
    if waits.stage != "explaining" or waits.part != "question" or explained is None:
        return waits
    weighed, left = len(explained.weighed), len(explained.unweighed)
    if not left:
        return waits
    return replace(waits, stage="weighing", weighed=str(weighed), open_points=str(weighed + left))


def _busy(ask: _Ask, part: str) -> Shown:
    return Shown(waits=_waits(part, "busy"), part_query=ask.part_query, typed=ask.typed)


async def _faulty(
    bench: Bench, look: Look, fault: InputFault, typed: Mapping[str, str], pressed: bool
) -> Response:
    """What has to be put right, beside the last answer, which stays."""
    shown = Shown(faults=fault.faults, typed=typed, pressed=pressed)
    html = await run_in_threadpool(lift_part, "missing.html", bench, {}, look, shown)
    return HTMLResponse(html, headers=_beside("#faults"))
