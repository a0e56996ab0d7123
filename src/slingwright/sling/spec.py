"""The nouns of the shop floor: form, fibre, hitch, and a sling's specification."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Fibre", "Form", "Hitch", "SlingSpec"]


class Form(StrEnum):
    """The sling type. US types I to VI and EN forms are in `us_type` and `en_form`."""

    TRIANGLE_CHOKER = "triangle-choker"
    TRIANGLE_TRIANGLE = "triangle-triangle"
    FLAT_EYE = "flat-eye"
    TWISTED_EYE = "twisted-eye"
    ENDLESS = "endless"
    RETURN_EYE = "return-eye"

    @property
    def us_type(self) -> str:
        """Roman type number of the US standard (WSTDA-WS-1, from memory)."""
        return {
            Form.TRIANGLE_CHOKER: "I",
            Form.TRIANGLE_TRIANGLE: "II",
            Form.FLAT_EYE: "III",
            Form.TWISTED_EYE: "IV",
            Form.ENDLESS: "V",
            Form.RETURN_EYE: "VI",
        }[self]

    @property
    def en_form(self) -> str:
        """Form letter of EN 1492-1 (figure 1, from memory)."""
        return {
            Form.TRIANGLE_CHOKER: "Cr",
            Form.TRIANGLE_TRIANGLE: "C",
            Form.FLAT_EYE: "B",
            Form.TWISTED_EYE: "B",
            Form.ENDLESS: "A",
            Form.RETURN_EYE: "B",
        }[self]

    @property
    def has_eyes(self) -> bool:
        """Whether the ends are sewn soft eyes."""
        return self in (Form.FLAT_EYE, Form.TWISTED_EYE, Form.RETURN_EYE)

    @property
    def chokes(self) -> bool:
        """Whether the form may be used in a choker at all (two plain triangles may not)."""
        return self is not Form.TRIANGLE_TRIANGLE


class Fibre(StrEnum):
    """Webbing material."""

    POLYESTER = "polyester"
    NYLON = "nylon"
    POLYPROPYLENE = "polypropylene"


class Hitch(StrEnum):
    """How one sling holds the load."""

    VERTICAL = "vertical"
    CHOKER = "choker"
    BASKET = "basket"


@dataclass(frozen=True, slots=True, kw_only=True, order=True)
class SlingSpec:
    """A sling that can be ordered: everything that fixes its pattern and its table cell.

    `length_m` is bearing point to bearing point, flat, unloaded (an endless sling: half its
    circumference). `eye_m` is the inside eye length, 0 for forms without eyes.
    """

    form: Form
    fibre: Fibre
    webbing_class: int
    plies: int
    width_m: float
    length_m: float
    eye_m: float

    @property
    def text(self) -> str:
        """The canonical text, the last tie-breaker of every ranking."""
        return (
            f"{self.form}/{self.fibre}/{self.webbing_class}/{self.plies}p/"
            f"{self.width_m:.4f}/{self.length_m:.4f}/{self.eye_m:.4f}"
        )
