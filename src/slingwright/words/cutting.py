"""A cut plan in words that a person at the table can follow, roll by roll, in whole millimetres."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from slingwright.make.cutting.plan import CutPlan, MountedRoll
from slingwright.units import Rounding
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_ratio

__all__ = ["cut_blocks", "cut_caution_texts", "cut_status_text"]


def cut_caution_texts(*, language: str = "en") -> tuple[str, ...]:
    """The cautions that stand on every cut plan."""
    return tuple(read_catalogue(language).sections["cutting-cautions"].values())


def cut_status_text(plan: CutPlan, *, language: str = "en") -> str:
    """What is proved of a plan; where it is not the cheapest, both costs."""
    words = read_catalogue(language)
    if plan.spent and not plan.gap:
        unit = words.word("cutting", "mm")
        return words.fill(
            "cutting", "status-wishes", least=str(plan.least_cost), spent=str(plan.spent), unit=unit
        )
    return words.word("cutting-status", plan.status)


def cut_blocks(plans: Sequence[CutPlan], *, language: str = "en") -> tuple[Block, ...]:
    """The plans in the order of the job: the sum of each, then one block a roll; cautions last."""
    words = read_catalogue(language)
    blocks: list[Block] = []
    for plan in plans:
        blocks.append(_plan_block(plan, language))
        blocks += [_roll_block(plan, roll, language) for roll in plan.rolls]
    rows = tuple(Row(label="", text=text) for text in cut_caution_texts(language=language))
    blocks.append(Block(kind="cautions", title=words.word("cutting-blocks", "cautions"), rows=rows))
    return tuple(blocks)


def _plan_block(plan: CutPlan, language: str) -> Block:
    words = read_catalogue(language)
    name = plan.problem.name
    status = cut_status_text(plan, language=language)
    title = words.fill("cutting-blocks", "plan" if name else "plan-unnamed", name=name, status=status)
    rows = [*_cost_rows(plan, language), *_uncut_rows(plan, language)]
    for key, split in (("orders-split", plan.orders_split), ("groups-split", plan.groups_split)):
        if split:
            text = words.fill("cutting", key, orders=", ".join(split), groups=", ".join(split))
            rows.append(Row(label=words.word("cutting-labels", "split"), text=text))
    return Block(kind="plan", title=title, rows=tuple(rows))


def _cost_rows(plan: CutPlan, language: str) -> list[Row]:
    words = read_catalogue(language)
    if plan.cost is None:
        return []

    def row(key: str, text: str) -> Row:
        return Row(label=words.word("cutting-labels", key), text=text)

    unit = words.word("cutting", "rolls" if plan.problem.practice is None else "mm")
    mounted = words.fill(
        "cutting", "mounted", rolls=str(plan.rolls_mounted), remnants=str(plan.remnants_consumed)
    )
    rows = [
        row("cost", words.fill("cutting", "cost", cost=str(plan.cost), unit=unit)),
        row("rolls", mounted),
    ]
    if plan.gap:
        rows.append(row("gap", words.fill("cutting", "gap", gap=str(plan.gap), unit=unit)))
    rows += [row("wishes", text) for text in _wishes_texts(plan, unit, language)]
    if plan.problem.practice is not None:
        rows.append(row("remnants", words.fill("cutting", "remnants", created=str(plan.remnants_created))))
    if plan.scrap.yield_share is not None:
        share = show_ratio(plan.scrap.yield_share, rounding=Rounding.DOWN, language=language)
        rows.append(row("yield", words.fill("cutting", "yield", share=share)))
    return rows


def _wishes_texts(plan: CutPlan, unit: str, language: str) -> list[str]:
    """What the second stage did, and what for; nothing where there is nothing to tell."""
    words, wishes = read_catalogue(language), plan.wishes
    if wishes is None or not wishes.before.extra_rolls:
        return []
    before, after = wishes.before, wishes.after
    texts = [
        words.fill(
            "cutting",
            "wishes",
            rolls=str(after.extra_rolls),
            rolls_before=str(before.extra_rolls),
            open=str(after.most_open),
            open_before=str(before.most_open),
        )
    ]
    if plan.spent:
        texts.append(
            words.fill("cutting", "spent", spent=str(plan.spent), least=str(wishes.least_cost), unit=unit)
        )
    return texts


def _uncut_rows(plan: CutPlan, language: str) -> list[Row]:
    words = read_catalogue(language)
    lengths: Counter[int] = Counter()
    for index, count in plan.uncut:
        lengths[plan.problem.pieces[index].length_mm] += count
    label = words.word("cutting-labels", "uncut")
    return [
        Row(label=label, text=words.fill("cutting", "uncut", count=str(count), length=str(length)))
        for length, count in sorted(lengths.items(), reverse=True)
    ]


def _roll_block(plan: CutPlan, roll: MountedRoll, language: str) -> Block:
    words = read_catalogue(language)
    stock = plan.problem.stock[roll.stock_index]
    key = ("roll" if stock.name else "roll-nameless") + ("-lot" if stock.lot else "")
    number = str(roll.stock_index + 1)
    name = words.fill("cutting", key, name=stock.name, lot=stock.lot, number=number)
    title = words.fill(
        "cutting-blocks", "roll", times=str(roll.times), roll=name, length=str(stock.length_mm)
    )
    rows: list[Row] = []
    if plan.problem.head_trim_mm:
        trim = words.fill("cutting", "trim", trim=str(plan.problem.head_trim_mm))
        rows.append(Row(label=words.word("cutting-labels", "trim"), text=trim))
    rows += [_piece_row(plan, index, count, language) for index, count in roll.pieces]
    rows.append(
        Row(label=words.word("cutting-labels", "leftover"), text=_leftover_text(plan, roll, language))
    )
    return Block(kind="roll", title=title, rows=tuple(rows))


def _piece_row(plan: CutPlan, index: int, count: int, language: str) -> Row:
    words = read_catalogue(language)
    piece = plan.problem.pieces[index]
    key = "piece" if not piece.order else "piece-due" if piece.due else "piece-order"
    text = words.fill(
        "cutting", key, count=str(count), length=str(piece.length_mm), order=piece.order, due=piece.due
    )
    return Row(label=words.word("cutting-labels", "cut"), text=text)


def _leftover_text(plan: CutPlan, roll: MountedRoll, language: str) -> str:
    words = read_catalogue(language)
    if not roll.leftover_mm:
        return words.word("cutting", "nothing")
    practice = plan.problem.practice
    kept = practice is not None and roll.leftover_mm >= max(practice.remnant_min_mm, 1)
    return words.fill("cutting", "keep" if kept else "scrap", length=str(roll.leftover_mm))
