"""The one sling that a lift names: told on the lift page, with the way back to the whole range."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any
from urllib.parse import urlencode

from slingwright.desk.bench import Look
from slingwright.desk.pages.asked import link_to, query_of
from slingwright.errors import InputFault
from slingwright.sling import SlingSpec
from slingwright.units import Units
from slingwright.words import spec_text

__all__ = ["WantedView", "lift_wanting", "wanted_of"]

# the keys of a lift's [want.sling] by the fields of the sling's page
_KEYS = {
    "form": "form",
    "fibre": "fibre",
    "webbing_class": "class",
    "plies": "plies",
    "width": "width",
    "length": "length",
    "eye": "eye",
}
_WHOLE = ("class", "plies")


@dataclass(frozen=True, slots=True, kw_only=True)
class WantedView:
    """The sling in words, the link to its own page, and the lift's link without it."""

    text: str
    sling: str
    any_sling: str


def wanted_of(tables: Mapping[str, Any], look: Look, units: str) -> WantedView | None:
    """The sling that a lift's tables name; None where they name none, or none that can be read."""
    from slingwright.lift import read_wanted_sling

    want = tables.get("want")
    said = want.get("sling") if isinstance(want, Mapping) else None
    if not isinstance(want, Mapping) or not isinstance(said, Mapping):
        return None
    try:
        wanted = read_wanted_sling(said)
    except InputFault:
        return None
    spec = SlingSpec(
        form=wanted.form, fibre=wanted.fibre, webbing_class=wanted.webbing_class, plies=wanted.plies,
        width_m=wanted.width_m, length_m=wanted.length_m, eye_m=wanted.eye_m or 0.0,
    )  # fmt: skip
    rest = {**tables, "want": {key: value for key, value in want.items() if key != "sling"}}
    asked = {field: said[key] for field, key in _KEYS.items() if said.get(key) is not None}
    if tables.get("rulebook"):
        asked["rulebook"] = tables["rulebook"]
    return WantedView(
        text=spec_text(spec, Units(units), language=look.language),
        sling=link_to(f"/sling?{urlencode(asked)}", look),
        any_sling=f"/lift?{query_of(rest, look)}",
    )


def lift_wanting(said: Mapping[str, str], title: str) -> dict[str, Any]:
    """A lift's tables, of which nothing is said but the sling that shall lift it."""
    sling: dict[str, Any] = {}
    for field, key in _KEYS.items():
        text = said.get(field, "").strip()
        if text:
            sling[key] = int(text) if key in _WHOLE and text.isascii() and text.isdigit() else text
    book = {"rulebook": said["rulebook"]} if said.get("rulebook") else {}
    return {"title": title, **book, "want": {"sling": sling}}
