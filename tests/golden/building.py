"""Builders of whole answers for the drawing and paper tests, solved by the real statics.

The chiller, box basket, beam and two hooks are the worked examples of the contract for programs; the pipe,
bundle, vessel and hull are made up here to be awkward to draw. Figures other than the hang (price, mass,
design tensions) are plausible, not searched for: these tests judge drawing and paper, never the choice.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.arrangement.bodies import BodyState, SlingState, build_problem
from slingwright.arrangement.model import Arrangement, Holding, Round
from slingwright.arrangement.section import perimeter, taut_string
from slingwright.check import Finding, Outcome
from slingwright.choose.offer import (
    Answer,
    Case,
    Choke,
    GovernedBy,
    Offer,
    OfferSling,
    RuleAgainstHang,
    SearchReport,
)
from slingwright.citation import Citation, Known
from slingwright.hang.solve import solve
from slingwright.lift.model import (
    Centre,
    EdgeRadius,
    Hook,
    KnownBy,
    Lift,
    Load,
    PickPoint,
    Section,
    Shape,
    Site,
    Want,
    Weight,
)
from slingwright.sling import Fibre, Form, Hitch, SlingSpec

POUND_N = 4.4482216152605
RATED_N = 6200 * POUND_N
TABLE = Citation(document="sling tables", clause="class 7, lower of two series", known=Known.MEMORY)
RULE = Citation(document="OSHA guidance on safe sling use", clause="table 1", known=Known.READ)
STATICS = Citation(document="statics of a hanging body", known=Known.DERIVED)
JUDGED = Citation(document="tilt limit", known=Known.JUDGEMENT)


@dataclass(frozen=True)
class Scene:
    """A lift with its whole answer."""

    lift: Lift
    answer: Answer

    @property
    def offer(self) -> Offer:
        return self.answer.offers[0]


def box_sections(length: float, width: float, height: float) -> tuple[Section, ...]:
    ring = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    return (Section(x_m=0.0, points_m=ring), Section(x_m=length, points_m=ring))


def round_sections(length: float, diameter: float) -> tuple[Section, ...]:
    r = diameter / 2
    ring = tuple(
        (r + r * math.cos(math.tau * i / 36), r + r * math.sin(math.tau * i / 36)) for i in range(36)
    )
    return tuple(Section(x_m=x, points_m=ring, radius_m=r, centre_yz_m=(r, r)) for x in (0.0, length))


def make_lift(
    title: str,
    size: tuple[float, float, float],
    weight_n: float,
    centre: tuple[float, float, float],
    *,
    picks: Sequence[tuple[str, tuple[float, float, float]]] = (),
    hooks: tuple[Hook, ...] = (Hook(headroom_m=4.6, thickness_m=0.05),),
    units: str = "us",
    **load: object,
) -> Lift:
    fields = {
        "shape": Shape.BOX,
        "length_m": size[0],
        "width_m": size[1],
        "height_m": size[2],
        "weight": Weight(
            nominal_n=weight_n / 1.05, low_n=weight_n / 1.1, high_n=weight_n, known_by=KnownBy.PLATE
        ),
        "centre": Centre(
            nominal_m=centre,
            low_m=tuple(c - 0.04 for c in centre),
            high_m=tuple(c + 0.04 for c in centre),
            known=True,
            known_by=KnownBy.DRAWING,
        ),
        "edge": EdgeRadius(radius_m=0.003),
        "pick_points": tuple(PickPoint(name=n, at_m=at, pin_m=0.025, rated_n=39000.0) for n, at in picks),
        "sections": box_sections(*size),
    } | load
    return Lift(
        title=title,
        rulebook="us" if units == "us" else "en",
        profile="own",
        load=Load(**fields),
        hooks=hooks,
        site=Site(temperature_low_k=266.0, temperature_high_k=316.0),
        want=Want(level_within_deg=2.0, least_angle_deg=45.0),
        units=units,
    )


def make_spec(length: float, *, form: Form = Form.TWISTED_EYE, width: float = 0.0508) -> SlingSpec:
    eye = 0.0 if form is Form.ENDLESS else 0.254
    return SlingSpec(
        form=form, fibre=Fibre.POLYESTER, webbing_class=7, plies=2, width_m=width, length_m=length, eye_m=eye
    )


def make_sling(
    holding: Holding, spec: SlingSpec, tension_n: float, *, upper: str, protection: str, adopted: bool
) -> OfferSling:
    at = f"round {holding.round.x_m:.4f}" if holding.round else (holding.pick or "beam west")
    choke = None
    if holding.hitch is Hitch.CHOKER:
        choke = Choke(state="free", angle_deg=None, factor=1.0, loop_m=holding.round.loop_m)
    limit = RATED_N * (0.8 if choke else 1.0)
    design = tension_n * 1.18
    return OfferSling(
        id=holding.id,
        spec=spec,
        supply="made",
        stock_id=None,
        hitch=holding.hitch,
        wraps=holding.wraps,
        role=holding.role,
        choke=choke,
        protection=protection,
        vertical_rated_n=RATED_N,
        printed="6,200 lb",
        table_id="us-class7-eye",
        table_cell="2 ply, 2 in",
        table_adopted=adopted,
        table_citation=TABLE,
        part_tension_n=tension_n,
        design_tension_n=design,
        part_limit_n=limit,
        hitch_load_n=tension_n * 0.9,
        hitch_rated_n=limit,
        utilisation=design / limit,
        governed_by=GovernedBy(check="part", case="worst", path=holding.id),
        upper_at=upper,
        lower_at=at,
        matched_set=True,
    )


def finding(rule: str, detail: str, outcome: Outcome = Outcome.PASS, **more: object) -> Finding:
    return Finding(rule=rule, detail=detail, outcome=outcome, **{"citation": RULE} | more)


def findings_of(ids: Sequence[str]) -> tuple[Finding, ...]:
    rated = [
        finding(
            "rated-load", "part-within", figure=18600.0, limit=RATED_N, unit="N", citation=TABLE, subject=i
        )
        for i in ids
    ]
    care = Outcome.CAUTION
    return (
        *rated,
        finding("least-angle", "steep-enough", figure=57.3, limit=45.0, unit="deg"),
        finding("tilt", "level-enough", figure=1.63, limit=2.0, unit="deg", citation=JUDGED),
        finding("headroom", "fits", figure=4.42, limit=4.6, unit="m", citation=JUDGED),
        finding("edge", "not-cut-proof", care, cure="trial-lift", subject=ids[0], of_the_lift=True),
        finding("table", "not-adopted", care, citation=TABLE, cure="adopt-table", of_the_lift=True),
    )


def make_scene(
    lift: Lift,
    arrangement: Arrangement,
    lengths: Sequence[float],
    *,
    protection: str = "none",
    adopted: bool = False,
    weaker: float = 1.0,
) -> Scene:
    """Solve the stiff and the soft hang and dress them as an offer."""
    load = lift.load
    state = BodyState(weight_n=load.weight.high_n, centre_of_gravity_m=load.centre.nominal_m)
    cases = []
    for name, strain in (("stiff", 0.03), ("soft", 0.07)):
        states = tuple(
            SlingState(length_m=n, rated_n=RATED_N * weaker, strain_at_rated=strain) for n in lengths
        )
        problem = build_problem(arrangement, state, states)
        cases.append(Case(name=name, problem=problem, result=solve(problem)))
    hang, paths = cases[0].result, cases[0].problem.paths
    slings = tuple(
        make_sling(
            holding,
            make_spec(length),
            max(h.tension_n for h, p in zip(hang.paths, paths, strict=True) if p.sling == i),
            upper="beam west" if holding.hook is None else f"hook {holding.hook + 1}",
            protection=protection,
            adopted=adopted,
        )
        for i, (holding, length) in enumerate(zip(arrangement.holdings, lengths, strict=True))
    )
    offer = Offer(
        order=(0, 123456, 21000, slings[0].spec.text),
        picked_for=("best", "cheapest"),
        arrangement=arrangement,
        slings=slings,
        cases=tuple(cases),
        findings=findings_of([s.id for s in slings]),
        hook_load_n=load.weight.high_n * 1.02,
        hook_height_m=hook_height(cases),
        tilt_deg=hang.tilt_deg,
        worst_tilt_deg=hang.tilt_deg + 0.6,
        least_angle_from_horizontal_deg=min(p.angle_from_horizontal_deg for p in hang.paths),
        rule_against_hang=RuleAgainstHang(
            rule_n=17400.0, hang_n=18700.0, rule_unconservative=True, citation=RULE
        ),
        friction_needed=None,
        price_minor=84150,
        currency="USD",
        mass_kg=6.4,
        ready_in_days=4,
        cautions=(),
    )
    return Scene(lift=lift, answer=Answer(answer="offers", offers=(offer,), refused=(), search=SEARCH))


SEARCH = SearchReport(
    space=48210,
    hang_problems=3120,
    pruned={"price": 41000},
    solved=96,
    cheaper_and_rejected=41,
    rejected_by={"rated-load": 41},
    proved=True,
    seconds=None,
    samples=2048,
    seed=7,
)


def leg(name: str, pick: str, at: tuple[float, float, float], **more: object) -> Holding:
    return Holding(id=name, hitch=Hitch.VERTICAL, pick=pick, lower_m=at, **more)


def way_round(load: Load, x: float, hook: tuple[float, float], hitch: Hitch, wraps: int = 1) -> Round:
    """The way round the load at `x` for a hook at (y, z) in the section's plane."""
    section = load.section_at(x)
    around = perimeter(section)
    if hitch is Hitch.CHOKER:
        top = max(p[1] for p in section.points_m)
        turns, lies, contact = ((x, hook[0], top),), 0.0, math.tau
    else:
        taut = taut_string(section, hook)
        turns = tuple((x, y, z) for y, z in taut.turns_m)
        lies, contact = taut.lies_m + (wraps - 1) * around, taut.contact_rad
    return Round(
        x_m=x,
        turns_m=turns,
        lies_m=lies,
        loop_m=around * wraps if hitch is Hitch.CHOKER else 0.0,
        contact_rad=contact,
        perimeter_m=around,
        radius_m=section.radius_m,
        edges=0 if section.radius_m else 4,
        curved=section.radius_m is not None,
        centre_yz_m=section.centre_yz_m,
        wraps=wraps,
    )


def slung_round(
    load: Load, places: Sequence[float], hook: tuple[float, float], hitch: Hitch, wraps: int = 1
) -> tuple[Holding, ...]:
    return tuple(
        Holding(id="ABCDEF"[i], hitch=hitch, wraps=wraps, round=way_round(load, x, hook, hitch, wraps))
        for i, x in enumerate(places)
    )


def hook_height(cases: Sequence[Case]) -> float:
    """Hook over about the lowest corner of the load, worst of the cases."""
    high = 0.0
    for case in cases:
        pose = next(b for b in case.result.bodies if b.name == "load")
        drop = pose.origin_m[2] + min(0.0, *(r * 3.0 for r in pose.rotation[2][:2]))
        high = max(
            high, max(q.at_m[2] for p in case.problem.paths for q in p.points if q.on == "world") - drop
        )
    return high
