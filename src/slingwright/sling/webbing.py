"""Webbing: what the shop knows of a roll's make. Stiffness belongs here, not to a rulebook."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.sling.spec import Fibre

__all__ = ["Webbing"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Webbing:
    """One webbing (fibre, class, width) the shop keeps.

    The stretch range is at one fifth of the sewn strength (a US rated load, design factor
    `stretch_at_factor`): a rulebook with another design factor sees the same webbing at another strain,
    `strain_at_rated(design_factor)`.
    """

    fibre: Fibre
    webbing_class: int
    width_m: float
    thickness_m: float
    mass_kg_m: float
    strain_low: float
    strain_high: float
    stretch_at_factor: float
    roll_m: float
    known: str = ""  # how the shop knows these figures

    def strain_at_rated(self, design_factor: float) -> tuple[float, float]:
        """Strain at the rated load under a rulebook of this design factor: (stiff end, soft end)."""
        share = self.stretch_at_factor / design_factor
        return self.strain_low * share, self.strain_high * share
