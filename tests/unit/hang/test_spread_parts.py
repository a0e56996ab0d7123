"""Parts of the ensembles by hand: widths, steps, corners, counting, what is refused and what is said."""

import math

import numpy as np
import pytest

from slingwright.errors import InputFault
from slingwright.hang import _draw, _tally, spread
from slingwright.hang.batch import Batch
from slingwright.hang.problem import Body, Path, Point, Problem

HOOK = (0.0, 0.0, 4.0)


def _path(name, a, b, length=3.0, rated=1e4):
    return Path(name=name, points=(a, b), length_m=length, rated_n=rated, strain_at_rated=0.04)


def problem():
    """A load that is the second body, its picks 2 m by 3 m apart; a beam of its own over it."""
    beam = Body(name="beam", weight_n=100.0, centre_of_gravity_m=(0.0, 0.0, 0.0), start_m=(0.0, 0.0, 3.0))
    load = Body(name="load", weight_n=1000.0, centre_of_gravity_m=(0.1, 0.2, 0.3))
    picks = (Point("load", (-1.0, -1.0, 0.0)), Point("load", (1.0, 2.0, 0.5)))
    eye = Point("beam", (0.0, 0.0, 0.0))
    return Problem(
        bodies=(beam, load),
        paths=(
            _path("top", Point("world", HOOK), eye), _path("a", eye, picks[0], rated=2e4),
            _path("b", eye, picks[1]),
        ),
    )  # fmt: skip


def _told(doc, field=""):
    with pytest.raises(InputFault) as told:
        spread.spread_from_document(doc, field)
    return [(f.field, f.problem, f.hint) for f in told.value.faults]


def test_a_spread_is_read_as_it_stands():
    read = spread.spread_from_document({"samples": 2, "seed": 2**63 - 1, "sd": {"cg_m": [0.1, 0.0, 0.2]}})
    assert (read.samples, read.to_error, read.seed) == (2, None, 2**63 - 1)
    assert read.sd == spread.Widths(cg_m=(0.1, 0.0, 0.2))
    assert read.limit == spread.Widths()
    read = spread.spread_from_document(
        {"to_error": 1e-4, "limit": {"cg_m": 10.0, "points_m": 10, "length_rel": 0.3, "weight_rel": 0.0}}
    )
    assert (read.samples, read.to_error, read.seed) == (None, 1e-4, 0)
    assert read.limit == spread.Widths(cg_m=(10.0,) * 3, points_m=10.0, length_rel=0.3, weight_rel=0.0)
    assert spread.spread_from_document({"to_error": 0.5, "sd": {"weight_rel": 0.1}}).to_error == 0.5
    assert spread.spread_from_document({"samples": 1 << 24, "sd": {"weight_rel": 0.1}}).samples == 16777216
    assert spread.Spread() == spread.Spread(samples=None, to_error=None, seed=0)


@pytest.mark.parametrize(
    ("doc", "told"),
    [
        ({"samples": 5, "to_error": 0.1}, ("to_error", "stands beside samples", "give one of the two")),
        ({}, ("samples", "is missing", "give samples, or to_error")),
        ({"samples": 1}, ("samples", "1 is out of range", "must be between 2 and 16777216")),
        (
            {"samples": (1 << 24) + 1},
            ("samples", "16777217 is out of range", "must be between 2 and 16777216"),
        ),
        ({"samples": 5, "seed": 2**63}, ("seed", None, f"must be between 0 and {2**63 - 1}")),
        ({"to_error": 0.51}, ("to_error", "0.51 is out of range", None)),
        ({"to_error": 0.99e-4}, ("to_error", "9.9e-05 is out of range", None)),
        ({"samples": 5, "sd": {"length_m": 10.1}}, ("sd.length_m", "10.1 is out of range", None)),
        ({"samples": 5, "sd": {"stiffness_rel": 0.31}}, ("sd.stiffness_rel", "0.31 is out of range", None)),
        ({"samples": 5, "sd": {"cg_m": [0, 10.1, 0]}}, ("sd.cg_m[1]", "10.1 is out of range", None)),
        ({"samples": 5, "limit": {"cg_m": -1e-9}}, ("limit.cg_m", "-1e-09 is out of range", None)),
        ({"samples": 5, "limit": {"cg_m": (0, -1e-9, 1)}}, ("limit.cg_m", "a width below zero", None)),
    ],
)
@pytest.mark.parametrize("field", ["", "job.spread"])
def test_each_fault_of_a_spread_is_told_alone(doc, told, field):
    """One fault each, under its field wherever the document stands, and no other for the stand-in's sake."""
    ((where, problem, hint),) = _told({"sd": {"weight_rel": 0.1}, **doc}, field)
    assert where == (f"{field}.{told[0]}" if field else told[0])
    assert told[1] in (None, problem)
    assert told[2] in (None, hint)


