"""The cut problem: one webbing, its rolls and remnants, the pieces to cut from them. Whole millimetres.

One webbing (fibre, class, width) is one problem. No splices: every piece comes whole from one roll.
"""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["CutProblem", "Piece", "Practice", "Stock"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Stock:
    """Rolls or remnants of one remaining length. `count` None = as many as wanted (a benchmark's rolls)."""

    length_mm: int
    count: int | None
    lot: str = ""
    name: str = ""
    full: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """Equal pieces of one order. `uncut_cost_mm` None = must be cut; else what leaving one uncut costs.

    `together` names what must come from one roll: all pieces of the problem with the same name.
    """

    length_mm: int
    quantity: int
    order: str = ""
    due: str = ""
    together: str = ""
    uncut_cost_mm: int | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """How this shop cuts and what a leftover is worth to it, in millimetres of new webbing.

    `kerf_mm` is lost at each cut, `head_trim_mm` once a mounted roll, `mount_cost_mm` is the labour of
    mounting one. A leftover of at least `remnant_min_mm` is kept; it is worth its length less a discount
    that grows from nothing at a full roll to `discount_mm` at no length at all.
    """

    kerf_mm: int = 0
    head_trim_mm: int = 0
    remnant_min_mm: int = 0
    discount_mm: int = 0
    full_length_mm: int = 1
    mount_cost_mm: int = 0

    def worth_mm(self, length_mm: int) -> int:
        """Worth of a length on the shelf [mm of new webbing]: 0 below the least usable remnant.

        It jumps at the least remnant and is concave above it, its worth a millimetre rises with its length:
        one long leftover is worth more than two short ones.
        """
        if length_mm < self.remnant_min_mm:
            return 0
        short_of_full = max(self.full_length_mm - length_mm, 0)
        return length_mm - self.discount_mm * short_of_full**2 // self.full_length_mm**2


@dataclass(frozen=True, slots=True, kw_only=True)
class CutProblem:
    """All the planner needs for one webbing. `practice` None = only the number of rolls counts.

    `wish_permille` = thousandths of the least cost that may be spent on a plan that suits the floor better;
    None = no such plan is looked for.
    """

    name: str = ""
    stock: tuple[Stock, ...]
    pieces: tuple[Piece, ...]
    practice: Practice | None = None
    webbing: str = ""
    wish_permille: int | None = None

    @property
    def kerf_mm(self) -> int:
        """Length lost at each cut [mm]."""
        return self.practice.kerf_mm if self.practice else 0

    @property
    def head_trim_mm(self) -> int:
        """Length trimmed from the head of a mounted roll [mm]."""
        return self.practice.head_trim_mm if self.practice else 0
