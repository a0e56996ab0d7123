"""What loses unhung where only the best is asked for: nothing that could win, and most of what is crooked."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from typing import Any

import numpy as np
import pytest

from slingwright.choose.cases import centre_corners
from slingwright.choose.known import Question, Sieves
from slingwright.choose.nominal import BEATEN, UNASKED
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.choose.tilting import Tilting
from slingwright.choose.unhung import Unhung
from slingwright.rulebook import load_rulebook
from tests.choosing import small_shop
from tests.lifts import read_document

SHOP = small_shop(
    widths=("2 in", "3 in"), forms=("twisted-eye",), bridle_step="1 in", height_step="3 in", shelf=2
)
PICKED = {
    3: ((0.1, 0.15), (0.9, 0.15), (0.5, 0.85)),
    4: ((0.1, 0.15), (0.9, 0.15), (0.9, 0.85), (0.1, 0.85)),
}


@cache
def lugged(legs: int, *, known: bool = True) -> Setting:
    """A box with lugs of one height and its centre off the middle, which nobody may know."""
    lift = read_document(
        {
            "title": "lugs",
            "rulebook": "us",
            "load": {
                "weight": "5200 lb", "shape": "box", "length": "10 ft", "width": "6 ft", "height": "4 ft",
                "known_by": "plate",
                "centre_of_gravity": ["5.4 ft", "2.9 ft", "2 ft"],
                "pick_point": [
                    {"name": name, "at": [f"{10 * x} ft", f"{6 * y} ft", "4 ft"], "pin": "1 in"}
                    for name, (x, y) in zip("ABCD", PICKED[legs], strict=False)
                ],
            },
            "hook": {"headroom": "16 ft", "thickness": "2 in"},
            "site": {"temperature": ["40 °F", "90 °F"]},
        }
    )  # fmt: skip
    load = lift.load
    lift = replace(lift, load=replace(load, centre=replace(load.centre, known=known)))
    return Setting(
        lift=lift, rulebook=load_rulebook("us"), shop=SHOP.shop, book=SHOP.book, draws=draw(1, samples=128)
    )


def questions_of(setting: Setting) -> list[Question]:
    """All rows of legs under one hook, of every make that is strong enough."""
    groups = [g for g in Search(setting).space.groups if g.straight and len(g.rows.by_total)]
    return [
        Question(group, group.rows, strong, group.rows.by_total, np.zeros(len(group.rows.by_total), np.int64))
        for group in groups
        for strong in group.makes
    ]


def test_what_loses_unhung_falls_or_is_graded_when_it_is_hung(monkeypatch: pytest.MonkeyPatch) -> None:
    lost = hung = 0
    real = Unhung.lost

    def counted(*given: Any) -> Any:
        nonlocal lost
        found = real(*given)
        lost += int(found.sum())
        return found

    monkeypatch.setattr(Unhung, "lost", counted)
    for legs, known in ((3, True), (4, True), (4, False)):
        setting = lugged(legs, known=known)
        quick, slow = Sieves(setting, only_best=True), Sieves(setting)
        for q in questions_of(setting):
            quick.ask([q], graded_lose=True)
            slow.ask([q], graded_lose=False)
            told, full = quick.known(q.rows, q.strong), slow.known(q.rows, q.strong)
            wins = (full.why[q.row, 0] == 0) & ~full.graded[q.row, 0]
            assert ((told.why[q.row, 0] == 0) == wins).all(), (legs, known, q.strong.make)
            hung += len(q.row)
    assert lost > hung / 20  # else nothing is gained


def test_the_other_orders_of_legs_are_hung_on_the_soft_end_too() -> None:
    """Turned round at the stiff end is asked before, and told apart from it."""
    setting = lugged(4)
    sieves = Sieves(setting, only_best=True)
    told = 0
    for q in questions_of(setting):
        if q.group.arrangements[0].lengths != "made":
            continue
        sieves.rule_out(q.group, q.rows, q.strong, graded_lose=True)
        unhung = sieves._unhung[id(q.rows)]
        assert unhung is not None
        limit_n, rows = q.strong.rated[0].part_limit_n, q.row
        stiff, soft = ((0.03, 0.03), (0.03, 0.09))
        told += int((unhung.lost(soft, limit_n, rows) & ~unhung.lost(stiff, limit_n, rows)).sum())
    assert told


def test_the_corner_that_tilts_the_load_farthest_is_tried() -> None:
    setting = lugged(4)
    centre = setting.lift.load.centre
    corners = np.array(centre_corners(centre))
    picks = np.array([p.at_m for p in setting.lift.load.pick_points])
    tilting = Tilting(setting, picks, 3.0)
    assert tilting.tells
    assert len(corners) > 1
    away = np.hypot(*(picks - np.array(centre.nominal_m))[:, :2].T)
    level = np.hypot(away, 4.0)
    for k, pick in enumerate(picks):  # one leg shorter: the hook stands nearer to its pick
        lengths = level[None].copy()
        lengths[0, k] -= 0.3
        (at,) = tilting.farthest(lengths)
        toward = (pick - np.array(centre.nominal_m))[:2] @ (corners - np.array(centre.nominal_m))[:, :2].T
        assert toward[at] == toward.min()


def test_an_unknown_centre_is_looked_at_where_it_is_told() -> None:
    setting = lugged(4, known=False)
    picks = np.array([p.at_m for p in setting.lift.load.pick_points])
    tilting = Tilting(setting, picks, 3.0)
    assert (tilting.farthest(np.full((5, 4), 3.0)) == 0).all()
    assert len(tilting._tilted) == 1


def test_what_lost_by_a_proof_is_no_reason_anybody_is_told() -> None:
    setting = lugged(4)
    quick, slow = Sieves(setting, only_best=True), Sieves(setting)
    more = 0
    for q in questions_of(setting):
        for sieves in (quick, slow):
            sieves.ask([q], graded_lose=True, wait=True)
        told, full = (s.known(q.rows, q.strong).why[q.row, 0] for s in (quick, slow))
        assert (told[full == BEATEN] != 0).all()
        more += int(((told == BEATEN) & (full > 0)).sum())
    assert more, "the whole search says by which rule each falls"


def test_what_lost_unhung_is_told_to_who_asked_before() -> None:
    """A slice of a make's rows may fall without any hang, and then leaves its column, too."""
    setting, fell = lugged(4), 0
    sieves = Sieves(setting, only_best=True)
    for q in questions_of(setting):
        sieves.rule_out(q.group, q.rows, q.strong, graded_lose=True)
        known = sieves.known(q.rows, q.strong)
        before = known.halves(q.row, graded_lose=True).left
        left = before[known.why[before, 0] == UNASKED]
        unhung = sieves._unhung[id(q.rows)]
        assert unhung is not None
        limit = q.strong.rated[0].part_limit_n / q.strong.rated[0].cell.rated_n
        stretches = q.strong.ends.stiff * limit, q.strong.ends.soft * limit
        lost = left[unhung.lost(stretches, q.strong.rated[0].part_limit_n, left)]
        sieves.ask([q._replace(row=lost, place=np.zeros(len(lost), np.int64))], graded_lose=True, wait=True)
        assert not np.isin(lost, known.halves(q.row, graded_lose=True).left).any()
        fell += len(lost)
    assert fell
