"""An answer as its document, `slingwright/offers/1`: codes, figures, and the sentence beside each finding."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from slingwright.usecases.rulebooks import citation_document

if TYPE_CHECKING:
    from slingwright.arrangement import Arrangement
    from slingwright.check import Finding
    from slingwright.choose.offer import Answer, Case, Offer, OfferSling, Refused
    from slingwright.sling import SlingSpec
    from slingwright.units import Units
    from slingwright.usecases.choose_sling import Chosen

__all__ = ["finding_document", "offers_document"]


def offers_document(chosen: Chosen) -> dict[str, Any]:
    """The whole document, head first; finite numbers only, an absent figure is null."""
    from slingwright.usecases.explained_document import explained_document
    from slingwright.words import standing_cautions

    answer, units, language = chosen.answer, chosen.units, chosen.language
    return {
        **chosen.head,
        "answer": answer.answer,
        "title": chosen.lift.title,
        "profile": chosen.lift.profile,
        "search": _search(answer),
        "offers": [_offer(o, chosen) for o in answer.offers],
        "refused": [_refused(r, units, language) for r in answer.refused],
        "stops": [finding_document(f, units, language) for f in answer.stops],
        "next_question": answer.next_question,
        "explained": None if answer.explained is None else explained_document(answer.explained, chosen),
        "notes": list(answer.notes),
        "cautions": list(standing_cautions(language=language)),
    }


def _search(answer: Answer) -> dict[str, Any]:
    s = answer.search
    return {
        "space": s.space,
        "hang_problems": s.hang_problems,
        "pruned": dict(s.pruned),
        "solved": s.solved,
        "cheaper_and_rejected": s.cheaper_and_rejected,
        "rejected_by": dict(s.rejected_by),
        "proved": s.proved,
        "seconds": s.seconds,
        "samples": s.samples,
        "seed": s.seed,
    }


def _offer(offer: Offer, chosen: Chosen) -> dict[str, Any]:
    from slingwright.words import offer_headline, planning_only, rule_against_hang_sentence

    units, language = chosen.units, chosen.language
    both = offer.rule_against_hang
    grade, measure, mass, text = offer.order
    return {
        "order": {"grade": grade, "measure": measure, "mass_mg": mass, "key": text},
        "picked_for": list(offer.picked_for),
        "headline": offer_headline(offer, units, language=language),
        "planning_only": planning_only(chosen.lift, offer),
        "arrangement": _arrangement(offer.arrangement),
        "slings": [_sling(s) for s in offer.slings],
        "cases": [_case(c) for c in offer.cases],
        "findings": [finding_document(f, units, language) for f in offer.findings],
        "hook_load_n": offer.hook_load_n,
        "hook_height_m": offer.hook_height_m,
        "tilt_deg": offer.tilt_deg,
        "worst_tilt_deg": offer.worst_tilt_deg,
        "least_angle_from_horizontal_deg": offer.least_angle_from_horizontal_deg,
        "friction_needed": offer.friction_needed,
        "rule_against_hang": None
        if both is None
        else {
            "rule_n": both.rule_n,
            "hang_n": both.hang_n,
            "rule_unconservative": both.rule_unconservative,
            "citation": citation_document(both.citation),
            "text": rule_against_hang_sentence(offer, units, language=language),
        },
        "price": {"price_minor": offer.price_minor, "currency": offer.currency, "tax": "excluded"},
        "mass_kg": offer.mass_kg,
        "ready_in_days": offer.ready_in_days,
        "cautions": list(
            dict.fromkeys(f"{f.rule}/{f.detail}" for f in offer.findings if f.outcome == "caution")
        ),
    }


def _arrangement(a: Arrangement) -> dict[str, Any]:
    return {
        "family": a.family,
        "placement": a.placement,
        "lengths": a.lengths,
        "beam": a.beam.name if a.beam else None,
        "hooks_xy_m": [list(p) for p in a.hooks_xy_m],
    }


def _spec(spec: SlingSpec) -> dict[str, Any]:
    return {
        "form": spec.form.value,
        "fibre": spec.fibre.value,
        "class": spec.webbing_class,
        "plies": spec.plies,
        "width_m": spec.width_m,
        "length_m": spec.length_m,
        "eye_m": spec.eye_m,
    }


def _sling(s: OfferSling) -> dict[str, Any]:
    return {
        "id": s.id,
        "spec": _spec(s.spec),
        "from": s.supply,
        "stock_id": s.stock_id,
        "hitch": s.hitch.value,
        "wraps": s.wraps,
        "role": s.role,
        "choke": None
        if s.choke is None
        else {
            "state": s.choke.state,
            "angle_deg": s.choke.angle_deg,
            "factor": s.choke.factor,
            "loop_m": s.choke.loop_m,
        },
        "protection": s.protection,
        "matched_set": s.matched_set,
        "upper_at": s.upper_at,
        "lower_at": s.lower_at,
        "vertical_rated_n": s.vertical_rated_n,
        "printed": s.printed,
        "table": {
            "id": s.table_id,
            "cell": s.table_cell,
            "adopted": s.table_adopted,
            "citation": citation_document(s.table_citation),
        },
        "part_tension_n": s.part_tension_n,
        "design_tension_n": s.design_tension_n,
        "part_limit_n": s.part_limit_n,
        "hitch_load_n": s.hitch_load_n,
        "hitch_rated_n": s.hitch_rated_n,
        "utilisation": s.utilisation,
        "governed_by": {
            "check": s.governed_by.check,
            "case": s.governed_by.case,
            "path": s.governed_by.path,
        },
    }


def _case(case: Case) -> dict[str, Any]:
    from slingwright.hang.document import hang_to_document, problem_to_document

    return {
        "name": case.name,
        "problem": problem_to_document(case.problem),
        "result": hang_to_document(case.result),
    }


def finding_document(finding: Finding, units: Units, language: str) -> dict[str, Any]:
    """One finding: codes, figures, its clause, its sentence."""
    from slingwright.words import cure_text, finding_text

    return {
        "rule": finding.rule,
        "outcome": finding.outcome.value,
        "detail": finding.detail,
        "subject": finding.subject,
        "figure": finding.figure,
        "limit": finding.limit,
        "unit": finding.unit,
        "citation": citation_document(finding.citation),
        "cure": finding.cure or None,
        "cure_text": cure_text(finding, language=language) if finding.cure else None,
        "grades": finding.grades,
        "of_the_lift": finding.of_the_lift,
        "text": finding_text(finding, units, language=language),
    }


def _refused(refused: Refused, units: Units, language: str) -> dict[str, Any]:
    from slingwright.words import refused_text

    return {
        "family": refused.family,
        "fibre": refused.fibre.value if refused.fibre else None,
        "nearest": refused.spec_text or None,
        "finding": finding_document(refused.finding, units, language),
        "off_by": refused.off_by,
        "text": refused_text(refused, units, language=language),
    }
