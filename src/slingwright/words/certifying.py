"""What a certificate says, field by field of its own rulebook, and why one is withheld."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from slingwright.make.made import Departure, MadeSling
from slingwright.price.quote import QuoteItem
from slingwright.rulebook import Rulebook
from slingwright.shop import Shop
from slingwright.sling import SlingSpec
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import in_both, read_catalogue
from slingwright.words.figures import show_length, show_load, show_made_length, show_made_width, show_short
from slingwright.words.making import hitch_load_name, sling_code
from slingwright.words.names import fibre_name, fitting_name, form_name, material_name, spec_text
from slingwright.words.quoting import rated_text

__all__ = ["CertificateFacts", "CertificateLine", "certificate_lines", "departure_text"]

_ALWAYS = ("number", "date", "proof-test")  # of every certificate of ours, whatever its regime asks


@dataclass(frozen=True, slots=True, kw_only=True)
class CertificateFacts:
    """What a certificate is made from; `made` None = a specimen without a record."""

    number: str
    serial: str
    on: dt.date
    item: QuoteItem
    made: MadeSling | None


@dataclass(frozen=True, slots=True)
class CertificateLine:
    """One field: its id in the rulebook, its label and what it says."""

    id: str
    label: str
    text: str


def certificate_lines(
    facts: CertificateFacts, rulebook: Rulebook, shop: Shop, units: Units, *, language: str = "en"
) -> tuple[CertificateLine, ...]:
    """Fill in the rulebook's own certificate fields, in its order, and number, date and proof test always.

    Raises
    ------
    LookupError
        A field of the rulebook that this program cannot fill: our fault, never an empty field.
    """
    texts = {
        **_about_shop(facts, rulebook, shop, language),
        **_about_sling(facts, units, language),
        **_about_making(facts, shop, units, language),
    }
    ids = [row.id for row in rulebook.certificate_fields()]
    labels = read_catalogue(language).sections["certificate-labels"]
    every = [*ids, *(id_ for id_ in _ALWAYS if id_ not in ids)]
    return tuple(CertificateLine(id_, labels[id_], texts[id_]) for id_ in every)


def _about_shop(facts: CertificateFacts, rulebook: Rulebook, shop: Shop, language: str) -> dict[str, str]:
    words = read_catalogue(language)
    adopted = rulebook.adopted
    documents = ", ".join(rulebook.documents)
    key = "standard" if adopted else "standard-unadopted"
    standard = words.fill(
        "certificate",
        key,
        documents=documents,
        table=f"{adopted.document}, {adopted.edition}" if adopted else "",
    )
    factor = rulebook.design_factor
    return {
        "maker": f"{shop.name}, {shop.papers.address}" if shop.papers else shop.name,
        "date": facts.on.isoformat(),
        "number": facts.number,
        "serial": facts.serial,
        "standard": standard,
        "design-factor": words.fill(
            "certificate",
            "design-factor",
            factor=show_short(factor.value, language=language),
            citation=str(factor.citation),
        ),
        "quality": words.word("certificate", "quality"),
        "signatory": words.word("certificate", "signatory"),
    }


def _about_sling(facts: CertificateFacts, units: Units, language: str) -> dict[str, str]:
    spec: SlingSpec = facts.item.asked.spec
    told = [(hitch_load_name(load, language=language), load.rating) for load in facts.item.loads]
    rated = "; ".join(
        f"{name} {rated_text(r.rated_n, r.printed, r.cell.unit, language=language)}" for name, r in told
    )
    return {
        "code": sling_code(spec),
        "type": f"{spec.form.us_type}, {form_name(spec.form, language=language)}",
        "description": spec_text(spec, units, language=language),
        "material": fibre_name(spec.fibre, language=language),
        "rated-loads": rated,
        "fittings": _fittings(facts, units, language),
    }


def _about_making(facts: CertificateFacts, shop: Shop, units: Units, language: str) -> dict[str, str]:
    words, made, spec = read_catalogue(language), facts.made, facts.item.asked.spec
    unknown = words.word("certificate", "specimen")
    fibre = fibre_name(spec.fibre, language=language)
    length = unknown if made is None else show_made_length(made.length_m, units, language=language)
    return {
        "webbing": words.fill(
            "certificate",
            "webbing",
            lot=made.lot if made else unknown,
            certificate=(_lot_certificate(shop, made.lot) if made else "") or unknown,
            webbing_class=str(spec.webbing_class),
            fibre=fibre,
            width=show_made_width(spec.width_m, units, language=language),
            plies=str(spec.plies),
        ),
        "thread": words.fill(
            "certificate",
            "thread",
            fibre=fibre,
            thread=shop.papers.thread if shop.papers else "",
            lot=made.thread_lot if made else unknown,
        ),
        "length": words.fill(
            "certificate",
            "length",
            made=length,
            nominal=show_made_length(spec.length_m, units, language=language),
            tolerance=show_length(facts.item.tolerance_m, units, rounding=Rounding.DOWN, language=language),
        ),
        "proof-test": _proof(made, units, language),
    }


def _fittings(facts: CertificateFacts, units: Units, language: str) -> str:
    words = read_catalogue(language)
    if not facts.item.bill.fittings:
        return words.word("certificate", "no-fittings")
    lot = facts.made.fittings_lot if facts.made else None
    told = ", ".join(
        words.fill(
            "certificate",
            "fitting",
            kind=fitting_name(str(fitting.kind), language=language),
            material=material_name(fitting.material, language=language),
            rated=show_load(fitting.rated_n, units, rounding=Rounding.DOWN, language=language),
        )
        for fitting in facts.item.bill.fittings
    )
    return words.fill("certificate", "fittings", told=told, lot=lot or words.word("certificate", "specimen"))


def _proof(made: MadeSling | None, units: Units, language: str) -> str:
    words = read_catalogue(language)
    if made is None or made.proof is None:
        return words.word("certificate", "not-tested")
    proof = made.proof
    return words.fill(
        "certificate",
        "tested",
        load=show_load(proof.load_n, units, rounding=Rounding.DOWN, language=language),
        machine=proof.machine,
        calibration=proof.calibration,
        on=proof.on.isoformat(),
        by=proof.by,
    )


def _lot_certificate(shop: Shop, lot: str) -> str:
    return next((r.certificate for r in shop.rolls if r.lot == lot and r.certificate), "")


def departure_text(departure: Departure, units: Units, *, language: str = "en") -> str:
    """Why a sling is not certified."""
    return in_both(language, lambda one: _departure(departure, units, one))


def _departure(departure: Departure, units: Units, language: str) -> str:
    return read_catalogue(language).fill(
        "departures",
        departure.code,
        serial=departure.serial,
        subject=departure.subject,
        figure=_figure(departure.figure, departure.unit, units, language),
        limit=_figure(departure.limit, departure.unit, units, language),
    )


def _figure(value: float | None, unit: str, units: Units, language: str) -> str:
    if value is None:
        return ""
    return (
        show_load(value, units, language=language)
        if unit == "N"
        else show_made_length(value, units, language=language)
    )
