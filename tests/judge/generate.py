"""Random hang problems of every kind, in the contract's form. Imports nothing of slingwright."""

from __future__ import annotations

import math

import numpy as np

KINDS = ("bridle", "wire", "uneven", "tall", "renders", "locked", "choker", "beam", "two hooks")


def random_problem(kind: str, rng: np.random.Generator) -> dict:
    """One problem of a kind, as a document of the contract."""
    return _MAKERS[kind](rng)


def _round(x: float) -> float:
    return float(f"{x:.9g}")


def _vector(*x: float) -> list[float]:
    return [_round(float(v)) for v in x]


def _body(name: str, weight: float, centre: list[float], start: list[float] | None = None) -> dict:
    return {
        "name": name,
        "weight_n": _round(weight),
        "centre_of_gravity_m": centre,
        "start_m": start or [0, 0, 0],
    }


def _leg(name, sling, upper, lower, length, rated, strain, on="load", top="world", **more) -> dict:
    return {
        "name": name,
        "sling": sling,
        "points": [{"on": top, "at_m": upper}, {"on": on, "at_m": lower}],
        "length_m": _round(length),
        "rated_n": _round(rated),
        "strain_at_rated": _round(strain),
        **{k: _round(v) for k, v in more.items()},
    }


def _picks(rng, n, span):
    """n picks near a ring, stretched along x."""
    turn = rng.uniform(0, math.pi)
    at = [turn + 2 * math.pi * (i + rng.uniform(-0.15, 0.15)) / n for i in range(n)]
    wide = rng.uniform(0.35, 1.0)
    return [(span * math.cos(a), wide * span * math.sin(a), rng.uniform(-0.1, 0.1) * span) for a in at]


def _bridle(rng, strain=(0.03, 0.1), scatter=0.004, offset=0.25, below=(0.1, 1.0), legs=(2, 7)):
    n = int(rng.integers(*legs))
    weight, span = 10 ** rng.uniform(3.5, 6.0), 10 ** rng.uniform(-0.3, 0.6)
    picks = _picks(rng, n, span)
    centre = _vector(
        *(rng.uniform(-offset, offset, 2) * span * (0.15 if n == 2 else 0.5)), -rng.uniform(*below) * span
    )
    rise = span * rng.uniform(0.8, 2.5)
    hook = _vector(centre[0], centre[1], rise)
    rated, give = weight / n * rng.uniform(0.9, 2.5), rng.uniform(*strain)
    paths = []
    for i, pick in enumerate(picks):
        length = math.dist(hook, pick) * (1 + rng.normal(0, scatter)) / (1 + 0.3 * give)
        paths.append(_leg(f"leg {i}", i, hook, _vector(*pick), length, rated, give * rng.uniform(0.95, 1.05)))
    return {"bodies": [_body("load", weight, centre)], "paths": paths}


def _wire(rng):
    return _bridle(rng, strain=(0.004, 0.01), scatter=0.0015)


def _uneven(rng):
    """Stock lengths, or a centre near the edge: legs go slack."""
    return _bridle(rng, scatter=rng.uniform(0.01, 0.05), offset=1.1, legs=(3, 7))


def _tall(rng):
    """Picks below the centre of gravity: some capsize."""
    return _bridle(rng, below=(-1.3, -0.2), offset=0.15, legs=(3, 5))


def _section(rng):
    """Width, height of a box, distance between two slings."""
    wide = rng.uniform(0.5, 1.5)
    return wide, wide * rng.uniform(0.7, 2.0), wide * rng.uniform(1.0, 2.5)


def _basket(rng, locked):
    wide, high, long = _section(rng)
    weight = 10 ** rng.uniform(3.8, 5.5)
    centre = _vector(
        rng.uniform(-0.1, 0.1) * long, rng.uniform(-0.05, 0.05) * wide, high * rng.uniform(0.3, 0.55)
    )
    hook = _vector(centre[0], centre[1], high + long * rng.uniform(0.9, 2.0))
    rated, give = weight / 4 * rng.uniform(0.9, 2.5), rng.uniform(0.03, 0.1)
    paths = []
    for i, x in enumerate((-0.5 * long, 0.5 * long)):
        tops = [_vector(x, s * 0.5 * wide, high) for s in (-1, 1)]
        lows = [_vector(x, s * 0.5 * wide, 0) for s in (-1, 1)]
        sides = [math.dist(hook, t) * (1 + rng.normal(0, 0.002)) for t in tops]
        lies = wide + 2 * high
        if locked:
            for k in range(2):
                elastic = sides[k] + 0.5 * lies
                paths.append(_leg(f"{i}{k}", i, hook, tops[k], sides[k], rated, give, elastic_m=elastic))
            continue
        turns = [tops[0], lows[0], lows[1], tops[1]]
        points = [{"on": "world", "at_m": hook}, *({"on": "load", "at_m": t} for t in turns)]
        path = _leg(f"basket {i}", i, hook, tops[0], sum(sides) + lies, rated, give)
        path["points"] = [*points, {"on": "world", "at_m": hook}]
        paths.append(path)
    return {"bodies": [_body("load", weight, centre)], "paths": paths}


