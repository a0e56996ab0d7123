"""Candidates leave the walk in the order of their key, and one stop takes only its like with it."""

from __future__ import annotations

from itertools import count
from typing import Any

import numpy as np
import pytest

from slingwright.choose.column import Column
from slingwright.choose.fallen import rejected_each
from slingwright.choose.known import Question, Sieves
from slingwright.choose.makes import protections_for
from slingwright.choose.nominal import BEATEN, WAITS
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.choose.sieve import FEW
from slingwright.choose.source import Source, sources
from slingwright.choose.walk import Walk
from slingwright.rulebook import load_rulebook
from slingwright.shop import Protection
from tests.brute_force import best, judge_all
from tests.choosing import SmallShop, small_shop
from tests.lifts import example_lift, read_document
from tests.property.test_choose_exact import setting_of
from tests.shops import harrow_quay, harrow_quay_prices

DRAWS = draw(1, samples=128)


def _setting(small: SmallShop, doc: dict[str, Any]) -> Setting:
    lift = read_document(doc)
    return Setting(
        lift=lift, rulebook=load_rulebook(lift.rulebook), shop=small.shop, book=small.book, draws=DRAWS
    )


@pytest.mark.parametrize("by", ["price", "weight", "delivery"])
@pytest.mark.parametrize(("kind", "number"), [("bridle-4", 0), ("beam", 1), ("box on a beam", 0), ("box", 1)])
def test_every_verdict_comes_in_key_order(kind: str, number: int, by: str) -> None:
    """Measure, mass, text: on a beam many pairs of lengths cost and weigh the same; the text decides."""
    measured = {"price": "price_minor", "delivery": "days"}
    keys = []
    for verdict in Walk(Search(setting_of(kind, number)), by, lambda entry: True).verdicts():
        if verdict is None:
            continue
        candidate = verdict.candidate
        mass = round(candidate.mass_kg * 1_000_000)
        keys.append((mass if by == "weight" else getattr(candidate, measured[by]), mass, candidate.text))
    assert len(keys) > 4
    assert keys == sorted(keys)


def _chiller() -> Setting:
    lift, rulebook = example_lift("chiller"), load_rulebook("us")
    return Setting(
        lift=lift,
        rulebook=rulebook,
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=draw(1, samples=128),
    )


def test_samples_drawn_before_any_candidate_is_judged_count_as_tries() -> None:
    """By reserve, hundreds of rows may be measured by their samples before the first is judged."""
    found = Search(_chiller()).walk("reserve", tries=3)
    assert not found.proved
    assert 0 < found.drawn <= 3 * 12 + 32  # a row's few samples are a twelfth of a try; 32 are drawn together
    assert found.tries() - found.solved == found.drawn // 12


def test_the_clock_is_looked_at_after_every_step() -> None:
    """Of a walk that is told to end at its third look nearly nothing is drawn or judged."""
    looks = count(1)
    found = Search(_chiller(), out_of_time=lambda: next(looks) >= 3).walk("reserve")
    assert not found.proved
    assert found.drawn <= 3 * 32
    assert next(looks) == 4


def _sources(search: Search, by: str) -> list[tuple[int, Source]]:
    space = search.space
    return [
        found
        for group in space.groups
        for found in sources(
            search.setting, space.kept, group, by, protections_for(search.setting.shop, group.arrangements[0])
        )
    ]


def _column(search: Search, source: Source, by: str) -> Column:
    alive = np.ones(len(source.group.places), dtype=np.bool_)
    return search.column(source, alive, by, graded=False)


@pytest.mark.parametrize("kind", ["bridle-4", "beam", "box on a beam", "box", "pipe"])
def test_no_row_is_below_the_bound_at_which_its_column_waits(kind: str) -> None:
    search = Search(setting_of(kind, 0))
    tight = 0
    for by in ("price", "delivery", "weight"):
        for bound, source in _sources(search, by):
            every = _column(search, source, by).all_pairs()
            if len(every.key):
                assert bound <= every.key.min(), (by, source.strong.make, source.protection)
                tight += bound > every.key.min() * 0.5
    assert tight


