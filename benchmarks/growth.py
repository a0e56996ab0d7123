"""The search's cost against the size of the space: the same lifts over finer steps and larger shops, a plot.

Steps of 1 in, 1/2, 1/4, 1/8 and 1/16 in for bridles and lengths alike, each over the whole shop and over one
that sews every other width in one ply. Every point is one lift: hang problems to the right, processor time
upwards, both by powers of ten.
"""

from __future__ import annotations

import math
import time
from collections.abc import Iterable, Sequence
from dataclasses import replace

from slingwright.choose.search import Search
from slingwright.choose.setting import Setting
from slingwright.shop import Shop

__all__ = ["grow"]

_IN_M = 0.0254
_STEPS = (1, 2, 4, 8, 16)  # to the inch
_WIDE, _HIGH, _EDGE = 720, 440, 64
_COLOURS = ("#0b5e55", "#8a3ffc", "#b35900", "#1f5fbf", "#a8324a", "#4d6b00", "#555555")
Point = tuple[str, float, float]


def grow(lifts: Sequence[tuple[str, Setting]]) -> str:
    """Search every lift over every shop, print what each step costs, and draw it (SVG)."""
    points: list[Point] = []
    for parts in _STEPS:
        for small in (True, False):
            mine = [_timed(kind, setting, parts, small=small) for kind, setting in lifts]
            points += mine
            where = "small shop" if small else "whole shop"
            middle = sorted(seconds for _, _, seconds in mine)[len(mine) // 2]
            many = sorted(hangs for _, hangs, _ in mine)[len(mine) // 2]
            print(
                f"1/{parts} in, {where}: median {many:,.0f} hang problems, {1000 * middle:.0f} ms", flush=True
            )
    return _drawn([p for p in points if p[1] > 0])


def _timed(kind: str, setting: Setting, parts: int, *, small: bool) -> Point:
    practice = setting.shop.practice
    step = _IN_M / parts
    # round loads know one step of lengths alone; at the finest they would be tens of millions of rows
    length = min(practice.length_step_m, max(step, _IN_M / 4)) if parts > 1 else practice.length_step_m
    shop = replace(
        _fewer(setting.shop) if small else setting.shop,
        practice=replace(practice, height_step_m=step, bridle_step_m=step, length_step_m=length),
    )
    altered = replace(setting, shop=shop)
    Search(altered)  # what is kept of the shop, warm
    began = time.process_time()
    search = Search(altered)
    search.walk("price")
    return kind, float(search.space.hang_problems), time.process_time() - began


def _fewer(shop: Shop) -> Shop:
    widths = sorted({w.width_m for w in shop.webbings})[::2]
    return replace(
        shop, webbings=tuple(w for w in shop.webbings if w.width_m in widths), plies=shop.plies[:1]
    )


def _decades(values: Iterable[float]) -> tuple[int, int]:
    logs = [math.log10(v) for v in values]
    return math.floor(min(logs)), math.ceil(max(logs))


def _drawn(points: Sequence[Point]) -> str:
    left, right = _decades(p[1] for p in points)
    low, high = _decades(p[2] for p in points)

    def x(value: float) -> float:
        return _EDGE + (math.log10(value) - left) / (right - left) * (_WIDE - 2 * _EDGE)

    def y(value: float) -> float:
        return _HIGH - _EDGE - (math.log10(value) - low) / (high - low) * (_HIGH - 2 * _EDGE)

    kinds = list(dict.fromkeys(p[0] for p in points))
    lines = [
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDE} {_HIGH}" font-family="sans-serif"'
        ' font-size="12" role="img" aria-label="Processor time of a search against hang problems">',
        f'<rect width="{_WIDE}" height="{_HIGH}" fill="#ffffff"/>',
    ]
    for decade in range(left, right + 1):
        at = x(10.0**decade)
        lines.append(f'<path d="M{at:.1f} {_EDGE}V{_HIGH - _EDGE}" stroke="#dddddd"/>')
        lines.append(
            f'<text x="{at:.1f}" y="{_HIGH - _EDGE + 18}" text-anchor="middle">{10**decade:,}</text>'
        )
    for decade in range(low, high + 1):
        at = y(10.0**decade)
        lines.append(f'<path d="M{_EDGE} {at:.1f}H{_WIDE - _EDGE}" stroke="#dddddd"/>')
        lines.append(f'<text x="{_EDGE - 6}" y="{at + 4:.1f}" text-anchor="end">{10.0**decade:g} s</text>')
    for kind, hangs, seconds in points:
        colour = _COLOURS[kinds.index(kind) % len(_COLOURS)]
        lines.append(f'<circle cx="{x(hangs):.1f}" cy="{y(seconds):.1f}" r="2.6" fill="{colour}"/>')
    for i, kind in enumerate(kinds):
        at, colour = _EDGE + 90 * i, _COLOURS[i % len(_COLOURS)]
        lines.append(
            f'<circle cx="{at}" cy="30" r="4" fill="{colour}"/><text x="{at + 8}" y="34">{kind}</text>'
        )
    lines.append(
        f'<text x="{_WIDE / 2}" y="{_HIGH - 18}" text-anchor="middle">hang problems in the space</text>'
    )
    lines.append("</svg>")
    return "\n".join(lines) + "\n"
