"""Three lifts a rule: pass, caution, stop, each with its figure by hand, or why one cannot be.

`CLEAN` is a bridle of four legs, almost upright, that every rule passes. A case of
`tests/data/check/cases.jsonl` changes it and says which finding the rule must then give.
`docs/reference/findings.md` is generated from the same cases.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from dataclasses import dataclass, fields, is_dataclass, replace
from pathlib import Path
from typing import Any

from slingwright.check import BeamFacts, Facts, HookFacts, LugFacts, Outcome, SlingFacts
from slingwright.citation import Citation, Known
from slingwright.lift.model import (
    Centre,
    EdgeRadius,
    Hook,
    KnownBy,
    Lift,
    Load,
    Shape,
    Site,
    Want,
    Weight,
)
from slingwright.sling import Fibre, Form, Hitch, SlingSpec

DATA = Path(__file__).parents[2] / "data" / "check"
TABLE = Citation(document="a test's table", clause="cell", known=Known.SHOP)

LIFT = Lift(
    title="clean",
    rulebook="us",
    profile="own",
    load=Load(
        shape=Shape.BOX,
        length_m=2.5,
        width_m=1.5,
        height_m=2.0,
        weight=Weight(nominal_n=38000.0, low_n=36000.0, high_n=40000.0, known_by=KnownBy.SCALE),
        centre=Centre(
            nominal_m=(1.25, 0.75, 1.0),
            low_m=(1.2, 0.7, 0.9),
            high_m=(1.3, 0.8, 1.1),
            known=True,
            known_by=KnownBy.DRAWING,
        ),
        edge=EdgeRadius(radius_m=0.020),
        surface_temperature_k=300.0,
    ),
    hooks=(Hook(headroom_m=6.0, thickness_m=0.05, width_m=0.12, capacity_n=60000.0),),
    site=Site(temperature_low_k=280.0, temperature_high_k=305.0),
    want=Want(level_within_deg=2.0, least_angle_deg=60.0),
)
SPEC = SlingSpec(
    form=Form.TWISTED_EYE,
    fibre=Fibre.POLYESTER,
    webbing_class=7,
    plies=1,
    width_m=0.0508,
    length_m=3.0,
    eye_m=0.25,
)
SLING = SlingFacts(
    id="A",
    spec=SPEC,
    hitch=Hitch.VERTICAL,
    wraps=1,
    role="main",
    protection="none",
    protection_radius_m=None,
    stack_thickness_m=0.005,
    rated_citation=TABLE,
    table_adopted=True,
    rule_floor_n=13500.0,
    part_tension_n=11000.0,
    design_tension_n=14000.0,
    part_limit_n=25000.0,
    hitch_load_n=11000.0,
    hitch_rated_n=25000.0,
    choke_state=None,
    choke_angle_deg=None,
    choke_factor=None,
    on_edges=0,
    on_round_m=None,
    contact_rad=0.0,
    friction_needed=None,
    angle_along_load_deg=None,
    least_length_m=1.0,
    buildable_at=("north",),
    supply="made",
    upper_thickness_m=0.05,
    upper_width_m=0.12,
    lower_pin_m=0.025,
    lower_on_pin=True,
)
HOOK = HookFacts(
    index=0,
    load_n=41000.0,
    capacity_n=60000.0,
    included_angle_deg=8.0,
    side_pull_deg=0.0,
    eyes_width_m=0.1016,
    width_m=0.12,
    eyes=4,
)
LUG = LugFacts(name="A", tension_n=14000.0, lean_from_vertical_deg=3.0, rated_n=30000.0, vertical_only=False)
BEAM = BeamFacts(
    name="beam",
    load_n=45000.0,
    rated_n=60000.0,
    top_angle_from_horizontal_deg=55.0,
    least_top_angle_deg=45.0,
)
CLEAN = Facts(
    lift=LIFT,
    family="bridle-4",
    legs=4,
    lengths="equal",
    slings=tuple(replace(SLING, id=name) for name in "ABCD"),
    lugs=tuple(replace(LUG, name=name) for name in "ABCD"),
    hooks=(HOOK,),
    beam=None,
    least_angle_from_horizontal_deg=86.0,
    tilt_deg=1.0,
    uneven_tilt_deg=1.5,
    hook_height_m=5.0,
    status="stable",
    reach_margin_m=0.5,
    slack=(),
    centre_may_rise_m=1.0,
    push_deg=12.0,
    null_modes=("yaw",),
    swap_overload=None,
    swap_tilt_deg=None,
    squeeze_n=1000.0,
    rule_floor_n=13500.0,
    hang_n=13000.0,
)

# what a plain basket, a choker and a bridle of made lengths are, before a case changes them further
BASKET: dict[str, Any] = {
    "hitch": Hitch.BASKET,
    "friction_needed": 0.05,
    "angle_along_load_deg": 75.0,
    "lower_on_pin": False,
    "on_round_m": 0.3,
}
CHOKER: dict[str, Any] = {
    "hitch": Hitch.CHOKER,
    "choke_state": "free",
    "choke_factor": 1.0,
    "choke_clear_m": 0.4,
    "angle_along_load_deg": 75.0,
    "lower_on_pin": False,
    "on_round_m": 0.3,
}
MADE: dict[str, Any] = {
    "lengths": "made",
    "swap_overload": 0.7,
    "swap_tilt_deg": 1.5,
    "length_tolerance_m": 0.0127,
}
ENUMS: dict[str, Callable[[str], Any]] = {
    "form": Form,
    "fibre": Fibre,
    "hitch": Hitch,
    "known_by": KnownBy,
}


def _read(new: dict[str, Any]) -> dict[str, Any]:
    """Turn what JSON holds into what the facts hold."""
    read = {k: ENUMS[k](v) if k in ENUMS else v for k, v in new.items()}
    return {k: tuple(v) if isinstance(v, list) else v for k, v in read.items()}


def _inside(thing: Any, new: dict[str, Any]) -> Any:
    """Replace fields of a sling or of its specification."""
    own = {f.name for f in fields(thing)}
    here = {k: v for k, v in new.items() if k in own}
    deeper = {k: v for k, v in new.items() if k not in own}
    if deeper:
        assert is_dataclass(thing.spec), f"no such fields: {sorted(deeper)}"
        here["spec"] = replace(thing.spec, **deeper)
    return replace(thing, **here)


def _slings(facts: Facts, new: dict[str, Any], first: int, last: int) -> Facts:
    changed = tuple(_inside(s, new) if first <= i < last else s for i, s in enumerate(facts.slings))
    return replace(facts, slings=changed)


def _load(facts: Facts, **new: Any) -> Facts:
    return replace(facts, lift=replace(facts.lift, load=replace(facts.lift.load, **new)))


def _part(facts: Facts, part: str, new: dict[str, Any]) -> Facts:
    """Change a part of the load (weight, centre) or of the lift (site, want)."""
    if part in ("weight", "centre"):
        return _load(facts, **{part: replace(getattr(facts.lift.load, part), **new)})
    return replace(facts, lift=replace(facts.lift, **{part: replace(getattr(facts.lift, part), **new)}))


KINDS: dict[str, Callable[[Facts, dict[str, Any]], Facts]] = {
    "facts": lambda f, new: replace(f, **new),
    "sling": lambda f, new: _slings(f, new, 0, 1),
    "slings": lambda f, new: _slings(f, new, 0, len(f.slings)),
    "only": lambda f, new: replace(f, legs=1, slings=(_inside(f.slings[0], new),)),
    "basket": lambda f, new: replace(_slings(f, {**BASKET, **new}, 0, len(f.slings)), lugs=()),
    "choker": lambda f, new: replace(_slings(f, {**CHOKER, **new}, 0, len(f.slings)), lugs=()),
    "made": lambda f, new: replace(_slings(f, new, 0, 1), **MADE),
    "lug": lambda f, new: replace(f, lugs=(replace(f.lugs[0], **new), *f.lugs[1:])),
    "hook": lambda f, new: replace(f, hooks=(replace(f.hooks[0], **new),)),
    "second_hook": lambda f, new: replace(f, hooks=(*f.hooks, replace(HOOK, index=1, **new))),
    "lower_hook": lambda f, new: replace(
        f, lift=replace(f.lift, hooks=(*f.lift.hooks, replace(f.lift.hooks[0], **new)))
    ),
    "beam": lambda f, new: replace(f, beam=replace(BEAM, **new)),
    "load": lambda f, new: _load(f, **new),
    "edge": lambda f, new: _load(f, edge=EdgeRadius(**new)),
    "site": lambda f, new: _part(f, "site", new),
    "want": lambda f, new: _part(f, "want", new),
    "weight": lambda f, new: _part(f, "weight", new),
    "centre": lambda f, new: _part(f, "centre", new),
}


def changed(change: Sequence[dict[str, dict[str, Any]]]) -> Facts:
    """Make the clean lift with changes, one after the other."""
    facts = CLEAN
    for step in change:
        for kind, new in step.items():
            facts = KINDS[kind](facts, _read(new))
    return facts


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """Changes to the clean lift, and the finding that the rule must then give; `by_hand` says why."""

    rule: str
    outcome: Outcome
    detail: str
    change: tuple[dict[str, dict[str, Any]], ...]
    by_hand: str
    figure: float | None = None
    limit: float | None = None
    unit: str = ""
    cure: str = ""
    subject: str = ""
    grades: bool = False
    of_the_lift: bool = False
    rulebook: str = "us"

    def facts(self) -> Facts:
        """Make the clean lift with this case's changes, one after the other."""
        return changed(self.change)

    @property
    def name(self) -> str:
        """What a test's report calls it."""
        return f"{self.rule}/{self.detail}: {self.by_hand}"


def _rows(name: str) -> list[dict[str, Any]]:
    return [json.loads(line) for line in (DATA / name).read_text("utf-8").splitlines()]


CASES: tuple[Case, ...] = tuple(
    Case(**{**row, "outcome": Outcome(row["outcome"]), "change": tuple(row["change"])})
    for row in _rows("cases.jsonl")
)
# (rule, outcome) -> why it cannot be
CANNOT: dict[tuple[str, Outcome], str] = {
    (row["rule"], Outcome(row["outcome"])): row["why"] for row in _rows("cannot.jsonl")
}
# rulebook, rule, detail or "" for any, changes, why the rule then says nothing of the kind
ABSENT: tuple[tuple[str, str, str, list[dict[str, dict[str, Any]]], str], ...] = tuple(
    (row["rulebook"], row["rule"], row["detail"], row["change"], row["why"]) for row in _rows("absent.jsonl")
)
