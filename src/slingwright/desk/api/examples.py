"""The examples that the API's description shows: the shop's own files where it keeps any, else small ones."""

from __future__ import annotations

import datetime as dt
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from slingwright.desk.bench import Bench

__all__ = ["SMALL", "Examples", "examples_of"]

Examples = Mapping[str, Mapping[str, Any]]  # kind of file -> name -> its tables

_LIFT = {
    "title": "Press onto its bed",
    "rulebook": "us",
    "load": {
        "weight": "4000 lb", "shape": "box", "length": "6 ft", "width": "4 ft", "height": "4 ft",
        "centre_of_gravity": ["3 ft", "2 ft", "2 ft"],
        "pick_point": [
            {"name": name, "at": [x, y, "4 ft"], "pin": "1 in"}
            for name, x, y in (
                ("A", "1 ft", "1 ft"), ("B", "5 ft", "1 ft"), ("C", "5 ft", "3 ft"), ("D", "1 ft", "3 ft"),
            )
        ],
    },
    "hook": {"headroom": "18 ft", "thickness": "2 in"},
}  # fmt: skip
_LOAD = {
    "title": "A steel plate that nobody has weighed",
    "load": {"shape": "box", "length": "8 ft", "width": "4 ft", "height": "2 in", "material": "steel"},
}
_PROBLEM = {
    "weight_n": 50000.0,
    "centre_of_gravity_m": [0.0, 0.0, -1.0],
    "hook_m": [0.0, 0.0, 0.0],
    "paths": [
        {
            "upper_m": [0.0, 0.0, 0.0], "pick_m": [0.0, 0.0, 0.0], "length_m": 3.0, "rated_n": 80000.0,
            "strain_at_rated": 0.03,
        }
    ],
}  # fmt: skip
_SPEC = {
    "form": "twisted-eye", "fibre": "polyester", "class": 7, "plies": 2, "width": "2 in", "length": "9 ft",
}  # fmt: skip
_ORDER = {
    "schema": "slingwright/order/1",
    "number": "EX-1042",
    "customer": "Saltmarsh Boatyard (fictional)",
    "rulebook": "us",
    "line": [{"spec": _SPEC, "quantity": 4}],
}
_DAY = {
    "schema": "slingwright/routing-day/1",
    "on": "2026-03-02",
    "order": [
        {"number": "EX-2001", "region": "upland", "due": "2026-03-12",
         "line": [{"spec": _SPEC, "quantity": 24}]},
    ],
}  # fmt: skip
_CUT = {
    "name": "two rolls",
    "params": {
        "kerf": 20, "head_trim": 50, "remnant_min": 3000, "discount": 750, "mount_cost": 500,
        "full_length": 50000, "keep_orders_together": False,
    },
    "stock": [
        {"length": 50000, "count": 1, "kind": "full"}, {"length": 27270, "count": 1, "kind": "remnant"},
    ],
    "items": [{"length": 13550, "quantity": 2}, {"length": 4730, "quantity": 4}],
}  # fmt: skip
_PLAN = {
    "schema": "slingwright/cut-plan/1",
    "name": "two rolls",
    "plan": [
        {"roll": "", "lot": "", "stock_length": 27270, "times": 1, "leftover": 100,
         "pieces": [{"order": "", "due": "", "length": 13550, "count": 2}]},
    ],
}  # fmt: skip
SMALL: Mapping[str, Mapping[str, Any]] = {
    "lift": _LIFT, "load": _LOAD, "hang-problem": _PROBLEM, "order": _ORDER, "routing-day": _DAY,
    "cut-problem": _CUT, "cut-plan": _PLAN,
}  # fmt: skip
_KINDS = {f"slingwright/{kind}/1": kind for kind in ("order", "routing-day")}


def examples_of(bench: Bench) -> Examples:
    """Examples by the kind of file; of every kind at least one."""
    found: dict[str, dict[str, Any]] = {
        "lift": {one.name: _as_json(one.tables) for one in bench.examples()},
    }
    shop = bench.settings.shop
    for file in sorted(shop.parent.glob("*.toml")) if shop is not None else ():
        tables = _tables(file)
        kind = _KINDS.get(str(tables.get("schema")))
        if kind is not None:
            found.setdefault(kind, {})[file.stem] = _as_json(tables)
    return {kind: found.get(kind) or {"small": small} for kind, small in SMALL.items()}


def _tables(file: Path) -> dict[str, Any]:
    try:
        return tomllib.loads(file.read_text("utf-8"))
    except (OSError, ValueError):
        return {}


def _as_json(value: Any) -> Any:
    """A file's tables with its dates as JSON writes them."""
    if isinstance(value, Mapping):
        return {key: _as_json(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [_as_json(inner) for inner in value]
    return value.isoformat() if isinstance(value, dt.date | dt.time) else value
