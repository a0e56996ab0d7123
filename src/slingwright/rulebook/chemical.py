"""What an agent does to a fibre or a fitting: listed and cited, or unknown."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum

from slingwright.citation import Citation

__all__ = ["ChemicalVerdict", "Chemicals", "Verdict"]


class Verdict(StrEnum):
    """What may be done where an agent is present."""

    OK = "ok"
    CAUTION = "caution"
    NO = "no"
    UNKNOWN = "unknown"


@dataclass(frozen=True, slots=True, kw_only=True)
class ChemicalVerdict:
    """A verdict on one agent and one material. `agent` is the listed name, or the text asked for."""

    agent: str
    material: str
    verdict: Verdict
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Chemicals:
    """The matrix, with every name an agent goes by."""

    agent_by_name: Mapping[str, str]
    verdicts: Mapping[tuple[str, str], ChemicalVerdict]
    unlisted: Citation

    def names(self) -> tuple[str, ...]:
        """Return every listed name, sorted."""
        return tuple(sorted(self.agent_by_name))

    def verdict(self, agent: str, material: str) -> ChemicalVerdict:
        """Look one up. Case and runs of spaces do not matter; anything else not listed is unknown."""
        listed = self.agent_by_name.get(" ".join(agent.lower().split()))
        found = self.verdicts.get((listed, material)) if listed else None
        if found is not None:
            return found
        return ChemicalVerdict(
            agent=listed or agent, material=material, verdict=Verdict.UNKNOWN, citation=self.unlisted
        )
