"""The page of a sling that somebody knows already: what it is rated for in every hitch and angle."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import choke_of
from slingwright.desk.pages.asked import customer_of
from slingwright.errors import Fault, InputFault
from slingwright.sling import Fibre, Form, Hitch
from slingwright.usecases.rate_sling import RateAnswer, RateRequest, rate_sling
from slingwright.words import Block, fibre_name, form_name, hitch_name, rulebook_name, spec_text
from slingwright.words.quoting import quote_blocks, unquoted_blocks
from slingwright.words.rating import rating_blocks
from slingwright.words.rating_chart import Chart, rating_chart

if TYPE_CHECKING:
    from slingwright.usecases.quote import Quoted

__all__ = [
    "CHOICES",
    "FIELDS",
    "GROUPS",
    "MADE_FIELDS",
    "NEEDED",
    "QUOTE_FIELDS",
    "SlingView",
    "choices_of",
    "quote_for",
    "rate_for",
    "sling_view",
    "units_of",
]

FIELDS = (
    "rulebook",
    "form",
    "fibre",
    "webbing_class",
    "plies",
    "width",
    "hitch",
    "choke",
    "angle_from_horizontal",
)
NEEDED = frozenset({"form", "fibre", "webbing_class", "plies", "width"})  # without which nothing is rated
CHOICES: Mapping[str, Sequence[str]] = {
    "rulebook": ("us", "en"),
    "form": tuple(Form),
    "fibre": tuple(Fibre),
    "hitch": tuple(Hitch),
}
MADE_FIELDS = ("length", "eye", "quantity")  # what a price asks for beside
QUOTE_FIELDS = ("customer",)  # what stands on a quote and changes no figure of it
GROUPS: Mapping[str, Sequence[str]] = {  # as they stand on the page
    "make": FIELDS[:6],
    "use": FIELDS[6:],
    "quote": (*MADE_FIELDS, *QUOTE_FIELDS),
}
_NAMES: Mapping[str, Callable[..., str]] = {"form": form_name, "fibre": fibre_name}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingView:
    """What is shown: the blocks of a rating or a refusal, or the faults at their fields."""

    blocks: tuple[Block, ...] = ()
    refused: bool = False
    named: str = ""  # the sling in words
    price: tuple[Block, ...] = ()  # a quote, or why there is none; () where no length is said
    quoted: bool = False
    drawing: str = ""
    chart: Chart | None = None  # the same sling in every hitch
    faults: tuple[Fault, ...] = ()


def choices_of(field: str, language: str) -> list[tuple[str, str]]:
    """A field's choices with their names."""
    if field == "hitch":
        return [(str(hitch), hitch_name(hitch, 1, language=language)) for hitch in Hitch]
    if field == "rulebook":
        return [(book, rulebook_name(book, "own", language=language)) for book in CHOICES[field]]
    return [(str(one), _NAMES[field](one, language=language)) for one in CHOICES.get(field, ())]


def rate_for(bench: Bench, said: Mapping[str, str], *, table: bool) -> RateAnswer:
    """Rate what was said; a blank is not said.

    Raises
    ------
    InputFault
        Everything missing or unreadable, by its field.
    """
    asked = {key: said[key].strip() or None for key in FIELDS if key != "rulebook" and key in said}
    asked["choke"] = choke_of(asked.get("choke") or "") or None
    settings = replace(bench.settings, rulebook=said.get("rulebook") or bench.settings.rulebook)
    try:
        return rate_sling(RateRequest(**asked, table=table), settings)
    except InputFault as fault:
        raise _by_field(fault) from None


def _by_field(fault: InputFault) -> InputFault:
    """The faults of options by the page's fields."""
    named = (replace(f, field=f.field.removeprefix("--").replace("-", "_")) for f in fault.faults)
    return InputFault(replace(f, field=_FIELD_OF.get(f.field, f.field)) for f in named)


_FIELD_OF = {"class": "webbing_class"}


def units_of(bench: Bench, said: Mapping[str, str], look: Look) -> str:
    """The units an answer is shown in, known before there is one: asked for, the shop's, or the rules'."""
    rules = said.get("rulebook") or bench.settings.rulebook
    return look.units or bench.settings.units or ("si" if rules == "en" else "us")


def sling_view(bench: Bench, said: Mapping[str, str], look: Look, on: date) -> SlingView:
    """The page's answer to what was said."""
    from slingwright.rulebook import Rating
    from slingwright.units import Units

    try:
        answer = rate_for(bench, said, table=True)
    except InputFault as fault:
        return SlingView(faults=fault.faults)
    book = answer.rulebook
    units = Units(units_of(bench, said, look))
    blocks = rating_blocks(
        answer.spec,
        answer.use,
        answer.outcome,
        rulebook=rulebook_name(book.id, book.profile, language=look.language),
        units=units,
        part_limit_n=answer.part_limit_n,
        table=answer.table,
        language=look.language,
    )
    # where every cell is refused, the refusal above says all of it
    rated = any(isinstance(outcome, Rating) for _, outcome in answer.table)
    chart = rating_chart(answer.table, language=look.language) if rated else None
    blocks = tuple(block for block in blocks if rated or block.kind != "table")
    view = SlingView(blocks=tuple(blocks), refused=answer.refused, chart=chart)
    if answer.refused or not said.get("length", "").strip():
        return view
    try:
        return _priced(view, quote_for(bench, said, look, on))
    except InputFault as fault:
        return replace(view, faults=fault.faults)


def quote_for(bench: Bench, said: Mapping[str, str], look: Look, on: date) -> Quoted:
    """The sling quoted.

    Raises
    ------
    InputFault
        Everything missing or unreadable, by its field.
    """
    from slingwright.usecases.quote import QuoteRequest, quote_slings

    asked = {key: said[key].strip() for key in (*_SPEC, *MADE_FIELDS) if said.get(key, "").strip()}
    if "webbing_class" in asked:
        asked["class"] = asked.pop("webbing_class")
    settings = replace(
        bench.settings,
        rulebook=said.get("rulebook") or bench.settings.rulebook,
        units=look.units or bench.settings.units,
        language=look.language,
    )
    request = QuoteRequest(
        content=None, file="", folder=Path(), sling=asked, offer=1, customer=customer_of(said), on=on,
        settings=settings,
    )  # fmt: skip
    try:
        return quote_slings(request, clock=bench.clock)
    except InputFault as fault:
        raise _by_field(fault) from None


_SPEC = ("form", "fibre", "webbing_class", "plies", "width")


def _priced(view: SlingView, quoted: Quoted) -> SlingView:
    """The same view with what the sling costs and how it is made."""
    from slingwright.draw.sling import draw_sling
    from slingwright.make.pattern import Pattern, pattern

    units, language = quoted.units, quoted.language
    if quoted.quote is None:
        refused = [one for _, one in quoted.refused]
        return replace(view, price=tuple(unquoted_blocks(refused, units, language=language)))
    spec = quoted.quote.items[0].asked.spec
    laid = pattern(spec, quoted.shop)
    return replace(
        view,
        named=spec_text(spec, units, language=language),
        quoted=True,
        price=tuple(
            quote_blocks(
                quoted.quote, quoted.rulebook, units, assumptions=quoted.assumptions, carried=quoted.carried,
                language=language,
            )
        ),
        drawing=draw_sling(laid, units, language=language) if isinstance(laid, Pattern) else "",
    )  # fmt: skip
