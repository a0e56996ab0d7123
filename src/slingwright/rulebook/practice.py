"""Records the trade keeps as lists: tags, certificates, inspection, removal, colours, regime differences."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slingwright.citation import Citation

__all__ = ["Caution", "Colour", "RegimeValue", "Row"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """One row of a list: its id, what it is in our words, extra figures by name, and its source."""

    id: str
    what: str
    figures: Mapping[str, float]
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Colour:
    """A colour and what it stands for: a rated load in tonnes, or a fibre."""

    colour: str
    rated_t: float | None
    and_above: bool
    fibre: str
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class RegimeValue:
    """What one regime says on a topic."""

    value: str
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Caution:
    """A topic on which the regimes disagree, what each says, and the conservative choice."""

    id: str
    topic: str
    values: tuple[RegimeValue, ...]
    conservative: str
    in_strictest: bool
