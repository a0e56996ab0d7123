"""Words of quotes, orders and what is made from them."""

from __future__ import annotations

from slingwright.make.gates import Gate
from slingwright.make.ratings import HitchLoad
from slingwright.shop import Refusal
from slingwright.sling import SlingSpec
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import in_both, read_catalogue
from slingwright.words.figures import show_angle, show_length, show_load, show_short

__all__ = [
    "gate_text",
    "hitch_load_name",
    "making_cautions",
    "ready_text",
    "shop_refusal_text",
    "show_mm",
    "sling_code",
]


def shop_refusal_text(refusal: Refusal, units: Units, *, language: str = "en") -> str:
    """Why a sling cannot be made or priced, with the figures and limits."""
    return in_both(language, lambda one: _refusal(refusal, units, one))


def _refusal(refusal: Refusal, units: Units, language: str) -> str:
    words = read_catalogue(language)
    lofts = "; ".join(f"{loft} {words.word('loft-reasons', reason)}" for loft, reason in refusal.lofts)
    subject = words.sections["protections"].get(refusal.subject) or words.sections["forms"].get(
        refusal.subject, refusal.subject
    )
    return words.fill(
        "shop-refusals",
        refusal.code,
        figure=_figure(refusal.figure, refusal.unit, units, Rounding.NEAREST, language),
        limit=_figure(refusal.limit, refusal.unit, units, Rounding.UP, language),
        lofts=lofts,
        subject=subject,
    )


def _figure(value: float | None, unit: str, units: Units, rounding: Rounding, language: str) -> str:
    if value is None:
        return ""
    if unit == "m":
        return show_length(value, units, rounding=rounding, language=language)
    return show_load(value, units, language=language) if unit == "N" else show_short(value, language=language)


def hitch_load_name(load: HitchLoad, *, language: str = "en") -> str:
    """The hitch of a rated load, a basket with its angle."""
    angle = load.angle_from_horizontal_deg
    shown = "" if angle is None else show_angle(angle, rounding=Rounding.UP, language=language)
    return read_catalogue(language).fill("quote", str(load.hitch), angle=shown)


def gate_text(gate: Gate, *, language: str = "en") -> str:
    """A gate in words: what it waits for, or by what it is open."""
    section = "gates-open" if gate.is_open else "gates"
    return in_both(language, lambda one: read_catalogue(one).fill(section, gate.code, subject=gate.subject))


def ready_text(days: int, *, language: str = "en") -> str:
    """When it is ready."""
    key = {0: "ready-now", 1: "ready-day"}.get(days, "ready-days")
    return read_catalogue(language).fill("quote", key, days=str(days))


def making_cautions(*, language: str = "en") -> tuple[str, ...]:
    """The cautions that every paper of a sling carries; they defer to local codes and a qualified person."""
    return tuple(read_catalogue(language).sections["making-cautions"].values())


def show_mm(length_mm: int) -> str:
    """Whole millimetres as a cutter reads them."""
    return f"{length_mm:,} mm".replace(",", "\u00a0")


def sling_code(spec: SlingSpec) -> str:
    """The shop's own code of a sling: type, plies, fibre, class, width and length in millimetres."""
    sizes = f"{round(spec.width_m * 1000)}x{round(spec.length_m * 1000)}"
    return f"{spec.form.us_type}{spec.plies}-{str(spec.fibre)[:2].upper()}{spec.webbing_class}-{sizes}"
