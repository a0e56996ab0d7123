"""Ensembles and corners.

The three ensembles: independent reference, project's own; MuJoCo 4.0.0 and SciPy, see tests/data/SOURCES.md.
"""

import itertools
import json
import math
import tracemalloc
from pathlib import Path

import numpy as np
import pytest

from slingwright.errors import InputFault
from slingwright.hang._draw import vary
from slingwright.hang._tally import Tally
from slingwright.hang.batch import Variations, solve_many
from slingwright.hang.document import problem_from_document
from slingwright.hang.spread import Spread, Widths, solve_spread, spread_from_document, spread_to_document

DATA = Path(__file__).parents[2] / "data" / "hang"
PROBLEMS = {
    e["name"]: problem_from_document(e["problem"]) for e in json.loads((DATA / "contract.json").read_text())
}
CASES = {
    c["id"]: problem_from_document(c["problem"])
    for c in json.loads((DATA / "cases.json").read_text())["cases"]
}
ENSEMBLES = json.loads((DATA / "spread.json").read_text())


@pytest.mark.parametrize("ensemble", ENSEMBLES, ids=lambda e: e["id"])
def test_reference_ensemble_within_four_standard_errors(ensemble):
    spread = spread_from_document({"samples": 300_000, "seed": 11, "sd": ensemble["sd"]})
    answer = solve_spread(CASES[ensemble["id"]], spread)
    pairs = ((answer.max_tension_n, ensemble["max_tension_n"]), (answer.tilt_deg, ensemble["tilt_deg_20k"]))
    for figure, reference in pairs:
        for name in ("mean", "p95", "p99"):
            error = math.hypot(getattr(figure, f"{name}_se"), reference[f"{name}_se"])
            assert abs(getattr(figure, name) - reference[name]) < 4 * error, name
    assert [p.chance_slack for p in answer.paths] == [0.0] * len(answer.paths)
    assert answer.chance_capsizes == answer.chance_unreachable == 0.0


def test_the_same_seed_gives_the_same_figures_on_any_number_of_threads():
    spread = Spread(samples=20_000, seed=5, sd=Widths(length_rel=0.005, cg_frac_of_pick_extent_xy=0.03))
    one, two = (solve_spread(CASES["C16"], spread, threads=n) for n in (1, 2))
    assert one == two
    other = solve_spread(CASES["C16"], Spread(samples=20_000, seed=6, sd=spread.sd))
    assert other.max_tension_n.mean != one.max_tension_n.mean


def test_samples_are_added_until_the_error_is_met():
    sd = Widths(weight_rel=0.05, length_rel=0.005)
    answer = solve_spread(CASES["C16"], Spread(to_error=0.001, seed=1, sd=sd))
    assert answer.max_tension_n.p99_se <= 0.001 * answer.max_tension_n.p99
    rougher = solve_spread(CASES["C16"], Spread(to_error=0.02, seed=1, sd=sd))
    assert rougher.samples < answer.samples


@pytest.mark.parametrize("name", ["C16", "bridle", "beam"])
def test_worst_corner_is_the_worst_of_all_corners(name):
    """Every corner again, one by one and by hand."""
    problem = PROBLEMS.get(name) or CASES[name]
    answer = solve_spread(
        problem, Spread(samples=100, limit=Widths(weight_rel=0.1, cg_m=(0.05, 0.04, 0.0), length_m=0.01))
    )
    paths, load = len(problem.paths), problem.bodies[0]
    rest = [b.weight_n for b in problem.bodies[1:]]
    tension, tilt = [], []
    corners = list(itertools.product((-1, 1), repeat=3 + paths))
    for w, x, y, *legs in corners:
        centres = [b.centre_of_gravity_m for b in problem.bodies]
        gx, gy, gz = load.centre_of_gravity_m
        centres[0] = (gx + 0.05 * x, gy + 0.04 * y, gz)
        batch = solve_many(problem, Variations(
            weight_n=np.array([[load.weight_n * (1 + 0.1 * w), *rest]]),
            centre_of_gravity_m=np.array([centres]),
            length_m=np.array([[p.length_m + 0.01 * s for p, s in zip(problem.paths, legs, strict=True)]]),
        ))  # fmt: skip
        tension.append(batch.tension_n[0])
        tilt.append(batch.tilt_deg[0])
    assert answer.every_corner
    assert answer.corners == 2 * len(
        corners
    )  # the third coordinate's width is zero, both its ends are solved
    assert answer.max_tension_n.worst_corner == pytest.approx(np.max(tension), rel=1e-9)
    assert answer.tilt_deg.worst_corner == pytest.approx(max(tilt), rel=1e-9)
    for p, path in enumerate(answer.paths):
        assert path.tension_n.worst_corner == pytest.approx(max(t[p] for t in tension), rel=1e-9)
    assert answer.max_utilisation.worst_corner == pytest.approx(
        max(max(t[p] / problem.paths[p].rated_n for p in range(paths)) for t in tension), rel=1e-9
    )


