"""The cut list: roll by roll what to cut, in order, with a picture and room to sign."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence

from slingwright.draw.cuts import CUTS_WIDE_MM, draw_cuts
from slingwright.make.cutting.plan import CutPlan, MountedRoll
from slingwright.papers.document import (
    Column,
    Paper,
    Section,
    bullets_section,
    drawing_section,
    paper_footer,
    print_paper,
    table_section,
    text_section,
)
from slingwright.units import Units
from slingwright.words import read_catalogue
from slingwright.words.cutting import cut_caution_texts, cut_status_text
from slingwright.words.making import show_mm

__all__ = ["cut_list"]

_ROLLS_A_PICTURE = 16


def cut_list(
    plans: Sequence[CutPlan],
    *,
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    language: str = "en",
) -> bytes:
    """Print cut plans (PDF), each webbing with a table of its rolls and a picture; same input, same bytes."""
    words = read_catalogue(language)
    label = words.sections["cut-list"]
    return print_paper(
        Paper(
            kind=label["kind"],
            title=label["title"],
            facts=[[label["webbings"], str(len(plans))]],
            sections=[
                *(section for plan in plans for section in _plan(plan, language)),
                bullets_section(
                    words.word("cutting-blocks", "cautions"), cut_caution_texts(language=language)
                ),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            language=language,
        ),
        on=on,
    )


def _plan(plan: CutPlan, language: str) -> Iterator[Section]:
    words = read_catalogue(language)
    label = words.sections["cut-list"]
    status = cut_status_text(plan, language=language)
    title = plan.problem.name or label["title"]
    if not plan.rolls:
        yield text_section(title, [status])
        return
    heads = (("roll", 24), ("lot", 26), ("length", 21), ("cut", 0), ("left", 25), ("done", 22))
    columns = [Column(label[head], mm, right=head in ("length", "left")) for head, mm in heads]
    yield table_section(
        title,
        columns,
        [_row(plan, roll, label) for roll in plan.rolls],
        note=f"{status}. {label['order']}",
        tall=True,
    )
    for start in range(0, len(plan.rolls), _ROLLS_A_PICTURE):
        some = plan.rolls[start : start + _ROLLS_A_PICTURE]
        alt = "; ".join(f"{_name(plan, roll)}: {', '.join(_cuts(plan, roll))}" for roll in some)
        yield drawing_section("", draw_cuts(plan, some), alt=alt, width_mm=CUTS_WIDE_MM)


def _row(plan: CutPlan, roll: MountedRoll, label: Mapping[str, str]) -> tuple[str, ...]:
    stock, practice = plan.problem.stock[roll.stock_index], plan.problem.practice
    kept = practice is not None and roll.leftover_mm >= max(practice.remnant_min_mm, 1)
    left = f"{show_mm(roll.leftover_mm)}\n{label['keep' if kept else 'scrap']}"
    return _name(plan, roll), stock.lot, show_mm(stock.length_mm), "\n".join(_cuts(plan, roll)), left, ""


def _name(plan: CutPlan, roll: MountedRoll) -> str:
    name = plan.problem.stock[roll.stock_index].name or str(roll.stock_index + 1)
    return f"{roll.times} × {name}" if roll.times > 1 else name


def _cuts(plan: CutPlan, roll: MountedRoll) -> list[str]:
    """Pieces in the order they are cut, each with its order or sling."""
    told = []
    for index, count in roll.pieces:
        piece = plan.problem.pieces[index]
        whose = (piece.together or piece.order).rpartition("/")[2]
        told.append(f"{count} × {show_mm(piece.length_mm)}" + (f" ({whose})" if whose else ""))
    return told
