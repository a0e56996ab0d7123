"""One printed offer rebuilt in MuJoCo and held to the tables. Imports nothing of slingwright.

Each printed case is built from its problem alone, moved off the printed pose, brought to rest by the engine's
own forces, and read from the engine; the limits come from `tests/rated_again.py`. What is judged are the
engine's tensions and angles, not the printed ones.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from typing import Any

import mujoco
import numpy as np

from tests.judge.engine import NEAR, TENSION_SHARE, TILT_DEG, Rig, place
from tests.judge.engine import hang as settle
from tests.rated_again import disagreements, hitch_rated_n, part_limit_n, pulls

Doc = dict[str, Any]
AT_REST = 1e-6  # of the weight
LAST_BITS = 1e-6  # relative: the engine's own convergence, not an allowance
MOVED = 0.004  # of the load's size, off the printed pose before the engine looks for its own
HIGH = 0.9


@dataclass
class OfferVerdict:
    """What does not hold (`complaints`), what the engine could not tell, the largest share of any limit."""

    complaints: list[str] = field(default_factory=list)
    undecided: int = 0
    cases: int = 0
    most_used: float = 0.0


def judge_offers(document: Doc) -> list[OfferVerdict]:
    """Every offer of a document as `slingwright choose --json` prints it."""
    book = document["made_by"]["rulebook"]["id"]
    out = []
    for offer in document["offers"]:
        alone = {**document, "offers": [offer]}
        verdict = OfferVerdict(complaints=disagreements(alone))
        for case in offer["cases"]:
            _judge_case(verdict, book, offer, case)
        out.append(verdict)
    return out


def _judge_case(verdict: OfferVerdict, book: str, offer: Doc, case: Doc) -> None:
    verdict.cases += 1
    rig = _found_again(case)
    if rig is None:
        verdict.undecided += 1
        return
    name, weight = case["name"], rig.weight
    printed = np.array([p["tension_n"] for p in case["result"]["paths"]])
    apart = float(np.abs(rig.tensions() - printed).max()) / weight
    if apart > TENSION_SHARE:
        verdict.complaints.append(f"case {name}: tensions differ by {apart:.1e} of the weight")
    tilt = rig.tilt_deg()
    if abs(tilt - case["result"]["tilt_deg"]) > TILT_DEG:
        verdict.complaints.append(f"case {name}: tilt {case['result']['tilt_deg']:.3f}, engine {tilt:.3f}")
    stated = offer["tilt_deg"] if name in ("stiff", "soft") else offer["worst_tilt_deg"]
    if not name.startswith("swap") and "renders" not in name and tilt > stated + TILT_DEG:
        verdict.complaints.append(f"case {name}: tilts by {tilt:.3f}, offered with {stated:.3f}")
    softest, neutral = float(rig.eigen()[0][0]), bool(case["result"]["null_modes"])
    if softest < -NEAR and not neutral:
        verdict.complaints.append(f"case {name}: gives way ({softest:.1e})")
    _hold_to_limits(verdict, book, offer, _as_engine_says(case, rig))


def _found_again(case: Doc) -> Rig | None:
    """The engine's own rest near the printed pose, or from a free hang; None where it finds neither."""
    rig = Rig(case["problem"], free=True)
    place(rig, case["result"])
    rng = np.random.default_rng(17)  # any way off will do, the same every time
    rig.shift(rng.uniform(-MOVED, MOVED, rig.model.nv) * rig.scale)
    if rig.polish() <= AT_REST:
        return rig
    rig = settle(case["problem"])
    return rig if rig.polish() <= AT_REST else None


def _as_engine_says(case: Doc, rig: Rig) -> Doc:
    """The case with the engine's tensions and poses in place of the printed ones."""
    tensions, bodies = rig.tensions(), []
    for i, body in enumerate(case["problem"]["bodies"]):
        turned = np.empty(9)
        mujoco.mju_quat2Mat(turned, rig.data.qpos[7 * i + 3 : 7 * i + 7])
        turned = turned.reshape(3, 3)
        origin = rig.data.qpos[7 * i : 7 * i + 3] - turned @ np.array(body["centre_of_gravity_m"])
        bodies.append({"name": body["name"], "origin_m": origin.tolist(), "rotation": turned.tolist()})
    paths = [
        {"name": p["name"], "tension_n": float(t)}
        for p, t in zip(case["problem"]["paths"], tensions, strict=True)
    ]
    return {"name": case["name"], "problem": case["problem"], "result": {"bodies": bodies, "paths": paths}}


def _hold_to_limits(verdict: OfferVerdict, book: str, offer: Doc, case: Doc) -> None:
    found = list(pulls(case))
    for index, sling in enumerate(offer["slings"]):
        mine = [(tension, angle) for at, _, tension, angle in found if at == index]
        limit = part_limit_n(book, sling)
        part = max(tension for tension, _ in mine) / limit
        carried = sum(t * math.sin(math.radians(angle)) for t, angle in mine)
        hitch = carried / hitch_rated_n(book, sling, min(angle for _, angle in mine))
        verdict.most_used = max(verdict.most_used, part, hitch)
        if not max(part, hitch) < 1 + LAST_BITS:
            verdict.complaints.append(
                f"case {case['name']}, sling {sling['id']}: {max(part, hitch):.4f} of a limit"
            )
