"""An order laid out as its document, `slingwright/make/1`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from slingwright.usecases.make_order import serial_numbers
from slingwright.usecases.quote_document import load_rows, refused_document, spec_document
from slingwright.usecases.rulebooks import citation_document

if TYPE_CHECKING:
    from slingwright.make.gates import Gate
    from slingwright.make.pattern import Piece
    from slingwright.make.proof import ProofLoad
    from slingwright.usecases.make_order import MadeLine, MadeOrder

__all__ = ["gate_rows", "make_document", "proof_document"]


def make_document(made: MadeOrder) -> dict[str, Any]:
    """The whole document, head first; figures stand whether or not the gates are open."""
    from slingwright.words.making import making_cautions

    order = made.order
    return {
        **made.head,
        "answer": "released" if made.is_released else "stop",
        "number": made.number,
        "customer": order.customer,
        "due": order.due.isoformat() if order.due else None,
        "planning_only": made.planning_only,
        "lines": [_line(made, line) for line in made.lines],
        "from_stock": [
            {"line": n, "stock_id": item.asked.stock_id, "quantity": item.asked.quantity}
            for n, item in made.shelf
        ],
        "approval": {
            "drawing_sha256": made.drawing_sha256,
            "by": order.approved.by if order.approved else None,
            "on": order.approved.on.isoformat() if order.approved else None,
            "gate": _gate(made.approval, made.language),
        },
        "refused": [refused_document(n, one, made.units, made.language) for n, one in made.refused],
        "cautions": list(making_cautions(language=made.language)),
    }


def _line(made: MadeOrder, line: MadeLine) -> dict[str, Any]:
    from slingwright.words.making import sling_code

    bill, laid, item = line.item.bill, line.pattern, line.item
    assert item.loft is not None
    return {
        "line": line.number,
        "spec": spec_document(line.line.spec),
        "code": sling_code(line.line.spec),
        "quantity": line.line.quantity,
        "serials": list(serial_numbers(made, line)),
        "loft": item.loft.id,
        "ready_in_days": item.days,
        "pattern": {
            "pieces": [_piece(piece) for piece in laid.pieces],
            "lap_m": laid.lap_m,
            "lap_rows": laid.lap_rows,
            "body_rows": laid.body_rows,
            "taper_width_m": laid.taper_width_m,
            "layers_at_crown": laid.layers_at_crown,
            "least_length_m": laid.least_length_m,
        },
        "webbing_mm": bill.webbing_mm,
        "thread_mm": bill.thread_mm,
        "labels": bill.labels,
        "fittings": [str(fitting.kind) for fitting in bill.fittings],
        "protection": str(line.line.protection),
        "protection_pieces": bill.guard_pieces,
        "mass_kg": bill.mass_kg,
        "labour_s": bill.labour_s,
        "length_tolerance_m": item.tolerance_m,
        "matched_tolerance_m": made.shop.practice.matched_tolerance_m if line.line.matched else None,
        "rated_loads": load_rows(item.loads),
        "proof": proof_document(line.proof),
        "lots": sorted({roll.lot for roll in line.rolls}),
        "gates": [_gate(gate, made.language) for gate in line.gates],
    }


def _piece(piece: Piece) -> dict[str, Any]:
    return {
        "role": piece.role,
        "ply": piece.ply,
        "count": piece.count,
        "cut_mm": piece.cut_mm,
        "stretches": [{"name": s.name, "length_mm": s.length_um / 1000} for s in piece.stretches],
    }


def gate_rows(made: MadeOrder) -> list[dict[str, Any]]:
    """Every gate of an order, each once; the approval's last."""
    gates = [gate for line in made.lines for gate in line.gates]
    every = dict.fromkeys([*gates, made.approval] if made.lines else gates)
    return [_gate(gate, made.language) for gate in every]


def _gate(gate: Gate, language: str) -> dict[str, Any]:
    from slingwright.words.making import gate_text

    return {
        "gate": gate.code,
        "open": gate.is_open,
        "subject": gate.subject,
        "text": gate_text(gate, language=language),
    }


def proof_document(proof: ProofLoad) -> dict[str, Any]:
    """The proof load with its band."""
    return {
        "load_n": proof.load_n,
        "low_n": proof.low_n,
        "high_n": proof.high_n,
        "citation": citation_document(proof.citation),
    }