def _choker(rng):
    weight, long = 10 ** rng.uniform(3.5, 5.5), rng.uniform(2.0, 12.0)
    radius = long * rng.uniform(0.03, 0.12)
    centre = _vector(rng.uniform(-0.06, 0.06) * long, 0, 0)
    hook = _vector(centre[0], 0, long * rng.uniform(0.35, 0.8) + radius)
    rated, give = weight / 2 * rng.uniform(0.9, 2.5), rng.uniform(0.03, 0.1)
    paths = []
    for i, s in enumerate((-1, 1)):
        bite = _vector(s * long * rng.uniform(0.2, 0.3), 0, radius)
        length = math.dist(hook, bite) * (1 + rng.normal(0, 0.003))
        loop = 2 * math.pi * radius
        paths.append(_leg(f"choker {i}", i, hook, bite, length, rated, give, elastic_m=length + loop))
    return {"bodies": [_body("load", weight, centre)], "paths": paths}


def _beam(rng):
    weight, span = 10 ** rng.uniform(4.0, 5.8), rng.uniform(1.5, 6.0)
    wide = span * rng.uniform(0.0, 0.4) if rng.random() < 0.6 else 0.0
    centre = _vector(*(rng.uniform(-0.06, 0.06, 2) * (span, wide)), -span * rng.uniform(0.1, 0.4))
    low, top = span * rng.uniform(0.3, 0.8), span * rng.uniform(0.5, 1.0)
    deep = 0.04 * span
    hook = [0.0, 0.0, _round(low + deep + top)]
    start = _vector(0, 0, low + deep)
    own = weight * rng.uniform(0.02, 0.1)
    give = rng.uniform(0.03, 0.1)
    paths = []
    for i, s in enumerate((-0.5, 0.5)):
        lug = _vector(s * span, 0, deep)
        length = math.dist(hook, (s * span, 0, low + 2 * deep)) * (1 + rng.normal(0, 0.003))
        paths.append(_leg(f"top {i}", i, hook, lug, length, weight * rng.uniform(0.7, 1.5), give, on="beam"))
    sides = (0.0,) if wide == 0.0 else (-0.5, 0.5)
    for s in (-0.5, 0.5):
        for t in sides:
            lug, pick = _vector(s * span, 0, -deep), _vector(s * span * rng.uniform(0.9, 1.05), t * wide, 0)
            length = math.dist((lug[0], 0, low), pick) * (1 + rng.normal(0, 0.003))
            n = len(paths)
            rated = weight / 2 / len(sides) * rng.uniform(0.9, 2.0)
            paths.append(_leg(f"low {n}", n, lug, pick, length, rated, give, top="beam"))
    return {"bodies": [_body("load", weight, centre), _body("beam", own, [0, 0, 0], start)], "paths": paths}


def _two_hooks(rng):
    weight, span = 10 ** rng.uniform(4.0, 6.0), rng.uniform(1.5, 8.0)
    centre = _vector(
        rng.uniform(-0.2, 0.2) * span, rng.uniform(-0.03, 0.03) * span, -span * rng.uniform(0.05, 0.4)
    )
    high, give = span * rng.uniform(0.4, 1.2), rng.uniform(0.03, 0.1)
    paths = []
    for s in (-0.5, 0.5):
        hook = _vector(s * span * rng.uniform(0.9, 1.05), 0, high)
        for t in (0.0,) if rng.random() < 0.6 else (-0.12, 0.12):
            pick = _vector(s * span, t * span, 0)
            n = len(paths)
            length = math.dist(hook, pick) * (1 + rng.normal(0, 0.004))
            paths.append(_leg(f"leg {n}", n, hook, pick, length, weight / 2 * rng.uniform(0.9, 2.0), give))
    return {"bodies": [_body("load", weight, centre)], "paths": paths}


_MAKERS = {
    "bridle": _bridle,
    "wire": _wire,
    "uneven": _uneven,
    "tall": _tall,
    "renders": lambda rng: _basket(rng, locked=False),
    "locked": lambda rng: _basket(rng, locked=True),
    "choker": _choker,
    "beam": _beam,
    "two hooks": _two_hooks,
}
