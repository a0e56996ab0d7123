"""A rating in words: the figure, how it comes about with every source, the nearest rows of a refusal."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.rulebook import Choke, ChokeState, RatedCell, Rating, Refusal
from slingwright.sling import Hitch, SlingSpec
from slingwright.units import Rounding, Units
from slingwright.words.answer import Block, Row
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import (
    show_angle,
    show_force,
    show_load,
    show_short,
    show_weight,
    show_width,
)
from slingwright.words.names import cell_text, fibre_name, form_name, hitch_name, plies_text

__all__ = [
    "HitchUse",
    "rating_blocks",
    "rating_caution_codes",
    "rating_caution_text",
    "refusal_text",
    "sling_text",
]

_LABELS = "rating-labels"
_PER_N = {"lb": Units.SI, "t": Units.US}  # a table's own unit is shown first, the other system's beside it


@dataclass(frozen=True, slots=True, kw_only=True)
class HitchUse:
    """One way of using a sling: hitch, wraps, choke, how many of them, and their flattest part's angle."""

    hitch: Hitch
    wraps: int = 1
    legs: int = 1
    choke: Choke | None = None
    angle_from_horizontal_deg: float | None = None


def rating_caution_text(code: str, *, language: str = "en") -> str:
    """A caution of a rating in words."""
    return read_catalogue(language).word("rating-cautions", code)


def refusal_text(refusal: Refusal, *, language: str = "en") -> str:
    """Why there is no figure."""
    return read_catalogue(language).word("rating-refusals", refusal.reason)


def rating_caution_codes(use: HitchUse, outcome: Rating | Refusal) -> tuple[str, ...]:
    """The cautions that a rating carries, by code; the standing ones last."""
    codes: list[str] = []
    cells = (outcome.cell,) if isinstance(outcome, Rating) else outcome.nearest
    if any(not cell.adopted for cell in cells):
        codes.append("planning-only")
    if isinstance(outcome, Rating):
        if not outcome.cell.proposable:
            codes.append("one-series")
        if use.hitch is Hitch.CHOKER:
            codes.append(f"choke-{use.choke.state if use.choke else ChokeState.UNKNOWN}")
        if use.hitch is Hitch.BASKET and use.angle_from_horizontal_deg is None:
            codes.append("basket-straight")
        if use.wraps > 1:
            codes.append("double-wrap")
        if use.legs > 1:
            codes.append("statics-governs")
        if any(factor.name == "legs" and factor.value < use.legs for factor in outcome.factors):
            codes.append("fewer-legs")
    return (*codes, "sling-only", "law", "tag")


def rating_blocks(
    spec: SlingSpec,
    use: HitchUse,
    outcome: Rating | Refusal,
    *,
    rulebook: str,
    units: Units,
    part_limit_n: float | None = None,
    table: Sequence[tuple[HitchUse, Rating | Refusal]] = (),
    language: str = "en",
) -> tuple[Block, ...]:
    """The rating in reading order; `table` holds the same sling in other uses.

    Parameters
    ----------
    rulebook
        The rules in force, as a name for people.
    part_limit_n
        Limit of one straight part's tension [N]; None where there is none to show.
    """
    words = read_catalogue(language)
    top = [
        Row(label=words.word(_LABELS, "sling"), text=sling_text(spec, units, language)),
        Row(label=words.word(_LABELS, "hitch"), text=use_text(use, language=language)),
        Row(label=words.word(_LABELS, "source"), text=rulebook),
    ]
    if isinstance(outcome, Rating):
        title = words.fill("rating-blocks", "rated", printed=outcome.printed, other=_other(outcome, language))
        rows = (*top, *_rating_rows(outcome, part_limit_n, units, language))
    else:
        title = words.word("rating-blocks", "refused")
        rows = (*top, *_refusal_rows(outcome, language))
    blocks = [Block(kind="rating", title=title, rows=rows)]
    if table:
        lines = tuple(_table_row(one, found, language) for one, found in table)
        blocks.append(Block(kind="table", title=words.word("rating-blocks", "table"), rows=lines))
    codes = rating_caution_codes(use, outcome)
    cautions = tuple(
        Row(
            label="",
            text=rating_caution_text(code, language=language),
            mark="caution" if code == "planning-only" else "",
        )
        for code in codes
    )
    blocks.append(Block(kind="cautions", title=words.word("rating-blocks", "cautions"), rows=cautions))
    return tuple(blocks)


