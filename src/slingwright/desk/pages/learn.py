"""The pages to learn from and the page about the tool: made from the rulebooks and from what is installed."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from importlib.metadata import distribution
from typing import TYPE_CHECKING, Any

from fastapi import APIRouter, Request
from fastapi.responses import HTMLResponse, PlainTextResponse
from starlette.exceptions import HTTPException

from slingwright.desk.bench import Bench, Look
from slingwright.desk.pages.asked import look_of
from slingwright.desk.pages.render import render
from slingwright.errors import InputFault

if TYPE_CHECKING:
    from slingwright.rulebook import Rulebook

__all__ = ["learn_router", "shipped_here"]

_RULES = ("us", "en")


def learn_router(bench: Bench) -> APIRouter:
    """Make the routes of `/learn` and `/about`."""
    router = APIRouter(default_response_class=HTMLResponse)

    @router.get("/learn")
    def index(request: Request) -> HTMLResponse:
        from slingwright.draw.learning import learn_picture
        from slingwright.words.learning import FACES, TOPICS, topic_lead, topic_title

        look = look_of(request)
        book = _book(bench, _rules(bench, request))
        topics = [
            (name, topic_title(name, language=look.language), topic_lead(name, language=look.language),
             learn_picture(FACES[name], book, language=look.language) if name in FACES else "")
            for name in TOPICS
        ]  # fmt: skip
        return HTMLResponse(render("learn.html", look, topics=topics, **_switches(bench, request, look)))

    @router.get("/learn/{name}")
    def topic(name: str, request: Request) -> HTMLResponse:
        return _topic_page(bench, name, request)

    @router.get("/about")
    def about(request: Request) -> HTMLResponse:
        from slingwright import __version__
        from slingwright.usecases.shipped import needed_distributions
        from slingwright.words import standing_cautions

        look = look_of(request)
        html = render(
            "about.html", look, version=__version__, ours=shipped_here(), needed=needed_distributions(),
            books=[_book(bench, rules) for rules in _RULES],
            cautions=standing_cautions(on="page", language=look.language),
        )  # fmt: skip
        return HTMLResponse(html)

    @router.get("/about/licence.txt")
    def licence() -> PlainTextResponse:
        text = distribution("slingwright").read_text("licenses/LICENSE")
        if text is None:
            raise HTTPException(404, "Not Found")
        return PlainTextResponse(text)

    return router


@cache
def shipped_here() -> tuple[dict[str, Any], ...]:
    """What is not ours and lies in the desk's own files, from `static/vendor/shipped.toml`."""
    file = resources.files("slingwright.desk") / "static" / "vendor" / "shipped.toml"
    return tuple(tomllib.loads(file.read_text("utf-8"))["shipped"])


def _topic_page(bench: Bench, name: str, request: Request) -> HTMLResponse:
    from slingwright.draw.learning import learn_picture
    from slingwright.units import Units
    from slingwright.words import standing_cautions
    from slingwright.words.learning import TOPICS, learn_topic, topic_title

    if name not in TOPICS:
        raise HTTPException(404, "Not Found")
    look = look_of(request)
    switches = _switches(bench, request, look)
    book = _book(bench, switches["rules"])
    made = learn_topic(name, book, Units(switches["units"]), language=look.language)
    after = TOPICS[(TOPICS.index(name) + 1) % len(TOPICS)]
    html = render(
        "topic.html", look, topic=made, next_topic=(after, topic_title(after, language=look.language)),
        pictures={
            part.picture: learn_picture(part.picture, book, language=look.language)
            for part in made.parts
            if part.picture
        },
        cautions=standing_cautions(on="page", language=look.language), **switches,
    )  # fmt: skip
    return HTMLResponse(html)


def _switches(bench: Bench, request: Request, look: Look) -> dict[str, Any]:
    """Whose rules and which units are shown, and the links to the others (both stay in every link)."""
    rules = _rules(bench, request)
    units = look.units or bench.settings.units or ("us" if rules == "us" else "si")
    return {"rules": rules, "units": units, "all_rules": _RULES}


def _rules(bench: Bench, request: Request) -> str:
    said = request.query_params.get("rules")
    return said if said in _RULES else bench.settings.rulebook or _RULES[0]


def _book(bench: Bench, rules: str) -> Rulebook:
    """A regime's rulebook with the table that the shop adopted, if it is one of this regime."""
    from slingwright.rulebook import load_rulebook
    from slingwright.usecases.rulebooks import open_rulebook

    try:
        return open_rulebook(bench.settings, regime=rules)
    except InputFault:  # what the shop adopted is the other regime's
        return load_rulebook(rules, bench.settings.profile)
