"""`slingwright rate`: a sling's rated load in a hitch, with every factor and its source."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated

from cyclopts import Parameter

from slingwright.cli.blocks import blocks_text
from slingwright.cli.options import ANSWER, NOTHING_SET, Answering, SettingOptions, find_settings
from slingwright.cli.show import print_document, print_text
from slingwright.cli.sling_options import SlingSaid

__all__ = ["rate"]


@Parameter(name="*")
@dataclass(frozen=True, slots=True, kw_only=True)
class SlingOptions(SlingSaid):
    """Which sling, and how it is used."""

    hitch: str | None = None
    """vertical, choker or basket; left out: vertical."""

    choke: str | None = None
    """Of a choker: free, unknown, or its angle of choke ("100 deg"); left out: unknown, the lowest factor."""

    wraps: str | None = None
    """2 for a double wrap, which adds no rated load; left out: 1."""

    legs: str | None = None
    """How many such slings go to one hook; left out: 1."""

    angle_from_horizontal: str | None = None
    """Angle of the flattest part: "60 deg"; left out: one sling hangs straight."""

    angle_from_vertical: str | None = None
    """The same angle from the vertical, in the other's place."""


NO_SLING = SlingOptions()


def rate(
    *,
    sling: SlingOptions = NO_SLING,
    table: Annotated[bool, Parameter(negative="")] = False,
    settings: SettingOptions = NOTHING_SET,
    answering: Answering = ANSWER,
) -> int:
    """Print a sling's rated load in a hitch, with every factor and its source.

    Never above its table and rounded down. Exit status 1 = refused, with the nearest rows.

    Parameters
    ----------
    table
        Also the same sling in every hitch, at 90, 60, 45 and 30 degrees.
    """
    from dataclasses import asdict

    from slingwright.usecases.rate_sling import RateRequest, rate_sling, rating_document

    found = find_settings(settings)
    answer = rate_sling(RateRequest(**asdict(sling), table=table), found)
    if answering.json:
        print_document(rating_document(answer, language=found.language))
        return int(answer.refused)
    from slingwright.units import Units
    from slingwright.words import rulebook_name
    from slingwright.words.rating import rating_blocks

    book = answer.rulebook
    blocks = rating_blocks(
        answer.spec,
        answer.use,
        answer.outcome,
        rulebook=rulebook_name(book.id, book.profile, language=found.language),
        units=Units(found.units or ("us" if book.id == "us" else "si")),
        part_limit_n=answer.part_limit_n,
        table=answer.table,
        language=found.language,
    )
    print_text(blocks_text(blocks))
    return int(answer.refused)