def use_text(use: HitchUse, *, language: str = "en") -> str:
    """One line: how many, hitch, choke and angle."""
    words = read_catalogue(language)
    key = "hitch-one" if use.legs == 1 else "hitch-several"
    hitch = hitch_name(use.hitch, use.wraps, language=language)
    text = words.fill("rating", key, legs=str(use.legs), hitch=hitch)
    if use.hitch is Hitch.CHOKER:
        choke = use.choke or Choke(state=ChokeState.UNKNOWN)
        angle = (
            ""
            if choke.angle_deg is None
            else show_angle(choke.angle_deg, rounding=Rounding.DOWN, language=language)
        )
        said = words.fill("rating-chokes", str(choke.state), angle=angle)
        text = words.fill("rating", "with-choke", text=text, choke=said)
    if use.angle_from_horizontal_deg is None:
        return words.fill("rating", "basket-up", text=text) if use.hitch is Hitch.BASKET else text
    shown = show_angle(use.angle_from_horizontal_deg, rounding=Rounding.DOWN, language=language)
    return words.fill("rating", "at-angle", text=text, angle=shown)


def sling_text(spec: SlingSpec, units: Units, language: str) -> str:
    """A sling without its length: form, fibre, class, plies, width."""
    words = read_catalogue(language)
    return words.fill(
        "rating",
        "sling",
        form=form_name(spec.form, language=language),
        fibre=fibre_name(spec.fibre, language=language),
        webbing_class=str(spec.webbing_class),
        plies=plies_text(spec.plies, language=language),
        width=show_width(spec.width_m, units, language=language),
    )


def _other(rating: Rating, language: str) -> str:
    """The same load in the other system, rounded down too."""
    if _PER_N[rating.cell.unit] is Units.SI:
        return show_force(rating.rated_n, Units.SI, rounding=Rounding.DOWN, language=language)
    return show_weight(rating.rated_n, Units.US, rounding=Rounding.DOWN, language=language)


def _rating_rows(rating: Rating, part_limit_n: float | None, units: Units, language: str) -> list[Row]:
    words = read_catalogue(language)
    cell = rating.cell
    vertical = words.fill(
        "rating",
        "vertical",
        printed=cell.printed,
        table=cell.table_id,
        cell=cell_text(cell.cell, language=language),
    )
    rows = [Row(label=words.word(_LABELS, "vertical"), text=vertical, detail=f"[{cell.citation}]")]
    rows += [
        Row(
            label=words.fill(_LABELS, "factor", value=show_short(factor.value, language=language, figures=4)),
            text=words.word("rating-factors", factor.name),
            detail=f"[{factor.citation}]",
        )
        for factor in rating.factors
    ]
    rows.append(Row(label="", text=words.word("rating", "down")))
    if part_limit_n is not None:
        limit = show_load(part_limit_n, units, rounding=Rounding.DOWN, language=language)
        rows.append(Row(label=words.word(_LABELS, "part"), text=words.fill("rating", "part", limit=limit)))
    return rows


def _refusal_rows(refusal: Refusal, language: str) -> list[Row]:
    words = read_catalogue(language)
    why = refusal_text(refusal, language=language)
    rows = [Row(label=words.word(_LABELS, "reason"), text=why, mark="stop", detail=f"[{refusal.citation}]")]
    nearest = [
        Row(label=words.word(_LABELS, "nearest"), text=_nearest_text(c, language)) for c in refusal.nearest
    ]
    return rows + (nearest or [Row(label="", text=words.word("rating", "nearest-none"))])


def _nearest_text(cell: RatedCell, language: str) -> str:
    return read_catalogue(language).fill(
        "rating",
        "nearest",
        table=cell.table_id,
        cell=cell_text(cell.cell, language=language),
        printed=cell.printed,
    )


def _table_row(use: HitchUse, found: Rating | Refusal, language: str) -> Row:
    text = use_text(use, language=language)
    if isinstance(found, Rating):
        return Row(label=found.printed, text=text)
    reason = refusal_text(found, language=language)
    return Row(label="–", text=text, detail=read_catalogue(language).fill("rating", "refused", reason=reason))
