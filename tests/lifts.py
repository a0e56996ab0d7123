"""The example lifts as the tests see them: documents to change, and lifts read from them."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

from slingwright.lift import Lift, folder_reader, read_lift

EXAMPLES = Path(__file__).parents[1] / "examples" / "harrow_quay"
NAMES = (
    "barrier_mesh",
    "caustic_heat_exchanger",
    "chiller",
    "compressor_en",
    "conduit_bundle",
    "crane_rail_beam",
    "duct_section",
    "hot_casting",
    "pipe_40ft",
    "pontoon_two_hooks",
    "precast_stair",
    "pump_skid_parts",
    "scrubber_vessel",
    "yard_launch",
)


def lift_document(name: str) -> dict[str, Any]:
    """A fresh copy of one example lift's document."""
    return tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))


def read_document(doc: object) -> Lift:
    """Read a document as if it stood beside the examples."""
    return read_lift(doc, mesh_reader=folder_reader(EXAMPLES))


def example_lift(name: str) -> Lift:
    """One example lift, read."""
    return read_document(lift_document(name))


def smallest_document() -> dict[str, Any]:
    """A box with everything a lift must say and nothing else."""
    return {
        "load": {"weight": "2000 lb", "shape": "box", "length": "6 ft", "width": "4 ft", "height": "3 ft"},
        "hook": {"headroom": "12 ft"},
    }
