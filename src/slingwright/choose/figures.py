"""From solved cases to the plain figures that the checks look at."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from slingwright.arrangement import Holding
from slingwright.arrangement.admissible import largest_admissible_n
from slingwright.arrangement.reading import PathReading
from slingwright.check.facts import Facts, SlingFacts
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import SolvedCase, length_tolerance_m
from slingwright.choose.heights import worst_height
from slingwright.choose.lone import least_swing_deg
from slingwright.choose.rated import SlingRated, hitch_rated_at
from slingwright.choose.seats import beam_facts, hook_facts, lug_facts
from slingwright.choose.setting import Setting
from slingwright.hang.result import Status
from slingwright.shop.model import Protection
from slingwright.sling import Hitch, SlingSpec

__all__ = ["Share", "build_facts", "hangless_facts", "rule_floors", "shares"]

_TENSION_FLOOR_REL = 1e-6  # of the weight: keeps the capstan figure finite beside a slack side


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One sling's figures and what each came from."""

    nominal_n: float
    design_n: float
    case: str
    path: str
    hitch_load_n: float
    hitch_rated_n: float
    hitch_case: str

    @property
    def hitch_ratio(self) -> float:
        """Hitch load over hitch rating."""
        return self.hitch_load_n / self.hitch_rated_n


