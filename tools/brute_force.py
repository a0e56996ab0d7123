"""The search against brute force on the whole demo shop; can be stopped and gone on with.

    python tools/brute_force.py --lifts 10 --keep brute.jsonl

Candidates are made by the tests' own enumeration (`tests/brute_force.py`: lengths, makes, prices and masses
made anew) and judged one by one with every check, cheap cases first; what comes after the search's answer
by price, mass and text is left alone. Nothing but the cases of those that hang alike (other form, same
arrangement, lengths, limits and stretch) is shared: no sieve, no bound, no column, no shared stop. Lifts on
pick points only: loads that slings go round have millions of candidates, too many for one by one.
Exit 1 on any difference.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from benchmarks.choose import KINDS, setting_of

from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import Ends
from slingwright.choose.evaluate import Hangs, Verdict, evaluate
from slingwright.choose.rated import SlingRated
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting
from tests.brute_force import _candidates  # one candidate at a time: all at once would not fit in memory

Made = tuple[Candidate, tuple[SlingRated, ...], Ends]
TOLD = 50_000  # candidates, before it is said how far it is


def best_by_force(setting: Setting, found: Verdict | None) -> tuple[str | None, int, int, int]:
    """(text of the best, its grade, how many candidates there are, how many were judged).

    Where the search has found an answer of grade 0, only what does not come after it is kept and judged: it
    must be the first of them that passes, and it must be among them. Else every candidate is judged.
    """
    last = _key(found.candidate) if found is not None and found.grade == 0 else None
    many, kept = 0, []
    for one in _candidates(setting):
        many += 1
        if last is None or (one[0].price_minor <= last[0] and _key(one[0]) <= last):
            kept.append(one)
    kept.sort(key=_hang)  # those that hang alike behind each other: their cases are solved once
    hangs, best = Hangs(), None
    for judged, one in enumerate(kept, 1):
        verdict = evaluate(setting, *one, hangs=hangs)
        if verdict.stop is None and (best is None or (verdict.grade, _key(one[0])) < best):
            best = (verdict.grade, _key(one[0]))
        if judged % TOLD == 0:
            print(f"  {judged:,} of {len(kept):,} judged", file=sys.stderr, flush=True)
    return (None, 0, many, len(kept)) if best is None else (best[1][2], best[0], many, len(kept))


def _hang(one: Made) -> tuple[object, ...]:
    candidate, rated, ends = one
    limits = tuple(r.part_limit_n for r in rated)
    at, alike = id(candidate.arrangement), (rated[0].cell.rated_n, ends.stiff, ends.soft, limits)
    return at, candidate.lengths_m, alike, candidate.matched


def _key(candidate: Candidate) -> tuple[int, int, str]:
    return candidate.price_minor, round(candidate.mass_kg * 1_000_000), candidate.text


def compare(number: int, seed: int) -> dict[str, Any]:
    """One lift both ways."""
    kind, setting = setting_of(number, seed)
    began = time.perf_counter()
    answer = Search(setting).walk("price").answer
    searched = time.perf_counter()
    text, grade, candidates, judged = best_by_force(setting, answer)
    mine = None if answer is None else answer.candidate.text
    return {
        "number": number,
        "kind": kind,
        "same": mine == text,
        "search": mine,
        "force": text,
        "grade": None if text is None else grade,
        "candidates": candidates,
        "judged": judged,
        "search_seconds": searched - began,
        "force_seconds": time.perf_counter() - searched,
    }


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--lifts", type=int, default=10)
    parser.add_argument("--only", type=int, nargs="*", help="these lifts' numbers instead of the first")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--keep", type=Path, required=True, help="one line a lift; a second run goes on from it"
    )
    args = parser.parse_args()
    text = args.keep.read_text(encoding="utf-8") if args.keep.exists() else ""
    rows = [json.loads(line) for line in text.splitlines()]
    done = {row["number"] for row in rows}
    picked = [n for n in range(len(KINDS) * args.lifts) if tuple(KINDS)[n % len(KINDS)].startswith("bridle")]
    for number in picked[: args.lifts] if args.only is None else args.only:
        if number in done:
            continue
        rows.append(compare(number, args.seed))
        with args.keep.open("a", encoding="utf-8") as file:
            file.write(json.dumps(rows[-1]) + "\n")
        row = rows[-1]
        same = "same" if row["same"] else "DIFFERENT"
        print(
            f"{number} {row['kind']}: {same}, {row['candidates']:,} candidates,"
            f" {row['judged']:,} judged in {row['force_seconds']:.0f} s",
            flush=True,
        )
    different = [row for row in rows if not row["same"]]
    none = sum(row["search"] is None for row in rows)
    print(f"{len(rows)} lifts, {len(different)} different, {none} without an answer")
    return int(bool(different))


if __name__ == "__main__":
    sys.exit(main())
