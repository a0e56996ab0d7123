"""The page of a sling that somebody knows already: what it is rated for in every hitch and angle."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace

from slingwright.desk.bench import Bench, Look
from slingwright.errors import Fault, InputFault
from slingwright.sling import Fibre, Form, Hitch
from slingwright.usecases.rate_sling import RateAnswer, RateRequest, rate_sling
from slingwright.words import Block, fibre_name, form_name, hitch_name, rulebook_name
from slingwright.words.rating import rating_blocks

__all__ = ["CHOICES", "FIELDS", "SlingView", "choices_of", "rate_for", "sling_view"]

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
CHOICES: Mapping[str, Sequence[str]] = {
    "rulebook": ("us", "en"),
    "form": tuple(Form),
    "fibre": tuple(Fibre),
    "hitch": tuple(Hitch),
}
_NAMES: Mapping[str, Callable[..., str]] = {"form": form_name, "fibre": fibre_name}


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingView:
    """What is shown: the blocks of a rating or a refusal, or the faults at their fields."""

    blocks: tuple[Block, ...] = ()
    refused: bool = False
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
    settings = replace(bench.settings, rulebook=said.get("rulebook") or bench.settings.rulebook)
    try:
        return rate_sling(RateRequest(**asked, table=table), settings)
    except InputFault as fault:
        named = (replace(f, field=f.field.removeprefix("--").replace("-", "_")) for f in fault.faults)
        raise InputFault(replace(f, field=_FIELD_OF.get(f.field, f.field)) for f in named) from None


_FIELD_OF = {"class": "webbing_class"}


def sling_view(bench: Bench, said: Mapping[str, str], look: Look) -> SlingView:
    """The page's answer to what was said."""
    from slingwright.units import Units

    try:
        answer = rate_for(bench, said, table=True)
    except InputFault as fault:
        return SlingView(faults=fault.faults)
    book = answer.rulebook
    blocks = rating_blocks(
        answer.spec,
        answer.use,
        answer.outcome,
        rulebook=rulebook_name(book.id, book.profile, language=look.language),
        units=Units(look.units or bench.settings.units or ("us" if book.id == "us" else "si")),
        part_limit_n=answer.part_limit_n,
        table=answer.table,
        language=look.language,
    )
    return SlingView(blocks=tuple(blocks), refused=answer.refused)
