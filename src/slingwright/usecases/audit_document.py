"""The audit of a search, `slingwright/audit/1`: a head, then what came before the answer, and why not."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from slingwright.usecases.rulebooks import citation_document

if TYPE_CHECKING:
    from slingwright.check import Finding
    from slingwright.choose.audit import AuditLine
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["audit_document"]


def audit_document(chosen: Chosen) -> Iterator[dict[str, Any]]:
    """The lines of the audit; the head's counts are those of the offers document."""
    from slingwright.choose.audit import audit_lines

    search = chosen.answer.search
    head = {**chosen.head, "schema": "slingwright/audit/1", "answer": None, "by": chosen.lift.want.by}
    if chosen.walked is None:
        yield {**head, "space": 0, "pruned": {}, "rejected_by": {}, "proved": search.proved}
        return
    walked, main = chosen.walked
    best = main.answer
    yield {
        **head,
        "answer": None if best is None else best.candidate.text,
        "space": search.space,
        "pruned": dict(search.pruned),
        "rejected_by": dict(search.rejected_by),
        "proved": search.proved,
    }
    for line in audit_lines(walked, main):
        yield _line(line)


def _line(line: AuditLine) -> dict[str, Any]:
    return {
        "rule": line.rule,
        "pruned": line.pruned,
        "candidates": line.candidates,
        "arrangement": line.arrangement,
        "make": line.make,
        "key": line.key,
        "price_minor": line.price_minor,
        "mass_mg": line.mass_mg,
        "days": line.days,
        "before_answer": line.before_answer,
        "stop": None if line.stop is None else _stop(line.stop),
    }


def _stop(stop: Finding) -> dict[str, Any]:
    return {
        "detail": stop.detail,
        "subject": stop.subject,
        "figure": stop.figure,
        "limit": stop.limit,
        "unit": stop.unit,
        "citation": citation_document(stop.citation),
    }
