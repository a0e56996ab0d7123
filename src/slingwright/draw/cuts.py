"""Rolls as the cutter cuts them: one bar a roll, its pieces in order, what is left hatched. To one scale."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.draw.ink import FONT, INK, MUTED, SMALL_MM, label, line
from slingwright.draw.svg import element, text_width_mm
from slingwright.make.cutting.plan import CutPlan, MountedRoll

__all__ = ["CUTS_WIDE_MM", "draw_cuts"]

CUTS_WIDE_MM = 178.0
_ROW_MM, _BAR_MM = 12.0, 5.0
_NAME_MM = 26.0


def draw_cuts(plan: CutPlan, rolls: Sequence[MountedRoll]) -> str:
    """Draw some of a plan's rolls (SVG), `CUTS_WIDE_MM` across, all to the scale of the plan's longest."""
    longest = max(plan.problem.stock[roll.stock_index].length_mm for roll in plan.rolls)
    per_mm = (CUTS_WIDE_MM - _NAME_MM - 1) / longest
    rows = [_bar(plan, roll, number * _ROW_MM, per_mm) for number, roll in enumerate(rolls)]
    high = _ROW_MM * len(rolls)
    return element(
        "svg",
        [_hatch(), *rows],
        xmlns="http://www.w3.org/2000/svg",
        width=f"{CUTS_WIDE_MM:g}mm",
        height=f"{high:g}mm",
        viewBox=f"0 0 {CUTS_WIDE_MM:g} {high:g}",
        font_family=FONT,
    )


def _hatch() -> str:
    stroke = line((0, 0), (0, 1.4), 0.25, ink=MUTED)
    return element(
        "defs",
        element(
            "pattern",
            stroke,
            id="left",
            width=1.4,
            height=1.4,
            patternUnits="userSpaceOnUse",
            patternTransform="rotate(45)",
        ),
    )


def _bar(plan: CutPlan, roll: MountedRoll, top: float, per_mm: float) -> str:
    stock, problem = plan.problem.stock[roll.stock_index], plan.problem
    name = stock.name or str(roll.stock_index + 1)
    parts = [label(f"{roll.times} × {name}" if roll.times > 1 else name, (0, top + 5.6), bold=True)]
    x, y = _NAME_MM, top + 2
    parts.append(_block(x, y, stock.length_mm * per_mm, "url(#left)"))
    x += problem.head_trim_mm * per_mm
    for index, count in roll.pieces:
        length = problem.pieces[index].length_mm
        for _ in range(count):
            wide = length * per_mm
            parts.append(_block(x, y, wide, "#ffffff"))
            text = str(length)
            if text_width_mm(text, SMALL_MM) < wide:
                parts.append(label(text, (x + wide / 2, y + 3.4), size=SMALL_MM, anchor="middle"))
            x += wide + problem.kerf_mm * per_mm
    return element("g", parts, _class="roll", data_roll=name)


def _block(x: float, y: float, wide: float, fill: str) -> str:
    return element("rect", x=x, y=y, width=wide, height=_BAR_MM, fill=fill, stroke=INK, stroke_width=0.25)
