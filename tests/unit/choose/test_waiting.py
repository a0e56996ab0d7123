"""Rows round a load are hung when their turn comes: as told, and to the end only those before the answer."""

from __future__ import annotations

import numpy as np
import pytest

from slingwright.choose.asked import Asked
from slingwright.choose.known import Question, asked_of, put_off
from slingwright.choose.nominal import WAITS
from slingwright.choose.pace import Pace
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.choose.sieve import FEW, Sieve
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.shops import harrow_quay, harrow_quay_prices

LOADS = ("box", "cylinder")


def setting_of(shape: str, weight: str = "9000 lb") -> Setting:
    across = {"diameter": "30 in"} if shape == "cylinder" else {"width": "30 in", "height": "30 in"}
    doc = {
        "load": {
            "weight": weight, "known_by": "scale", "shape": shape, "length": "200 in", **across,
            "centre_of_gravity": ["98 in", "15 in", "15 in"], "centre_tolerance": "1/2 in",
            "edge_radius": "3/4 in", "surface": 0.35, "choke_angle": "free", "surface_temperature": "80 °F",
        },
        "hook": {"headroom": "220 in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": "3 deg"},
    }  # fmt: skip
    return Setting(
        lift=read_document(doc), rulebook=load_rulebook("us"), shop=harrow_quay(), book=harrow_quay_prices(),
        draws=draw(1, samples=128),
    )  # fmt: skip


def _lanes(search: Search) -> tuple[Sieve, Asked]:
    """All lanes of the first group round the load that has many, every make of it."""
    group = next(g for g in search.space.groups if put_off(g) and g.makes and g.rows.fits.sum() > FEW)
    row, place = np.nonzero(group.rows.fits)
    makes = {s.rated[0].cell.rated_n: s for s in group.makes}.values()
    every = [asked_of(Question(group, group.rows, strong, row, place)) for strong in makes]
    asked = Asked(*(np.concatenate(x) for x in zip(*every, strict=True)))
    return Sieve(search.setting, group.arrangements, float(group.rows.level_m[row[0], place[0]])), asked


@pytest.mark.parametrize("graded_lose", [False, True])
@pytest.mark.parametrize("name", LOADS)
def test_lanes_hung_in_two_goes_are_as_hung_in_one(name: str, graded_lose: bool) -> None:
    """Asked in two batches of other sizes, gone on with in a third of both, in another order."""
    sieve, asked = _lanes(Search(setting_of(name)))
    whole = sieve.sift(asked, graded_lose=graded_lose)
    half = len(asked.place) // 3
    parts = [sieve.sift(Asked(*(x[at] for x in asked)), graded_lose=graded_lose, wait=True)
             for at in (slice(0, half), slice(half, None))]  # fmt: skip
    why = np.concatenate([p.why for p in parts])
    number = np.concatenate([p.number for p in parts if p.number is not None])
    waits = np.flatnonzero(why == WAITS)[::-1]
    assert FEW < len(waits) < len(why)
    assert (why[why != WAITS] == whole.why[why != WAITS]).all()
    late = sieve.resume(number[waits])
    assert set(late.why) - {0}  # some fall at their corners
    for told, right in ((late.why, whole.why), (late.share, whole.share), (late.graded, whole.graded)):
        assert (told == right[waits]).all()


def test_what_is_hung_beyond_the_need_is_a_share_of_what_had_to_be() -> None:
    keys = [np.arange(0, 200_000, 2), np.arange(1, 200_000, 2), np.full(3, 7)]
    pace, hung = Pace(32), []
    while sum(map(len, keys)) > 50_000:
        cut = pace.cut(keys)
        assert all(n <= len(k) for n, k in zip(cut, keys, strict=True))
        gone = np.concatenate([k[:n] for n, k in zip(cut, keys, strict=True)])
        keys = [k[n:] for n, k in zip(cut, keys, strict=True)]
        assert gone.max() < min(k[0] for k in keys if len(k))  # the next in order, those that tie together
        hung.append(len(gone))
    assert hung[0] == 32
    assert all(n <= max(8192, sum(hung[:i]) // 4) + 4 for i, n in enumerate(hung) if i)


@pytest.mark.parametrize("name", LOADS)
def test_rows_dearer_than_the_answer_are_not_hung_to_their_end(
    name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    setting = setting_of(name)
    resumed: list[int] = []
    once = Sieve.resume
    monkeypatch.setattr(
        Sieve, "resume", lambda s, number, **k: (resumed.append(len(number)), once(s, number, **k))[1]
    )
    found = Search(setting).walk("price")
    needed = sum(resumed)
    monkeypatch.setattr(Pace, "cut", lambda pace, keys: [len(k) for k in keys])  # all that waits at once
    eager = Search(setting).walk("price")
    assert found.answer is not None
    assert eager.answer is not None
    assert found.answer.candidate == eager.answer.candidate
    assert 0 < needed * 1.1 < sum(resumed) - needed
