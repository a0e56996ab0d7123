"""Worst case within what you told us: each sling's load as drawn and at worst against its rated load."""

from __future__ import annotations

from slingwright.choose.offer import Offer, OfferSling
from slingwright.draw.ink import FONT, INK, MUTED, PAPER, SMALL_MM, label, line
from slingwright.draw.svg import element, number, text_of
from slingwright.units import Rounding, Units
from slingwright.words import read_catalogue, show_load, show_share

__all__ = ["draw_bars"]

_WIDTH_MM, _NAME_MM, _TEXT_MM = 180.0, 12.0, 50.0
_ROW_MM, _BAR_MM, _HEAD_MM = 4.8, 3.0, 7.4
_PAST_LIMIT = 1.06  # how far the picture goes on past the limit line


def draw_bars(offer: Offer, *, units: Units, language: str = "en") -> str:
    """Draw one bar a sling: solid = as drawn, hatched on to the worst case, the line = what it is rated for.

    The check that governs (part or hitch) is shown; bars are shares of their own limit, so that slings of
    different rating stand under one line. Black and white tells all of it.

    Parameters
    ----------
    offer
        The offer whose slings are shown.
    units
        Which units are printed.

    Returns
    -------
    str
        An SVG document whose user unit is one millimetre on paper.
    """
    words = read_catalogue(language)
    longest = max(1.0, *(s.utilisation for s in offer.slings), 0.0) * _PAST_LIMIT
    unit_mm = (_WIDTH_MM - _NAME_MM - _TEXT_MM) / longest
    high = _HEAD_MM + _ROW_MM * len(offer.slings) + 1.0
    rows, said = [], []
    for i, sling in enumerate(offer.slings):
        text = _row_text(sling, units, language)
        said.append(f"{sling.id}: {text}")
        rows.append(_row(sling, text, _HEAD_MM + i * _ROW_MM, unit_mm))
    limit = _NAME_MM + unit_mm
    rows.append(line((limit, _HEAD_MM - 1.6), (limit, high - 0.6), 0.5))
    rows.append(
        label(words.word("drawing", "bars-limit"), (limit, 5.2), size=SMALL_MM, anchor="middle", bold=True)
    )
    rows += _key(words.word("drawing", "bars-nominal"), words.word("drawing", "bars-worst"))
    alt = words.fill("drawing", "bars-alt", rows="; ".join(said))
    return element(
        "svg",
        [element("title", text_of(alt)), _hatch(), *rows],
        xmlns="http://www.w3.org/2000/svg",
        viewBox=f"0 0 {number(_WIDTH_MM)} {number(high)}",
        width=f"{number(_WIDTH_MM)}mm",
        height=f"{number(high)}mm",
        role="img",
        font_family=FONT,
    )


def _governing(sling: OfferSling) -> tuple[float, float, float]:
    """Nominal, worst and limit of the check that governs [N]."""
    if sling.governed_by.check == "hitch":
        worst = sling.utilisation * sling.hitch_rated_n
        return min(sling.hitch_load_n, worst), worst, sling.hitch_rated_n
    return min(sling.part_tension_n, sling.design_tension_n), sling.design_tension_n, sling.part_limit_n


def _row_text(sling: OfferSling, units: Units, language: str) -> str:
    _, worst, limit = _governing(sling)
    return read_catalogue(language).fill(
        "drawing",
        "bars-row",
        worst=show_load(worst, units, rounding=Rounding.UP, language=language),
        limit=show_load(limit, units, rounding=Rounding.DOWN, language=language),
        share=show_share(sling.utilisation, language=language),
    )


def _row(sling: OfferSling, text: str, y: float, unit_mm: float) -> str:
    nominal, worst, limit = _governing(sling)
    return element(
        "g",
        [
            label(sling.id, (_NAME_MM - 2, y + 2.5), anchor="end", bold=True),
            _bar((_NAME_MM, y), worst / limit * unit_mm, _BAR_MM, hatched=True),
            _bar((_NAME_MM, y), nominal / limit * unit_mm, _BAR_MM, hatched=False),
            label(text, (_WIDTH_MM - _TEXT_MM + 3, y + 2.5)),
        ],
        _class="bar",
        data_sling=sling.id,
        data_nominal_n=f"{nominal:.3f}",
        data_worst_n=f"{worst:.3f}",
        data_limit_n=f"{limit:.3f}",
    )


def _bar(at: tuple[float, float], long: float, high: float, *, hatched: bool) -> str:
    return element(
        "rect",
        x=at[0],
        y=at[1],
        width=long,
        height=high,
        fill="url(#worst)" if hatched else INK,
        stroke=INK,
        stroke_width=0.25,
        _class="worst" if hatched else "nominal",
    )


def _key(nominal: str, worst: str) -> list[str]:
    second = _NAME_MM + 34.0
    return [
        _bar((_NAME_MM, 2.6), 5.0, 2.4, hatched=False),
        label(nominal, (_NAME_MM + 6.4, 4.7), size=SMALL_MM, ink=MUTED),
        _bar((second, 2.6), 5.0, 2.4, hatched=True),
        label(worst, (second + 6.4, 4.7), size=SMALL_MM, ink=MUTED),
    ]


def _hatch() -> str:
    """Slanting lines: told apart from the solid bar without colour."""
    ground = element("rect", width=1.2, height=1.2, fill=PAPER)
    pattern = element(
        "pattern",
        [ground, line((0, 0), (0, 1.2), 0.5)],
        id="worst",
        width=1.2,
        height=1.2,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    return element("defs", pattern)
