"""Offers: what `choose` answers. The contract for programs lists their keys (`slingwright/offers/1`)."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

from slingwright.arrangement.model import Arrangement
from slingwright.check import Finding
from slingwright.choose.explained import Explained
from slingwright.citation import Citation
from slingwright.hang.problem import Problem
from slingwright.hang.result import Hang
from slingwright.sling import Fibre, Hitch, SlingSpec

__all__ = [
    "Answer",
    "Case",
    "Choke",
    "GovernedBy",
    "Offer",
    "OfferSling",
    "Refused",
    "RuleAgainstHang",
    "SearchReport",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A whole hang problem with its answer, so that an outside engine can judge it.

    Names: "stiff", "soft", "worst", "corner", "renders", "locked", "swap BADC".
    """

    name: str
    problem: Problem
    result: Hang


@dataclass(frozen=True, slots=True, kw_only=True)
class Choke:
    """A choker's choke: state free | stated | unknown, its angle, its factor, its loop."""

    state: str
    angle_deg: float | None
    factor: float
    loop_m: float


@dataclass(frozen=True, slots=True, kw_only=True)
class GovernedBy:
    """What the utilisation came from: check "part" | "hitch", the case ("rule" = the floor), the path."""

    check: str
    case: str
    path: str


@dataclass(frozen=True, slots=True, kw_only=True)
class OfferSling:
    """One sling of an offer, with both checks (part tension and hitch load)."""

    id: str
    spec: SlingSpec
    supply: str  # "made" | "stock"
    stock_id: str | None
    hitch: Hitch
    wraps: int
    role: str
    choke: Choke | None
    protection: str
    vertical_rated_n: float
    printed: str
    table_id: str
    table_cell: str
    table_adopted: bool
    table_citation: Citation
    part_tension_n: float
    design_tension_n: float
    part_limit_n: float
    hitch_load_n: float
    hitch_rated_n: float
    utilisation: float
    governed_by: GovernedBy
    upper_at: str  # "hook 1", "beam west" … where the upper end sits
    lower_at: str  # pick point's name, or "round the load at 1.20 m" as a code: "round 1.2000"
    matched_set: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class RuleAgainstHang:
    """What the rulebook's rule and the hang give for the worst leg, and whether the rule falls short."""

    rule_n: float
    hang_n: float
    rule_unconservative: bool
    citation: Citation


@dataclass(frozen=True, slots=True, kw_only=True)
class Offer:
    """An arrangement of buildable slings with its hang, findings, price and promise.

    `order` is (grade, the wanted figure, mass, text): the total order all offers obey.
    `picked_for` says why it is shown: best, cheapest, stock, lightest, reserve, grade-1, equivalent; so-far,
    while the best is looked for.
    """

    order: tuple[int, int, int, str]
    picked_for: tuple[str, ...]
    arrangement: Arrangement
    slings: tuple[OfferSling, ...]
    cases: tuple[Case, ...]
    findings: tuple[Finding, ...]
    hook_load_n: float
    hook_height_m: float
    tilt_deg: float
    worst_tilt_deg: float
    least_angle_from_horizontal_deg: float
    rule_against_hang: RuleAgainstHang | None
    friction_needed: float | None
    price_minor: int
    currency: str
    mass_kg: float
    ready_in_days: int
    cautions: tuple[str, ...]  # codes, worded by `words`

    @property
    def grade(self) -> int:
        """0 = clean, 1 = a caution another candidate need not have, or reserve under ten percent."""
        return self.order[0]

    def case(self, name: str) -> Case | None:
        """The case of this name, or None."""
        return next((c for c in self.cases if c.name == name), None)

    @property
    def utilisation(self) -> float:
        """The worst share of a limit over its slings."""
        return max(s.utilisation for s in self.slings)


@dataclass(frozen=True, slots=True, kw_only=True)
class Refused:
    """Why a family and fibre are not offered: its nearest candidate's finding and how far off it is."""

    family: str
    fibre: Fibre | None
    finding: Finding
    off_by: float | None
    spec_text: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class SearchReport:
    """What was searched and that nothing better is left.

    `cheaper_and_rejected` is None, and `rejected_by` empty, where they were not counted yet: some must be
    hung once more for that; and so is `solved`, for more are solved till then.
    """

    space: int
    hang_problems: int
    pruned: Mapping[str, int]
    solved: int | None
    cheaper_and_rejected: int | None
    rejected_by: Mapping[str, int]
    proved: bool
    seconds: float | None
    samples: int
    seed: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Answer:
    """The whole answer for a lift. `answer` = "offers" | "stop"; `stops` are the lift's own stops."""

    answer: str
    offers: tuple[Offer, ...]
    refused: tuple[Refused, ...]
    search: SearchReport
    stops: tuple[Finding, ...] = ()
    cautions: tuple[str, ...] = ()
    next_question: str | None = None
    explained: Explained | None = None  # None = not asked for
    notes: tuple[str, ...] = field(default=())
