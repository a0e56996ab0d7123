"""A sample's model, and what is read off its solved pose."""

import math
from types import SimpleNamespace

import numpy as np
import pytest

from slingwright.hang import _kernel_batch as kb
from slingwright.hang import _kernel_energy as ke


def _base(on, first, paths, bodies=1, load=0):
    figure = np.zeros(4)
    figure[ke.LOAD] = load
    none = np.zeros(paths)
    return ke.Model(
        np.ones(bodies), np.zeros((len(on), 3)), np.array(on), np.array(first), none, none, figure
    )


def modelled(point, on, first, lies, given, length, cg=((0.5, -0.25, 1.0),), weight=(2.0,)):
    paths = len(lies)
    base = _base(on, first, paths, len(weight), load=len(weight) - 1)
    return kb.model_at(
        base, np.array(weight), np.array(cg), np.array(point, dtype=float), np.array(lies, dtype=float),
        np.array(given), np.array(length, dtype=float), np.full(paths, 7.0), np.empty((len(on), 3)),
        np.empty(paths), np.empty(4),
    )  # fmt: skip


def test_a_samples_model():
    point = [(0, 0, 5), (0, -1, 1), (0, 2, 1), (0, 0, 5)]
    m = modelled(point, [-1, 0, 0, -1], [0, 4], [0.0], [False], [12.0])
    assert m.arm == pytest.approx(
        np.array(point) - np.array([[0, 0, 0], [0.5, -0.25, 1], [0.5, -0.25, 1], [0, 0, 0]])
    )
    assert m.rest == pytest.approx([12.0 - 3.0])  # the chord lies on the load
    assert m.figure == pytest.approx([math.hypot(0.5, 2.25), 2.0, 0.0, 0.0])
    assert m.stiff == pytest.approx([7.0])
    # given, it is what lies there; longer than its chord it is round
    m = modelled(point, [-1, 0, 0, -1], [0, 4], [3.5], [True], [12.0])
    assert m.rest == pytest.approx([8.5])
    assert m.figure[ke.ROUND] == pytest.approx(1.5)
    for lies, chord in ((3.0 * (1 + 0.9e-6), 0.0), (3.0 * (1 + 1.1e-6), 1.5), (2.0, 0.0)):
        m = modelled(point, [-1, 0, 0, -1], [0, 4], [lies], [True], [12.0])
        assert m.figure[ke.ROUND] == pytest.approx(chord)
    # very long slings set the scale
    assert modelled(point, [-1, 0, 0, -1], [0, 4], [0.0], [False], [40.0]).figure[ke.SCALE] == pytest.approx(
        4.0
    )


def test_a_samples_model_of_many():
    """Two bodies: weights add, the widest round and the longest sling count."""
    point = [(0, 0, 5), (3, 0, 4), (0, -1, 1), (0, 1, 1), (0, 0, 5), (0, -2, 1), (0, 1, 1), (9, 9, 9)]
    on = [-1, -1, 0, 0, 1, 1, 1, -1]
    m = modelled(
        point,
        on,
        [0, 4, 8],
        [4.0, 9.0],
        [True, True],
        [500.0, 9.0],
        cg=((0, 0, 1.0), (0, 0, 1.0)),
        weight=(2.0, 3.0),
    )
    chord = math.dist(point[4], point[5]) + 3.0
    assert m.figure == pytest.approx([50.0, 5.0, 0.5 * chord, 1.0])
    assert m.rest == pytest.approx([496.0, 0.0])
    m = modelled(
        point,
        on,
        [0, 4, 8],
        [4.0, 0.0],
        [True, False],
        [9.0, 500.0],
        cg=((0, 0, 1.0), (0, 0, 1.0)),
        weight=(2.0, 3.0),
    )
    assert m.figure == pytest.approx([50.0, 5.0, 1.0, 1.0])
    assert m.rest == pytest.approx([5.0, 500.0 - chord])


def test_hook_height_and_upper_end():
    point = np.array([[0, 0, 4.0], [0, 0, 5.0], [0, 0, 9.0]])
    on = np.array([-1, -1, 0])
    assert kb._top(on, point, np.array([])) == 5.0
    assert kb._top(on, point, np.array([7.0])) == 7.0
    m = SimpleNamespace(first=np.array([0, 3, 5]))
    x = np.array([[0, 0, 1.0], [0, 0, 8.0], [0, 0, 2.0], [0, 0, 3.0], [0, 0, 3.0]])
    assert kb.upper_end(m, x, 0) == (2, 1)
    assert kb.upper_end(m, x, 1) == (3, 4)
    x[4, 2] = 3.0 + 2e-12
    assert kb.upper_end(m, x, 1) == (4, 3)
    x[4, 2] = 3.0 + 0.5e-12
    assert kb.upper_end(m, x, 1) == (3, 4)
