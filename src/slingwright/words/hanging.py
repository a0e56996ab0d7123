"""An explicit hang in words: the verdict first, each sling, then how far it is from going; cautions last."""

from __future__ import annotations

import math

from slingwright.hang.result import Hang, PathHang, Status, Support
from slingwright.units import Rounding, Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_angle, show_length, show_load

__all__ = ["hang_blocks", "hang_caution_codes", "hang_caution_text"]

_BLOCK = "hang-blocks"
_FIGURES = "hang-figures"
_LABELS = "hang-labels"


def hang_caution_codes(*, spread: bool = False) -> tuple[str, ...]:
    """The cautions that stand on every hang, by code."""
    shares = ("share-not-limit",) if spread else ()
    return ("no-rating", "figures-given", *shares, "law")


def hang_caution_text(code: str, *, language: str = "en") -> str:
    """A caution of a hang in words."""
    return read_catalogue(language).word("hang-cautions", code)


def hang_blocks(
    hang: Hang, units: Units, *, spread: tuple[Block, ...] = (), language: str = "en"
) -> tuple[Block, ...]:
    """The hang in reading order; `spread` is what `spread_blocks` gave, put before the cautions."""
    words = read_catalogue(language)
    paths = tuple(_path_row(path, units, language) for path in hang.paths)
    supports = tuple(_support_row(i, s, units, language) for i, s in enumerate(hang.supports, start=1))
    codes = hang_caution_codes(spread=bool(spread))
    cautions = tuple(Row(label="", text=hang_caution_text(code, language=language)) for code in codes)
    blocks = [
        Block(kind="hang", title=words.word(_BLOCK, "answer"), rows=_answer_rows(hang, units, language)),
        Block(kind="paths", title=words.word(_BLOCK, "paths"), rows=paths),
        Block(kind="supports", title=words.word(_BLOCK, "hooks"), rows=supports),
        Block(kind="reserve", title=words.word(_BLOCK, "reserve"), rows=_reserve_rows(hang, units, language)),
        *spread,
        Block(kind="cautions", title=words.word(_BLOCK, "cautions"), rows=cautions),
    ]
    return tuple(block for block in blocks if block.rows)


def _answer_rows(hang: Hang, units: Units, language: str) -> tuple[Row, ...]:
    words = read_catalogue(language)
    tilt = show_angle(hang.tilt_deg, rounding=Rounding.UP, language=language)
    key = "tilt" if hang.tilt_direction_deg is None else "tilt-towards"
    towards = (
        "" if hang.tilt_direction_deg is None else show_angle(hang.tilt_direction_deg, language=language)
    )
    height = show_length(hang.hook_above_cg_m, units, language=language)
    mark = "" if hang.status is Status.STABLE else "stop"
    sharing = words.word("hang-status", "statics" if hang.determinate else "stretch")
    rows = [
        Row(label=_label("status", language), text=words.word("hang-status", str(hang.status)), mark=mark),
        Row(label=_label("sharing", language), text=sharing),
        *(Row(label=_label("free", language), text=words.word("hang-status", m)) for m in hang.null_modes),
        Row(label=_label("tilt", language), text=words.fill(_FIGURES, key, tilt=tilt, direction=towards)),
        Row(label=_label("hook", language), text=words.fill(_FIGURES, "hook-above", height=height)),
        Row(
            label=_label("residual", language),
            text=words.fill(_FIGURES, "residual", residual=f"{hang.residual:.0e}"),
        ),
    ]
    return tuple(rows)


def _path_row(path: PathHang, units: Units, language: str) -> Row:
    words = read_catalogue(language)
    if path.slack:
        return Row(label=path.name, text=words.word(_FIGURES, "path-slack"), mark="caution")
    lower = path.lower_angle_from_horizontal_deg
    text = words.fill(
        _FIGURES,
        "path" if lower is None else "path-lower",
        tension=show_load(path.tension_n, units, rounding=Rounding.UP, language=language),
        angle=show_angle(path.angle_from_horizontal_deg, rounding=Rounding.DOWN, language=language),
        lower="" if lower is None else show_angle(lower, rounding=Rounding.DOWN, language=language),
        stretch=show_length(path.stretch_m, units, language=language),
    )
    return Row(label=path.name, text=text)


def _support_row(number: int, support: Support, units: Units, language: str) -> Row:
    words = read_catalogue(language)
    x, y, z = support.force_n
    text = words.fill(
        _FIGURES,
        "support",
        force=show_load(math.hypot(x, y, z), units, rounding=Rounding.UP, language=language),
        vertical=show_load(abs(z), units, rounding=Rounding.UP, language=language),
        across=show_load(math.hypot(x, y), units, rounding=Rounding.UP, language=language),
    )
    return Row(label=words.fill(_LABELS, "support", number=str(number)), text=text)


def _reserve_rows(hang: Hang, units: Units, language: str) -> tuple[Row, ...]:
    words = read_catalogue(language)
    if hang.status is Status.UNREACHABLE:
        short = show_length(-hang.reach_margin_m, units, rounding=Rounding.UP, language=language)
        text = words.fill(_FIGURES, "reach-short", reach=short)
        return (Row(label=_label("reach", language), text=text, mark="stop"),)
    if hang.status is Status.CAPSIZES:
        return ()
    rise, push = hang.stability.centre_may_rise_m, hang.stability.push_deg
    centre = (
        words.word(_FIGURES, "centre-no-bound")
        if rise is None
        else words.fill(
            _FIGURES, "centre", rise=show_length(rise, units, rounding=Rounding.DOWN, language=language)
        )
    )
    pushed = (
        words.word(_FIGURES, "push-no-bound")
        if push is None
        else words.fill(_FIGURES, "push", push=show_angle(push, rounding=Rounding.DOWN, language=language))
    )
    reach = show_length(hang.reach_margin_m, units, rounding=Rounding.DOWN, language=language)
    return (
        Row(label=_label("centre", language), text=centre),
        Row(label=_label("push", language), text=pushed),
        Row(label=_label("reach", language), text=words.fill(_FIGURES, "reach", reach=reach)),
    )


def _label(key: str, language: str) -> str:
    return read_catalogue(language).word(_LABELS, key)
