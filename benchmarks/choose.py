"""How fast the best answer with its proof is found, on random lifts over the whole demo shop.

    python benchmarks/choose.py                      40 lifts
    python benchmarks/choose.py --lifts 500          what the goal speaks of; about two minutes
    python benchmarks/choose.py --brute 5            and for five of them all hang problems in bulk

A time is the processor's (all threads) from the lift to the proved best by price: the space counted, the
walk, every case of the best; not the wall clock's, which on a busy machine tells of the others. Between
lifts are kept the compiled statics and what the shop's prices and the rulebook say of each make. "In bulk"
is every hang problem of the space at both stretch ends and the corners that the sieve needs, solved by the
same compiled solver, a stiffness at a time; the spread of the samples is not in it, so it is less than
brute force costs.
"""

from __future__ import annotations

import argparse
import gc
import json
import random
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from slingwright.choose.answer import lift_stops
from slingwright.choose.known import Question
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from tests.lifts import read_document
from tests.shops import harrow_quay, harrow_quay_prices

Doc = dict[str, Any]
PLACES = {2: ((1, 5), (9, 5)), 3: ((1, 1), (1, 9), (9, 5)), 4: ((1, 1), (9, 1), (9, 9), (1, 9))}


def picked(rng: random.Random, legs: int) -> Doc:
    """A box with lugs, its centre off the middle; one in seven is too heavy or has too little room."""
    long, wide, high = rng.uniform(50, 180), rng.uniform(36, 90), rng.uniform(24, 90)
    centre = (long * rng.uniform(0.42, 0.58), wide * rng.uniform(0.46, 0.54), high * rng.uniform(0.25, 0.5))
    hopeless = rng.random()
    weight = rng.uniform(1_000, 9_000) * min(legs, 3) * (40 if hopeless < 0.07 else 1)
    room = high + rng.uniform(60, 260) * (0.05 if hopeless > 0.93 else 1)
    picks = [
        {
            "name": "ABCD"[i],
            "at": [f"{x * long / 10} in", f"{y * wide / 10} in", f"{high} in"],
            "pin": "1 in",
            "rated": "400,000 lb",
            "rated_at": "any angle",
        }
        for i, (x, y) in enumerate(PLACES[legs])
    ]
    return {
        "load": {
            "weight": f"{weight} lb",
            "known_by": rng.choice(("scale", "plate", "drawing")),
            "shape": "frame",
            "length": f"{long} in",
            "width": f"{wide} in",
            "height": f"{high} in",
            "centre_of_gravity": [f"{x} in" for x in centre],
            "centre_tolerance": f"{rng.uniform(0.5, 3)} in",
            "pick_point": picks,
            "surface_temperature": "80 °F",
        },
        "hook": {"headroom": f"{room} in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {
            "level_within": f"{rng.uniform(2, 6)} deg",
            "least_angle": rng.choice(("45 deg", "50 deg", "60 deg")),
        },
    }


def round_load(rng: random.Random, shape: str) -> Doc:
    """A box or pipe that slings go round."""
    long, across, high = rng.uniform(72, 360), rng.uniform(10, 48), rng.uniform(10, 40)
    sizes = (
        {"diameter": f"{across} in"}
        if shape == "cylinder"
        else {"width": f"{across} in", "height": f"{high} in"}
    )
    up = (across if shape == "cylinder" else high) / 2
    weight = rng.uniform(1_000, 14_000) * (30 if rng.random() < 0.1 else 1)
    return {
        "load": {
            "weight": f"{weight} lb",
            "known_by": "scale",
            "shape": shape,
            "length": f"{long} in",
            **sizes,
            "centre_of_gravity": [f"{long * rng.uniform(0.48, 0.52)} in", f"{across / 2} in", f"{up} in"],
            "centre_tolerance": ["2 in", "1/4 in", "1/2 in"],
            "edge_radius": rng.choice(("1/8 in", "3/4 in")),
            "surface": 0.35,
            "choke_angle": "free",
            "surface_temperature": "80 °F",
        },
        "hook": {"headroom": f"{rng.uniform(100, 300)} in", "thickness": "1 1/2 in", "width": "6 in"},
        "want": {"level_within": f"{rng.uniform(2, 6)} deg"},
    }


