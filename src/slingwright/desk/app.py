"""The desk's app: pages, API, files, guards. What it knows is passed in; nothing is kept of a visitor."""

from __future__ import annotations

from collections.abc import Callable, Collection
from datetime import date
from importlib import resources
from pathlib import Path

from fastapi import FastAPI
from fastapi.middleware.gzip import GZipMiddleware
from fastapi.responses import FileResponse
from fastapi.staticfiles import StaticFiles

from slingwright import __version__
from slingwright.desk.api.described import describe
from slingwright.desk.api.examples import examples_of
from slingwright.desk.api.router import api_router
from slingwright.desk.bench import Bench
from slingwright.desk.guard import guard
from slingwright.desk.pages.learn import learn_router
from slingwright.desk.pages.router import pages_router
from slingwright.desk.patience import CrowdLimit, SlowBodyLimit
from slingwright.desk.problems import answer_problems
from slingwright.desk.searchers import Searchers
from slingwright.usecases.settings import Settings

__all__ = ["create_app"]


def create_app(
    settings: Settings, *, token: str | None = None, hosts: Collection[str] = (),
    embed_origins: Collection[str] = (), today: Callable[[], date] = date.today,
    searchers: Searchers | None = None,
) -> FastAPI:  # fmt: skip
    """Make the app for a shop.

    Parameters
    ----------
    settings : the shop's files and the house's choices.
    token : asked of every request where it is set.
    hosts : the names it may be called by; none = any. A page elsewhere could else pass itself off as it.
    embed_origins : the origins whose pages may show it in a frame.
    today : the date that papers bear.
    searchers : the processes to search in; none = in this one.
    """
    app = FastAPI(
        title="Slingwright", version=__version__, docs_url=None, redoc_url=None,
        openapi_url="/api/v1/openapi.json",
    )  # fmt: skip
    bench = Bench(settings=settings, searchers=searchers)
    static = Path(str(resources.files("slingwright.desk") / "static"))
    app.include_router(api_router(bench, today=today, examples=examples_of(bench)), prefix="/api/v1")
    app.include_router(learn_router(bench), include_in_schema=False)
    app.include_router(pages_router(bench, today=today), include_in_schema=False)
    # the drawing is laid out for this face, which comes with its licence in a package of its own
    app.mount("/fonts", StaticFiles(directory=str(resources.files("font_source_sans_pro") / "files")))
    app.mount("/static", StaticFiles(directory=str(static)))
    app.add_api_route("/embed.js", lambda: FileResponse(static / "embed.js"), include_in_schema=False)
    answer_problems(app)
    app.state.bench = bench
    guard(app, token=token, hosts=hosts, embed_origins=embed_origins)
    app.add_middleware(GZipMiddleware, minimum_size=1000, compresslevel=5)  # SVG shrinks to a sixth
    app.add_middleware(SlowBodyLimit)
    app.add_middleware(CrowdLimit)
    describe(app)
    return app