def test_too_many_corners_are_searched_and_said_to_be():
    limit = Widths(weight_rel=0.05, length_m=0.01, stiffness_rel=0.05, points_m=0.01)
    answer = solve_spread(PROBLEMS["bridle"], Spread(samples=2000, limit=limit))
    assert not answer.every_corner
    assert answer.max_tension_n.worst_corner > answer.max_tension_n.p99


def test_a_wider_limit_is_never_better():
    def worst(width):
        return solve_spread(
            PROBLEMS["bridle"], Spread(samples=50, limit=Widths(length_m=width, weight_rel=width))
        )

    figures = [worst(w).max_tension_n.worst_corner for w in (0.005, 0.01, 0.02, 0.03)]
    assert figures == sorted(figures)


def test_slack_and_capsizing_chances_are_counted():
    answer = solve_spread(CASES["C34"], Spread(samples=4000, sd=Widths(length_m=0.1)))
    chances = [p.chance_slack for p in answer.paths]
    assert 0.05 < max(chances) < 1.0
    tall = solve_spread(CASES["C31"], Spread(samples=500, limit=Widths(cg_m=(0.0, 0.0, 3.0))))
    assert 0.0 < tall.chance_capsizes < 1.0
    assert tall.corner_capsizes


def test_memory_does_not_grow_with_the_samples():
    def peak(samples):
        tracemalloc.start()
        solve_spread(CASES["C16"], Spread(samples=samples, sd=Widths(weight_rel=0.05)), threads=1)
        _, top = tracemalloc.get_traced_memory()
        tracemalloc.stop()
        return top

    peak(1000)
    assert peak(400_000) < 1.1 * peak(50_000)


@pytest.mark.parametrize(
    ("most", "sure"), [(1 << 15, 1 << 30), (1 << 20, 1 << 14)], ids=["drawn", "foretold"]
)
def test_an_error_out_of_reach_is_refused(monkeypatch, most, sure):
    """Not answered with a larger one, as it was when the most samples were drawn without meeting it."""
    monkeypatch.setattr("slingwright.hang.spread.MOST_SAMPLES", most)
    monkeypatch.setattr("slingwright.hang.spread._SURE", sure)
    with pytest.raises(InputFault) as found:
        solve_spread(CASES["C16"], Spread(to_error=1e-4, sd=Widths(weight_rel=0.3)))
    assert found.value.field == "spread.to_error"
    assert f"{most:,}" in str(found.value)


def test_the_chance_of_a_slack_leg_has_its_standard_error():
    """Over seeds the counted shares scatter by the error told; none slack in n leaves about one in n open."""
    answers = [
        solve_spread(CASES["C34"], Spread(samples=500, seed=s, sd=Widths(length_m=0.1)), threads=1)
        for s in range(60)
    ]
    paths = list(zip(*(a.paths for a in answers), strict=True))
    leg = max(paths, key=lambda many: min(p.chance_slack for p in many))
    told = math.sqrt(np.mean([p.chance_slack_se**2 for p in leg]))
    assert np.std([p.chance_slack for p in leg], ddof=1) == pytest.approx(told, rel=0.35)  # 3.8 deviations
    never = solve_spread(CASES["C16"], Spread(samples=500, sd=Widths(weight_rel=0.05))).paths[0]
    assert never.chance_slack == 0.0
    assert never.chance_slack_se == pytest.approx(1 / 500, rel=0.02)


