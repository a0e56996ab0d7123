"""What a page to learn from is made of, and how its sentences are fetched."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.citation import Citation
from slingwright.rulebook import Rulebook
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import (
    hold_figures,
    show_angle,
    show_length,
    show_number,
    show_share,
    show_short,
    show_temperature,
)

__all__ = ["Asked", "Part", "Table", "Topic"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Table:
    """Rows of text under a head; where each is from stands in `sources`, one line a source."""

    title: str
    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """One idea: a picture's name (or none), a few sentences each with its source (or none), a table.

    `quotes` are what the rulebooks' data say in their own English: a question, its answers, the careful one.
    """

    title: str
    picture: str = ""
    says: tuple[tuple[str, str], ...] = ()
    table: Table | None = None
    quotes: tuple[tuple[str, str, str], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Topic:
    """A page: its name in addresses, its title, what it is about in a sentence, its parts."""

    name: str
    title: str
    lead: str
    parts: tuple[Part, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Asked:
    """What a page is made from: the rules in force, the units and the language it is read in."""

    book: Rulebook
    units: Units
    language: str = "en"

    def say(self, section: str, key: str, **figures: str) -> str:
        """Words of the catalogue, with their figures."""
        return read_catalogue(self.language).fill(section, key, **figures)

    def angle(self, angle_deg: float) -> str:
        """An angle, to a tenth of a degree."""
        return show_angle(angle_deg, language=self.language)

    def length_up(self, length_m: float) -> str:
        """A length that must be reached: rounded up."""
        return show_length(length_m, self.units, language=self.language, rounding=Rounding.UP)

    def temperature(self, temperature_k: float, rounding: Rounding) -> str:
        """A temperature, rounded to the side that is told."""
        return show_temperature(temperature_k, self.units, language=self.language, rounding=rounding)

    def share(self, ratio: float) -> str:
        """A share in per cent, rounded up."""
        return show_share(ratio, language=self.language)

    def number(self, value: float) -> str:
        """A bare number to two decimals."""
        return show_number(value, language=self.language)

    def short(self, value: float) -> str:
        """A printed number as short as it is."""
        return show_short(value, language=self.language)

    def told(
        self, section: str, key: str, citation: Citation | None = None, **figures: str
    ) -> tuple[str, str]:
        """A sentence with its source."""
        return self.say(section, key, **figures), "" if citation is None else str(citation)

    def table(
        self,
        key: str,
        rows: Sequence[Sequence[str]],
        citations: Sequence[Citation] = (),
        *,
        head: Sequence[str] | None = None,
    ) -> Table:
        """A table under its title; its heads are named in the catalogue, unless given."""
        names = self.say("learn-heads", key).split("|") if head is None else head
        return Table(
            title=self.say("learn-tables", key),
            head=tuple(name.strip() for name in names),
            rows=tuple(tuple(hold_figures(cell) for cell in row) for row in rows),
            sources=tuple(dict.fromkeys(str(one) for one in citations)),
        )
