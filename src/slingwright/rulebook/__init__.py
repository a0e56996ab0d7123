"""Standards as cited data: rated loads, hitch factors, angle rules, limits."""

from slingwright.rulebook.adopt import parse_adoption
from slingwright.rulebook.adoption import Adoption
from slingwright.rulebook.book import Rulebook
from slingwright.rulebook.chemical import ChemicalVerdict, Verdict
from slingwright.rulebook.hitch import Choke, ChokeState
from slingwright.rulebook.load import load_rulebook
from slingwright.rulebook.practice import Caution, Colour, Row
from slingwright.rulebook.rate import Factor, Rating
from slingwright.rulebook.rated import RatedCell, Refusal

__all__ = [
    "Adoption",
    "Caution",
    "ChemicalVerdict",
    "Choke",
    "ChokeState",
    "Colour",
    "Factor",
    "RatedCell",
    "Rating",
    "Refusal",
    "Row",
    "Rulebook",
    "Verdict",
    "load_rulebook",
    "parse_adoption",
]
