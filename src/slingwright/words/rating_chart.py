"""The same sling in every hitch as a chart: how it is held down the side, the angle along the top."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from slingwright.rulebook import Rating, Refusal
from slingwright.sling import Hitch
from slingwright.units import Rounding
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_angle
from slingwright.words.rating import HitchUse, refusal_text, use_text

__all__ = ["Chart", "ChartCell", "ChartRow", "rating_chart"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartCell:
    """A rated load as its table prints it; or a dash, and why there is none."""

    printed: str
    refused: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ChartRow:
    """How it is held, and a cell for each angle; one cell alone holds where no angle counts."""

    held: str
    cells: tuple[ChartCell, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Chart:
    """The angles along the top, written, and the rows."""

    angles: tuple[str, ...]
    rows: tuple[ChartRow, ...]


def rating_chart(table: Sequence[tuple[HitchUse, Rating | Refusal]], *, language: str = "en") -> Chart:
    """The chart of a rating's `table`; all uses of one kind are told at the same angles."""
    rows: dict[HitchUse, list[ChartCell]] = {}
    angles: dict[float, None] = {}
    for use, found in table:
        rows.setdefault(replace(use, angle_from_horizontal_deg=None), []).append(_cell(found, language))
        if use.angle_from_horizontal_deg is not None:
            angles[use.angle_from_horizontal_deg] = None
    assert all(len(cells) in (1, len(angles)) for cells in rows.values())
    return Chart(
        angles=tuple(show_angle(one, rounding=Rounding.DOWN, language=language) for one in angles),
        rows=tuple(ChartRow(held=_held(use, language), cells=tuple(c)) for use, c in rows.items()),
    )


def _held(use: HitchUse, language: str) -> str:
    if use.hitch is Hitch.BASKET:  # whose angle stands above its column
        return read_catalogue(language).word("rating-chart", "basket")
    return use_text(use, language=language)


def _cell(found: Rating | Refusal, language: str) -> ChartCell:
    if isinstance(found, Rating):
        return ChartCell(printed=found.printed)
    return ChartCell(printed="–", refused=refusal_text(found, language=language))
