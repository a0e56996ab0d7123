"""The multi-leg rule: the least tension a leg must be good for, whatever the statics make of it."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slingwright.citation import Citation, Cited
from slingwright.rulebook.hitch import HitchRules
from slingwright.rulebook.rated import Refusal

__all__ = ["LegRules"]


@dataclass(frozen=True, slots=True, kw_only=True)
class LegRules:
    """How many legs count, and what one of them must carry."""

    counted_most: Cited[float]
    statics: Citation
    two_carry_all: Cited[float]
    always_two: bool = False  # strictest profile

    def counted(self, legs: int, *, two_carry_all: bool = False) -> Cited[float]:
        """Return how many of the legs count for the rated load, and whose rule it is."""
        most = self.two_carry_all if two_carry_all or self.always_two else self.counted_most
        return most if legs > most.value else Cited(float(legs), self.statics)

    def floor(
        self,
        hitch: HitchRules,
        legs: int,
        *,
        weight_n: float,
        angle_from_horizontal_deg: float,
        matched: bool,
        symmetric: bool,
        two_carry_all: bool,
    ) -> Cited[float]:
        """Return the floor of a leg's tension [N].

        The statics of the legs that count, and where the regime prints mode factors for a symmetric
        bridle the larger of that and weight over factor.
        """
        counted = self.counted(legs, two_carry_all=two_carry_all)
        # flatter than a degree counts as one: the least angle has stopped it, the figure stays finite
        shared_n = weight_n / (counted.value * hitch.sine(max(angle_from_horizontal_deg, 1.0)))
        citation = counted.citation
        if not matched and legs > counted.value:
            note = "legs not a matched set: the largest admissible leg tension governs as well"
            citation = replace(citation, note=note)
        if hitch.banded and symmetric and legs > 1:
            mode = hitch.bridle_mode(legs, angle_from_horizontal_deg)
            if not isinstance(mode, Refusal) and weight_n / mode.value > shared_n:
                return Cited(weight_n / mode.value, mode.citation)
        return Cited(shared_n, citation)