def test_where_nothing_varies():
    hint = f"give at least one of: {', '.join(_draw.NAMES)}"
    assert _told({"samples": 9}) == [("sd", "nothing varies", hint)]
    assert _told({"samples": 9, "sd": {}, "limit": {}}, "s") == [("s.sd", "nothing varies", hint)]


def test_what_varies_is_what_has_a_width():
    """Name, count and width of each free figure; the load is known by its name, a shared pick is one."""
    widths = _draw.Widths(
        weight_rel=0.1, cg_frac_of_pick_extent_xy=0.5, cg_m=(0.0, 0.2, 0.0), length_rel=0.01, length_m=0.0,
        stiffness_rel=0.2, points_m=0.03,
    )  # fmt: skip
    steps = _draw.corner_steps(problem(), widths, np.ones((1, 21), dtype=np.int8))
    found = {name: step[0].tolist() for name, step in steps}
    assert found == {
        "weight_rel": [0.1], "cg_frac_of_pick_extent_xy": [1.0, 1.5], "cg_m": [0.0, 0.2, 0.0],
        "length_rel": [0.01] * 3, "stiffness_rel": [0.2] * 3, "points_m": [0.03] * 9,
    }  # fmt: skip
    assert _draw.free_figures(problem(), widths) == 1 + 2 + 3 + 3 + 3 + 9
    assert _draw.free_figures(problem(), _draw.Widths()) == 0
    assert _draw.free_figures(problem(), _draw.Widths(cg_m=(0.0, 0.0, 0.0))) == 0
    assert _draw.free_figures(problem(), _draw.Widths(length_m=0.1)) == 3
    # each sign goes to its own figure
    signs = np.array([[1, -1, 1, -1, -1, 1]], dtype=np.int8)
    some = _draw.Widths(weight_rel=0.1, cg_frac_of_pick_extent_xy=0.5, length_m=0.2)
    got = [step[0].tolist() for _, step in _draw.corner_steps(problem(), some, signs)]
    assert got == [[0.1], [-1.0, 1.5], [-0.2, -0.2, 0.2]]


def test_draws_are_fixed_by_seed_and_block_and_have_their_width():
    sd, limit = _draw.Widths(weight_rel=0.1), _draw.Widths(length_m=0.2)
    (first, normal), (second, even) = _draw.drawn(problem(), sd, limit, 7, 0, 20_000)
    assert (first, second) == ("weight_rel", "length_m")
    assert normal.shape == (20_000, 1)
    assert even.shape == (20_000, 3)
    # mean and standard deviation within five of their own errors; an even one keeps within its half width
    assert abs(normal.mean()) < 5 * 0.1 / math.sqrt(20_000)
    assert normal.std() == pytest.approx(0.1, rel=5 / math.sqrt(2 * 20_000))
    assert abs(normal).max() > 0.3
    assert abs(even).max() <= 0.2
    assert even.min() < -0.199
    assert even.std() == pytest.approx(0.2 / math.sqrt(3), rel=0.01)
    again = _draw.drawn(problem(), sd, limit, 7, 0, 20_000)
    assert (again[0][1] == normal).all()
    for seed, block in ((8, 0), (7, 1)):
        assert not (_draw.drawn(problem(), sd, limit, seed, block, 20_000)[0][1] == normal).any()


def test_each_step_changes_its_own_figure():
    """By hand, two samples; weight and centre are the load's, whichever body that is."""
    steps = [
        ("weight_rel", np.array([[0.5], [-2.0]])),
        ("cg_frac_of_pick_extent_xy", np.array([[1.0, 2.0], [0.0, 0.0]])),
        ("cg_m", np.array([[0.1, 0.2, 0.4], [0.0, 0.0, 1.0]])),
        ("length_rel", np.array([[0.1, 0.0, -3.0], [0.0, 0.0, 0.0]])),
        ("length_m", np.array([[0.3, -1.0, 0.0], [-5.0, 0.0, 0.0]])),
        ("stiffness_rel", np.array([[0.25, 0.0, -2.0], [0.0, 0.0, 0.0]])),
    ]
    varied = _draw.vary(problem(), steps)
    assert varied.weight_n.tolist() == [[100.0, 1500.0], [100.0, 50.0]]  # not below a twentieth
    assert varied.centre_of_gravity_m[0].ravel().tolist() == pytest.approx([0, 0, 0, 1.2, 2.4, 0.7])
    assert varied.centre_of_gravity_m[1].ravel().tolist() == pytest.approx([0, 0, 0, 0.1, 0.2, 1.3])
    assert varied.length_m[0].tolist() == pytest.approx([3.6, 2.0, 0.15])
    assert varied.length_m[1].tolist() == pytest.approx([0.15, 3.0, 3.0])
    assert varied.strain_at_rated[0].tolist() == pytest.approx([0.032, 0.04, 0.8])
    assert varied.points_m is None
    assert _draw.vary(problem(), []) == _draw.Variations()


