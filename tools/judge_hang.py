"""Thousands of random hang problems against the outside engine; can be stopped and gone on with.

    python tools/judge_hang.py --count 20000 --keep judged.jsonl

Two problems in five are turned until they are near slack, near capsizing or near the end of their reach.
Each judged problem is one line of the kept file; a second run goes on where the first stopped. Exit 1 on any
disagreement.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections import Counter
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parents[1]))

from slingwright.errors import InputFault
from slingwright.hang.document import hang_to_document, problem_from_document
from slingwright.hang.solve import solve
from tests.judge.engine import compare
from tests.judge.generate import KINDS, random_problem

NEAR = 0.05


def answer_to(doc: dict) -> dict:
    return json.loads(json.dumps(hang_to_document(solve(problem_from_document(doc)))))


def _lengthened(doc: dict, leg: int, share: float) -> dict:
    out = json.loads(json.dumps(doc))
    path = out["paths"][leg]
    more = share * path["length_m"]
    path["length_m"] += more
    if "elastic_m" in path:
        path["elastic_m"] += more
    return out


def near_slack(doc: dict, rng: np.random.Generator) -> dict | None:
    """One leg made longer until it is about to hang loose."""
    leg = int(rng.integers(len(doc["paths"])))
    low, high = 0.0, 0.3
    if answer_to(_lengthened(doc, leg, high))["paths"][leg]["tension_n"] > 0.0:
        return None
    for _ in range(20):
        mid = 0.5 * (low + high)
        if answer_to(_lengthened(doc, leg, mid))["paths"][leg]["tension_n"] > 0.0:
            low = mid
        else:
            high = mid
    return _lengthened(doc, leg, low * (1.0 + NEAR * rng.uniform(-1, 1)))


def near_capsize(doc: dict, rng: np.random.Generator) -> dict | None:
    """The load's centre of gravity raised (or let down) to about where it goes."""
    out = json.loads(json.dumps(doc))
    for _ in range(4):  # a tilted load turns as its centre is raised along its own axis
        found = answer_to(out)
        rise = found["stability"]["centre_may_rise_m"]
        if rise is None or found["tilt_deg"] > 45.0:
            return None
        out["bodies"][0]["centre_of_gravity_m"][2] += rise
    plumb = found["hook_above_cg_m"]
    out["bodies"][0]["centre_of_gravity_m"][2] += NEAR * abs(plumb) * rng.uniform(-1, 1)
    return out


def near_reach(doc: dict, rng: np.random.Generator) -> dict | None:
    """All paths shortened until they just meet the hook."""
    margin = answer_to(doc)["reach_margin_m"]
    shortest = min(p["length_m"] for p in doc["paths"])
    if not 0.0 < margin < 0.8 * shortest:
        return None
    out = json.loads(json.dumps(doc))
    for path in out["paths"]:
        path["length_m"] -= margin * (1.0 + NEAR * rng.uniform(-1, 1))
    return out


def judge_one(index: int) -> dict:
    kind = KINDS[index % len(KINDS)]
    rng = np.random.default_rng([2026, index])
    doc, near = random_problem(kind, rng), ""
    if (index // len(KINDS)) % 5 < 2:
        dials = (near_slack, near_capsize, near_reach)
        # every kind takes its turns at every dial, until one can be turned that far
        for k in range(3):
            dial = dials[(index // (5 * len(KINDS)) + k) % 3]
            try:
                turned = dial(doc, rng)
                if turned is not None:
                    problem_from_document(turned)
            except InputFault:
                continue
            if turned is not None:
                doc, near = turned, dial.__name__
                break
    doc = json.loads(json.dumps(doc))
    answer = answer_to(doc)
    verdict = compare(doc, answer)
    return {
        "index": index,
        "kind": kind,
        "near": near,
        "status": answer["status"],
        "undecidable": verdict.near,
        "disagreements": verdict.disagreements,
    }


def report(lines: list[dict]) -> int:
    kinds = Counter(x["kind"] for x in lines)
    near = Counter(x["near"] for x in lines if x["near"])
    bad = [x for x in lines if x["disagreements"]]
    print(f"{len(lines)} problems judged: {dict(kinds)}")
    print(f"states: {dict(Counter(x['status'] for x in lines))}")
    print(f"near a limit: {sum(near.values())} {dict(near)}")
    print(f"too near for the engine: {sum(x['undecidable'] for x in lines)}")
    for x in bad[:50]:
        print(f"  {x['index']} {x['kind']} {x['near']} {x['status']}: {'; '.join(x['disagreements'])}")
    print(f"disagreements: {len(bad)}")
    return 1 if bad else 0


def main() -> int:
    ask = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    ask.add_argument("--count", type=int, default=2000)
    ask.add_argument("--keep", type=Path, help="file of judged problems, gone on with if it exists")
    ask.add_argument("--jobs", type=int, default=1)
    ask.add_argument("--only", type=int, help="judge one index and print its problem")
    chosen = ask.parse_args()
    if chosen.only is not None:
        print(json.dumps(judge_one(chosen.only), indent=1))
        return 0
    lines: list[dict] = []
    if chosen.keep and chosen.keep.exists():
        lines = [json.loads(x) for x in chosen.keep.read_text().splitlines()]
    done = {x["index"] for x in lines}
    todo = [i for i in range(chosen.count) if i not in done]
    with ProcessPoolExecutor(chosen.jobs) as pool:
        for k, found in enumerate(pool.map(judge_one, todo, chunksize=20)):
            lines.append(found)
            if chosen.keep:
                with chosen.keep.open("a") as file:
                    file.write(json.dumps(found) + "\n")
            if k % 500 == 499:
                print(
                    f"{len(lines)} judged, {sum(bool(x['disagreements']) for x in lines)} disagree",
                    file=sys.stderr,
                )
    return report(lines)


if __name__ == "__main__":
    sys.exit(main())
