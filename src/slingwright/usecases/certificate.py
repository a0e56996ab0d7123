"""Certificates of conformity and of proof test: only for slings made as ordered, behind open gates."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from slingwright.errors import Fault, InputFault, fail
from slingwright.usecases.documents import hash_input, read_tables
from slingwright.usecases.make_order import read_serial, serial_numbers

if TYPE_CHECKING:
    from slingwright.make.made import Departure, MadeSling, Target
    from slingwright.usecases.make_order import MadeLine, MadeOrder
    from slingwright.words.certifying import CertificateLine

__all__ = ["Certificate", "CertifyAnswer", "certificate_document", "certify", "print_certificate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Certificate:
    """One sling's certificate; `made` None = a specimen without a record."""

    serial: str
    number: str
    fields: tuple[CertificateLine, ...]
    made: MadeSling | None


@dataclass(frozen=True, slots=True, kw_only=True)
class CertifyAnswer:
    """The certificates; those withheld by what was made otherwise than ordered stand in `departures`."""

    order: MadeOrder
    certificates: tuple[Certificate, ...]
    departures: tuple[Departure, ...]
    specimen: bool
    record_sha256: str | None

    @property
    def is_stop(self) -> bool:
        """Whether anything is withheld."""
        return bool(self.departures) or not self.order.is_released


def certify(
    order: MadeOrder,
    record: tuple[bytes, str] | None,
    *,
    serial: str | None,
    on: dt.date,
    specimen: bool,
) -> CertifyAnswer:
    """Certify the slings of an order that a making record holds, or one of them.

    Parameters
    ----------
    order
        The order laid out.
    record
        The making record's bytes and file name; None only for a specimen.
    serial
        Which sling; None = all in the record.
    on, specimen
        The certificates' day; whatever the gates, SPECIMEN across.

    Raises
    ------
    InputFault
        No record where one is needed, a fault in it, or slings that are not the order's.
    """
    from slingwright.usecases.making_record import read_making_record

    if record is None and not specimen:
        raise fail("--record", "is missing", "what the floor wrote down; or --specimen to see the paper")
    made = () if record is None else read_making_record(read_tables(*record, what="a making record"))
    _check_serials(order, made)
    if serial is not None:
        read_serial(order, serial)
    released = order.is_released or specimen
    chosen = [one for one in _wanted(order, made, specimen) if serial in (None, one[1])]
    if serial is not None and not chosen:
        raise fail("--serial", f"{serial!r} is not in the record", "a certificate needs the sling as made")
    departures = _departures(order, made)
    withheld = {one.serial for one in departures} | _sets_withheld(order, departures)
    withheld = set() if specimen else withheld  # a specimen certifies nothing
    return CertifyAnswer(
        order=order,
        certificates=tuple(
            _certificate(order, line, name, found, on) for line, name, found in chosen if name not in withheld
        )
        if released
        else (),
        departures=departures,
        specimen=specimen,
        record_sha256=hash_input(record[0]) if record else None,
    )


def _wanted(
    order: MadeOrder, made: tuple[MadeSling, ...], specimen: bool
) -> list[tuple[MadeLine, str, MadeSling | None]]:
    by_serial = {one.serial: one for one in made}
    every = [(line, serial) for line in order.lines for serial in serial_numbers(order, line)]
    if not made and specimen:
        return [(line, serial, None) for line, serial in every]
    return [(line, serial, by_serial[serial]) for line, serial in every if serial in by_serial]


def _check_serials(order: MadeOrder, made: tuple[MadeSling, ...]) -> None:
    known = {serial for line in order.lines for serial in serial_numbers(order, line)}
    faults = [
        Fault(f"record.sling[{i}].serial", f"{one.serial!r} is no sling of this order")
        for i, one in enumerate(made)
        if one.serial not in known
    ]
    if faults:
        raise InputFault(faults)


def _target(order: MadeOrder, line: MadeLine) -> Target:
    from slingwright.make.made import Target

    return Target(
        serials=serial_numbers(order, line),
        length_m=line.line.spec.length_m,
        tolerance_m=line.item.tolerance_m,
        matched_m=order.shop.practice.matched_tolerance_m if line.line.matched else None,
        lots=tuple(sorted({roll.lot for roll in line.rolls})),
        proof=line.proof,
        has_fittings=bool(line.pattern.fittings),
    )


def _departures(order: MadeOrder, made: tuple[MadeSling, ...]) -> tuple[Departure, ...]:
    from slingwright.make.made import departures

    found: list[Departure] = []
    for line in order.lines:
        serials = serial_numbers(order, line)
        found += departures([one for one in made if one.serial in serials], _target(order, line))
    return tuple(found)


def _sets_withheld(order: MadeOrder, found: tuple[Departure, ...]) -> set[str]:
    """A matched set with a fault in it is withheld whole."""
    bad = {one.serial for one in found}
    sets = [serial_numbers(order, line) for line in order.lines if line.line.matched]
    return {serial for one in sets if bad & set(one) for serial in one}


def _certificate(
    order: MadeOrder, line: MadeLine, serial: str, made: MadeSling | None, on: dt.date
) -> Certificate:
    from slingwright.words.certifying import CertificateFacts, certificate_lines

    number = f"C-{serial}"
    facts = CertificateFacts(number=number, serial=serial, on=on, item=line.item, made=made)
    fields = certificate_lines(facts, order.rulebook, order.shop, order.units, language=order.language)
    return Certificate(serial=serial, number=number, fields=fields, made=made)


def print_certificate(answer: CertifyAnswer, index: int, *, on: dt.date) -> bytes:
    """One of the certificates (PDF)."""
    from slingwright.papers.certificate import certificate_paper

    order, one = answer.order, answer.certificates[index]
    return certificate_paper(
        one.fields,
        number=one.number,
        made=one.made,
        rulebook=order.rulebook,
        made_by=_made_by(answer),
        on=on,
        units=order.units,
        specimen=answer.specimen,
        language=order.language,
    )


def _made_by(answer: CertifyAnswer) -> Mapping[str, object]:
    made_by = answer.order.head["made_by"]
    assert isinstance(made_by, Mapping)
    return made_by


def certificate_document(answer: CertifyAnswer) -> dict[str, Any]:
    """The `slingwright/certificate/1` document."""
    from slingwright.usecases.make_document import gate_rows
    from slingwright.words.certifying import departure_text
    from slingwright.words.making import making_cautions

    order = answer.order
    return {
        "schema": "slingwright/certificate/1",
        "made_by": _made_by(answer),
        "answer": "stop" if answer.is_stop else "certificates",
        "specimen": answer.specimen,
        "number": order.number,
        "record_sha256": answer.record_sha256,
        "certificates": [
            {
                "number": one.number,
                "serial": one.serial,
                "proof_load_n": one.made.proof.load_n if one.made and one.made.proof else None,
                "fields": [{"id": f.id, "label": f.label, "text": f.text} for f in one.fields],
            }
            for one in answer.certificates
        ],
        "departures": [
            {
                "serial": one.serial,
                "code": one.code,
                "figure": one.figure,
                "limit": one.limit,
                "unit": one.unit,
                "text": departure_text(one, order.units, language=order.language),
            }
            for one in answer.departures
        ],
        "gates": gate_rows(order),
        "cautions": list(making_cautions(language=order.language)),
    }
