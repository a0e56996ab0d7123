"""Which samples are solved with care to find the one at a rank, and from where the near ones begin."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pytest

from slingwright.hang import ranked
from slingwright.hang.batch import Batch, Variations
from tests.unit.hang.test_near import PROBLEMS

BEAM = PROBLEMS["beam"]
LIMIT = np.array([1.0, 2.0])


def _batch(worst: Any, pose: Any = None) -> Batch:
    """Samples whose second path is the worst; infinite: one that does not hang, whatever its pulls."""
    share = np.asarray(worst, dtype=np.float64)
    hangs, none = np.isfinite(share), np.zeros(len(share))
    tension = np.stack([0.5 * none, np.where(hangs, share, 0.1) * LIMIT[1]], axis=1)
    return Batch(
        status=np.where(hangs, 0, 1).astype(np.int8), tension_n=tension, slack=tension <= 0.0,
        angle_from_horizontal_deg=tension, tilt_deg=none, hook_above_cg_m=none, up=np.zeros((len(share), 3)),
        pose=np.empty((0, 2, 12)) if pose is None else pose,
    )  # fmt: skip


class Solved:
    """In the solvers' place: near and careful figures that are put in; keeps what is asked."""

    def __init__(self, patch: pytest.MonkeyPatch, near: Any, careful: Any, told: float = 0.5) -> None:
        self.near, self.careful, self.told = near, np.asarray(careful, dtype=np.float64), told
        self.pose = np.full((1, 2, 12), 7.0)
        self.begins: list[Any] = []
        self.with_care: list[int] = []
        for name in ("ready", "solve_ready", "solve_many"):
            patch.setattr(ranked, name, getattr(self, name))

    def ready(self, problem: Any, *, near: bool) -> str:
        assert problem is BEAM
        assert near
        return "made"

    def solve_ready(self, made: str, samples: Variations, **options: Any) -> Batch:
        assert made == "made"
        if samples.length_m is None:  # as the problem says
            assert options == {"threads": 1, "poses": True}
            return _batch([self.told], self.pose)
        self.begins.append(options["begin"])
        return _batch(self.near)

    def solve_many(self, problem: Any, samples: Variations) -> Batch:
        assert problem is BEAM
        assert samples.length_m is not None
        self.with_care = samples.length_m[:, 0].astype(int).tolist()
        return _batch(self.careful[self.with_care])

    def at(self, rank: int) -> int:
        numbers = np.arange(len(self.near), dtype=np.float64)[:, None] + np.zeros(2)
        return ranked.sample_of_rank(BEAM, Variations(length_m=numbers), LIMIT, rank)


@pytest.mark.parametrize(
    ("rank", "right", "with_care"),
    [(0, 3, [3]), (1, 1, [0, 1]), (2, 0, [0, 1]), (3, 2, [2]), (4, 4, [4])],
)
def test_what_lies_close_to_the_ranks_figure_is_ordered_with_care(
    monkeypatch: pytest.MonkeyPatch, rank: int, right: int, with_care: Sequence[int]
) -> None:
    near = [1.0, 1.0 + 0.9e-6, 1.0 + 2.2e-6, 0.5, 2.0]
    solved = Solved(monkeypatch, near, [1.0 + 0.4e-6, 1.0 + 0.3e-6, 1.0 + 2.2e-6, 0.5, 2.0])
    assert solved.at(rank) == right
    assert solved.with_care == with_care


@pytest.mark.parametrize("size", [0.01, 100.0])
def test_close_is_so_much_of_the_figure(monkeypatch: pytest.MonkeyPatch, size: float) -> None:
    near = size * np.array([1.0 + 0.9e-6, 1.0, 1.0 + 1.1e-6])
    solved = Solved(monkeypatch, near, near)
    assert solved.at(0) == 1
    assert solved.with_care == [0, 1]


def test_alike_the_first_number_comes_first(monkeypatch: pytest.MonkeyPatch) -> None:
    solved = Solved(monkeypatch, np.zeros(40), np.zeros(40))
    assert [solved.at(rank) for rank in range(40)] == list(range(40))


def test_what_does_not_hang_is_worse_than_what_does(monkeypatch: pytest.MonkeyPatch) -> None:
    """Careful figures may tell that it hangs after all: then it is the first of these."""
    solved = Solved(monkeypatch, [np.inf, 9.0, np.inf, 1.0], [np.inf, 9.0, 5.0, 1.0])
    assert [solved.at(rank) for rank in range(4)] == [3, 1, 2, 0]
    assert solved.with_care == [0, 2]


@pytest.mark.parametrize(("told", "begins"), [(0.5, True), (np.inf, False)])
def test_samples_begin_where_the_told_one_hangs(
    monkeypatch: pytest.MonkeyPatch, told: float, begins: bool
) -> None:
    solved = Solved(monkeypatch, [1.0, 2.0], [1.0, 2.0], told)
    assert solved.at(0) == 0
    (begin,) = solved.begins
    assert (begin is solved.pose) if begins else (begin is None)