def test_points_move_where_they_are_on_a_body_and_together_where_they_are_one():
    """Places in order of first mention: the beam's eye (shared by three paths), pick a, pick b."""
    step = np.arange(1.0, 19.0).reshape(2, 9)
    moved = _draw.vary(problem(), [("points_m", step)]).points_m
    eye, a, b = step[:, :3], step[:, 3:6], step[:, 6:]
    assert (moved == np.stack([0 * eye, eye, eye, a, eye, b], axis=1)).all()
    twice = _draw.vary(problem(), [("points_m", step), ("points_m", step)]).points_m
    assert (twice == 2 * moved).all()


def test_the_tally_of_a_few_by_hand():
    """Eight samples in two blocks, the second outside the first one's bins."""
    tally = _tally.Tally(2)
    tally.add(np.array([[1.0, 0.0], [2.0, 0.0], [3.0, 0.0], [4.0, 0.0]]))
    assert (tally._width[0], tally.samples) == (8.0 / 16384, 4)  # the largest lies inside
    tally.add(np.array([[8.0, 0.0], [16.0, 0.0], [32.0, 0.0], [64.0, 0.0]]))
    assert tally.samples == 8
    assert tally._width[0] == 128.0 / 16384
    assert tally._counts[0].sum() == tally._counts[1].sum() == 8
    assert np.flatnonzero(tally._counts[0]).tolist() == [
        int(x / tally._width[0]) for x in (1, 2, 3, 4, 8, 16, 32, 64)
    ]
    figure = tally.figure(0, 70.0)
    x = np.array([1, 2, 3, 4, 8, 16, 32, 64.0])
    assert figure.mean == pytest.approx(x.mean())
    assert figure.mean_se == pytest.approx(x.std() / math.sqrt(8))
    assert figure.worst_corner == 70.0
    # 95 % of eight samples: 0.6 into the last bin; 99 %: 0.92
    assert figure.p95 == pytest.approx(64.0 + 0.6 * tally._width[0], rel=1e-12)
    assert figure.p99 == pytest.approx(64.0 + 0.92 * tally._width[0], rel=1e-12)
    none = tally.figure(1, None)
    assert (none.mean, none.mean_se, none.worst_corner) == (0.0, 0.0, None)
    assert none.p99 < 1e-290


def test_quantiles_lie_linear_within_a_bin():
    tally = _tally.Tally(1)
    tally.add(np.array([[16384.0 - 0.5], [10.0], [10.0], [10.0], [10.0], [20.0], [20.0], [20.0]]))
    assert tally._width[0] == 1.0
    assert tally._quantile(0, 0.25) == pytest.approx(10.5)
    assert tally._quantile(0, 0.5) == pytest.approx(11.0)
    assert tally._quantile(0, 0.625) == pytest.approx(20 + 1 / 3)
    low = _tally.Tally(1)
    low.add(np.array([[0.0], [0.0], [0.0], [0.0], [16383.5]]))
    assert low._quantile(0, 0.4) == pytest.approx(0.5)  # two of the first bin's four
    assert tally._quantile(0, -1.0) == tally._quantile(0, 0.0) == 0.0
    assert tally._quantile(0, 2.0) == tally._quantile(0, 1.0) == 16384.0


