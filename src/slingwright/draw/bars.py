"""Worst case within what you told us: each sling's load as drawn and at worst against its rated load."""

from __future__ import annotations

from slingwright.choose.offer import Offer, OfferSling
from slingwright.draw.ink import FONT, INK, MUTED, PAPER, SMALL_MM, label, line
from slingwright.draw.svg import element, number, text_of
from slingwright.units import Rounding, Units
from slingwright.words import read_catalogue, show_load, show_share

__all__ = ["draw_bars"]

_WIDTH_MM, _NAME_MM, _TEXT_MM = 180.0, 16.0, 62.0
_ROW_MM, _BAR_MM, _HEAD_MM = 6.2, 3.4, 8.0


def draw_bars(offer: Offer, *, units: Units, language: str = "en") -> str:
    """Draw one bar a sling: dark = as drawn, hatched on to the worst case, the line = what it is rated for.

    Both checks are shown by the one that governs (part or hitch); bars are shares of their own limit, so
    that slings of different rating stand under one line. Black and white tells all of it.
    """
    words = read_catalogue(language)
    bar_mm = _WIDTH_MM - _NAME_MM - _TEXT_MM
    longest = max(1.0, *(s.utilisation for s in offer.slings)) * 1.06
    unit_mm = bar_mm / longest
    high = _HEAD_MM + _ROW_MM * len(offer.slings) + 1.5
    rows, said = [], []
    for i, sling in enumerate(offer.slings):
        text = _row_text(sling, units, language)
        said.append(f"{sling.id}: {text}")
        rows.append(_row(sling, text, _HEAD_MM + i * _ROW_MM, unit_mm))
    limit = _NAME_MM + unit_mm
    rows.append(line((limit, _HEAD_MM - 1.5), (limit, high - 1.0), 0.45))
    rows.append(label(words.word("drawing", "bars-limit"), (limit, 5.6), size=SMALL_MM, anchor="middle"))
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
        return sling.hitch_load_n, sling.utilisation * sling.hitch_rated_n, sling.hitch_rated_n
    return sling.part_tension_n, sling.design_tension_n, sling.part_limit_n


def _row_text(sling: OfferSling, units: Units, language: str) -> str:
    _, worst, limit = _governing(sling)
    return read_catalogue(language).fill(
        "drawing",
        "bars-row",
        worst=show_load(worst, units, rounding=Rounding.UP),
        limit=show_load(limit, units, rounding=Rounding.DOWN),
        share=show_share(sling.utilisation),
    )


def _row(sling: OfferSling, text: str, y: float, unit_mm: float) -> str:
    nominal, worst, limit = _governing(sling)
    long = {"nominal": nominal / limit * unit_mm, "worst": worst / limit * unit_mm}
    return element(
        "g",
        [
            label(sling.id, (_NAME_MM - 2, y + 2.6), anchor="end", bold=True),
            element(
                "rect",
                x=_NAME_MM,
                y=y,
                width=long["worst"],
                height=_BAR_MM,
                fill="url(#worst)",
                stroke=INK,
                stroke_width=0.25,
            ),
            element(
                "rect", x=_NAME_MM, y=y, width=min(long["nominal"], long["worst"]), height=_BAR_MM, fill=INK
            ),
            label(text, (_WIDTH_MM - _TEXT_MM + 3, y + 2.6), size=SMALL_MM + 0.2),
        ],
        _class="bar",
        data_sling=sling.id,
        data_nominal_n=f"{nominal:.3f}",
        data_worst_n=f"{worst:.3f}",
        data_limit_n=f"{limit:.3f}",
    )


def _key(nominal: str, worst: str) -> list[str]:
    return [
        element("rect", x=_NAME_MM, y=2.6, width=5.0, height=2.4, fill=INK),
        label(nominal, (_NAME_MM + 6.2, 4.7), size=SMALL_MM, ink=MUTED),
        element(
            "rect",
            x=_NAME_MM + 32,
            y=2.6,
            width=5.0,
            height=2.4,
            fill="url(#worst)",
            stroke=INK,
            stroke_width=0.2,
        ),
        label(worst, (_NAME_MM + 38.2, 4.7), size=SMALL_MM, ink=MUTED),
    ]


def _hatch() -> str:
    """Slanting lines: told apart from the solid bar without colour."""
    ground = element("rect", width=1.2, height=1.2, fill=PAPER)
    stroke = line((0, 0), (0, 1.2), 0.5)
    pattern = element(
        "pattern",
        [ground, stroke],
        id="worst",
        width=1.2,
        height=1.2,
        patternUnits="userSpaceOnUse",
        patternTransform="rotate(45)",
    )
    return element("defs", pattern)
