"""How fast the best answer with its proof is found, on random lifts over the whole demo shop.

    python benchmarks/choose.py                                   40 lifts
    python benchmarks/choose.py --lifts 500 --state lifts.jsonl   what the goal speaks of; can be gone on with
    python benchmarks/choose.py --brute 20                        and of twenty everything hung in bulk
    python benchmarks/choose.py --whole 20                        and all measures, why not, what changes it
    python benchmarks/choose.py --growth growth.svg               cost against the size of the space, a plot

A time is the processor's (all threads) from the lift to the proved best by price: the space counted, the
walk, every case of the best; not the wall clock's, which on a busy machine tells of the others. Between
lifts are kept the compiled statics and what the shop's prices, rulebook and shelf say of each make. What "in
bulk" is stands in `in_bulk.py`; its times and the search's are of the same lifts in the same run.
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

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.growth import grow
from benchmarks.in_bulk import hang_all

from slingwright.choose.again import Again
from slingwright.choose.answer import answer_lift, lift_stops
from slingwright.choose.change import changes
from slingwright.choose.search import Found, Search
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


def under_beam(rng: random.Random) -> Doc:
    """A load on two lugs under a spreader beam, lugs for a straight pull; one in seven has no room."""
    doc = picked(rng, 2)
    span = (float(doc["load"]["length"].split()[0])) * 0.8
    weight = float(doc["load"]["weight"].split()[0])
    doc["beam"] = [
        {
            "name": "spreader",
            "span": f"{span} in",
            "weight": f"{0.05 * weight} lb",
            "rated": f"{1.3 * weight} lb",
            "least_top_angle": "45 deg",
            "depth": "8 in",
        }
    ]
    for pick in doc["load"]["pick_point"]:
        pick["rated_at"] = "vertical only"
    high = float(doc["load"]["height"].split()[0])
    if rng.random() > 0.14:
        doc["hook"]["headroom"] = f"{high + span + rng.uniform(60, 200)} in"
    return doc


def two_hooks(rng: random.Random) -> Doc:
    """A load on two lugs, a hook straight above each, or up to three degrees off."""
    doc = picked(rng, 2)
    hook = doc.pop("hook")
    high = float(doc["load"]["height"].split()[0])
    room = f"{high + rng.uniform(48, 200) * (0.2 if rng.random() > 0.9 else 1)} in"
    doc["hook"] = [
        hook | {"at": [f"{float(x.split()[0]) + rng.uniform(-1.5, 1.5)} in", y], "headroom": room}
        for x, y, _ in (pick["at"] for pick in doc["load"]["pick_point"])
    ]
    return doc


KINDS: dict[str, Callable[[random.Random], Doc]] = {
    "bridle-2": lambda rng: picked(rng, 2),
    "bridle-3": lambda rng: picked(rng, 3),
    "bridle-4": lambda rng: picked(rng, 4),
    "box": lambda rng: round_load(rng, "box"),
    "pipe": lambda rng: round_load(rng, "cylinder"),
    "beam": under_beam,
    "two-hooks": two_hooks,
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


def timed(number: int, seed: int, *, in_bulk: bool, whole: bool) -> dict[str, Any]:
    """Search one lift; and, if wished, hang all its problems in bulk, or answer and explain it whole."""
    kind, setting = setting_of(number, seed)
    began = time.process_time()
    stopped = lift_stops(setting) is not None
    search = Search(setting)
    found = None if stopped else search.walk("price")
    seconds = time.process_time() - began
    row = {
        "number": number,
        "kind": kind,
        "seconds": seconds,
        "candidates": search.space.candidates,
        "hang_problems": search.space.hang_problems,
        "solved": search.solved,
        "answer": None if found is None or found.answer is None else found.answer.candidate.text,
    }
    if in_bulk and found is not None:
        hung = hang_all(setting)
        row |= {
            "bulk_problems": hung.problems,
            "bulk_hangs": hung.hangs,
            "bulk_seconds": hung.seconds,
            "bulk_told_seconds": hung.told_seconds,
        }
    if whole and found is not None:
        row["whole_seconds"] = _whole(setting)
    return row


def _whole(setting: Setting) -> float:
    """All measures, why not and the best from stock; then what would change the answer."""
    walked: list[tuple[Search, Found]] = []
    began = time.process_time()
    answer_lift(setting, clock=time.monotonic, walked=lambda search, main: walked.append((search, main)))
    again = Again(setting)
    again.remember(*walked[0])
    for _ in changes(again):
        pass
    return time.process_time() - began


def quantile(values: list[float], share: float) -> float:
    """The value at a share of the ordered list."""
    return sorted(values)[min(len(values) - 1, int(share * len(values)))]


def told(rows: list[dict[str, Any]], name: str) -> str:
    """One row of the table."""
    seconds = [row["seconds"] for row in rows]
    return (
        f"| {name} | {len(rows)} | {sum(r['answer'] is None for r in rows)} "
        f"| {min(r['candidates'] for r in rows):,} | {statistics.median(r['candidates'] for r in rows):,.0f} "
        f"| {min(r['hang_problems'] for r in rows):,} "
        f"| {statistics.median(r['hang_problems'] for r in rows):,.0f} "
        f"| {statistics.median(r['solved'] for r in rows):,.0f} "
        f"| {1000 * statistics.median(seconds):,.0f} | {1000 * quantile(seconds, 0.95):,.0f} "
        f"| {1000 * max(seconds):,.0f} |"
    )


def report(rows: list[dict[str, Any]]) -> None:
    """Print the tables."""
    print(
        "| lifts | count | no answer | candidates, least | median | hang problems, least | median "
        "| solved | median ms | 95th ms | worst ms |"
    )
    print("|---|---|---|---|---|---|---|---|---|---|---|")
    for kind in KINDS:
        mine = [row for row in rows if row["kind"] == kind]
        if mine:
            print(told(mine, kind))
    print(told(rows, "all"))
    both = [row for row in rows if row.get("bulk_problems")]
    if both:
        print("\n| lift | hung in bulk | hangs | all cases s | told s | the search s | times | times told |")
        print("|---|---|---|---|---|---|---|---|")
    for row in both:
        bulk, once = row["bulk_seconds"], row["bulk_told_seconds"]
        print(
            f"| {row['number']} {row['kind']} | {row['bulk_problems']:,} | {row['bulk_hangs']:,} "
            f"| {bulk:.2f} | {once:.2f} | {row['seconds']:.3f} "
            f"| {bulk / row['seconds']:.1f} | {once / row['seconds']:.1f} |"
        )
    if both:
        sums = [sum(r[key] for r in both) for key in ("bulk_seconds", "bulk_told_seconds", "seconds")]
        times = statistics.median(r["bulk_seconds"] / r["seconds"] for r in both)
        print(f"all {len(both)}: {sums[0] / sums[2]:.1f} times (told alone {sums[1] / sums[2]:.1f}); "
              f"median of the lifts {times:.1f}")  # fmt: skip
    wholes = [row["whole_seconds"] for row in rows if "whole_seconds" in row]
    if wholes:
        print(
            f"all measures, why not and what would change it, {len(wholes)} lifts: median "
            f"{statistics.median(wholes):.2f} s, 95th {quantile(wholes, 0.95):.2f}, worst {max(wholes):.2f}"
        )


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lifts", type=int, default=40)
    parser.add_argument("--brute", type=int, default=0, help="lifts whose hang problems are all hung in bulk")
    parser.add_argument("--whole", type=int, default=0, help="lifts that are answered and explained whole")
    parser.add_argument("--growth", type=Path, help="write a plot of cost against space here, and do no more")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--state", type=Path, help="one JSON object a lift; a second run goes on from it")
    args = parser.parse_args()
    for number in range(len(KINDS)):  # the compiled statics and the shop's tables, warm
        timed(number, args.seed + 1, in_bulk=False, whole=False)
    gc.collect()
    gc.freeze()  # as the desk does once it has started: what stays for good is not looked through again
    if args.growth:
        lifts = [setting_of(number, args.seed) for number in range(2 * len(KINDS))]
        args.growth.write_text(grow(lifts), encoding="utf-8")
        return 0
    text = args.state.read_text(encoding="utf-8") if args.state and args.state.exists() else ""
    rows = [json.loads(line) for line in text.splitlines()]
    done = {row["number"] for row in rows}
    for number in range(args.lifts):
        if number in done:
            continue
        rows.append(timed(number, args.seed, in_bulk=number < args.brute, whole=number < args.whole))
        if args.state:
            with args.state.open("a", encoding="utf-8") as file:
                file.write(json.dumps(rows[-1]) + "\n")
    report(rows)
    return 0


if __name__ == "__main__":
    sys.exit(main())
