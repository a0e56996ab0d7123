"""A candidate: an arrangement of slings that the shop can build or has, with its exact price and mass."""

from __future__ import annotations

from dataclasses import dataclass, replace

from slingwright.arrangement import Arrangement
from slingwright.shop.model import Protection, StockSling
from slingwright.sling import Hitch, SlingSpec

__all__ = ["Candidate"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Candidate:
    """One point of the search space. `base` is the specification of its first sling.

    All slings of one lift are alike but for their length (never mixed: PRACTICE).
    """

    arrangement: Arrangement
    base: SlingSpec
    lengths_m: tuple[float, ...]
    protection: Protection
    stock: tuple[StockSling, ...]  # the shelf's row of each sling; () = made to order
    price_minor: int
    mass_kg: float
    days: int
    lofts: tuple[str, ...]
    least_length_m: float | None

    @property
    def specs(self) -> tuple[SlingSpec, ...]:
        """The specification of each sling, in the arrangement's order."""
        return tuple(replace(self.base, length_m=length) for length in self.lengths_m)

    def spec(self, sling: int) -> SlingSpec:
        """The specification of one sling."""
        return replace(self.base, length_m=self.lengths_m[sling])

    @property
    def stock_ids(self) -> tuple[str, ...]:
        """Which row of the shelf each sling is from; () = made to order."""
        return tuple(s.id for s in self.stock)

    @property
    def supply(self) -> str:
        """Either "made" or "stock"."""
        return "stock" if self.stock else "made"

    @property
    def matched(self) -> bool:
        """Whether its slings are a matched set (made together, or marked so on the shelf)."""
        return not self.stock or (self.stock[0].matched and len(set(self.stock_ids)) == 1)

    @property
    def unequal(self) -> bool:
        """Whether its legs differ in length (a permanently marked bridle)."""
        return self.arrangement.lengths == "made" and len(set(self.lengths_m)) > 1

    @property
    def main_hitch(self) -> Hitch:
        """The hitch that holds the load."""
        return self.arrangement.main[0].hitch

    @property
    def text(self) -> str:
        """The canonical text, the last tie-breaker."""
        lengths = " ".join(f"{x:.4f}" for x in self.lengths_m)
        ids = self.stock_ids if len(set(self.stock_ids)) > 1 else self.stock_ids[:1]
        stock = f"/{' '.join(ids)}" if ids else ""
        a = self.arrangement
        head = f"{a.family}/{a.placement}/{a.lengths}/{self.base.text}/{lengths}"
        return f"{head}/{self.protection}/{self.supply}{stock}"
