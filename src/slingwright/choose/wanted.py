"""A shop that makes one sling only: how a sling that somebody wants is searched for.

The search itself stays the same: what it may choose from is one make at one length, built or on the shelf.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np

from slingwright.check import Finding, Outcome
from slingwright.check.finding import report
from slingwright.check.sources import FORM_BY_USE, SHOP_PATTERN, STATICS, stated
from slingwright.choose.lengths import choices, length_conditions, steps_to_metres
from slingwright.choose.setting import Setting
from slingwright.citation import Cited
from slingwright.lift.model import WantedSling
from slingwright.rulebook import Refusal as NoRating
from slingwright.shop import Loft, Refusal, Shop, StockSling, buildable_spec, length_um
from slingwright.shop.sewing import same_width
from slingwright.shop.space import loft_reaches
from slingwright.sling import Form, SlingSpec

if TYPE_CHECKING:
    from slingwright.choose.space import Space

__all__ = ["not_to_be_had", "shop_of_one", "why_not_wanted"]

_UM = 1_000_000


def shop_of_one(shop: Shop, wanted: WantedSling) -> Shop:
    """The shop with everything taken out that is not the wanted sling.

    Its lofts sew no other length, which is the one step of its grid; its shelf holds the equal slings alone.
    """
    length_m = length_um(wanted.length_m) / _UM
    practice, eye_m = shop.practice, wanted.eye_m
    rows = (
        practice.eye_rows if eye_m is None else tuple(replace(row, eye_m=eye_m) for row in practice.eye_rows)
    )
    webbing = shop.webbing(wanted.fibre, wanted.webbing_class, wanted.width_m)
    return replace(
        shop,
        lofts=_lofts(shop, wanted.form, length_m),
        webbings=() if webbing is None else (webbing,),
        plies=tuple(plies for plies in shop.plies if plies == wanted.plies),
        practice=replace(practice, length_step_m=length_m, bridle_step_m=length_m, eye_rows=rows),
        stock=tuple(one for one in shop.stock if _is(one, wanted)),
    )


def not_to_be_had(shop: Shop, wanted: WantedSling) -> Finding | None:
    """A stop where no loft builds the wanted sling and none lies ready; None where it can be had."""
    if any(_is(one, wanted) for one in shop.stock):
        return None
    built = buildable_spec(shop, _spec(shop, wanted))
    if not isinstance(built, Refusal):
        return None
    short = built.code == "too-short"
    return report(
        "buildable",
        Outcome.STOP,
        "named-too-short" if short else "named-not-built",
        SHOP_PATTERN,
        figure=wanted.length_m if short else None,
        limit=built.limit if short else None,
        unit="m" if short else "",
        cure="another-form",
    )


def why_not_wanted(space: Space) -> Iterator[Finding]:
    """What keeps the wanted sling out before it is hung: too long, too short, its form."""
    setting = space.setting
    heights, short = [], False
    for arrangement in space.arrangements:
        lengths = steps_to_metres(setting, choices(setting, arrangement))
        reaches, fits, _, level = length_conditions(setting, arrangement, lengths)
        heights += level[reaches & ~fits].tolist()
        short = short or not bool(reaches.all())
    if heights:
        room = Cited(min(hook.headroom_m for hook in setting.lift.hooks), stated("hook.headroom"))
        yield report(
            "headroom", Outcome.STOP, "too-high", room,
            figure=float(np.min(heights)), unit="m", cure="shorter-slings",
        )  # fmt: skip
    if short:
        yield report("reach", Outcome.STOP, "unreachable", STATICS, cure="longer-slings")
    if not heights and not short:
        cell = setting.rulebook.vertical_rated(_spec(setting.shop, _named(setting)))
        if isinstance(cell, NoRating):
            yield report("buildable", Outcome.STOP, "named-not-rated", cell.citation, cure="another-form")
        else:
            yield report("buildable", Outcome.STOP, "named-not-used", FORM_BY_USE, cure="another-form")


def _named(setting: Setting) -> WantedSling:
    wanted = setting.lift.want.sling
    assert wanted is not None
    return wanted


def _lofts(shop: Shop, form: Form, length_m: float) -> tuple[Loft, ...]:
    """The lofts that sew this form at this length and no other; one that sews nothing where none does.

    Such a sling may lie on the shelf still, and a shop without any loft has no grid of lengths.
    """
    only = (replace(one, min_length_m=length_m, max_length_m=length_m, forms=(form,)) for one in shop.lofts)
    able = tuple(
        narrow
        for narrow, loft in zip(only, shop.lofts, strict=True)
        if form in loft.forms and loft_reaches(loft, length_m)
    )
    idle = replace(shop.lofts[0], forms=(form,), classes=(), min_length_m=length_m, max_length_m=length_m)
    return able or (idle,)


def _spec(shop: Shop, wanted: WantedSling) -> SlingSpec:
    """The wanted sling as it would be ordered; with no eye where the shop has no row for one."""
    row = shop.eye_row(wanted.width_m, wanted.plies)
    own = row.eye_m if row is not None else 0.0
    return SlingSpec(
        form=wanted.form,
        fibre=wanted.fibre,
        webbing_class=wanted.webbing_class,
        plies=wanted.plies,
        width_m=wanted.width_m,
        length_m=wanted.length_m,
        eye_m=(wanted.eye_m or own) if wanted.form.has_eyes else 0.0,
    )


def _is(stock: StockSling, wanted: WantedSling) -> bool:
    """Whether a sling on the shelf is the wanted one; any eye will do where none is said."""
    spec = stock.spec
    alike = (spec.form, spec.fibre, spec.webbing_class, spec.plies) == (
        wanted.form, wanted.fibre, wanted.webbing_class, wanted.plies,
    )  # fmt: skip
    eye = wanted.eye_m is None or not wanted.form.has_eyes or length_um(spec.eye_m) == length_um(wanted.eye_m)
    long = length_um(spec.length_m) == length_um(wanted.length_m)
    return alike and eye and long and same_width(spec.width_m, wanted.width_m)
