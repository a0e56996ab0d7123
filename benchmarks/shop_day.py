"""Days of a fictional web-sling shop for the cut benchmark: seeded, and laid out by the shop's own patterns.

A day is 300 flat pieces of six webbings and 40 rolls and remnants. Orders are a handful of equal slings, most
of them of a usual length, the rest made to measure; what they are cut into comes from the shop's file through
the product's own patterns. Nothing here is any real shop's day.
"""

from __future__ import annotations

import random
import tomllib
from pathlib import Path
from typing import Any

SHOP = Path(__file__).parent.parent / "examples" / "harrow_quay" / "shop.toml"
PIECES = 300
ROLLS = 40
_FOOT_M = 0.3048
_INCH_M = 0.0254
_FULL_MM = 91_440  # 300 ft
# Webbings by how much of the day they are: two inches is what most slings are sewn of.
_WEBBINGS = (
    ("polyester", 2, 96),
    ("polyester", 1, 60),
    ("polyester", 3, 54),
    ("polyester", 4, 36),
    ("nylon", 2, 36),
    ("nylon", 3, 18),
)
_USUAL_FT = (3, 4, 5, 6, 6, 8, 8, 10, 10, 12, 14, 16, 20)
_MADE_TO_MEASURE = 0.4


def _pattern_of(rng: random.Random, shop: Any, fibre: str, inches: int) -> list[tuple[int, int]]:
    """(cut length [mm], count) of one sling drawn at random."""
    from slingwright.make.pattern import Pattern, pattern
    from slingwright.sling import Fibre, Form, SlingSpec

    while True:
        form = rng.choice((Form.FLAT_EYE, Form.TWISTED_EYE, Form.TWISTED_EYE, Form.ENDLESS))
        length_m = rng.choice(_USUAL_FT) * _FOOT_M
        if rng.random() < _MADE_TO_MEASURE:
            length_m = rng.randrange(36, 300) * _INCH_M
        spec = SlingSpec(
            form=form,
            fibre=Fibre(fibre),
            webbing_class=7,
            plies=rng.choice((1, 1, 2)),
            width_m=inches * _INCH_M,
            length_m=length_m,
            eye_m=0.0,
        )
        found = pattern(spec, shop)
        if isinstance(found, Pattern):
            return [(piece.cut_mm, piece.count) for piece in found.pieces]


def _orders(
    rng: random.Random, shop: Any, fibre: str, inches: int, pieces: int, keep: str
) -> list[dict[str, Any]]:
    """Orders of one webbing until so many flat pieces are drawn."""
    rows: list[dict[str, Any]] = []
    left, order = pieces, 0
    while left > 0:
        order += 1
        parts = _pattern_of(rng, shop, fibre, inches)
        slings = rng.choice((1, 1, 2, 2, 2, 4, 4, 4, 6, 8))
        for sling in range(slings):
            for length, whole in parts:
                count = min(whole, left)
                left -= count
                if count:
                    row = {"length_mm": length, "quantity": count, "order": f"{inches}{fibre[0]}{order}"}
                    rows.append(row | ({"sling": f"{sling + 1}"} if keep == "sling" else {}))
    return rows


def _shelf(rng: random.Random, need_mm: int, rolls: int) -> list[int]:
    """Remaining lengths: full rolls for the work, then part rolls and remnants, more short ones than long."""
    full = max(2, -(-need_mm * 6 // (5 * _FULL_MM)))
    rest = [round(2_000 + 88_000 * rng.random() ** 2) for _ in range(max(rolls - full, 1))]
    return sorted([_FULL_MM] * full + rest, reverse=True)


def shop_day(seed: int, keep: str = "nothing") -> dict[str, Any]:
    """The cut job of one day. `keep` = "nothing" or "sling", as in the job file."""
    from slingwright.shop.parse import read_shop

    rng = random.Random(seed)
    shop = read_shop(tomllib.loads(SHOP.read_text(encoding="utf-8")), sha256="")
    days = random.Random(f"due {seed}")
    pieces, shelf = [], []
    for at, (fibre, inches, count) in enumerate(_WEBBINGS):
        name = f"{fibre} {inches} in"
        rows = _orders(rng, shop, fibre, inches, count, keep)
        due = {
            order: f"2026-12-{days.randint(1, 14):02}" for order in dict.fromkeys(r["order"] for r in rows)
        }
        need = sum((r["length_mm"] + 10) * r["quantity"] for r in rows)
        pieces += [{"webbing": name, "due": due[row["order"]], **row} for row in rows]
        rolls = [10, 7, 7, 6, 6, 4][at]
        shelf += [
            {"webbing": name, "name": f"{name} {n + 1}", "remaining_mm": length}
            for n, length in enumerate(_shelf(rng, need, rolls))
        ]
    cutting = shop.cutting
    practice = {
        "kerf_mm": cutting.kerf_mm,
        "head_trim_mm": cutting.head_trim_mm,
        "remnant_min_mm": cutting.remnant_min_mm,
        "discount_mm": cutting.discount_mm,
        "full_length_mm": _FULL_MM,
        "mount_cost_mm": cutting.mount_cost_mm,
        "keep_together": keep,
    }
    return {"title": f"day {seed}", "practice": practice, "roll": shelf, "piece": pieces}