KINDS: dict[str, Callable[[random.Random], Doc]] = {
    "bridle-2": lambda rng: picked(rng, 2),
    "bridle-3": lambda rng: picked(rng, 3),
    "bridle-4": lambda rng: picked(rng, 4),
    "box": lambda rng: round_load(rng, "box"),
    "pipe": lambda rng: round_load(rng, "cylinder"),
}


def setting_of(number: int, seed: int) -> tuple[str, Setting]:
    """One random lift, the same on every machine."""
    kind = tuple(KINDS)[number % len(KINDS)]
    lift = read_document(KINDS[kind](random.Random(f"{seed} {number}")))
    return kind, Setting(
        lift=lift,
        rulebook=load_rulebook(lift.rulebook),
        shop=harrow_quay(),
        book=harrow_quay_prices(),
        draws=draw(1),
    )


def timed(kind: str, setting: Setting, *, in_bulk: bool) -> dict[str, Any]:
    """Search one lift; and, if wished, hang all its problems in bulk."""
    began = time.process_time()
    stopped = lift_stops(setting) is not None
    search = Search(setting)
    found = None if stopped else search.walk("price")
    seconds = time.process_time() - began
    bulk = None
    if in_bulk and found is not None:
        fresh = Search(setting)
        groups = fresh.space.groups
        began = time.process_time()
        for group in groups:
            rows, places = np.nonzero(group.rows.fits)
            for strong in group.makes:
                fresh.ask([Question(group, group.rows, strong, rows, places)])
        bulk = time.process_time() - began
    return {
        "kind": kind,
        "seconds": seconds,
        "candidates": search.space.candidates,
        "hang_problems": search.space.hang_problems,
        "solved": search.solved,
        "answer": None if found is None or found.answer is None else found.answer.candidate.text,
        "bulk_seconds": bulk,
    }


def quantile(values: list[float], share: float) -> float:
    """The value at a share of the ordered list."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def told(rows: list[dict[str, Any]], name: str) -> str:
    """One row of the table."""
    seconds = [row["seconds"] for row in rows]
    return (
        f"| {name} | {len(rows)} | {sum(r['answer'] is None for r in rows)} "
        f"| {statistics.median(r['candidates'] for r in rows):,.0f} "
        f"| {statistics.median(r['hang_problems'] for r in rows):,.0f} "
        f"| {statistics.median(r['solved'] for r in rows):,.0f} "
        f"| {1000 * statistics.median(seconds):,.0f} | {1000 * quantile(seconds, 0.95):,.0f} "
        f"| {1000 * max(seconds):,.0f} |"
    )


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lifts", type=int, default=40)
    parser.add_argument("--brute", type=int, default=0, help="lifts whose hang problems are all hung in bulk")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="write every lift's figures here, one JSON object a line")
    args = parser.parse_args()
    for number in range(len(KINDS)):  # the compiled statics and the shop's tables, warm
        timed(*setting_of(number, args.seed + 1), in_bulk=False)
    gc.collect()
    gc.freeze()  # as the desk does once it has started: what stays for good is not looked through again
    rows = []
    for number in range(args.lifts):
        rows.append(timed(*setting_of(number, args.seed), in_bulk=number < args.brute))
        if args.keep:
            with args.keep.open("a", encoding="utf-8") as file:
                file.write(json.dumps(rows[-1]) + "\n")
    print(
        "| lifts | count | no answer | candidates | hang problems | solved | median ms | 95th ms | worst ms |"
    )
    print("|---|---|---|---|---|---|---|---|---|")
    for kind in KINDS:
        mine = [row for row in rows if row["kind"] == kind]
        if mine:
            print(told(mine, kind))
    print(told(rows, "all"))
    both = [row for row in rows if row["bulk_seconds"] is not None]
    for row in both:
        times = row["bulk_seconds"] / row["seconds"]
        bulk = f"{row['hang_problems']:,} hang problems in bulk {row['bulk_seconds']:.2f} s"
        print(f"{row['kind']}: {bulk}, the search {row['seconds']:.3f} s, {times:.1f} times")
    return 0


if __name__ == "__main__":
    sys.exit(main())
