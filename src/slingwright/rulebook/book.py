"""A rulebook: one regime's tables and rules, frozen, passed explicitly all the way down."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from slingwright.citation import Citation, Cited
from slingwright.errors import Fault, InputFault
from slingwright.rulebook.adoption import Adoption
from slingwright.rulebook.chemical import Chemicals, ChemicalVerdict
from slingwright.rulebook.gate import Gate
from slingwright.rulebook.hitch import Choke, ChokeState, HitchRules
from slingwright.rulebook.legs import LegRules
from slingwright.rulebook.practice import Caution, Colour, Row
from slingwright.rulebook.rate import RateRules, Rating
from slingwright.rulebook.rated import UNIT_N, RatedCell, RatedTable, Refusal, find_cell
from slingwright.sling import Fibre, Hitch, SlingSpec
from slingwright.units.parse import STANDARD_GRAVITY

__all__ = ["Rulebook"]

_RIGHT_ANGLE_DEG = 90.0


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Rulebook:
    """One regime. Its numbers come from its data files alone: ask it, never write a literal.

    `profile` is `own` (this regime's numbers) or `strictest` (the strictest across regimes where the
    cautions' data names one). `sha256` is over the data files.
    """

    id: str
    edition: str
    documents: tuple[str, ...]
    profile: str
    sha256: str
    adopted: Adoption | None
    design_factor: Cited[float]
    tables: tuple[RatedTable, ...]
    rules: RateRules
    gate: Gate
    limits: Mapping[str, Cited[float]]
    chemicals: Chemicals
    cautions: tuple[Caution, ...]
    practice: Mapping[str, tuple[Row, ...]]
    colour_rows: tuple[Colour, ...]

    def __repr__(self) -> str:
        adopted = "adopted" if self.adopted else "not adopted"
        return f"Rulebook({self.id} {self.edition}, {self.profile}, {adopted})"

    @property
    def hitch(self) -> HitchRules:
        """The hitch factors."""
        return self.rules.hitch

    @property
    def legs(self) -> LegRules:
        """The multi-leg rule."""
        return self.rules.legs

    @property
    def g(self) -> float:
        """Standard gravity [m/s²], exact by definition (3rd CGPM, 1901)."""
        return float(STANDARD_GRAVITY)

    # -- rated loads ---------------------------------------------------------------------------

    def vertical_rated(self, spec: SlingSpec) -> RatedCell | Refusal:
        """Return the table cell of a sling, or a refusal with the nearest rows; nothing is interpolated."""
        return find_cell(self.tables, spec, nobody=self.design_factor.citation)

    def choker_factor(self) -> Cited[float]:
        """Return the choker's share of the vertical rated load."""
        return self.hitch.factors["choker"]

    def choke_band(self, state: ChokeState, angle_deg: float | None = None) -> Cited[float] | Refusal:
        """Return the factor on the choker rating: free 1, stated its band's, unknown the lowest band's."""
        return self.hitch.choke_band(Choke(state=state, angle_deg=angle_deg))

    def choker_rated_n(self, spec: SlingSpec) -> Cited[float] | Refusal:
        """Return the choker rating C of a sling [N], before the angle of choke, rounded down."""
        cell = self._cell(spec, Hitch.CHOKER)
        if isinstance(cell, Refusal):
            return cell
        return Cited(float(self.rules.choker_units(cell) * UNIT_N[cell.unit]), self.choker_factor().citation)

    def part_limit_n(
        self, spec: SlingSpec, hitch: Hitch, choke: Choke | None = None
    ) -> Cited[float] | Refusal:
        """Limit of the tension in one straight part [N]; the tension already holds the angle.

        The vertical rated load for a vertical leg and for each part of a basket; choker rating times the
        angle-of-choke factor for the part above a choke (no choke given: the lowest band).
        """
        cell = self._cell(spec, hitch)
        return cell if isinstance(cell, Refusal) else self.rules.part_limit_n(cell, hitch, choke)

    def hitch_rated_n(
        self,
        spec: SlingSpec,
        hitch: Hitch,
        choke: Choke | None = None,
        flatter_angle_from_horizontal_deg: float | None = None,
    ) -> Cited[float] | Refusal:
        """Rated load of one sling in its hitch [N], to hold against the load that sling carries.

        Vertical V; choker C times the angle-of-choke factor; basket B times the sine of its flatter side
        (under a banded regime the mode factor of that angle).
        """
        if hitch is not Hitch.BASKET:
            return self.part_limit_n(spec, hitch, choke)
        cell = self._cell(spec, hitch)
        if isinstance(cell, Refusal):
            return cell
        if flatter_angle_from_horizontal_deg is None:
            return Refusal(reason="angle-needed", citation=self.hitch.factors["basket"].citation)
        return self.rules.basket_rated_n(cell, flatter_angle_from_horizontal_deg)

    def rate(
        self,
        spec: SlingSpec,
        hitch: Hitch,
        *,
        choke: Choke | None = None,
        angle_from_horizontal_deg: float | None = None,
        wraps: int = 1,
        legs: int = 1,
    ) -> Rating | Refusal:
        """Rate slings in a hitch: rounded down as the table prints, with every factor and its source.

        Parameters
        ----------
        spec
            The sling, one of them.
        hitch
            How each holds the load.
        choke
            What is known of the choke; left out, the lowest band counts.
        angle_from_horizontal_deg
            The flattest part; left out, a single sling hangs straight. Several need it.
        wraps
            1, or 2 for a double wrap, which adds no rated load.
        legs
            How many such slings share the load under one hook.

        Raises
        ------
        InputFault
            An angle, a number of wraps or of legs that no hitch has.

        """
        _check_ranges(angle_from_horizontal_deg, wraps, legs)
        cell = self._cell(spec, hitch)
        if isinstance(cell, Refusal):
            return cell
        if legs > 1 and angle_from_horizontal_deg is None:
            return Refusal(reason="angle-needed", citation=self.legs.statics)
        angle_deg = _RIGHT_ANGLE_DEG if angle_from_horizontal_deg is None else angle_from_horizontal_deg
        least = self.limit("least_angle_deg")
        if angle_deg < least.value:
            return Refusal(reason="below-least-angle", citation=least.citation)
        return self.rules.rate(cell, hitch, choke=choke, angle_deg=angle_deg, wraps=wraps, legs=legs)

    def leg_floor(
        self,
        n_legs: int,
        weight_n: float,
        flattest_angle_from_horizontal_deg: float,
        *,
        matched: bool = True,
        symmetric: bool = True,
        two_legs_carry_all: bool = False,
    ) -> Cited[float]:
        """Floor of the tension one of several legs is designed for [N].

        Two and three legs W / (n sin), four and more as three; `two_legs_carry_all` is selectable. Where
        mode factors are printed and the bridle is symmetric, the larger of that and W / M. Legs that are
        not a matched set have the same floor; its citation then says what governs as well.
        """
        return self.legs.floor(
            self.hitch,
            n_legs,
            weight_n=weight_n,
            angle_from_horizontal_deg=flattest_angle_from_horizontal_deg,
            matched=matched,
            symmetric=symmetric,
            two_carry_all=two_legs_carry_all,
        )

    def _cell(self, spec: SlingSpec, hitch: Hitch) -> RatedCell | Refusal:
        """The cell of a sling that may be used in this hitch at all."""
        if hitch is Hitch.CHOKER and not spec.form.chokes:
            return Refusal(reason="form-does-not-choke", citation=self.choker_factor().citation)
        return self.vertical_rated(spec)

    # -- limits and data -----------------------------------------------------------------------

    def limit(self, name: str) -> Cited[float]:
        """Return a named limit in SI; a name that this rulebook does not hold is a mistake of the caller."""
        return self.limits[name]

    def has_limit(self, name: str) -> bool:
        """Whether this rulebook prints such a limit (EN's eye angle, say, is not imported into `us`)."""
        return name in self.limits

    def max_temperature_k(self, fibre: Fibre) -> Cited[float]:
        """Hottest surface a fibre may touch [K]."""
        return self.limits[f"max_temperature_{fibre}_k"]

    def chemical(self, agent: str, material: str) -> ChemicalVerdict:
        """Return what an agent does to a fibre or a fitting metal; an agent not listed is `unknown`."""
        return self.chemicals.verdict(agent, material)

    def agents(self) -> tuple[str, ...]:
        """Return every name of an agent that is listed, sorted."""
        return self.chemicals.names()

    def removal_criteria(self) -> tuple[Row, ...]:
        """Return what takes a sling out of service, any one of them."""
        return self.practice["removal"]

    def inspection(self) -> tuple[Row, ...]:
        """Return who looks at a sling and when."""
        return self.practice["inspection"]

    def tag_fields(self) -> tuple[Row, ...]:
        """Return what the tag must say: the union within this regime."""
        return self.practice["tag"]

    def certificate_fields(self) -> tuple[Row, ...]:
        """Return what a certificate must say."""
        return self.practice["certificate"]

    def proof_test(self) -> tuple[Row, ...]:
        """Return the proof load, its band, and when it is due."""
        return self.practice["proof_test"]

    def fibres(self) -> tuple[Row, ...]:
        """Return fibre data: stretch at rated load (a first guess for a webbing), gravity, regain."""
        return self.practice["fibres"]

    def colours(self) -> tuple[Colour, ...]:
        """Return the colour code of rated loads and labels; empty where the regime has none."""
        return self.colour_rows

    @property
    def source(self) -> Citation:
        """The rulebook's own citation: what speaks where no single clause does."""
        return self.design_factor.citation


def _check_ranges(angle_deg: float | None, wraps: int, legs: int) -> None:
    faults = []
    if angle_deg is not None and not 0 < angle_deg <= _RIGHT_ANGLE_DEG:
        hint = "from the horizontal: above 0, at most 90 deg"
        faults.append(Fault("angle_from_horizontal_deg", f"{angle_deg:g} deg is no sling angle", hint))
    if wraps not in (1, 2):
        faults.append(Fault("wraps", f"{wraps} is not 1 or 2", "1, or 2 for a double wrap"))
    if legs < 1:
        faults.append(Fault("legs", f"{legs} is not a number of legs", "1 or more"))
    if faults:
        raise InputFault(faults)