def test_a_percentiles_error_is_the_order_statistics_beside_it():
    """Even figures over [0, 1]: the error is sqrt(q (1 - q) / n), whether one or two deviations fit above."""
    for n in (400, 4000, 40_000):  # the fewer, the coarser
        tally = _tally.Tally(1)
        tally.add(((np.arange(n) + 0.5) / n)[:, None])
        figure = tally.figure(0, None)
        for q, error in ((0.95, figure.p95_se), (0.99, figure.p99_se)):
            d = math.sqrt(q * (1 - q) / n)
            if q + d <= 1.0:
                assert error == pytest.approx(d, rel=0.02 + 50 / n), (n, q)
    # two deviations beside the 95th: the figures may bend there
    tally = _tally.Tally(1)
    x = (np.arange(10_000) + 0.5) / 10_000
    tally.add(np.where(x > 0.9525, 10.0 * (x - 0.9525) + 0.9525, x)[:, None])
    d = math.sqrt(0.95 * 0.05 / 10_000)
    up, down = 0.95 + 2 * d, 0.95 - 2 * d
    assert tally.figure(0, None).p95_se == pytest.approx((10 * (up - 0.9525) + 0.9525 - down) / 4, rel=0.02)


def test_rows_are_largest_tension_largest_share_tilt_and_each_tension():
    batch = Batch(
        status=np.zeros(2, np.int8), tension_n=np.array([[10.0, 30.0, 20.0], [0.0, 5.0, 1.0]]),
        slack=np.zeros((2, 3), bool), angle_from_horizontal_deg=np.zeros((2, 3)),
        tilt_deg=np.array([7.0, 8.0]), hook_above_cg_m=np.zeros(2), up=np.zeros((2, 3)),
    )  # fmt: skip
    rows = spread._rows(problem(), batch)
    assert rows.tolist() == [[30.0, 0.002, 7.0, 10.0, 30.0, 20.0], [5.0, 0.00025, 8.0, 0.0, 5.0, 1.0]]


def test_shares_of_the_rated_load():
    figure = _tally.Figure(
        mean=2.0, mean_se=4.0, p95=6.0, p95_se=8.0, p99=10.0, p99_se=12.0, worst_corner=14.0
    )
    assert spread._over(figure, 2.0) == _tally.Figure(
        mean=1.0, mean_se=2.0, p95=3.0, p95_se=4.0, p99=5.0, p99_se=6.0, worst_corner=7.0
    )
    figure = _tally.Figure(mean=2.0, mean_se=4.0, p95=6.0, p95_se=8.0, p99=10.0, p99_se=12.0)
    assert spread._over(figure, 2.0).worst_corner is None


def linear(monkeypatch, status=0):
    """In the solver's place: tensions that are the lengths, so that every answer is known."""
    sizes = []

    def solve_many(problem, v, *, threads=None):
        n = v.count()
        sizes.append(n)
        tension = np.zeros((n, 3)) + [p.length_m for p in problem.paths] if v.length_m is None else v.length_m
        return Batch(
            status=np.full(n, status, np.int8), tension_n=tension, slack=tension < 3.0,
            angle_from_horizontal_deg=tension, tilt_deg=tension[:, 0], hook_above_cg_m=tension[:, 0],
            up=tension,
        )  # fmt: skip

    monkeypatch.setattr(spread, "solve_many", solve_many)
    return sizes


def test_blocks_of_an_ensemble(monkeypatch):
    """A sample does not depend on how many are wanted; the last block is cut to what is left."""
    sizes = linear(monkeypatch)
    sd = spread.Widths(length_m=0.01)
    answer = spread.solve_spread(problem(), spread.Spread(samples=40_000, seed=3, sd=sd))
    assert sizes == [16384, 16384, 40_000 - 2 * 16384]
    assert answer.samples == 40_000
    assert answer.seed == 3
    assert [p.chance_slack for p in answer.paths] == pytest.approx([0.5] * 3, abs=0.02)
    assert (answer.corners, answer.every_corner, answer.max_tension_n.worst_corner) == (0, True, None)
    assert (answer.corner_capsizes, answer.corner_unreachable) == (False, False)
    assert [p.name for p in answer.paths] == ["top", "a", "b"]
    assert answer.paths[1].utilisation.mean == pytest.approx(answer.paths[1].tension_n.mean / 2e4)


@pytest.mark.parametrize(("status", "chances"), [(0, (0, 0)), (1, (1, 0)), (2, (0, 1))])
def test_chances_and_corners_tell_states_apart(monkeypatch, status, chances):
    linear(monkeypatch, status)
    answer = spread.solve_spread(problem(), spread.Spread(samples=5, limit=spread.Widths(length_m=0.1)))
    assert (answer.chance_capsizes, answer.chance_unreachable) == chances
    assert (answer.corner_capsizes, answer.corner_unreachable) == tuple(bool(c) for c in chances)


