"""What the shop can build (lofts, practice), what it keeps (webbing, rolls), what lies ready (stock)."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from slingwright.shop.sewing import Guard, Sewing, same_width
from slingwright.sling import Fibre, Form, SlingSpec, Webbing

__all__ = [
    "Capacity",
    "Cutting",
    "EyeRow",
    "Freight",
    "Loft",
    "Papers",
    "Practice",
    "Protection",
    "Roll",
    "Shop",
    "StockSling",
]


class Protection(StrEnum):
    """Three protections, never one (PRACTICE); NONE where nothing is put between sling and load."""

    NONE = "none"
    WEAR_SLEEVE = "wear-sleeve"  # abrasion only, clears no edge finding
    CUT_SLEEVE = "cut-sleeve"  # its maker's tested rating required
    FORMER = "radius-former"  # gives its radius and stays put


@dataclass(frozen=True, slots=True, kw_only=True)
class Freight:
    """What it costs to send an order from a loft to a region [minor units], and how long it is on its way."""

    region: str
    base: int
    per_kg: int
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Capacity:
    """A loft's hours and what they cost [minor units], for routing orders between lofts."""

    hours_a_day: int
    overtime_a_day: int
    labour_per_hour: int
    overtime_per_hour: int
    fetch_roll: int  # a roll of webbing brought in
    freight: tuple[Freight, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loft:
    """One plant: what its machines can sew, and how busy it is."""

    id: str
    name: str
    forms: tuple[Form, ...]
    fibres: tuple[Fibre, ...]
    classes: tuple[int, ...]
    max_width_m: float
    max_plies: int
    min_length_m: float
    max_length_m: float
    days: int  # working days until an order is ready
    capacity: Capacity | None = None  # None: no orders are routed here
    qualified: tuple[str, ...] = ()  # sewn patterns qualified here by break tests (adoption gate 2)


@dataclass(frozen=True, slots=True, kw_only=True)
class EyeRow:
    """Eye, lap and taper by width and plies: shop practice."""

    width_m: float
    plies_low: int
    plies_high: int
    eye_m: float
    lap_m: float
    taper_width_m: float | None  # eye folded to this width at its crown, None = full width
    pad_m: float = 0.0  # wear pad of webbing inside the eye, centred on its crown; 0 = no pad


@dataclass(frozen=True, slots=True, kw_only=True)
class Practice:
    """All shop practice that shapes a sling or an offer, as data with its status in the file."""

    length_step_m: float
    placement_step_m: float
    height_step_m: float
    bridle_step_m: float  # lengths of a made bridle's legs; `length_step_m` is a whole multiple of it
    tolerance_rel: float  # made length, stock or unknown
    tolerance_m: float
    matched_tolerance_m: float
    stiffness_spread_rel: float  # leg to leg, about the lot's level
    sleeve_rated_radius_m: float | None  # least edge radius the cut sleeve's maker tested it for
    former_radius_m: float | None  # radius the former gives; None = no former sold
    eye_rows: tuple[EyeRow, ...]
    label_m: float
    min_body_widths: float


@dataclass(frozen=True, slots=True, kw_only=True)
class StockSling:
    """A made sling on the shelf; `count` equal ones."""

    id: str
    spec: SlingSpec
    loft: str
    count: int
    matched: bool
    rulebook: str
    days: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Roll:
    """Webbing on the shelf: a roll or a remnant."""

    id: str
    fibre: Fibre
    webbing_class: int
    width_m: float
    length_m: float
    lot: str
    loft: str
    certificate: str | None = None  # of the lot (adoption gate 3); None = not on file


@dataclass(frozen=True, slots=True, kw_only=True)
class Cutting:
    """How the shop cuts, and what a leftover is worth to it, in whole millimetres (as a cut job has them)."""

    kerf_mm: int
    head_trim_mm: int
    remnant_min_mm: int
    discount_mm: int
    mount_cost_mm: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Papers:
    """What quotes, tags and certificates say of the shop itself."""

    address: str
    quote_days: int  # a quote holds for so many days
    link_host: str  # where a tag's code leads
    company_prefix: str  # of the sling's individual asset identifier (GS1)
    thread: str
    contact: str | None = None  # an e-mail address: who takes a lift over from the page


@dataclass(frozen=True, slots=True, kw_only=True)
class Shop:
    """The whole shop. `plies` and widths built come from the webbing list and the lofts' limits."""

    name: str
    sha256: str
    lofts: tuple[Loft, ...]
    webbings: tuple[Webbing, ...]
    plies: tuple[int, ...]
    protections: tuple[Protection, ...]
    practice: Practice
    sewing: Sewing
    guards: tuple[Guard, ...] = ()
    stock: tuple[StockSling, ...] = ()
    rolls: tuple[Roll, ...] = ()
    papers: Papers | None = None
    cutting: Cutting | None = None

    def webbing(self, fibre: Fibre, webbing_class: int, width_m: float) -> Webbing | None:
        """The webbing of this make, or None if the shop keeps none."""
        for w in self.webbings:
            if w.fibre is fibre and w.webbing_class == webbing_class and same_width(w.width_m, width_m):
                return w
        return None

    def eye_row(self, width_m: float, plies: int) -> EyeRow | None:
        """The eye and lap row for this width and ply count."""
        for r in self.practice.eye_rows:
            if same_width(r.width_m, width_m) and r.plies_low <= plies <= r.plies_high:
                return r
        return None

    def guard(self, protection: Protection) -> Guard | None:
        """How this protection is sold, or None if the shop keeps none."""
        return next((g for g in self.guards if g.protection == protection), None)
