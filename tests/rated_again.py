"""Every limit of a printed offer again, straight from the rulebook's tables. Imports nothing of slingwright.

Written from the tables and the two checks alone: a vertical leg and each part of a basket may pull V, the
part above a choke C times its factor, and a sling in its hitch may carry V, C times the factor, or B times
the sine of its flatter side (under `en` that angle's mode factor). C and B are rounded down as printed.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

DATA = Path(__file__).parents[1] / "src" / "slingwright" / "rulebook" / "data"
NEWTONS = {"lb": Fraction("4.4482216152605"), "t": Fraction("9806.65")}  # exact by definition
METRES = {"in": Fraction("0.0254"), "mm": Fraction("0.001")}
STEP = {"lb": 10, "t": Fraction("0.01")}
LEAST_SHARE = 1e-9

Doc = dict[str, Any]


def _toml(rulebook: str, name: str) -> Doc:
    return tomllib.loads((DATA / rulebook / f"{name}.toml").read_text(encoding="utf-8"))


def vertical(rulebook: str, spec: Doc) -> tuple[Fraction, str]:
    """V in the table's own unit, the lower of two series; the one table that has such slings."""
    for name in _toml(rulebook, "book")["tables"]:
        table = _toml(rulebook, name)
        head = table["head"]
        if spec["form"] not in head["forms"] or spec["class"] != head["webbing_class"]:
            continue
        for row in table["row"]:
            for column, width in enumerate(row["width"]):
                if row["plies"] == spec["plies"] and math.isclose(
                    float(width * METRES[head["width_unit"]]), spec["width_m"], abs_tol=1e-4
                ):
                    series = [row[s][column] for s in ("series_a", "series_b") if s in row]
                    return Fraction(str(min(series))), head["unit"]
    raise LookupError(spec)


def _down(value: Fraction, unit: str) -> Fraction:
    step = Fraction(STEP[unit])
    return value / step // 1 * step


def choke_factor(rulebook: str, choke: Doc) -> float:
    """1 hanging free; a stated angle the lower of the schemes; else the lowest band of all."""
    rules = _toml(rulebook, "hitch")["choke"]
    if choke["state"] == "free":
        return 1.0
    lowest = []
    for scheme in rules["scheme"]:
        held = [
            b["factor"]
            for b in scheme["bands"]
            if choke["angle_deg"] is not None
            and (choke["angle_deg"] >= b["from"] if "from" in b else choke["angle_deg"] > b["above"])
        ]
        lowest.append(held[0] if held else scheme["bands"][-1]["factor"])
    return float(min(lowest))


def part_limit_n(rulebook: str, sling: Doc) -> float:
    """What one straight part of the sling may pull [N]."""
    v, unit = vertical(rulebook, sling["spec"])
    if sling["hitch"] != "choker":
        return float(v * NEWTONS[unit])
    choker = _down(v * Fraction(str(_toml(rulebook, "hitch")["factor"]["choker"]["value"])), unit)
    return float(choker * NEWTONS[unit]) * choke_factor(rulebook, sling["choke"])


def hitch_rated_n(rulebook: str, sling: Doc, flatter_deg: float) -> float:
    """What the sling may carry in its hitch, its flatter side at this angle from the horizontal [N]."""
    if sling["hitch"] != "basket":
        return part_limit_n(rulebook, sling)
    v, unit = vertical(rulebook, sling["spec"])
    hitch = _toml(rulebook, "hitch")
    if "basket" in hitch:  # mode factors by bands from the vertical
        factor = next((b["value"] for b in hitch["basket"] if 90 - flatter_deg <= b["to_beta_deg"]), 0.0)
        return float(_down(v * Fraction(str(factor)), unit) * NEWTONS[unit])
    both = _down(v * Fraction(str(hitch["factor"]["basket"]["value"])), unit)
    return float(both * NEWTONS[unit]) * math.sin(math.radians(flatter_deg))