def test_an_ensemble_grows_until_its_error_is_met(monkeypatch):
    sizes = linear(monkeypatch)
    tight = spread.Spread(to_error=1e-4, sd=spread.Widths(length_m=0.1))
    answer = spread.solve_spread(problem(), tight)
    assert len(sizes) > 1
    assert answer.max_tension_n.p99_se <= 1e-4 * answer.max_tension_n.p99
    sizes.clear()
    spread.solve_spread(problem(), spread.Spread(to_error=0.1, sd=spread.Widths(length_m=0.1)))
    assert sizes == [16384]


def test_all_corners_where_they_are_few(monkeypatch):
    sizes = linear(monkeypatch)
    answer = spread.solve_spread(problem(), spread.Spread(samples=2, limit=spread.Widths(length_m=0.25)))
    assert sizes[1:] == [8]
    assert (answer.corners, answer.every_corner) == (8, True)
    assert answer.max_tension_n.worst_corner == 3.25
    assert [p.tension_n.worst_corner for p in answer.paths] == [3.25] * 3
    assert answer.paths[1].utilisation.worst_corner == 3.25 / 2e4


def test_corners_that_are_too_many_are_searched_from_many_starts(monkeypatch):
    """Sixteen free figures and more: the worst of a linear figure is found by flips, and all are counted."""
    sizes = linear(monkeypatch)
    limit = spread.Widths(length_m=0.25, stiffness_rel=0.1, points_m=0.1, weight_rel=0.1)
    answer = spread.solve_spread(problem(), spread.Spread(samples=2, limit=limit))
    assert not answer.every_corner
    assert sizes[1] == 64
    assert set(sizes[2:]) == {16}
    assert answer.corners == sum(sizes[1:])
    assert answer.max_tension_n.worst_corner == 3.25
    assert [p.tension_n.worst_corner for p in answer.paths] == [3.25] * 3
    # as many as 2^15 are all looked at
    fifteen = spread.Widths(length_m=0.25, stiffness_rel=0.1, points_m=0.1)
    assert spread.solve_spread(problem(), spread.Spread(samples=2, limit=fifteen)).corners == 32768


class Tally:
    """An ensemble whose 99th percentile of the largest tension and its error are given."""

    def __init__(self, samples, error, p99=200.0):
        self.samples, self.error, self.p99 = samples, error, p99

    def figure(self, m, worst):
        assert (m, worst) == (0, None)
        return _tally.Figure(mean=0.0, mean_se=9.0, p95=9.0, p95_se=9.0, p99=self.p99, p99_se=self.error)


def test_whether_an_error_is_met_or_never_will_be():
    """At most 2^24 samples; from 2^20 on what it takes is foretold, and refused at twice as many."""
    most, sure = 1 << 24, 1 << 20
    met = spread._is_met
    assert met(Tally(100, 2.0), 0.01) is True  # just
    assert met(Tally(100, 2.1), 0.01) is False
    # 2^20 samples at an error s times too large take s^2 times as many: 32 times is twice the most
    for samples, times, refused in (
        (sure, 31.9, False), (sure, 32.1, True), (sure - 1, 99.0, False), (most - 1, 1.9, False),
        (most - 1, 2.1, True), (most, 1.01, True),
    ):  # fmt: skip
        tally = Tally(samples, 2.0 * math.sqrt(times))
        if not refused:
            assert met(tally, 0.01) is False
            continue
        with pytest.raises(InputFault, match="would take about") as told:
            met(tally, 0.01)
        assert told.value.field == "spread.to_error"
        assert f"{samples * times:,.0f}" in told.value.problem
        assert told.value.hint == "ask for a larger error, or give samples"


def test_error_of_a_share():
    """Mean and deviation of a beta distribution (s + 1, n - s + 1): textbook, from memory."""
    for share, n in ((0.0, 8), (0.25, 8), (1.0, 100)):
        a, b = share * n + 1, n - share * n + 1
        assert spread._share_error(share, n) == pytest.approx(math.sqrt(a * b / ((a + b) ** 2 * (a + b + 1))))


def test_blocks_are_numbered_one_after_another(monkeypatch):
    linear(monkeypatch)
    real, blocks = spread.drawn, []

    def drawn(problem, sd, limit, seed, block, count):
        blocks.append((seed, block, count))
        return real(problem, sd, limit, seed, block, count)

    monkeypatch.setattr(spread, "drawn", drawn)
    answer = spread.solve_spread(
        problem(), spread.Spread(samples=40_000, seed=3, sd=spread.Widths(length_m=0.01))
    )
    assert blocks == [(3, 0, 16384), (3, 1, 16384), (3, 2, 16384)]
    for path in answer.paths:
        assert path.chance_slack_se == spread._share_error(path.chance_slack, 40_000)