def rule_floors(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> tuple[float, ...]:
    """The rulebook's floor for a part of each sling, at the flattest hanging angle among its kind."""
    a = candidate.arrangement
    out = []
    for holding in a.holdings:
        kin = [k for k, h in enumerate(a.holdings) if h.role == holding.role]
        angle = min(
            (r.angle_from_horizontal_deg for c in cases if c.nominal for r in c.readings if r.sling in kin),
            default=90.0,
        )
        weight = setting.weight_n
        if holding.role == "top" and a.beam is not None:
            weight += a.beam.weight_n * setting.lift.site.dynamic_factor
        parts = 2 if holding.hitch is Hitch.BASKET else 1
        legs = len(kin)
        floor = setting.rulebook.leg_floor(
            legs,
            weight_n=weight / parts,
            flattest_angle_from_horizontal_deg=angle,
            matched=candidate.matched,
            symmetric=not candidate.unequal,
        )
        out.append(floor.value)
    return tuple(out)


def admissible_n(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> float:
    """Largest tension that balance alone allows one of four or more legs that are no matched set [N]; else 0.

    Taken at the told poses: how such legs really share, nobody can vouch for (PRACTICE).
    """
    a = candidate.arrangement
    matched = candidate.matched and setting.lift.want.matched_set
    # three legs are determinate: their hang is the only balance there is
    if matched or a.legs <= 3 or a.beam is not None or len(a.hooks_xy_m) > 1:
        return 0.0
    if candidate.main_hitch is not Hitch.VERTICAL:
        return 0.0
    told = [c for c in cases if c.nominal]
    return max(largest_admissible_n([r.up for r in c.readings], setting.weight_n) for c in told)


def shares(
    setting: Setting,
    candidate: Candidate,
    rated: Sequence[SlingRated],
    floors: Sequence[float],
    cases: Sequence[SolvedCase],
) -> tuple[Share, ...]:
    """Both checks' figures for each sling, worst over all cases (swaps apart)."""
    admissible = admissible_n(setting, candidate, cases)
    first = [("rule", floor) if floor >= admissible else ("admissible", admissible) for floor in floors]
    return tuple(
        _share(setting, index, rated[index], first[index], cases) for index in range(len(candidate.lengths_m))
    )


def _share(
    setting: Setting,
    index: int,
    rated: SlingRated,
    unhung: tuple[str, float],
    cases: Sequence[SolvedCase],
) -> Share:
    """One sling's figures; `unhung` is what its design tension starts from: the rule's or the LP's figure."""
    nominal, path = 0.0, ""
    case, design = unhung
    load, rating, hitch_case = 0.0, rated.upright_n, ""
    for c in cases:
        mine = [r for r in c.readings if r.sling == index]
        for r in mine:
            if c.nominal:
                nominal = max(nominal, r.tension_n)
            if r.tension_n > design:
                design, case, path = r.tension_n, c.name, r.name
        lifted = sum(r.vertical_n for r in mine)
        flattest = min(r.angle_from_horizontal_deg for r in mine)
        at = hitch_rated_at(setting.rulebook, rated, flattest)
        if lifted / at > load / rating:
            load, rating, hitch_case = lifted, at, c.name
    return Share(
        nominal_n=nominal,
        design_n=design,
        case=case,
        path=path,
        hitch_load_n=load,
        hitch_rated_n=rating,
        hitch_case=hitch_case,
    )


def build_facts(
    setting: Setting,
    candidate: Candidate,
    rated: Sequence[SlingRated],
    cases: Sequence[SolvedCase],
    swaps: Sequence[SolvedCase],
) -> tuple[Facts, tuple[Share, ...]]:
    """All figures of one candidate, worst over the cases solved so far."""
    a, lift = candidate.arrangement, setting.lift
    floors = rule_floors(setting, candidate, cases)
    figures = shares(setting, candidate, rated, floors, cases)
    told = [c for c in cases if c.nominal]
    posed = [c for c in cases if c.pose]
    worst, hang_n = _hardest_pulled(rated, figures, cases)
    slings = tuple(
        _sling_facts(setting, candidate, i, rated[i], figures[i], floors[i], cases)
        for i in range(len(a.holdings))
    )
    facts = Facts(
        lift=lift,
        family=a.family,
        legs=a.legs,
        lengths=a.lengths if a.lengths != "made" or candidate.unequal else "equal",
        slings=slings,
        lugs=lug_facts(setting, candidate, cases),
        hooks=hook_facts(setting, candidate, cases),
        beam=beam_facts(setting, candidate, cases),
        least_angle_from_horizontal_deg=min(
            r.angle_from_horizontal_deg for c in posed for r in c.readings if not r.slack
        ),
        tilt_deg=max(c.hang.tilt_deg for c in posed),
        uneven_tilt_deg=max((c.hang.tilt_deg for c in cases if c.name.startswith("sample")), default=None),
        hook_height_m=worst_height(setting, candidate, posed),
        # a crew may hang unequal legs in any order: an order that does not hang is a stop too
        status=_status([*(c for c in cases if not c.name.startswith("renders")), *swaps]),
        reach_margin_m=max(c.hang.reach_margin_m for c in told),
        slack=tuple(sorted({r.name for c in told for r in c.readings if r.slack})),
        centre_may_rise_m=_least(c.hang.stability.centre_may_rise_m for c in told if c.pose),
        push_deg=_least(c.hang.stability.push_deg for c in told if c.pose),
        null_modes=tuple(sorted({m for c in told for m in c.hang.null_modes})),
        # an order that cannot be hung at all does no harm
        swap_overload=_swap_overload(rated, swaps) if candidate.unequal else None,
        swap_tilt_deg=max((c.hang.tilt_deg for c in swaps), default=0.0) if candidate.unequal else None,
        squeeze_n=max(
            r.tension_n * math.hypot(r.up[0], r.up[1])
            for c in told
            for r in c.readings
            if a.holdings[r.sling].role == "main"
        ),
        rule_floor_n=floors[worst],
        hang_n=hang_n,
        length_tolerance_m=max(length_tolerance_m(setting, candidate, x) for x in candidate.lengths_m),
    )
    return facts, figures


def _hardest_pulled(
    rated: Sequence[SlingRated], figures: Sequence[Share], cases: Sequence[SolvedCase]
) -> tuple[int, float]:
    """The hardest worked sling and its hang's largest pull [N].

    Where the rule's one figure governs every leg their shares tie: then the one whose own hang pulls hardest.
    """
    hangs_n = [
        max((r.tension_n for c in cases for r in c.readings if r.sling == i), default=0.0)
        for i in range(len(figures))
    ]
    worst = max(
        range(len(figures)),
        key=lambda i: (figures[i].design_n / rated[i].part_limit_n, hangs_n[i] / rated[i].part_limit_n),
    )
    return worst, hangs_n[worst]


def hangless_facts(
    setting: Setting, candidate: Candidate, rated: Sequence[SlingRated], length_m: float
) -> Facts:
    """The figures of a candidate of slings this long that need no hang; all others are nothing.

    Only for rules that read no figure of a hang (`check.all.HANGLESS`), and for the tilt, which is no less.
    """
    a = candidate.arrangement
    told = replace(candidate, lengths_m=(length_m,) * len(a.holdings))
    unhung = [
        Share(
            nominal_n=0.0,
            design_n=0.0,
            case="",
            path="",
            hitch_load_n=0.0,
            hitch_rated_n=r.upright_n,
            hitch_case="",
        )
        for r in rated
    ]
    return Facts(
        lift=setting.lift,
        family=a.family,
        legs=a.legs,
        lengths=a.lengths,
        slings=tuple(_sling_facts(setting, told, i, rated[i], unhung[i], 0.0, ()) for i in range(len(rated))),
        lugs=(),
        hooks=(),
        beam=None,
        least_angle_from_horizontal_deg=90.0,
        tilt_deg=least_swing_deg(setting, a),
        hook_height_m=0.0,
        status=Status.STABLE.value,
        reach_margin_m=0.0,
        slack=(),
        centre_may_rise_m=None,
        push_deg=None,
        null_modes=(),
        swap_overload=None,
        swap_tilt_deg=None,
        squeeze_n=0.0,
        rule_floor_n=0.0,
        hang_n=0.0,
    )


def _least(values: Iterable[float | None]) -> float | None:
    known = [v for v in values if v is not None]
    return min(known) if known else None


def _status(cases: Iterable[SolvedCase]) -> str:
    """The worst status over the cases."""
    found = {c.hang.status for c in cases}
    for status in (Status.UNREACHABLE, Status.CAPSIZES):
        if status in found:
            return status.value
    return Status.STABLE.value


def _swap_overload(rated: Sequence[SlingRated], swaps: Sequence[SolvedCase]) -> float:
    return max((r.tension_n / rated[r.sling].part_limit_n for c in swaps for r in c.readings), default=0.0)


def _sling_facts(
    setting: Setting,
    candidate: Candidate,
    index: int,
    rated: SlingRated,
    share: Share,
    floor_n: float,
    cases: Sequence[SolvedCase],
) -> SlingFacts:
    holding, spec = candidate.arrangement.holdings[index], candidate.spec(index)
    webbing = setting.shop.webbing(spec.fibre, spec.webbing_class, spec.width_m)
    way = holding.round
    hook = setting.lift.hooks[holding.hook] if holding.hook is not None else None
    pick = next((p for p in setting.lift.load.pick_points if p.name == holding.pick), None)
    mine = [(c, [r for r in c.readings if r.sling == index]) for c in cases]
    along = [r.angle_along_deg for c, rs in mine if way and c.pose for r in rs if not r.slack]
    return SlingFacts(
        id=holding.id,
        spec=spec,
        hitch=holding.hitch,
        wraps=holding.wraps,
        role=holding.role,
        protection=candidate.protection.value if way is not None else Protection.NONE.value,
        protection_radius_m=_protection_radius(setting, candidate.protection) if way is not None else None,
        stack_thickness_m=(webbing.thickness_m if webbing else 0.0) * spec.plies,
        rated_citation=rated.cell.citation,
        table_adopted=rated.cell.adopted,
        rule_floor_n=floor_n,
        part_tension_n=share.nominal_n,
        design_tension_n=share.design_n,
        part_limit_n=rated.part_limit_n,
        hitch_load_n=share.hitch_load_n,
        hitch_rated_n=share.hitch_rated_n,
        choke_state=rated.choke.state.value if rated.choke else None,
        choke_angle_deg=rated.choke.angle_deg if rated.choke else None,
        choke_factor=rated.choke_factor,
        on_edges=way.edges if way is not None else 0,
        on_round_m=way.radius_m if way is not None else None,
        contact_rad=way.contact_rad if way is not None else 0.0,
        friction_needed=_friction(setting, holding, mine),
        angle_along_load_deg=min(along, default=None),
        least_length_m=candidate.least_length_m,
        buildable_at=candidate.lofts,
        supply=candidate.supply,
        upper_thickness_m=hook.thickness_m if hook is not None else None,
        upper_width_m=hook.width_m if hook is not None else None,
        lower_pin_m=pick.pin_m if pick is not None else None,
        lower_on_pin=pick is not None,
        choke_clear_m=_choke_clear(setting, holding, spec),
        free_end_m=_free_end(holding, spec.length_m),
    )


def _free_end(holding: Holding, length_m: float) -> float:
    """What stands free between the upper end and the load [m]: as long as an endless sling opens."""
    way = holding.round
    if way is None:
        return length_m
    return length_m - way.loop_m if holding.hitch is Hitch.CHOKER else (length_m - way.lies_m) / 2


def _choke_clear(setting: Setting, holding: Holding, spec: SlingSpec) -> float | None:
    """Plain body left on the nearer side of the bite once eye and lap are taken off (geometry of the way)."""
    if holding.hitch is not Hitch.CHOKER or holding.round is None:
        return None
    row = setting.shop.eye_row(spec.width_m, spec.plies)
    if row is None:
        return None
    loop = holding.round.loop_m
    return min(loop, spec.length_m - loop) - spec.eye_m - row.lap_m


def _protection_radius(setting: Setting, protection: Protection) -> float | None:
    practice = setting.shop.practice
    if protection is Protection.CUT_SLEEVE:
        return practice.sleeve_rated_radius_m
    return practice.former_radius_m if protection is Protection.FORMER else None


def _friction(
    setting: Setting, holding: Holding, mine: Sequence[tuple[SolvedCase, list[PathReading]]]
) -> float | None:
    """Capstan figure: the friction that keeps a locked basket from rendering, worst case."""
    way = holding.round
    if holding.hitch is not Hitch.BASKET or way is None:
        return None
    floor = setting.weight_n * _TENSION_FLOOR_REL
    worst = 0.0
    for _, rs in mine:
        if len(rs) == 2 and rs[0].name != rs[1].name:  # the two sides of a locked basket
            a, b = (max(r.tension_n, floor) for r in rs)
            worst = max(worst, abs(math.log(a / b)) / way.contact_rad)
    return worst