def pulls(case: Doc) -> Iterator[tuple[int, str, float, float]]:
    """Sling, path, tension [N] and angle from the horizontal [deg] of every straight end, from the poses."""
    poses = {b["name"]: b for b in case["result"]["bodies"]}

    def world(point: Doc) -> list[float]:
        at = point["at_m"]
        if point["on"] == "world":
            return list(at)
        pose = poses[point["on"]]
        return [
            o + sum(r * x for r, x in zip(row, at, strict=True))
            for o, row in zip(pose["origin_m"], pose["rotation"], strict=True)
        ]

    for path, answer in zip(case["problem"]["paths"], case["result"]["paths"], strict=True):
        points = path["points"]
        ends = [(points[0], points[1])] + ([(points[-1], points[-2])] if len(points) > 2 else [])
        for top, low in ends:
            a, b = world(top), world(low)
            rise = math.asin((a[2] - b[2]) / math.dist(a, b))
            yield path["sling"], path["name"], answer["tension_n"], math.degrees(rise)


def disagreements(document: Doc) -> list[str]:
    """Everything an offers document says of limits that the tables do not, or that does not hold."""
    book = document["made_by"]["rulebook"]["id"]
    return [
        f"offer {k}: {complaint}"
        for k, offer in enumerate(document["offers"])
        for complaint in _of_offer(book, offer)
    ]


def _of_offer(book: str, offer: Doc) -> Iterator[str]:
    for finding in offer["findings"]:
        if finding["outcome"] == "stop":
            yield f"is offered with a stop: {finding['rule']}"
    for index, sling in enumerate(offer["slings"]):
        yield from (f"sling {sling['id']}: {complaint}" for complaint in _of_sling(book, offer, index, sling))


def _of_sling(book: str, offer: Doc, index: int, sling: Doc) -> Iterator[str]:
    v, unit = vertical(book, sling["spec"])
    v_n, limit = float(v * NEWTONS[unit]), part_limit_n(book, sling)
    if not math.isclose(sling["vertical_rated_n"], v_n, rel_tol=LEAST_SHARE):
        yield f"vertical rated load {sling['vertical_rated_n']:.1f}, table {v_n:.1f}"
    if not math.isclose(sling["part_limit_n"], limit, rel_tol=LEAST_SHARE):
        yield f"part limit {sling['part_limit_n']:.1f}, table {limit:.1f}"
    if not sling["design_tension_n"] < limit:
        yield f"design tension {sling['design_tension_n']:.1f} over {limit:.1f}"
    upright = hitch_rated_n(book, sling, 90.0)
    if not sling["hitch_rated_n"] <= upright * (1 + LEAST_SHARE):
        yield f"hitch rating {sling['hitch_rated_n']:.1f} over {upright:.1f}"
    if not sling["hitch_load_n"] < upright:
        yield f"hitch load {sling['hitch_load_n']:.1f} over {upright:.1f}"
    share = max(sling["design_tension_n"] / limit, sling["hitch_load_n"] / sling["hitch_rated_n"])
    if not math.isclose(sling["utilisation"], share, rel_tol=LEAST_SHARE):
        yield f"utilisation {sling['utilisation']:.4f}, not {share:.4f}"
    for case in offer["cases"]:
        yield from (
            f"case {case['name']}: {complaint}" for complaint in _of_case(book, index, sling, v_n, case)
        )


def _of_case(book: str, index: int, sling: Doc, v_n: float, case: Doc) -> Iterator[str]:
    for path in case["problem"]["paths"]:
        if path["sling"] == index and not math.isclose(path["rated_n"], v_n, rel_tol=LEAST_SHARE):
            yield f"stiffness from {path['rated_n']:.1f}, the vertical rated load is {v_n:.1f}"
    mine = [(t, angle) for at, _, t, angle in pulls(case) if at == index]
    if any(not t < part_limit_n(book, sling) for t, _ in mine):
        yield f"a part pulls {max(t for t, _ in mine):.1f} over its limit"
    swapped = case["name"].startswith("swap")
    if not swapped and max(t for t, _ in mine) > sling["design_tension_n"] * (1 + LEAST_SHARE):
        yield f"a part pulls more than the design tension {sling['design_tension_n']:.1f}"
    carried = sum(t * math.sin(math.radians(angle)) for t, angle in mine)
    rated = hitch_rated_n(book, sling, min(angle for _, angle in mine))
    if not carried < rated:
        yield f"carries {carried:.1f}, rated {rated:.1f}"
    stated = sling["hitch_load_n"] / sling["hitch_rated_n"]
    if not swapped and carried / rated > stated * (1 + 1e-6):
        yield f"hitch at {carried / rated:.4f} of its rating, said {stated:.4f}"
