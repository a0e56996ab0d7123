"""What frames every paper of a lift: for planning only or not, who may sign, where it came from."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date

from slingwright.choose.offer import Offer
from slingwright.lift.model import KnownBy, Lift
from slingwright.words import read_catalogue

__all__ = ["footer", "planning_reasons", "signing"]

_SHOWN = 12  # figures of a hash that a person can compare


def planning_reasons(lift: Lift, offer: Offer | None, *, language: str = "en") -> list[str]:
    """Why a sheet is for planning only; empty when it is not."""
    word = read_catalogue(language).sections["sheet"]
    reasons = _unknowns(lift, word)
    if offer is not None and not all(s.table_adopted for s in offer.slings):
        reasons.append(word["planning-table"])
    return reasons


def signing(
    lift: Lift, offer: Offer | None, reasons: list[str], *, language: str = "en"
) -> dict[str, object] | None:
    """The sign-off block: for release, for planning, or why nobody may sign; None without an offer."""
    if offer is None:
        return None
    words = read_catalogue(language)
    unknown = _unknowns(lift, words.sections["sheet"])
    if unknown:
        return {"lines": False, "text": words.fill("sheet", "sign-not", reasons="; ".join(unknown))}
    return {"lines": True, "text": words.word("sheet", "sign-planning" if reasons else "sign-text")}


def footer(made_by: Mapping[str, object], on: date, *, language: str = "en") -> str:
    """Tool and version, the hashes of all that went in, and the date."""
    words = read_catalogue(language)
    none = words.word("sheet", "none")
    rulebook = made_by.get("rulebook")
    rules = rulebook if isinstance(rulebook, Mapping) else {}
    return words.fill(
        "sheet",
        "footer",
        tool=str(made_by.get("tool") or none),
        input=_short(made_by.get("input_sha256"), none),
        rulebook=str(rules.get("id") or none),
        rulebook_sha=_short(rules.get("sha256"), ""),
        shop=_short(made_by.get("shop_sha256"), none),
        date=on.isoformat(),
    )


def _unknowns(lift: Lift, word: Mapping[str, str]) -> list[str]:
    reasons = []
    if not lift.load.centre.known:
        reasons.append(word["planning-centre"])
    elif lift.load.centre.known_by is KnownBy.ESTIMATE:
        reasons.append(word["planning-centre-estimate"])
    if lift.load.weight.known_by is KnownBy.ESTIMATE:
        reasons.append(word["planning-weight"])
    return reasons


def _short(digest: object, none: str) -> str:
    return str(digest)[:_SHOWN] if digest else none