@pytest.mark.parametrize("shape", ["normal", "rising", "with zeros"])
def test_tally_agrees_with_numpys_quantiles(shape):
    """NumPy's `quantile` and `std` on the whole ensemble at once are the judges."""
    rng = np.random.default_rng(8)
    x = {
        "normal": lambda: 5e4 + 3e3 * rng.standard_normal(200_000),
        "rising": lambda: np.linspace(1.0, 900.0, 200_000),
        "with zeros": lambda: np.maximum(0.0, rng.standard_normal(200_000)),
    }[shape]()
    tally = Tally(1)
    for block in np.array_split(x, 17):
        tally.add(block[:, None])
    figure = tally.figure(0, None)
    wide = x.max() / 16384 * 4
    assert figure.mean == pytest.approx(x.mean(), rel=1e-12)
    assert figure.mean_se == pytest.approx(x.std() / math.sqrt(len(x)), rel=1e-6)
    assert figure.p95 == pytest.approx(np.quantile(x, 0.95), abs=wide)
    assert figure.p99 == pytest.approx(np.quantile(x, 0.99), abs=wide)
    if shape == "normal":  # standard error of a normal quantile: sqrt(p q / n) / density
        density = math.exp(-0.5 * 2.326348**2) / math.sqrt(2 * math.pi) / 3e3
        assert figure.p99_se == pytest.approx(math.sqrt(0.01 * 0.99 / len(x)) / density, rel=0.25)


@pytest.mark.parametrize(
    ("doc", "field"),
    [
        ({"samples": 100}, "sd"),
        ({"sd": {"length_rel": 0.01}}, "samples"),
        ({"samples": 100, "to_error": 0.01, "sd": {"length_rel": 0.01}}, "to_error"),
        ({"samples": 1, "sd": {"length_rel": 0.01}}, "samples"),
        ({"samples": 1e6, "sd": {"length_rel": 0.01}}, "samples"),
        ({"samples": 10**9, "sd": {"length_rel": 0.01}}, "samples"),
        ({"to_error": 0.0, "sd": {"length_rel": 0.01}}, "to_error"),
        ({"samples": 100, "seed": -1, "sd": {"length_rel": 0.01}}, "seed"),
        ({"samples": 100, "sd": {"length_rel": -0.01}}, "sd.length_rel"),
        ({"samples": 100, "sd": {"length_rel": 5}}, "sd.length_rel"),  # per cent
        ({"samples": 100, "sd": {"length_rel": math.nan}}, "sd.length_rel"),
        ({"samples": 100, "sd": {"length": 0.01}}, "sd.length"),
        ({"samples": 100, "limit": {"cg_m": [0.1, -0.1, 0.0]}}, "limit.cg_m"),
        ({"samples": 100, "limit": {"cg_m": [0.1, 0.1]}}, "limit.cg_m"),
        ({"samples": 100, "limit": []}, "limit"),
        ({"sample": 100, "sd": {"length_rel": 0.01}}, "sample"),
        ([], ""),
    ],
)
def test_a_faulty_spread_is_refused_by_its_field(doc, field):
    with pytest.raises(InputFault) as caught:
        spread_from_document(doc)
    assert field in [f.field for f in caught.value.faults]


def test_the_document_has_the_contracts_keys():
    spread = spread_from_document(
        {"samples": 64, "seed": 2, "sd": {"points_m": 0.01}, "limit": {"cg_m": 0.02}}
    )
    doc = json.loads(json.dumps(spread_to_document(solve_spread(PROBLEMS["beam"], spread)), allow_nan=False))
    assert {"samples", "seed", "max_tension_n", "max_utilisation", "tilt_deg", "paths"} <= set(doc)
    keys = {"mean", "mean_se", "p95", "p95_se", "p99", "p99_se", "worst_corner"}
    assert set(doc["tilt_deg"]) == keys
    assert set(doc["paths"][0]) == {"name", "tension_n", "utilisation", "chance_slack", "chance_slack_se"}


def test_a_stiffer_leg_stretches_less_and_a_longer_one_more():
    """k = rated / (strain x length): a quarter more stiffness is a fifth less strain at the same load."""
    problem = PROBLEMS["bridle"]
    varied = vary(
        problem, [("stiffness_rel", np.array([[0.25, 0, 0, 0]])), ("length_rel", np.array([[0, 0.1, 0, 0]]))]
    )
    assert varied.strain_at_rated[0] == pytest.approx([0.024, 0.03, 0.03, 0.03])
    assert varied.length_m[0] == pytest.approx([2.75, 3.025, 2.75, 2.75])
