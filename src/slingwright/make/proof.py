"""The proof load of one sling at the test bed, with the band its regime allows round it."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.citation import Citation
from slingwright.rulebook import Rulebook

__all__ = ["ProofLoad", "proof_load"]

_SINGLE = "single"
_AT_LEAST = "asme"


@dataclass(frozen=True, slots=True, kw_only=True)
class ProofLoad:
    """A proof load [N]. `low_n` and `high_n` None = the regime states no band; then the load itself is meant.

    `at_least` names a document of the same regime that asks for no less than the load, where there is one.
    """

    load_n: float
    low_n: float | None
    high_n: float | None
    citation: Citation
    at_least: Citation | None

    def holds(self, actual_n: float) -> bool:
        """Whether a load applied at the test bed proves the sling: in the band, never above the load."""
        low_n, high_n = self.low_n or self.load_n, self.high_n or self.load_n
        bits = 1e-9 * self.load_n  # a load read back from its printed figure
        return low_n - bits <= actual_n <= high_n + bits


def proof_load(rulebook: Rulebook, vertical_rated_n: float) -> ProofLoad:
    """The proof load of one sling of this vertical rated load, from the rulebook's own rows."""
    rows = {row.id: row for row in rulebook.proof_test()}
    row = rows[_SINGLE]
    load_n = row.figures["load_ratio"] * vertical_rated_n
    low, high = row.figures.get("band_low"), row.figures.get("band_high")
    return ProofLoad(
        load_n=load_n,
        low_n=None if low is None else (1 + low) * load_n,
        high_n=None if high is None else (1 + high) * load_n,
        citation=row.citation,
        at_least=rows[_AT_LEAST].citation if _AT_LEAST in rows else None,
    )
