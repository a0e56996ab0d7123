"""A hang's spread over what is not known, in words. A study's tool: customers see the worst corner."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from slingwright.units import Rounding, Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_angle, show_count, show_load, show_share

if TYPE_CHECKING:  # numpy comes with it
    from slingwright.hang.spread import Figure, SpreadAnswer

__all__ = ["spread_blocks"]

_FIGURES = "hang-figures"
_LABELS = "hang-labels"


def spread_blocks(spread: SpreadAnswer, units: Units, *, language: str = "en") -> tuple[Block, ...]:
    """The whole lift's figures, then each sling's; percentiles round up."""
    words = read_catalogue(language)
    title = words.fill(
        "hang-blocks", "spread", samples=show_count(spread.samples, language=language), seed=str(spread.seed)
    )

    def load(value: float) -> str:
        return show_load(value, units, rounding=Rounding.UP, language=language)

    def share(value: float) -> str:
        return show_share(value, language=language)

    def angle(value: float) -> str:
        return show_angle(value, rounding=Rounding.UP, language=language)

    def row(key: str, figure: Figure, show: Callable[[float], str]) -> Row:
        return Row(label=words.word(_LABELS, key), text=_figure_text(figure, show, language))

    rows = (
        *_stop_rows(spread, language),
        row("max-tension", spread.max_tension_n, load),
        row("max-utilisation", spread.max_utilisation, share),
        row("worst-tilt", spread.tilt_deg, angle),
        *_corner_rows(spread, language),
    )
    paths = tuple(
        Row(
            label=path.name,
            text=words.fill(
                _FIGURES,
                "spread-slack",
                figure=_figure_text(path.tension_n, load, language),
                slack=share(path.chance_slack),
            ),
        )
        for path in spread.paths
    )
    return (
        Block(kind="spread", title=title, rows=rows),
        Block(kind="spread-paths", title=words.word("hang-blocks", "spread-paths"), rows=paths),
    )


def _stop_rows(spread: SpreadAnswer, language: str) -> tuple[Row, ...]:
    words = read_catalogue(language)
    chances = {"capsizes": spread.chance_capsizes, "unreachable": spread.chance_unreachable}
    corners = {"corner-capsizes": spread.corner_capsizes, "corner-unreachable": spread.corner_unreachable}
    texts = [
        words.fill(_FIGURES, key, share=show_share(c, language=language))
        for key, c in chances.items()
        if c > 0
    ]
    texts += [words.word(_FIGURES, key) for key, happens in corners.items() if happens]
    return tuple(Row(label=words.word(_LABELS, "stop"), text=text, mark="stop") for text in texts)


def _corner_rows(spread: SpreadAnswer, language: str) -> tuple[Row, ...]:
    if not spread.corners:
        return ()
    key = "corners-all" if spread.every_corner else "corners-part"
    text = read_catalogue(language).fill(_FIGURES, key, corners=show_count(spread.corners, language=language))
    return (Row(label="", text=text),)


def _figure_text(figure: Figure, show: Callable[[float], str], language: str) -> str:
    worst = figure.worst_corner
    return read_catalogue(language).fill(
        _FIGURES,
        "spread" if worst is None else "spread-corner",
        mean=show(figure.mean),
        p95=show(figure.p95),
        p99=show(figure.p99),
        corner="" if worst is None else show(worst),
    )