@pytest.mark.parametrize("by", ["price", "weight", "delivery"])
@pytest.mark.parametrize("kind", ["bridle-4", "beam", "box on a beam", "pipe"])
def test_rows_leave_in_order_however_few_are_priced_at_once(
    kind: str, by: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Windows of one row: what is let out before the rest is priced is never above what comes later."""
    monkeypatch.setattr("slingwright.choose.column._WINDOW", 1)
    search = Search(setting_of(kind, 0))
    later = 0
    for _, source in _sources(search, by):
        column, left = _column(search, source, by), []
        while column.key() is not None:
            left.append(column.next_slice(64))
        every = column.all_pairs().in_order()
        assert [*np.concatenate([p.key for p in left])] == [*every.key] if left else not len(every.key)
        assert [*np.concatenate([p.mass for p in left])] == [*every.mass] if left else True
        later += len(left) > 1
    assert later or by == "delivery"  # days do not grow with the length: all are known at once


def test_a_choker_too_short_for_its_eye_takes_no_other_choker_with_it() -> None:
    """Round 8 in the eye and lap of 6 in webbing (26 in) outgrow the loop, those of 2 in (17 in) do not."""
    small = small_shop(
        widths=("2 in", "6 in"), forms=("twisted-eye",), plies=(1,), fibres=("polyester",),
        lengths=("6 ft", "12 ft"), length_step="1 ft", placement_step="2 ft",
    )  # fmt: skip
    setting = _setting(
        small,
        {
            "load": {
                "weight": "1500 lb", "known_by": "scale", "shape": "cylinder", "length": "9 ft",
                "diameter": "8 in", "centre_of_gravity": ["54 in", "4 in", "4 in"],
                "centre_tolerance": ["1 in", "1/4 in", "1/4 in"], "edge_radius": "4 in",
                "surface": 0.3, "choke_angle": "free",
            },
            "hook": {"headroom": "12 ft", "thickness": "1 1/2 in", "width": "6 in"},
            "want": {"level_within": "6 deg", "least_angle": "45 deg", "by": "reserve"},
        },
    )  # fmt: skip

    def plain(family: str) -> bool:
        return family in ("choker-1", "choker-2")

    walk = Walk(Search(setting), "reserve", lambda entry: plain(entry.arrangement.family))
    for verdict in walk.verdicts():
        if verdict is not None and verdict.stop is None:  # None: its turn comes by its exact measure
            break
    assert any(fell.rule == "choke" for fell in walk.found.fallen)  # the wide ones, left out before any hang
    assert verdict is not None
    assert verdict.candidate.base.width_m == 0.0508
    every = [j for j in judge_all(setting) if plain(j.verdict.candidate.arrangement.family)]
    right = best(every, "reserve")
    assert right is not None
    found = Search(setting).walk("reserve", only=lambda entry: plain(entry.arrangement.family))
    assert found.answer is not None
    assert found.answer.candidate == right.verdict.candidate


def test_en_mode_factors_leave_out_no_unequal_bridle_that_its_own_floor_would_let_pass() -> None:
    """Printed for a symmetric bridle, M stops legs of unequal lengths by no bare share of the weight."""
    small = small_shop(
        widths=("60 mm",), forms=("twisted-eye",), fibres=("polyester",), plies=(1,), lengths=("2 m", "5 m"),
        quick_up_to="3 m", length_step="100 mm", height_step="200 mm",
    )  # fmt: skip
    pick = {"pin": "25 mm", "rated": "5 tonne", "rated_at": "any angle"}
    setting = _setting(
        small,
        {
            "rulebook": "en",
            "load": {
                "weight": "2300 kg", "known_by": "scale", "shape": "frame", "length": "1.2 m", "width": "1 m",
                "height": "1.6 m", "centre_of_gravity": ["0.6 m", "0.5 m", "0.5 m"],
                "centre_tolerance": ["5 mm", "5 mm", "5 mm"],
                "pick_point": [
                    {"name": "1", "at": ["0 m", "0.1 m", "1.2 m"], **pick},
                    {"name": "2", "at": ["1.2 m", "0.1 m", "1.6 m"], **pick},
                    {"name": "3", "at": ["0.6 m", "0.9 m", "1.6 m"], **pick},
                ],
            },
            "hook": {"headroom": "6.2 m", "thickness": "20 mm", "width": "120 mm"},
            "want": {"level_within": "8 deg", "least_angle": "45 deg"},
        },
    )  # fmt: skip
    space = Search(setting).space
    lengths = {entry.arrangement.lengths for entry in space.entries if not entry.stock}
    # 1 t a leg: below W / 2.1 = 1.10 t (equal legs: M), above W / 3 = 0.77 t (unequal: statics)
    assert lengths == {"made"}


@pytest.mark.parametrize(
    ("kind", "number"), [("bridle-3", 3), ("bridle-4", 1), ("bridle-4", 2), ("bridle-4", 5)]
)
def test_whole_columns_are_sifted_to_the_same_end(
    monkeypatch: pytest.MonkeyPatch, kind: str, number: int
) -> None:
    """However much is sifted at once, the answer is the same, and so is what comes before it."""
    told = []
    for whole in (1, 10**9):
        monkeypatch.setattr("slingwright.choose.walk._WHOLE", whole)
        search = Search(setting_of(kind, number))
        found = search.walk("price")
        answer = found.answer
        rejected_ = sorted(r.candidate.text for r in rejected_each(search, found))
        told.append((None if answer is None else answer.candidate.text, rejected_, found.by))
        assert found.proved
    assert told[0] == told[1]
    assert told[0][1]


def test_a_row_that_waits_is_hung_no_further_than_it_can_win() -> None:
    """Asked for while the graded might win, hung on when they no longer do; told anew to who asks for it."""
    beaten = 0
    for number in (1, 2, 3, 5):
        setting = setting_of("bridle-4", number)
        for group in Search(setting).space.groups:
            row = group.rows.by_total
            if not group.straight or group.arrangements[0].lengths != "made" or len(row) <= FEW:
                continue
            for strong in group.makes[::4]:
                question = Question(group, group.rows, strong, row, np.zeros(len(row), dtype=np.int64))
                once, twice = Sieves(setting), Sieves(setting)
                once.ask([question])
                twice.ask([question], wait=True)
                own, known = (s.known(group.rows, strong) for s in (once, twice))
                waited = row[known.why[row, 0] == WAITS]
                twice.go_on([question], later=False, graded_lose=True)
                lost = waited[known.why[waited, 0] == BEATEN]
                beaten += len(lost)
                assert (own.graded[lost, 0] | (own.why[lost, 0] > 0)).all()
                twice.go_on([question], later=False, graded_lose=False)  # of one for whom they may win yet
                assert ((known.why[row, 0] > 0) == (own.why[row, 0] > 0)).all()
                assert (known.graded[row, 0] == own.graded[row, 0])[own.why[row, 0] == 0].all()
    assert beaten


def test_what_has_left_a_column_does_not_leave_it_again() -> None:
    seen = 0
    search = Search(setting_of("bridle-4", 1))
    for group in search.space.groups:
        if not group.straight:
            continue
        for _, source in sources(search.setting, search.space.kept, group, "price", (Protection.NONE,)):
            column = search.column(source, np.ones(1, dtype=np.bool_), "price", graded=False)
            search.rule_out(source, graded_lose=False)
            first, again = (column.drop_fallen(graded_lose=False) for _ in range(2))
            seen += len(first.fallen)
            assert not len(again.fallen)
            assert np.array_equal(first.left, again.left)
    assert seen
