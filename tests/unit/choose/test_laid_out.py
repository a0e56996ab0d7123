"""Groups are kept for the next lift of the same shape, and for no other."""

from __future__ import annotations

from dataclasses import replace

import pytest

from slingwright.choose import groups
from slingwright.choose.answer import answer_lift
from slingwright.choose.setting import Setting
from slingwright.choose.space import Space
from tests.property.test_choose_exact import setting_of


@pytest.fixture(autouse=True)
def _nothing_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(groups, "_laid_out", [])


def heavier(setting: Setting, by: float = 1.25) -> Setting:
    weight = setting.lift.load.weight
    assert weight.high_n is not None
    more = replace(weight, high_n=by * weight.high_n)
    return replace(setting, lift=replace(setting.lift, load=replace(setting.lift.load, weight=more)))


def rows_of(setting: Setting) -> list[int]:
    return [id(group.rows) for group in Space(setting).groups if not group.slings]


def test_a_load_that_only_weighs_more_has_the_same_rows_with_what_is_told_of_them() -> None:
    setting = setting_of("bridle-4", 0)
    assert rows_of(setting) == rows_of(heavier(setting))
    assert len(groups._laid_out) == 1


def test_another_lift_has_rows_of_its_own() -> None:
    setting = setting_of("bridle-4", 0)
    lift = setting.lift
    hook = replace(lift.hooks[0], headroom_m=lift.hooks[0].headroom_m + 1.0)
    want = replace(lift.want, matched_set=not lift.want.matched_set)
    x, y, z = lift.load.centre.nominal_m
    centre = replace(lift.load.centre, nominal_m=(x + 0.05, y, z))
    first = lift.load.pick_points[0]
    moved = replace(first, at_m=(first.at_m[0] + 0.1, *first.at_m[1:]))
    others = [
        replace(lift, hooks=(hook,)),
        replace(lift, want=want),
        replace(lift, load=replace(lift.load, centre=centre)),
        replace(lift, load=replace(lift.load, pick_points=(moved, *lift.load.pick_points[1:]))),
    ]
    every = [rows_of(setting), *(rows_of(replace(setting, lift=other)) for other in others)]
    assert len({one for rows in every for one in rows}) == sum(map(len, every))
    practice = replace(setting.shop.practice, tolerance_m=2 * setting.shop.practice.tolerance_m)
    assert rows_of(replace(setting, shop=replace(setting.shop, practice=practice))) != every[0]
    assert len(groups._laid_out) == len(every) + 1


def test_only_the_last_few_are_kept() -> None:
    setting = setting_of("bridle-2", 0)
    first = rows_of(setting)
    for more in range(groups._AT_ONCE):
        hook = replace(setting.lift.hooks[0], headroom_m=5.0 + 0.1 * more)
        rows_of(replace(setting, lift=replace(setting.lift, hooks=(hook,))))
    assert len(groups._laid_out) == groups._AT_ONCE
    assert rows_of(setting) != first


@pytest.mark.parametrize(
    ("kind", "number"), [("bridle-2", 1), ("bridle-3", 0), ("bridle-4", 0), ("en bridle-4", 1), ("box", 0)]
)
def test_what_is_kept_answers_as_what_is_found_afresh(
    kind: str, number: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A lighter load, the load, a heavier one: each after the others, and each by itself."""
    setting = setting_of(kind, number)
    loads = [heavier(setting, by) for by in (0.6, 1.0, 1.4, 0.6)]
    after = [answer_lift(one, clock=lambda: 0.0) for one in loads]
    for one, told in zip(loads, after, strict=True):
        monkeypatch.setattr(groups, "_laid_out", [])
        assert answer_lift(one, clock=lambda: 0.0) == told


def test_a_lug_that_may_only_be_pulled_upright_is_told_of_apart() -> None:
    """It is no part of where a leg hangs, and so not of what groups are kept by."""
    setting = setting_of("bridle-4", 2)
    load = setting.lift.load
    picks = tuple(replace(p, vertical_only=not p.vertical_only) for p in load.pick_points)
    other = replace(setting, lift=replace(setting.lift, load=replace(load, pick_points=picks)))
    told = [answer_lift(one, clock=lambda: 0.0) for one in (setting, other)]
    groups._laid_out = []
    assert answer_lift(other, clock=lambda: 0.0) == told[1]
    assert told[0] != told[1]
