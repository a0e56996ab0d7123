"""From a lift file's document to a `Lift`: the only place that turns people's words into one.

All faults at once, each with its path; a valid value whose answer is no (weight "unknown", purpose
"people") is no fault here, but a stop later.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, Literal

from slingwright.errors import InputFault, fail
from slingwright.lift.load import build_load
from slingwright.lift.mesh import MeshReader
from slingwright.lift.model import Lift, Load, WantedSling
from slingwright.lift.places import build_beams, build_hooks, build_site, build_want, build_wanted_sling
from slingwright.lift.table import Reader
from slingwright.lift.upgrade import upgrade_lift

__all__ = ["read_lift", "read_load", "read_wanted_sling"]

_US = re.compile(r"\d\s*(?:(?:lbs?|pounds?|lbf|kips?|ft|foot|feet|in|inch|inches|°\s*f|pcf)\b|['\"′″])", re.I)
_SI = re.compile(r"\d\s*(?:kg|tonnes?|t|dan|kn|n|m|mm|cm|°\s*c|k)\b", re.I)


def read_lift(doc: object, *, mesh_reader: MeshReader | None = None) -> Lift:
    """Read a lift document (of TOML or JSON, same shape).

    Parameters
    ----------
    doc
        The document as nested tables and lists.
    mesh_reader
        Gives the bytes of a mesh file by the name in the document (see `mesh.folder_reader`); without
        it a lift with a mesh is refused.

    Raises
    ------
    InputFault
        Anything wrong with the document: all faults at once.
    """
    if not isinstance(doc, Mapping):
        raise fail("", "is not a lift file: it holds no tables", "begin with a [load] table")
    doc = upgrade_lift(doc)
    regime: Literal["us", "en"] = "en" if doc.get("rulebook") == "en" else "us"
    reader = Reader(regime)
    lift = _build(doc, reader, mesh_reader)
    if reader.faults or lift is None:
        raise InputFault(reader.all_faults())
    return lift


def read_load(
    doc: Mapping[str, Any], *, regime: Literal["us", "en"], mesh_reader: MeshReader | None = None
) -> tuple[Load, tuple[str, ...], str]:
    """Read a lift's `load` table alone; with it the notes, and the units it is mostly written in.

    Raises
    ------
    InputFault
        Anything wrong with it: all faults at once.
    """
    reader = Reader(regime)
    values = reader.read(doc, "load", "load")
    load = None if values is None else build_load(values, reader, mesh_reader)
    if reader.faults or load is None:
        raise InputFault(reader.all_faults())
    return load, tuple(reader.notes), _units_of(doc, regime)


def read_wanted_sling(doc: Mapping[str, Any]) -> WantedSling:
    """Read a lift's `want.sling` table alone.

    Raises
    ------
    InputFault
        Anything wrong with it: all faults at once.
    """
    reader = Reader("us")
    values = reader.read(doc, "sling", "want.sling")
    found = build_wanted_sling(values)
    if reader.faults or found is None:
        raise InputFault(reader.all_faults())
    return found


def _build(doc: Mapping[str, Any], reader: Reader, mesh_reader: MeshReader | None) -> Lift | None:
    top = reader.read(doc, "lift", "")
    if top is None:
        return None
    load = build_load(top["load"], reader, mesh_reader) if top["load"] is not None else None
    hooks = build_hooks(top["hook"] or (), reader)
    beams = build_beams(top["beam"])
    site = build_site(top["site"], reader) if top["site"] is not None else None
    want = build_want(top["want"], reader) if top["want"] is not None else None
    if load is None or site is None or want is None or reader.faults:
        return None
    return Lift(
        title=top["title"],
        rulebook=top["rulebook"],
        profile=top["profile"],
        load=load,
        hooks=hooks,
        site=site,
        want=want,
        beams=beams,
        units=_units_of(doc, reader.regime),
        notes=tuple(reader.notes),
    )


def _units_of(doc: Mapping[str, Any], regime: str) -> str:
    """Which units the file is mostly written in: "us" or "si"."""
    texts = list(_texts({key: value for key, value in doc.items() if key != "title"}))
    us = sum(1 for text in texts if _US.search(text))
    si = sum(1 for text in texts if _SI.search(text) and not _US.search(text))
    if us == si:
        return "us" if regime == "us" else "si"
    return "us" if us > si else "si"


def _texts(value: object) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, Mapping):
        for inner in value.values():
            yield from _texts(inner)
    elif isinstance(value, list):
        for inner in value:
            yield from _texts(inner)
