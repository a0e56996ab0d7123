"""What a request asks: how to show, which offer, which lift; and the link that says so again."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any
from urllib.parse import parse_qsl, urlencode

from starlette.datastructures import FormData
from starlette.datastructures import QueryParams as Query
from starlette.requests import Request

from slingwright.desk.bench import Look
from slingwright.desk.link import pack_lift
from slingwright.errors import fail
from slingwright.words import languages, read_catalogue

__all__ = [
    "MOST_NAME",
    "QUESTIONS",
    "customer_of",
    "link_to",
    "look_of",
    "query_of",
    "scale_links",
    "shown_query",
    "whole_of",
]

_UNITS = ("us", "si")
MOST_NAME = 200  # characters of a customer's name, here and in the API
QUESTIONS = frozenset(read_catalogue().sections["questions"])  # that there are words for


def look_of(request: Request, said: Query | FormData | None = None) -> Look:
    """How to show the answer; what is not known is as if it had not been said.

    Parameters
    ----------
    said
        Where it is said: a form's fields; left out, the address.
    """
    asked = request.query_params if said is None else said
    units, language = asked.get("units"), asked.get("lang")
    known = languages()
    return Look(
        units=units if isinstance(units, str) and units in _UNITS else None,
        language=str(language) if language in known else _wished(request, known),
        language_said=language in known,
        skip=tuple(sorted({str(code) for code in asked.getlist("skip")} & QUESTIONS)),
        origin=str(request.base_url).rstrip("/"),
        here=_here(request) if request.method in ("GET", "HEAD") else "/",
    )


def _wished(request: Request, known: tuple[str, ...]) -> str:
    """The first of the browser's languages that there is a catalogue for, by its liking; else the desk's."""
    own: str = request.app.state.bench.settings.language
    liked = []
    for place, part in enumerate(request.headers.get("accept-language", "")[:500].split(",")):
        tag, _, rest = part.strip().partition(";")
        weight = rest.strip().removeprefix("q=")
        try:
            liked.append((-float(weight) if weight else -1.0, place, tag.partition("-")[0].lower()))
        except ValueError:
            continue
    return next((tag for weight, _, tag in sorted(liked) if weight < 0 and tag in known), own)


def _here(request: Request) -> str:
    rest = urlencode([(key, value) for key, value in request.query_params.multi_items() if key != "lang"])
    return f"{request.url.path}?{rest}" if rest else request.url.path


def link_to(address: str, look: Look, **changed: str) -> str:
    """A link of ours that shows the same way: units and language, as far as they were said, or `changed`."""
    told = {"units": look.units, "lang": look.language if look.language_said else None} | changed
    said = urlencode({key: value for key, value in told.items() if value})
    return f"{address}{'&' if '?' in address else '?'}{said}" if said else address


def scale_links(look: Look) -> list[tuple[str, str]]:
    """Each system of units, and the link to this page in it."""
    path, _, query = look.here.partition("?")
    rest = urlencode(
        [(key, value) for key, value in parse_qsl(query, keep_blank_values=True) if key != "units"]
    )
    here = f"{path}?{rest}" if rest else path
    return [(units, link_to(here, look, units=units)) for units in _UNITS]


def whole_of(text: str | None) -> int:
    """Which offer is asked for: "1" is the first, index 0; so is anything that is no number."""
    return (
        int(text) - 1 if text is not None and text.isascii() and text.isdigit() and 0 < int(text) < 100 else 0
    )


def customer_of(said: Mapping[str, str]) -> str | None:
    """For whom a quote is; None where nobody is named.

    Raises
    ------
    InputFault
        The name is too long, or cannot be printed.
    """
    name = " ".join(said.get("customer", "").split())
    if len(name) > MOST_NAME:
        raise fail("customer", f"is longer than {MOST_NAME} characters")
    if not name.isprintable():
        raise fail("customer", "holds characters that cannot be printed")
    return name or None


def query_of(tables: Mapping[str, Any], look: Look) -> str:
    """The part of a link that says the lift and how it is shown."""
    skip = "".join(f"&skip={code}" for code in look.skip)
    return link_to(f"?l={pack_lift(tables)}{skip}", look).removeprefix("?")


def shown_query(tables: Mapping[str, Any], look: Look, offer: int, pose: str) -> str:
    """The same with the offer that is drawn, where it is not the first, and its pose, where not as told."""
    drawn = f"&offer={offer + 1}" if offer else ""
    return query_of(tables, look) + drawn + (f"&pose={pose}" if pose != "told" else "")
