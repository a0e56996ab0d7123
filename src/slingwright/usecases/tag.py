"""The tags of an order's slings: what each says, and the link that its code holds."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.errors import fail
from slingwright.usecases.make_order import read_serial, serial_numbers, tag_facts

if TYPE_CHECKING:
    from slingwright.shop import Shop
    from slingwright.sling import SlingSpec
    from slingwright.usecases.make_order import MadeLine, MadeOrder
    from slingwright.words.tagging import TagLine

__all__ = ["TagAnswer", "TaggedSling", "asset_link", "print_tags", "tag_document", "tag_slings"]

_ASSET_AI = "8004"  # GS1 General Specifications: global individual asset identifier (from memory)
_MOST_ASSET = 30  # its longest value: company prefix and individual asset reference together


@dataclass(frozen=True, slots=True, kw_only=True)
class TaggedSling:
    """One sling's tag."""

    serial: str
    spec: SlingSpec
    fields: tuple[TagLine, ...]
    link: str


@dataclass(frozen=True, slots=True, kw_only=True)
class TagAnswer:
    """The tags, or none while a gate is shut."""

    made: MadeOrder
    tags: tuple[TaggedSling, ...]
    specimen: bool

    @property
    def is_stop(self) -> bool:
        """Whether the order is not released; a specimen may be drawn all the same."""
        return not self.made.is_released


def tag_slings(made: MadeOrder, *, serial: str | None, on: dt.date, specimen: bool) -> TagAnswer:
    """Make the tags of an order, or of one of its slings.

    Parameters
    ----------
    made, serial
        The order laid out, and which sling; None = all of them.
    on
        The day; a regime that asks for the year of making gets its year.
    specimen
        Make them whatever the gates.

    Raises
    ------
    InputFault
        The order has no such sling, or its serial numbers are too long for the code.
    """
    wanted = [read_serial(made, serial)] if serial else _every(made)
    tags = tuple(_tagged(made, line, one, on) for line, one in wanted)
    return TagAnswer(made=made, tags=tags if made.is_released or specimen else (), specimen=specimen)


def _every(made: MadeOrder) -> list[tuple[MadeLine, str]]:
    return [(line, serial) for line in made.lines for serial in serial_numbers(made, line)]


def _tagged(made: MadeOrder, line: MadeLine, serial: str, on: dt.date) -> TaggedSling:
    from slingwright.words.tagging import tag_lines

    facts = tag_facts(line, made.shop, serial=serial, year=on.year)
    return TaggedSling(
        serial=serial,
        spec=line.line.spec,
        fields=tag_lines(facts, made.rulebook, language=made.language),
        link=asset_link(made.shop, serial),
    )


def asset_link(shop: Shop, serial: str) -> str:
    """The GS1 Digital Link of a sling: its individual asset identifier under the shop's host.

    Raises
    ------
    InputFault
        The identifier is longer than GS1 lets it be.
    """
    assert shop.papers is not None
    asset = f"{shop.papers.company_prefix}{serial}"
    if len(asset) > _MOST_ASSET:
        problem = f"makes the identifier {asset} longer than {_MOST_ASSET} characters"
        raise fail("number", problem, "a shorter order number")
    return f"https://{shop.papers.link_host}/{_ASSET_AI}/{asset}"


def print_tags(answer: TagAnswer, *, on: dt.date) -> bytes:
    """The tags (PDF), one a page.

    Raises
    ------
    LookupError
        There are none: a gate is shut.
    InputFault
        Slings of several fibres under a regime with coloured labels: one file a fibre.
    """
    from slingwright.papers.tag import Tag, tag_paper
    from slingwright.words import read_catalogue

    if not answer.tags:
        msg = "no tags while a gate is shut"
        raise LookupError(msg)
    made = answer.made
    fibres = {tag.spec.fibre for tag in answer.tags}
    if len(fibres) > 1 and made.rulebook.colours():
        raise fail(
            "--serial", "is missing: the slings are of several fibres", "one file for each: name a sling"
        )
    return tag_paper(
        [Tag(lines=tag.fields, link=tag.link) for tag in answer.tags],
        title=read_catalogue(made.language).fill("tag", "title", number=made.number),
        rulebook=made.rulebook,
        fibre=answer.tags[0].spec.fibre,
        label_m=made.shop.practice.label_m,
        on=on,
        specimen=answer.specimen,
        language=made.language,
    )


def tag_document(answer: TagAnswer) -> dict[str, Any]:
    """The `slingwright/tag/1` document."""
    from slingwright.usecases.make_document import gate_rows
    from slingwright.words.making import making_cautions

    made = answer.made
    made_by = made.head["made_by"]
    assert isinstance(made_by, Mapping)
    return {
        "schema": "slingwright/tag/1",
        "made_by": made_by,
        "answer": "stop" if answer.is_stop else "tags",
        "specimen": answer.specimen,
        "number": made.number,
        "tags": [
            {
                "serial": tag.serial,
                "link": None if answer.specimen else tag.link,
                "fields": [{"id": one.id, "label": one.label, "text": one.text} for one in tag.fields],
            }
            for tag in answer.tags
        ],
        "gates": gate_rows(made),
        "cautions": list(making_cautions(language=made.language)),
    }
