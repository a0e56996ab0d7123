"""Pages on what a sling bears and how long it serves: heat, care, removal, what is not known."""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

from slingwright.rulebook import Row, Verdict
from slingwright.sling import Fibre
from slingwright.units import Rounding
from slingwright.words.catalogue import BESIDE, in_both, read_catalogue
from slingwright.words.cautions import standing_cautions
from slingwright.words.learning.model import Asked, Part
from slingwright.words.names import fibre_name
from slingwright.words.practice import criterion_texts, inspection_text

__all__ = ["care_parts", "heat_parts", "limit_parts", "removal_parts"]


def heat_parts(asked: Asked) -> tuple[Part, ...]:
    """The hottest surface of each fibre, the coldest, wet nylon, and what each agent does."""
    book = asked.book
    hottest = [(fibre, book.max_temperature_k(fibre)) for fibre in Fibre]
    rows = [
        (fibre_name(fibre, language=asked.language),
         asked.temperature(most.value, Rounding.DOWN))
        for fibre, most in hottest
    ]  # fmt: skip
    says = [asked.told("learn", "heat-say")]
    for name in ("max_temperature_printed_k", "min_temperature_k"):
        limit = book.limit(name)
        side = Rounding.DOWN if name.startswith("max") else Rounding.UP
        shown = asked.temperature(limit.value, side)
        says.append(asked.told("learn-heat", name, limit.citation, temperature=shown))
    wet = book.limit("wet_nylon_loss")
    loss = asked.share(wet.value)
    return (
        Part(
            title=asked.say("learn", "heat"),
            says=tuple(says),
            table=asked.table("heat", rows, [most.citation for _, most in hottest]),
        ),
        Part(
            title=asked.say("learn", "wet"), says=(asked.told("learn", "wet-say", wet.citation, loss=loss),)
        ),
        _chemical_part(asked),
    )


def _chemical_part(asked: Asked) -> Part:
    listed = dict.fromkeys(agent for agent, _ in asked.book.chemicals.verdicts)
    rows, cited = [], []
    for agent in listed:
        cells = [asked.say("learn-agents", agent)]
        for fibre in Fibre:
            found = asked.book.chemicals.verdicts.get((agent, str(fibre)))
            verdict = Verdict.UNKNOWN if found is None else found.verdict
            cells.append(asked.say("learn-verdicts", str(verdict)))
            cited += [] if found is None else [found.citation]
        rows.append(tuple(cells))
    head = (asked.say("learn", "agent"), *(fibre_name(f, language=asked.language) for f in Fibre))
    says = (asked.told("learn", "chemicals-say", asked.book.chemicals.unlisted),)
    table = asked.table("chemicals", rows, cited, head=head)
    return Part(title=asked.say("learn", "chemicals"), says=says, table=table)


def care_parts(asked: Asked) -> tuple[Part, ...]:
    """How slings are kept, what sunlight does, and who looks at them when."""
    sun = next(row for row in asked.book.fibres() if row.id == "ultraviolet")
    months = asked.short(sun.figures["polyester_after_months"])
    says = (
        asked.told("learn", "sun-say"),
        asked.told("learn", "sun-polyester", sun.citation, loss=asked.share(sun.figures["polyester_loss"]),
                   months=months),
        asked.told("learn", "sun-nylon", sun.citation, loss=asked.share(sun.figures["nylon_loss_high"]),
                   months=asked.short(sun.figures['nylon_after_months'])),
    )  # fmt: skip
    return (
        Part(
            title=asked.say("learn", "keep"), says=tuple((line, "") for line in _lines(asked, "learn-care"))
        ),
        Part(title=asked.say("learn", "sun"), says=says),
        Part(title=asked.say("learn", "inspect"), says=tuple(_inspection(asked, asked.book.inspection()))),
    )


def _inspection(asked: Asked, rows: Iterable[Row]) -> Iterable[tuple[str, str]]:
    for row in rows:
        most, least = row.figures.get("months_at_most"), row.figures.get("months_at_least")
        # where both are given the sentence itself says how often
        months = None if most is None or least is not None else asked.short(most)
        yield in_both(asked.language, partial(_inspected, asked, row, months)), str(row.citation)


def _inspected(asked: Asked, row: Row, months: str | None, language: str) -> str:
    text = inspection_text(row, asked.book.id, language=language).partition(BESIDE)[0]
    if months is None:
        return text
    return f"{text}: {read_catalogue(language).fill('learn', 'months', most=months)}"


def removal_parts(asked: Asked) -> tuple[Part, ...]:
    """Every reason to take a sling out of service, with its source; any one is enough."""
    criteria = asked.book.removal_criteria()
    texts = criterion_texts(criteria, asked.book.id, language=asked.language)
    rows = [
        (str(at), text, str(row.citation))
        for at, (row, text) in enumerate(zip(criteria, texts, strict=True), start=1)
    ]
    return (
        Part(
            title=asked.say("learn", "any-one"),
            picture="removal",
            says=(asked.told("learn", "any-one-say"), asked.told("learn", "no-judging")),
            table=asked.table("removal", rows),
        ),
    )


def limit_parts(asked: Asked) -> tuple[Part, ...]:
    """What this tool does not know: the tables' standing, its own gaps, where the regimes disagree."""
    disagree = tuple(
        (topic.topic, "; ".join(f"{one.value} ({one.citation})" for one in topic.values), topic.conservative)
        for topic in asked.book.cautions
    )
    standing = standing_cautions(on="page", language=asked.language)
    adopted = "adopted" if asked.book.adopted else "not-adopted"
    return (
        Part(title=asked.say("learn", "before"), says=tuple((text, "") for text in standing)),
        Part(title=asked.say("learn", "unknown"),
             says=(asked.told("learn", adopted), *((line, "") for line in _lines(asked, "learn-unknown")))),
        Part(
            title=asked.say("learn", "disagree"), says=(asked.told("learn", "disagree-say"),), quotes=disagree
        ),
    )  # fmt: skip


def _lines(asked: Asked, section: str) -> tuple[str, ...]:
    return tuple(read_catalogue(asked.language).sections[section].values())
