"""The traveler: what the cutting and sewing floor works from, and writes on, line by line of an order."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from slingwright.draw.pattern import PIECES_WIDE_MM, draw_pieces
from slingwright.draw.sling import SLING_WIDE_MM, draw_sling
from slingwright.make.gates import Gate
from slingwright.make.pattern import Pattern
from slingwright.make.proof import ProofLoad
from slingwright.papers.document import (
    Column,
    Paper,
    Section,
    bullets_section,
    drawing_section,
    fields_section,
    pairs_section,
    paper_footer,
    print_paper,
    steps_section,
    table_section,
)
from slingwright.price.quote import QuoteItem
from slingwright.rulebook import Rulebook
from slingwright.shop import Protection, Roll, Shop
from slingwright.units import Rounding, Units
from slingwright.words import (
    fibre_name,
    join_both,
    protection_name,
    read_catalogue,
    rulebook_name,
    show_load,
    show_made_length,
    show_made_width,
    spec_text,
)
from slingwright.words.figures import show_length, show_mass
from slingwright.words.making import gate_text, making_cautions, show_mm, sling_code
from slingwright.words.names import fitting_name
from slingwright.words.quoting import item_length_text

__all__ = ["TravelerLine", "piece_texts", "proof_texts", "traveler_paper"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TravelerLine:
    """One line of an order as the floor needs it."""

    number: int
    item: QuoteItem
    pattern: Pattern
    proof: ProofLoad
    rolls: tuple[Roll, ...]
    gates: tuple[Gate, ...]
    serials: tuple[str, ...]


def traveler_paper(
    lines: Sequence[TravelerLine],
    *,
    order_number: str,
    customer: str | None,
    due: dt.date | None,
    rulebook: Rulebook,
    shop: Shop,
    made_by: Mapping[str, object],
    on: dt.date,
    units: Units,
    specimen: bool = False,
    language: str = "en",
) -> bytes:
    """Print the traveler of an order (PDF), each line on pages of its own; same arguments, same bytes.

    Parameters
    ----------
    lines, order_number, customer, due
        What is made for whom.
    rulebook, shop, made_by
        Whose rules and practice, and the document head's `made_by`.
    specimen
        Set SPECIMEN, NOT FOR SERVICE across every page; only so may a line with a shut gate be drawn.
    """
    words = read_catalogue(language)
    label = words.sections["make"]
    facts = [[shop.name, shop.papers.address if shop.papers else ""]]
    facts += [[label["customer"], customer]] if customer else []
    facts += [[label["due"], due.isoformat()]] if due else []
    facts.append([label["rules"], rulebook_name(rulebook.id, rulebook.profile, language=language)])
    return print_paper(
        Paper(
            kind=label["kind"],
            title=words.fill("make", "order", number=order_number),
            facts=facts,
            sections=[
                *(s for line in lines for s in _line(line, shop, units, language, line is not lines[0])),
                bullets_section(words.word("quote", "cautions"), making_cautions(language=language)),
            ],
            footer=paper_footer(made_by, on, language=language),
            units=units,
            specimen=words.word("paper", "specimen") if specimen else "",
            language=language,
        ),
        on=on,
    )


def _line(line: TravelerLine, shop: Shop, units: Units, language: str, fresh: bool) -> Iterator[Section]:
    words = read_catalogue(language)
    label = words.sections["make"]
    spec = line.item.asked.spec
    text = spec_text(spec, units, language=language)
    title = words.fill("make", "approval-line", line=str(line.number), quantity=str(line.item.asked.quantity),
                       code=sling_code(spec))  # fmt: skip
    yield pairs_section(title, _facts(line, shop, units, language), fresh=fresh)
    yield drawing_section(
        label["finished"],
        draw_sling(line.pattern, units, language=language),
        alt=words.fill("finished", "alt", text=text),
        width_mm=SLING_WIDE_MM,
    )
    yield drawing_section(
        label["pieces"],
        draw_pieces(line.pattern, language=language),
        alt=words.fill(
            "finished", "pieces-alt", text="; ".join(piece_texts(line.pattern, language=language))
        ),
        width_mm=PIECES_WIDE_MM,
        note=label["pieces-note"],
    )
    yield _bill(line, units, language)
    yield steps_section(
        label["steps"],
        (label["number"], label["step"], label["by"], label["date"]),
        _steps(line, units, language),
    )
    yield fields_section(label["record"], _records(line, label), columns=4)
    yield bullets_section(label["proof"], proof_texts(line.proof, units, language=language))
    yield _measured(line, shop, units, language)


def _facts(line: TravelerLine, shop: Shop, units: Units, language: str) -> Iterator[tuple[str, str]]:
    words = read_catalogue(language)
    label = words.sections["make"]
    yield label["sling"], spec_text(line.item.asked.spec, units, language=language)
    yield (
        label["length"],
        item_length_text(line.item, units, shop.practice.matched_tolerance_m, language=language),
    )
    yield label["quantity"], str(line.item.asked.quantity)
    key = "serial-range" if len(line.serials) > 1 else "serial-one"
    yield label["serials"], words.fill("make", key, first=line.serials[0], last=line.serials[-1])
    yield label["loft"], line.item.loft.name if line.item.loft else ""
    lots = sorted({f"{roll.lot} ({roll.certificate})" for roll in line.rolls})
    yield label["webbing-lots"], ", ".join(lots) or label["none"]
    gates = join_both((gate_text(gate, language=language) for gate in line.gates), "; ")
    yield label["gates"], gates


def piece_texts(pattern: Pattern, *, language: str = "en") -> list[str]:
    """Each kind of flat piece in words: what it is, how many, how long it is cut."""
    words = read_catalogue(language)
    return [
        words.fill("pieces", p.role, ply=str(p.ply + 1), count=str(p.count), cut=show_mm(p.cut_mm))
        for p in pattern.pieces
    ]


def _bill(line: TravelerLine, units: Units, language: str) -> Section:
    words = read_catalogue(language)
    label = words.sections["make"]
    bill, count = line.item.bill, line.item.asked.quantity

    def metres(mm: int) -> str:
        return show_made_length(mm / 1000, units, language=language)

    rows = [
        (label["webbing"], metres(bill.webbing_mm), metres(bill.webbing_mm * count)),
        (label["thread"], metres(bill.thread_mm), metres(bill.thread_mm * count)),
        (label["label"], str(bill.labels), str(bill.labels * count)),
    ]
    rows += [
        (
            words.fill("make", "fitting", kind=fitting_name(str(fitting.kind), language=language)),
            "1",
            str(count),
        )
        for fitting in bill.fittings
    ]
    if bill.guard is not None:
        name = protection_name(bill.guard.protection, language=language)
        rows.append((name, str(bill.guard_pieces), str(bill.guard_pieces * count)))
    rows.append(
        (
            label["mass"],
            show_mass(bill.mass_kg, units, language=language),
            show_mass(bill.mass_kg * count, units, language=language),
        )
    )
    one, every = (
        words.fill("make", "minutes", minutes=f"{-(-seconds // 60)}")
        for seconds in (bill.labour_s, bill.labour_s * count)
    )
    rows.append((label["labour"], one, every))
    columns = (
        Column(label["what"]),
        Column(label["one"], 50, right=True),
        Column(label["all"], 50, right=True),
    )
    return table_section(label["bill"], columns, rows)


def _steps(line: TravelerLine, units: Units, language: str) -> Iterator[str]:
    words = read_catalogue(language)
    laid, spec, bill = line.pattern, line.item.asked.spec, line.item.bill

    def step(key: str, **figures: str) -> str:
        return words.fill("steps", key, **figures)

    fibre = fibre_name(spec.fibre, language=language)
    webbing = words.fill(
        "make", "webbing-text", fibre=fibre, webbing_class=str(spec.webbing_class),
        width=show_made_width(spec.width_m, units, language=language),
    )  # fmt: skip
    yield step("take", webbing=webbing)
    yield step("cut", pieces="; ".join(piece_texts(laid, language=language)))
    if any(piece.role == "eye-pad" for piece in laid.pieces):
        yield step("pads")
    if laid.taper_width_m is not None:
        yield step("taper", taper=show_made_length(laid.taper_width_m, units, language=language))
    if spec.form == "twisted-eye":
        yield step("twist")
    if laid.fittings:
        yield step(
            "fittings",
            fittings=", ".join(fitting_name(str(f.kind), language=language) for f in laid.fittings),
        )
    yield step(
        "lap",
        rows=str(laid.lap_rows),
        lap=show_made_length(laid.lap_m, units, language=language),
        fibre=fibre,
    )
    if laid.body_rows:
        yield step("plies", rows=str(laid.body_rows))
    yield step("label")
    if bill.guard is not None:
        protection = protection_name(str(Protection(bill.guard.protection)), language=language)
        yield step("guards", pieces=str(bill.guard_pieces), protection=protection)
    for key in ("measure", "proof", "inspect"):
        yield step(key)


def _records(line: TravelerLine, label: Mapping[str, str]) -> list[str]:
    fields = [label["lot-webbing"], label["lot-thread"], label["machine"]]
    return [*fields, label["lot-fittings"]] if line.pattern.fittings else fields


def proof_texts(proof: ProofLoad, units: Units, *, language: str = "en") -> list[str]:
    """The proof load with its band and sources, and what is recorded."""
    words = read_catalogue(language)
    load = show_load(proof.load_n, units, rounding=Rounding.DOWN, language=language)
    cited = str(proof.citation)
    if proof.low_n is None or proof.high_n is None:
        found = [words.fill("make", "proof-no-band", load=load, citation=cited)]
    else:
        low, high = (
            show_load(proof.low_n, units, rounding=Rounding.UP, language=language),
            show_load(proof.high_n, units, rounding=Rounding.DOWN, language=language),
        )
        found = [words.fill("make", "proof-load", load=load, low=low, high=high, citation=cited)]
    if proof.at_least is not None:
        found.append(words.fill("make", "proof-at-least", citation=str(proof.at_least)))
    return [*found, words.word("make", "proof-clear"), words.word("make", "proof-record")]


def _measured(line: TravelerLine, shop: Shop, units: Units, language: str) -> Section:
    words = read_catalogue(language)
    label = words.sections["make"]
    item, matched = line.item, ""
    if item.asked.matched:
        apart = show_made_length(shop.practice.matched_tolerance_m, units, language=language)
        matched = words.fill("make", "measured-matched", matched=apart)
    length_m = item.asked.spec.length_m
    note = words.fill(
        "make",
        "measured-note",
        low=_both(length_m - item.tolerance_m, units, Rounding.UP, language),
        high=_both(length_m + item.tolerance_m, units, Rounding.DOWN, language),
        matched=matched,
    )
    heads = ("serial", "made-length", "proof-actual", "passed")
    columns = [Column(label[head], 44 if head == "serial" else 0) for head in heads]
    rows = [(serial, "", "", "") for serial in line.serials]
    return table_section(label["measured"], columns, rows, note=note, tall=True)


def _both(length_m: float, units: Units, rounding: Rounding, language: str) -> str:
    """A limit of a length in both systems, rounded to its safe side in each."""
    other = Units.SI if units is Units.US else Units.US
    own = show_length(length_m, units, rounding=rounding, language=language)
    return f"{own} ({show_length(length_m, other, rounding=rounding, language=language)})"
