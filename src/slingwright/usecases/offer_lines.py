"""The slings of one offer of an offers document, equal ones together, with what the offer says of itself."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from slingwright.check import Finding, Outcome
from slingwright.citation import Citation, Known
from slingwright.errors import InputFault, fail
from slingwright.shop import Protection
from slingwright.shop.kinds import Text
from slingwright.sling import Fibre, Form, SlingSpec
from slingwright.units import Units
from slingwright.words import finding_text
from slingwright.words.catalogue import read_catalogue

__all__ = ["OfferLine", "offer_lines", "stops_of"]

SCHEMA = "slingwright/offers/1"
_MOST_SLINGS = 200


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferLine:
    """Equal slings of an offer. `printed` is the vertical rated load that the offer was checked against.

    Its cautions are findings where this release knows them, else as they were worded.
    """

    ids: tuple[str, ...]
    spec: SlingSpec
    count: int
    supply: str
    stock_id: str | None
    protection: Protection
    matched: bool
    printed: str
    rulebook: str
    title: str  # the lift's; "" where it has no name
    planning_only: bool
    headline: str
    cautions: tuple[Finding, ...]
    worded_cautions: tuple[str, ...]
    notes: tuple[str, ...]  # codes of what the lift's reading assumed


def offer_lines(document: Mapping[str, Any], index: int, field: str) -> tuple[OfferLine, ...]:
    """Read one offer (counted from 1) of a parsed offers document.

    Raises
    ------
    InputFault
        It is no offers document, has no such offer, or its slings cannot be read.
    """
    if document.get("schema") != SCHEMA:
        raise fail(f"{field}.file", f"is not {SCHEMA}", "what slingwright choose LIFT --json prints")
    offers = document.get("offers")
    if not isinstance(offers, list) or not 1 <= index <= len(offers):
        count = len(offers) if isinstance(offers, list) else 0
        hint = f"1 to {count}" if count else "the answer to this lift was a stop"
        raise fail(f"{field}.index", f"there is no offer {index}", hint)
    try:
        return _read(document, offers[index - 1])
    except InputFault:
        raise
    except (KeyError, TypeError, ValueError, AttributeError) as error:
        problem = f"offer {index} cannot be read: {type(error).__name__} {error}"
        raise fail(f"{field}.index", problem, "give the document as slingwright choose printed it") from error


def stops_of(document: Mapping[str, Any]) -> tuple[str, ...]:
    """Why a parsed offers document holds no offer, as it was worded; empty where it holds some.

    Raises
    ------
    InputFault
        Its stops cannot be read.
    """
    if document.get("offers") or document.get("answer") != "stop":
        return ()
    try:
        return tuple(f"{one['text']} {one['cure_text'] or ''}".strip() for one in document["stops"])
    except (KeyError, TypeError) as error:
        problem = f"the stops cannot be read: {type(error).__name__} {error}"
        raise fail("stops", problem, "give the document as slingwright choose printed it") from error


def _read(document: Mapping[str, Any], offer: Mapping[str, Any]) -> tuple[OfferLine, ...]:
    rulebook, title = document["made_by"]["rulebook"]["id"], _title(document)
    cautions, worded = _cautions(offer["findings"])
    notes = tuple(_notes(document["notes"]))
    groups: dict[tuple[Any, ...], list[str]] = {}
    for sling in offer["slings"][:_MOST_SLINGS]:
        key = (
            _spec(sling["spec"]),
            str(sling["from"]),
            sling["stock_id"],
            Protection(sling["protection"]),
            bool(sling["matched_set"]),
            str(sling["printed"]),
        )
        groups.setdefault(key, []).append(str(sling["id"]))
    return tuple(
        OfferLine(
            ids=tuple(ids),
            spec=spec,
            count=len(ids),
            supply=supply,
            stock_id=stock_id,
            protection=protection,
            matched=matched,
            printed=printed,
            rulebook=str(rulebook),
            title=title,
            planning_only=bool(offer["planning_only"]),
            headline=str(offer["headline"]),
            cautions=cautions,
            worded_cautions=worded,
            notes=notes,
        )
        for (spec, supply, stock_id, protection, matched, printed), ids in groups.items()
    )


def _title(document: Mapping[str, Any]) -> str:
    """What the lift is called: another release's document may not say it."""
    said = document.get("title")
    return "" if said is None or said == "" else Text().read(said, "title")


def _notes(codes: Iterable[str]) -> Iterable[str]:
    known = read_catalogue().sections["notes"]
    for code in codes:
        if code.partition(":")[0].strip() not in known:
            msg = f"no note is called {code!r}"
            raise ValueError(msg)
    return dict.fromkeys(codes)


def _cautions(rows: Iterable[Mapping[str, Any]]) -> tuple[tuple[Finding, ...], tuple[str, ...]]:
    """What the offer cautions of: anew in words of the quote's own, or as worded by another release."""
    known = read_catalogue().findings
    found, worded = list[Finding](), dict[str, None]()
    for row in rows:
        if row["outcome"] != "caution":
            continue
        if (str(row.get("rule")), str(row.get("detail"))) in known:
            found.append(_finding(row))
            finding_text(found[-1], Units.US)  # what cannot be said is refused here, at its field
        else:
            worded[str(row["text"])] = None
    return tuple(found), tuple(worded)


def _finding(row: Mapping[str, Any]) -> Finding:
    source = row["citation"]
    figure, limit = (None if row[key] is None else float(row[key]) for key in ("figure", "limit"))
    return Finding(
        rule=str(row["rule"]),
        outcome=Outcome.CAUTION,
        detail=str(row["detail"]),
        figure=figure,
        limit=limit,
        unit=str(row["unit"]),
        citation=Citation(
            document=str(source["document"]), edition=str(source["edition"]), clause=str(source["clause"]),
            known=Known(source["known"]), note=str(source["note"]),
        ),
        subject=str(row["subject"]),
    )  # fmt: skip


def _spec(row: Mapping[str, Any]) -> SlingSpec:
    figures = {key: float(row[key]) for key in ("width_m", "length_m", "eye_m")}
    webbing_class, plies = row["class"], row["plies"]
    if not all(0 <= v < 1000 for v in figures.values()) or {type(webbing_class), type(plies)} != {int}:
        msg = "a sling's sizes are out of range"
        raise ValueError(msg)
    return SlingSpec(
        form=Form(row["form"]),
        fibre=Fibre(row["fibre"]),
        webbing_class=webbing_class,
        plies=plies,
        width_m=figures["width_m"],
        length_m=figures["length_m"],
        eye_m=figures["eye_m"],
    )
