"""What the checks look at: plain figures of one candidate, worst over every case that counts.

Each rule reads `Facts` and the rulebook and returns findings; it solves nothing. So a rule's three
lifts (pass, caution, stop) can be written by hand.
"""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.citation import Citation
from slingwright.lift.model import Lift
from slingwright.sling import Hitch, SlingSpec

__all__ = ["BeamFacts", "Facts", "HookFacts", "LugFacts", "SlingFacts"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SlingFacts:
    """One sling of the candidate with both of its checks' figures (PRACTICE: two checks, both must pass)."""

    id: str
    spec: SlingSpec
    hitch: Hitch
    wraps: int
    role: str  # "main" | "top"
    protection: str  # none | wear-sleeve | cut-sleeve | radius-former
    protection_radius_m: float | None  # cut sleeve: least radius its maker tested; former: radius it gives
    stack_thickness_m: float  # the whole stack in contact, all plies
    rated_citation: Citation
    table_adopted: bool
    rule_floor_n: float  # the rulebook's multi-leg floor for a part of this sling
    part_tension_n: float  # nominal worst over its parts
    design_tension_n: float  # largest of rule, stiff, soft, worst
    part_limit_n: float
    hitch_load_n: float
    hitch_rated_n: float
    choke_state: str | None  # free | stated | unknown, chokers only
    choke_angle_deg: float | None
    choke_factor: float | None
    on_edges: int  # edges of the load it bends over (0 at a pick point or on a round section)
    on_round_m: float | None  # radius of a round section it lies on
    contact_rad: float  # whole contact angle on the load, 0 at a pick point
    friction_needed: float | None  # capstan figure, baskets only, worst case
    angle_along_load_deg: float | None  # baskets and chokers: angle from horizontal seen along the load
    least_length_m: float | None  # least length the pattern allows
    buildable_at: tuple[str, ...]  # lofts that can build it; stock: where it lies
    supply: str  # "made" | "stock"
    upper_thickness_m: float | None  # what its upper eye sits on: hook (or beam lug) thickness, None unknown
    upper_width_m: float | None  # bearing width there
    lower_pin_m: float | None  # pin through its lower eye (pick point), None = not on a pin or unknown
    lower_on_pin: bool  # whether its lower end sits on a pick point's pin or shackle
    free_end_m: float | None = None  # from the upper end to the load: as long as an endless sling's eye opens
    choke_clear_m: float | None = None  # chokers: plain body between the bite and the nearest eye, lap, label


@dataclass(frozen=True, slots=True, kw_only=True)
class LugFacts:
    """A pick point in the worst case: pull and lean from the lug's own vertical."""

    name: str
    tension_n: float
    lean_from_vertical_deg: float
    rated_n: float | None
    vertical_only: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class HookFacts:
    """A hook: what hangs on it (load + slings + hardware + beam), how wide the legs spread, side pull."""

    index: int
    load_n: float
    capacity_n: float | None
    included_angle_deg: float  # largest angle between two legs at the hook
    side_pull_deg: float  # hook force's lean from vertical
    eyes_width_m: float  # widths of the eyes on it, added up
    width_m: float | None
    eyes: int


@dataclass(frozen=True, slots=True, kw_only=True)
class BeamFacts:
    """The spreader beam: its load against its rating, its top legs' flattest angle against its least."""

    name: str
    load_n: float
    rated_n: float | None
    top_angle_from_horizontal_deg: float
    least_top_angle_deg: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Facts:
    """One candidate's figures, worst over the cases that count (SI; angles in the hanging pose)."""

    lift: Lift
    family: str
    legs: int  # main slings
    lengths: str  # "equal" | "made"
    slings: tuple[SlingFacts, ...]
    lugs: tuple[LugFacts, ...]
    hooks: tuple[HookFacts, ...]
    beam: BeamFacts | None
    least_angle_from_horizontal_deg: float
    tilt_deg: float
    hook_height_m: float
    status: str  # stable | capsizes | unreachable, worst over cases
    reach_margin_m: float
    slack: tuple[str, ...]  # paths slack in a nominal case
    centre_may_rise_m: float | None
    push_deg: float | None
    null_modes: tuple[str, ...]
    swap_overload: float | None  # largest utilisation over swapped legs, None = legs equal
    swap_tilt_deg: float | None
    squeeze_n: float  # largest inward horizontal pull on the load
    rule_floor_n: float  # what the rulebook's rule gives for the worst leg
    hang_n: float  # what the hang gives for it (design tension without the floor)
    uneven_tilt_deg: float | None = None  # worst with lengths and stretch drawn; None = none drawn
    length_tolerance_m: float | None = None  # of a made length; made lengths must differ by more than it
