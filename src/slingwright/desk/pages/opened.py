"""The lift page opened by its link: what is known by now, and where it is not all, how far the search is.

A browser with a script asks for the parts still missing by itself. One without is given the same page again
where it asks for it: the search goes on meanwhile, and whoever opens the same link waits for the same one.
"""

from __future__ import annotations

from typing import Any

from fastapi import Request
from fastapi.responses import HTMLResponse
from starlette.concurrency import run_in_threadpool

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import said_in
from slingwright.desk.jobs import Job
from slingwright.desk.link import unpack_lift
from slingwright.desk.pages.asked import look_of, shown_query, whole_of
from slingwright.desk.pages.figure import pose_of
from slingwright.desk.pages.live import shown_of, until
from slingwright.desk.pages.render import Shown, lift_page
from slingwright.errors import InputFault
from slingwright.usecases.choose_sling import Chosen

__all__ = ["opened_lift", "stopped_lift"]

_FIRST_S = 0.9  # for the drawing and the best offer
_WHOLE_S = 0.1  # and then for the others: most take longer, and the page would wait for nothing
_LONGER_S = 8.0  # for both, where the page was seen already
_STOPPING_S = 0.2  # for a stopped search to say what it had


async def opened_lift(bench: Bench, request: Request) -> HTMLResponse:
    """The page that a link leads to.

    Raises
    ------
    Busy
        Too many wait for an answer already.
    """
    look, query = look_of(request), request.query_params
    tables: dict[str, Any] = {}
    try:
        tables = unpack_lift(query.get("l", ""))
        if "explain" in query:
            return await run_in_threadpool(_explained, bench, tables, request, look)
        known = await run_in_threadpool(bench.known, tables, look)
        if known is not None:
            return await run_in_threadpool(_whole, bench, tables, request, known)
        job = await run_in_threadpool(bench.ask, tables, look, tab=None)
        longer = "wait" in query
        await until(job, _has_first, _LONGER_S if longer else _FIRST_S)
        if _has_first(job):
            await until(job, _has_whole, _LONGER_S if longer else _WHOLE_S)
        return await run_in_threadpool(_page, bench, tables, request, job)
    except InputFault as fault:
        half = "half" in query and bool(tables)  # still being filled in: what is empty is no fault yet
        faulty = Shown(
            faults=fault.faults, typed=said_in(tables, look.language) if half else {}, pressed=not half
        )
        status = 200 if half else 422
        return await run_in_threadpool(lift_page, bench, tables, look, faulty, status=status)


async def stopped_lift(bench: Bench, request: Request) -> HTMLResponse:
    """The page after its stop button was pressed: what the search had.

    Raises
    ------
    InputFault
        The link is at fault.
    Busy
        Too many wait for an answer already.
    """
    tables = unpack_lift(request.query_params.get("l", ""))
    job = await run_in_threadpool(bench.job_for, tables, look_of(request))
    if job is None:  # it has ended and is forgotten, or never began
        return await opened_lift(bench, request)
    job.stop()
    await until(job, lambda job: job.done, _STOPPING_S)
    job.cut()
    return await run_in_threadpool(_page, bench, tables, request, job)


def _has_first(job: Job) -> bool:
    return job.first is not None or job.whole is not None


def _has_whole(job: Job) -> bool:
    return job.whole is not None


def _which(request: Request) -> tuple[int, str]:
    query = request.query_params
    return whole_of(query.get("offer")), pose_of(query.get("pose"))


def _page(bench: Bench, tables: dict[str, Any], request: Request, job: Job) -> HTMLResponse:
    look, (offer, pose) = look_of(request), _which(request)
    asked = shown_query(tables, look, offer, pose)
    return lift_page(bench, tables, look, shown_of(job, tables, look, asked, offer=offer, pose=pose))


def _explained(bench: Bench, tables: dict[str, Any], request: Request, look: Look) -> HTMLResponse:
    chosen = bench.answer(tables, look, explained=True)
    return _whole(bench, tables, request, chosen, explained=True)


def _whole(
    bench: Bench, tables: dict[str, Any], request: Request, chosen: Chosen, *, explained: bool = False
) -> HTMLResponse:
    from slingwright.desk.pages.view import view_of

    look, (offer, pose) = look_of(request), _which(request)
    view = view_of(chosen, tables, look, offer=offer, pose=pose)
    return lift_page(bench, tables, look, Shown(view=view, asked=explained, explained=explained))
