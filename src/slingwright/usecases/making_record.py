"""What the floor wrote down of the slings it made: `slingwright/making-record/1`."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from slingwright.errors import Fault, InputFault
from slingwright.make.made import MadeSling, ProofRecord
from slingwright.shop.fields import Field, Table, schema_document
from slingwright.shop.kinds import Const, Length, ListOf, Schema, Text, Weight
from slingwright.usecases.order_file import Day

__all__ = ["making_record_schema", "read_making_record"]

_PROOF = Table((
    Field("load", Weight(), "load applied"),
    Field("machine", Text(), "test bed"),
    Field("calibration", Text(), "its calibration"),
    Field("on", Day(), "when"),
    Field("by", Text(), "who pulled it"),
))  # fmt: skip
_SLING = Table((
    Field("serial", Text(longest=40), "serial number"),
    Field("made_length", Length(), "measured flat and unloaded, bearing to bearing"),
    Field("lot", Text(longest=60), "webbing lot"),
    Field("thread_lot", Text(longest=60), "thread lot"),
    Field("fittings_lot", Text(longest=60), "lot of its fittings, where it has any", None),
    Field("inspected_by", Text(), "who inspected it last, another than who sewed it"),
    Field("inspected_on", Day(), "when"),
    Field("proof", _PROOF, "left out: not proof tested", None),
))  # fmt: skip
_RECORD = Table((
    Field("schema", Const("slingwright/making-record/1"), "name and version of this file's form"),
    Field("sling", ListOf(kind=_SLING, least=1, most=10_000), "slings as made"),
))  # fmt: skip


def making_record_schema() -> Schema:
    """The JSON Schema of a making record."""
    return schema_document(_RECORD, "Slings as made: what the floor wrote down")


def read_making_record(doc: object) -> tuple[MadeSling, ...]:
    """Read a parsed making record.

    Raises
    ------
    InputFault
        Every fault of it.
    """
    row = _RECORD.read(doc, "")
    serials = [sling["serial"] for sling in row["sling"]]
    twice = [
        Fault(f"sling[{i}].serial", "is recorded twice") for i, s in enumerate(serials) if s in serials[:i]
    ]
    if twice:
        raise InputFault(twice)
    return tuple(_sling(sling) for sling in row["sling"])


def _sling(row: Mapping[str, Any]) -> MadeSling:
    proof = row["proof"]
    return MadeSling(
        serial=row["serial"],
        length_m=row["made_length"],
        lot=row["lot"],
        thread_lot=row["thread_lot"],
        fittings_lot=row["fittings_lot"],
        inspected_by=row["inspected_by"],
        inspected_on=row["inspected_on"],
        proof=None
        if proof is None
        else ProofRecord(
            load_n=proof["load"],
            machine=proof["machine"],
            calibration=proof["calibration"],
            on=proof["on"],
            by=proof["by"],
        ),
    )
