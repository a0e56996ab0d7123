"""Thousands of random lifts: each best offer rebuilt in MuJoCo from its JSON, its limits looked up again.

    python tools/judge_offers.py --count 20000 --keep offers.jsonl     can be stopped and gone on with

Nine kinds of lifts in turn (bridles of 2, 3 and 4, both rulebooks, several hooks, beams, baskets and chokers)
over small shops, the tests' own. Judged are the best offer and the cheapest of grade 1 beside it, every
printed case; the judge (`tests/judge/offers.py`) sees nothing but the printed document. Exit 1 on any
violation.
"""

from __future__ import annotations

import argparse
import json
import sys
import time
from collections import Counter
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[1]))

from slingwright.choose.answer import lift_stops
from slingwright.choose.offer import Answer, SearchReport
from slingwright.choose.present import make_offer
from slingwright.choose.search import Search
from slingwright.choose.setting import Setting, draw
from slingwright.rulebook import load_rulebook
from slingwright.units import Units
from slingwright.usecases.choose_sling import Chosen
from slingwright.usecases.offers_document import offers_document
from tests.judge.offers import HIGH, judge_offers
from tests.lifts import read_document
from tests.property.test_choose_exact import KINDS, SHOPS, lift_of

Row = dict[str, Any]
SHOP_OF = {kind: shop for kind, (shop, _) in KINDS.items()} | {"bridle-3": "picks"}


def printed_offers(kind: str, number: int, seed: int) -> Row:
    """The document with the best offer, and the cheapest of grade 1 where that is another."""
    small, lift = SHOPS[SHOP_OF[kind]], read_document(lift_of(kind, number, seed=seed))
    setting = Setting(
        lift=lift, rulebook=load_rulebook(lift.rulebook), shop=small.shop, book=small.book,
        draws=draw(1, samples=256),
    )  # fmt: skip
    found = [] if lift_stops(setting) is not None else _found(setting)
    answer = Answer(
        answer="offers" if found else "stop", offers=tuple(found), refused=(), notes=lift.notes,
        search=SearchReport(space=0, hang_problems=0, pruned={}, solved=0, cheaper_and_rejected=0,
                            rejected_by={}, proved=True, seconds=None, samples=256, seed=1),
    )  # fmt: skip
    chosen = Chosen(
        lift=lift, answer=answer, rulebook=setting.rulebook, units=Units.US, language="en",
        head={"made_by": {"rulebook": {"id": setting.rulebook.id}}}, setting=setting, walked=None,
    )  # fmt: skip
    document: Row = json.loads(json.dumps(offers_document(chosen)))
    return document


def _found(setting: Setting) -> list[Any]:
    walked = Search(setting).walk("price")
    both = [v for v in (walked.best, walked.best_grade_1) if v is not None and v.complete and v.stop is None]
    return [make_offer(setting, v, by="price", picked_for=("best",)) for v in both]


def judge_lift(number: int, seed: int) -> Row:
    """One random lift, from the lift file to the verdict."""
    kind = tuple(KINDS)[number % len(KINDS)]
    began = time.process_time()
    document = printed_offers(kind, number, seed)
    verdicts = judge_offers(document)
    return {
        "number": number,
        "kind": kind,
        "families": [o["arrangement"]["family"] for o in document["offers"]],
        "offers": len(verdicts),
        "cases": sum(v.cases for v in verdicts),
        "undecided": sum(v.undecided for v in verdicts),
        "most_used": max((v.most_used for v in verdicts), default=None),
        "complaints": [c for v in verdicts for c in v.complaints],
        "seconds": time.process_time() - began,
    }


def report(rows: list[Row]) -> int:
    """Count and print; 1 where anything is violated."""
    bad = [row for row in rows if row["complaints"]]
    for row in bad[:50]:
        print(f"{row['number']} {row['kind']}: {'; '.join(row['complaints'])}")
    used = [row["most_used"] for row in rows if row["most_used"] is not None]
    families = Counter(family for row in rows for family in row["families"])
    print(f"{len(rows)} lifts, {len(used)} with an offer; {sum(row['offers'] for row in rows)} offers of")
    print(f"  {dict(sorted(families.items()))}")
    print(f"{sum(row['cases'] for row in rows)} cases, {sum(row['undecided'] for row in rows)} undecided")
    print(f"{sum(u > HIGH for u in used)} lifts with a part above {HIGH:.0%} of a limit in the engine")
    print(f"{len(bad)} lifts with a violation")
    return int(bool(bad))


def main() -> int:
    parser = argparse.ArgumentParser(
        description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    parser.add_argument("--count", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--keep", type=Path, help="one line a lift; a second run goes on from it")
    args = parser.parse_args()
    text = args.keep.read_text(encoding="utf-8") if args.keep and args.keep.exists() else ""
    rows = [json.loads(line) for line in text.splitlines()]
    done = {row["number"] for row in rows}
    for number in range(args.count):
        if number in done:
            continue
        rows.append(judge_lift(number, args.seed))
        if args.keep:
            with args.keep.open("a", encoding="utf-8") as file:
                file.write(json.dumps(rows[-1]) + "\n")
    return report(rows)


if __name__ == "__main__":
    sys.exit(main())
