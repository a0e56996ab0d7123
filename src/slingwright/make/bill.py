"""The bill of material and work of one sling: whole millimetres, pieces and seconds; mass in kilograms."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.make.layout import Layout, lay_out, up_to_mm
from slingwright.make.pattern import make_of
from slingwright.shop import Fitting, Guard, Protection, Refusal, Sewing, Shop, least_length_m, length_um
from slingwright.sling import SlingSpec, Webbing

SECONDS_AN_HOUR = 60 * 60

__all__ = [
    "SECONDS_AN_HOUR",
    "Bill",
    "bill",
    "fixed_mass_kg",
    "guard_for",
    "labour_s",
    "mass_kg",
    "thread_mm",
    "webbing_mm",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Bill:
    """What one sling takes, its protection included."""

    spec: SlingSpec
    webbing: Webbing
    webbing_mm: int
    pieces: int  # flat pieces to cut
    fittings: tuple[Fitting, ...]
    thread_mm: int
    labels: int
    guard: Guard | None
    guard_pieces: int
    labour_s: int
    mass_kg: float

    @property
    def labour_min(self) -> float:
        """Sewing time [min]."""
        return self.labour_s / 60  # seconds in a minute


def bill(
    spec: SlingSpec,
    protection: Protection,
    shop: Shop,
    *,
    guard_pieces: int | None = None,
    made: bool = True,
) -> Bill | Refusal:
    """What a sling takes, or why it cannot be laid out or protected.

    Parameters
    ----------
    spec, protection, shop
        The sling, what protects it and whose practice applies.
    guard_pieces
        How many pieces of protection; the shop's usual number where left out.
    made
        False for a sling already on the shelf: the least length is then not asked.
    """
    layout = lay_out(shop, make_of(spec), spec.eye_m or None)
    if isinstance(layout, Refusal):
        return layout
    least = least_length_m(shop, spec.form, spec.width_m, spec.plies, spec.eye_m or None)
    if isinstance(least, Refusal):
        return least
    if made and length_um(spec.length_m) < length_um(least):
        return Refusal(code="too-short", figure=spec.length_m, limit=least, unit="m", nearest=(least,))
    guard = guard_for(shop, protection, layout.webbing.width_m)
    if isinstance(guard, Refusal):
        return guard
    pieces = guard_count(guard, guard_pieces)
    sling_um = length_um(spec.length_m)
    web, thread = webbing_mm(layout, sling_um), thread_mm(layout, shop.sewing, sling_um)
    return Bill(
        spec=spec,
        webbing=layout.webbing,
        webbing_mm=web,
        pieces=sum(part.count for part in layout.parts),
        fittings=layout.fittings,
        thread_mm=thread,
        labels=1,
        guard=guard,
        guard_pieces=pieces,
        labour_s=labour_s(layout, shop.sewing, sling_um),
        mass_kg=mass_kg(layout.webbing, shop.sewing, web, thread, fixed_mass_kg(layout, shop, guard, pieces)),
    )


def guard_for(shop: Shop, protection: Protection, width_m: float) -> Guard | Refusal | None:
    """The shop's piece of this protection for this width; None for no protection."""
    if protection is Protection.NONE:
        return None
    guard = shop.guard(protection)
    if guard is None:
        return Refusal(code="protection-not-sold", subject=str(protection))
    if width_m > guard.max_width_m:
        return Refusal(
            code="protection-too-wide",
            figure=width_m,
            limit=guard.max_width_m,
            unit="m",
            subject=str(protection),
        )
    return guard


def guard_count(guard: Guard | None, asked: int | None) -> int:
    """How many pieces of protection go with one sling."""
    if guard is None:
        return 0
    return guard.pieces_per_sling if asked is None else asked


def webbing_mm(layout: Layout, sling_um: int) -> int:
    """Webbing in all flat pieces, each rounded up to a whole millimetre."""
    return sum(part.count * up_to_mm(part.total.at(sling_um)) for part in layout.parts)


def thread_mm(layout: Layout, sewing: Sewing, sling_um: int) -> int:
    """Thread in all seams, rounded up to a whole millimetre."""
    ratio = sewing.thread_ratio
    return -(-layout.seam.at(sling_um) * ratio.numerator // (1000 * ratio.denominator))


def labour_s(layout: Layout, sewing: Sewing, sling_um: int) -> int:
    """Work in whole seconds, the seams' share rounded up."""
    return layout.fixed_labour_s - (-layout.seam.at(sling_um) * sewing.seam_s_per_m // length_um(1))


def fixed_mass_kg(layout: Layout, shop: Shop, guard: Guard | None, guard_pieces: int) -> float:
    """Mass [kg] of everything that does not grow with the sling's length."""
    guards = guard_pieces * guard.length_m * layout.webbing.width_m * guard.mass_kg_m2 if guard else 0.0
    return sum(f.mass_kg for f in layout.fittings) + shop.sewing.label_kg + guards


def mass_kg(webbing: Webbing, sewing: Sewing, web_mm: int, seam_thread_mm: int, fixed_kg: float) -> float:
    """Mass [kg] of a sling: webbing, thread and what does not grow with its length."""
    return (web_mm * webbing.mass_kg_m + seam_thread_mm * sewing.thread_kg_m) / 1000 + fixed_kg
