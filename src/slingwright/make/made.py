"""What was made, held against what was to be made: lengths, matched sets, lots, proof loads."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from slingwright.make.proof import ProofLoad

__all__ = ["Departure", "MadeSling", "ProofRecord", "Target", "departures"]


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofRecord:
    """One pull at the test bed."""

    load_n: float
    machine: str
    calibration: str
    on: dt.date
    by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class MadeSling:
    """One sling as made: what the floor wrote down."""

    serial: str
    length_m: float
    lot: str
    thread_lot: str
    fittings_lot: str | None
    inspected_by: str
    inspected_on: dt.date
    proof: ProofRecord | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Target:
    """What equal slings were to be. `matched_m` None = no matched set; `lots` those with a certificate."""

    serials: tuple[str, ...]
    length_m: float
    tolerance_m: float
    matched_m: float | None
    lots: tuple[str, ...]
    proof: ProofLoad
    has_fittings: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Departure:
    """A sling that is not what was ordered.

    Codes: `length-off`, `lot-not-allowed`, `fittings-lot-missing`, `proof-off`, `set-apart` (longest less
    shortest), `set-incomplete` (a matched set is judged whole).
    """

    serial: str
    code: str
    figure: float | None = None
    limit: float | None = None
    unit: str = ""
    subject: str = ""


def departures(made: Sequence[MadeSling], target: Target) -> tuple[Departure, ...]:
    """Every way in which slings as made are not what was ordered; none = they may be certified."""
    by_serial = {sling.serial: sling for sling in made}
    found = [one for sling in made for one in _own(sling, target)]
    return (*found, *_set(by_serial, target)) if made else ()


def _own(sling: MadeSling, target: Target) -> Iterator[Departure]:
    off_m = abs(sling.length_m - target.length_m)
    if off_m > target.tolerance_m + 1e-6:
        yield Departure(
            serial=sling.serial, code="length-off", figure=off_m, limit=target.tolerance_m, unit="m"
        )
    if sling.lot not in target.lots:
        yield Departure(serial=sling.serial, code="lot-not-allowed", subject=sling.lot)
    if target.has_fittings and sling.fittings_lot is None:
        yield Departure(serial=sling.serial, code="fittings-lot-missing")
    if sling.proof is not None and not target.proof.holds(sling.proof.load_n):
        limit_n = target.proof.load_n
        yield Departure(
            serial=sling.serial, code="proof-off", figure=sling.proof.load_n, limit=limit_n, unit="N"
        )


def _set(by_serial: Mapping[str, MadeSling], target: Target) -> Iterator[Departure]:
    if target.matched_m is None:
        return
    missing = [serial for serial in target.serials if serial not in by_serial]
    if missing:
        yield Departure(serial=missing[0], code="set-incomplete")
        return
    lengths_m = [by_serial[serial].length_m for serial in target.serials]
    apart_m = max(lengths_m) - min(lengths_m)
    if apart_m > target.matched_m + 1e-6:
        yield Departure(
            serial=target.serials[0], code="set-apart", figure=apart_m, limit=target.matched_m, unit="m"
        )
