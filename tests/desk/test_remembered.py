"""What the desk remembers: the best offer of a lift that was left before the others came, and no search."""

from __future__ import annotations

import pickle
from collections.abc import Iterator

import pytest

from slingwright.desk.bench import Bench, Look
from tests.desk.doors import desk_client


@pytest.fixture
def bench() -> Iterator[Bench]:
    with desk_client() as client:
        yield client.app.state.bench  # type: ignore[attr-defined]  # an ASGI app to its types


def chiller(bench: Bench, title: str) -> dict[str, object]:
    return {**next(one.tables for one in bench.examples() if one.name == "chiller"), "title": title}


def test_the_best_offer_is_known_of_a_lift_that_was_left_before_the_others_came(bench: Bench) -> None:
    lift, other = chiller(bench, "left"), chiller(bench, "newer")
    job = bench.ask(lift, Look(), tab="aaaaaaaa", turn=1)
    assert job.wait(lambda job: job.first is not None, 120)
    first = job.first
    bench.ask(other, Look(), tab="aaaaaaaa", turn=2).drop()
    with bench.turn(), bench.turn():  # nothing can begin
        again = bench.ask(lift, Look(units="si"), tab="aaaaaaaa", turn=3)
        assert again.first is not None
        assert first is not None
        assert again.first.answer == first.answer
        assert str(again.first.units) == "si"
    assert again.wait(lambda job: job.whole is not None, 120), "the others come for who stays"
    assert again.whole is not None
    assert again.whole.answer.offers[0].arrangement == first.answer.offers[0].arrangement
    again.drop()


def test_what_is_remembered_holds_no_search_and_is_explained_alike_however_often(bench: Bench) -> None:
    lift = chiller(bench, "often")
    explained = bench.answer(lift, Look(), explained=True).answer.explained
    assert explained is not None
    bench.answer(chiller(bench, "another"), Look())
    held = next(iter(bench._kept.values())).setting.draws
    for shelf in (bench._firsts, bench._kept, bench._told):
        for one in shelf.values():
            assert one.walked is None
            assert one.setting.draws is held, "a megabyte, shared by all"
            assert len(pickle.dumps(one.answer)) < 500_000
    bench._told.clear()
    assert bench.answer(lift, Look(), explained=True).answer.explained == explained
