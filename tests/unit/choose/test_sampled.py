"""The least that sampled figures can be, told from a few samples: never too much, and mostly all of it."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

import numpy as np

from slingwright.choose.cases import PERCENTILE
from slingwright.choose.sampled import WorstSamples

if TYPE_CHECKING:
    from numpy.typing import NDArray

_SAMPLES = 2048


def _percentile(shares: NDArray[np.float64]) -> float:
    return float(np.sort(shares)[math.ceil(PERCENTILE * len(shares)) - 1])


def _told(worst: WorstSamples, kinds: list[str], every: NDArray[np.float64]) -> tuple[list[float], int]:
    """What it tells of lanes with these shares (S, samples), and how many of them it looked at."""
    asked = 0

    def shares(lanes: NDArray[np.int64], samples: NDArray[np.int64]) -> NDArray[np.float64]:
        nonlocal asked
        asked += samples.size
        return every[lanes[:, None], samples]

    return worst.least(kinds, shares).tolist(), asked


def test_lanes_alike_are_told_from_few_samples_and_fully() -> None:
    rng = np.random.default_rng(1)
    drawn = rng.uniform(0.4, 0.9, _SAMPLES)
    every = np.array([drawn, drawn * 1.1, drawn + 0.01 * rng.uniform(0, 0.1, _SAMPLES)])
    worst = WorstSamples(_SAMPLES)
    told, asked = _told(worst, ["a", "a", "a"], every)
    assert told == [_percentile(row) for row in every]
    assert asked < 1.2 * _SAMPLES
    again, more = _told(worst, ["a", "b"], every[1:])
    assert again == told[1:]
    assert _SAMPLES < more < 1.2 * _SAMPLES  # the kind that was not met before is drawn in full once


def test_lanes_that_are_not_alike_are_told_too_little_and_never_too_much() -> None:
    rng = np.random.default_rng(2)
    every = rng.uniform(0.4, 0.9, (20, _SAMPLES))
    every[3, :40] = np.inf  # samples that do not hang are worse than any that do
    told, _ = _told(WorstSamples(_SAMPLES), ["a"] * 20, every)
    right = [_percentile(row) for row in every]
    assert told[0] == right[0]
    assert all(t <= r for t, r in zip(told, right, strict=True))
    assert all(t < r for t, r in zip(told[1:], right[1:], strict=True))  # another order: less is known of it
