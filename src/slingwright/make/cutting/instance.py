"""The instance form: `capacity` and `items` (rolls only are counted), or `params`, `stock` and `items`."""

from __future__ import annotations

from slingwright.errors import Fault
from slingwright.make.cutting.fields import Fields
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock

__all__ = ["MOST_PIECES", "check_lengths", "read_instance", "read_practice"]

MOST_PIECES = 20_000

_NOTES = ("source", "optimum", "best_known", "lower_bound", "lp_bound", "reference_solution", "comment")
_PRACTICE = ("kerf", "head_trim", "remnant_min", "discount", "full_length", "mount_cost")


def read_instance(data: object, path: str, faults: list[Fault]) -> CutProblem:
    """One problem; faults are added to the list."""
    fields = Fields(data, path, faults)
    practice, together = None, False
    if "capacity" in fields.data:
        fields.only(("name", "capacity", "items", *_NOTES))
        stock: tuple[Stock, ...] = (
            Stock(length_mm=fields.whole("capacity", least=1), count=None, full=True),
        )
    else:
        fields.only(("name", "params", "stock", "items", *_NOTES))
        params = Fields(fields.data.get("params"), fields.at("params"), faults)
        params.only((*_PRACTICE, "keep_orders_together"))
        practice, together = read_practice(params, ""), params.flag("keep_orders_together")
        stock = tuple(_read_stock(row) for row in fields.rows("stock"))
    pieces = tuple(_read_item(row, together=together) for row in fields.rows("items"))
    problem = CutProblem(name=fields.text("name", default=""), stock=stock, pieces=pieces, practice=practice)
    if not faults:
        check_lengths(problem, [fields.at(f"items[{i}].length") for i in range(len(pieces))], faults)
    return problem


def read_practice(fields: Fields, suffix: str) -> Practice:
    """The shop's figures, from a table whose keys end in `suffix`."""
    practice = Practice(
        kerf_mm=fields.whole(f"kerf{suffix}", least=0),
        head_trim_mm=fields.whole(f"head_trim{suffix}", least=0),
        remnant_min_mm=fields.whole(f"remnant_min{suffix}", least=0),
        discount_mm=fields.whole(f"discount{suffix}", least=0),
        full_length_mm=fields.whole(f"full_length{suffix}", least=1),
        mount_cost_mm=fields.whole(f"mount_cost{suffix}", least=0),
    )
    if practice.discount_mm > practice.remnant_min_mm:
        least = f"remnant_min{suffix}"
        fields.note(f"discount{suffix}", f"exceeds {least}: a remnant would be worth less than nothing")
    return practice


def _read_stock(row: Fields) -> Stock:
    row.only(("length", "count", "kind", "lot", "name"))
    kind = row.choice("kind", ("full", "remnant"))
    return Stock(
        length_mm=row.whole("length", least=1),
        count=row.whole("count", least=0, unit="rolls", default=1),
        lot=row.text("lot", default=""),
        name=row.text("name", default=""),
        full=kind == "full",
    )


def _read_item(row: Fields, *, together: bool) -> Piece:
    row.only(("length", "quantity", "order", "due", "uncut_penalty"))
    order = row.text("order", default="")
    if together and not order:
        row.note("order", "is missing", "orders are to be kept together, so each item needs its order")
    optional = row.data.get("uncut_penalty") is not None
    return Piece(
        length_mm=row.whole("length", least=1),
        quantity=row.whole("quantity", least=1, unit="pieces"),
        order=order,
        due=row.day("due"),
        together=order if together else "",
        uncut_cost_mm=row.whole("uncut_penalty", least=0) if optional else None,
    )


def check_lengths(problem: CutProblem, paths: list[str], faults: list[Fault]) -> None:
    """Note every piece that must be cut and is longer than the longest roll allows, and too large a job."""
    longest = max((s.length_mm for s in problem.stock if s.count != 0), default=0) - problem.head_trim_mm
    for piece, path in zip(problem.pieces, paths, strict=True):
        if piece.length_mm > longest and piece.uncut_cost_mm is None:
            trimmed = " with its head trimmed" if problem.head_trim_mm else ""
            problem_text = (
                f"{piece.length_mm} mm is longer than the longest roll{trimmed} ({max(longest, 0)} mm)"
            )
            faults.append(Fault(path, problem_text, "no splices: add a longer roll, or leave the piece out"))
    if sum(p.quantity for p in problem.pieces) > MOST_PIECES:
        faults.append(Fault(paths[0], f"more than {MOST_PIECES} pieces in one webbing", "split the job"))
