"""The shop's own job file: rolls and remnants on the shelf, pieces of several orders, webbing by webbing."""

from __future__ import annotations

from dataclasses import replace

from slingwright.make.cutting.fields import Fields
from slingwright.make.cutting.instance import check_lengths, read_practice
from slingwright.make.cutting.problem import CutProblem, Piece, Practice, Stock

__all__ = ["read_job"]

_PRACTICE = (
    "kerf_mm",
    "head_trim_mm",
    "remnant_min_mm",
    "discount_mm",
    "full_length_mm",
    "mount_cost_mm",
)
_WISH, _MOST_WISH = 2, 100
_TOGETHER = ("nothing", "sling", "order")


def read_job(fields: Fields) -> tuple[CutProblem, ...]:
    """One problem for each webbing that has pieces, in the order of the file; faults are added to the list.

    `[practice]` holds for all webbings, `[[webbing]]` may replace any figure of it for one. Pieces due after
    `[practice] horizon` may stay uncut at a cost: their `uncut_cost_mm`, else their length with its kerf.
    `wish_permille`, 2 if left out, may be spent on a plan with fewer orders on several rolls.
    """
    fields.only(("title", "practice", "webbing", "roll", "piece"))
    fields.text("title", default="")
    common = Fields(fields.data.get("practice"), fields.at("practice"), fields.faults)
    common.only((*_PRACTICE, "keep_together", "horizon", "wish_permille"))
    together = common.choice("keep_together", _TOGETHER)
    horizon = common.day("horizon")
    wish_permille = _read_wish(common)
    practices = _read_webbings(fields, common)
    stock: dict[str, list[Stock]] = {}
    for row in fields.rows("roll"):
        stock.setdefault(row.text("webbing"), []).append(_read_roll(row))
    pieces: dict[str, list[tuple[Piece, str]]] = {}
    for row in fields.rows("piece"):
        webbing = row.text("webbing")
        if webbing and webbing not in stock:
            known = ", ".join(sorted(w for w in stock if w)) or "none"
            row.note("webbing", f"no roll of {webbing!r} on the shelf", f"webbings with rolls: {known}")
        piece = _read_piece(row, together, horizon, practices.get(webbing, practices[""]))
        pieces.setdefault(webbing, []).append((piece, row.at("length_mm")))
    problems = []
    for webbing, rows in pieces.items():
        problem = CutProblem(
            name=webbing,
            webbing=webbing,
            stock=tuple(stock.get(webbing, ())),
            pieces=tuple(piece for piece, _ in rows),
            practice=practices.get(webbing, practices[""]),
            wish_permille=wish_permille,
        )
        problems.append(_mark_full(problem))
        if webbing in stock:
            check_lengths(problem, [path for _, path in rows], fields.faults)
    return tuple(problems)


def _read_wish(common: Fields) -> int:
    """Thousandths of the least cost that fewer orders on several rolls are worth."""
    permille = common.whole("wish_permille", least=0, unit="thousandths of the cost", default=_WISH)
    if permille > _MOST_WISH:
        common.note("wish_permille", f"is too large: {permille}", f"at most {_MOST_WISH} thousandths")
    return permille


def _read_webbings(fields: Fields, common: Fields) -> dict[str, Practice]:
    """Practice by webbing; "" is the common one."""
    practices = {"": read_practice(common, "_mm")}
    if "webbing" not in fields.data:
        return practices
    for row in fields.rows("webbing"):
        row.only(("name", *_PRACTICE))
        name = row.text("name")
        if name in practices:
            row.note("name", f"{name!r} is named twice")
        merged = {**{k: common.data.get(k) for k in _PRACTICE if k in common.data}, **row.data}
        practices[name] = read_practice(Fields(merged, row.path, fields.faults), "_mm")
    return practices


def _read_roll(row: Fields) -> Stock:
    row.only(("webbing", "name", "lot", "remaining_mm", "count"))
    return Stock(
        length_mm=row.whole("remaining_mm", least=1),
        count=row.whole("count", least=0, unit="rolls", default=1),
        lot=row.text("lot", default=""),
        name=row.text("name", default=""),
    )


def _mark_full(problem: CutProblem) -> CutProblem:
    """A roll is full if it still has the full length of its webbing; anything shorter is a remnant."""
    full = problem.practice.full_length_mm if problem.practice else 0
    return replace(problem, stock=tuple(replace(s, full=s.length_mm >= full) for s in problem.stock))


def _read_piece(row: Fields, together: str, horizon: str, practice: Practice) -> Piece:
    row.only(("webbing", "order", "sling", "due", "length_mm", "quantity", "uncut_cost_mm"))
    order, sling = row.text("order"), row.text("sling", default="")
    due = row.day("due")
    if together == "sling" and not sling:
        row.note(
            "sling", "is missing", "the pieces of a sling are to be kept together, so each needs its sling"
        )
    group = {"nothing": "", "order": order, "sling": f"{order}/{sling}"}[together]
    length = row.whole("length_mm", least=1)
    cost = None
    if horizon and due > horizon:
        cost = row.whole("uncut_cost_mm", least=0, default=length + practice.kerf_mm)
    elif "uncut_cost_mm" in row.data:
        row.note(
            "uncut_cost_mm", "only a piece due after the horizon may stay uncut", "see [practice] horizon"
        )
    return Piece(
        length_mm=length,
        quantity=row.whole("quantity", least=1, unit="pieces"),
        order=order,
        due=due,
        together=group,
        uncut_cost_mm=cost,
    )
