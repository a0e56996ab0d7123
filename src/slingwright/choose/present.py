"""A verdict as an offer: both checks for each sling, and every case that a figure came from."""

from __future__ import annotations

from collections.abc import Iterator

from slingwright.arrangement import Arrangement
from slingwright.choose.cases import SolvedCase, lay, stretch_ends
from slingwright.choose.evaluate import Verdict
from slingwright.choose.figures import Share
from slingwright.choose.offer import Case, Choke, GovernedBy, Offer, OfferSling, RuleAgainstHang
from slingwright.choose.rated import SlingRated
from slingwright.choose.setting import Setting
from slingwright.hang.solve import solve
from slingwright.sling import Hitch

__all__ = ["make_offer", "measure_of"]

_MICRO = 1_000_000
_ALWAYS = ("stiff", "soft", "worst", "renders", "renders soft")


def make_offer(setting: Setting, verdict: Verdict, *, by: str, picked_for: tuple[str, ...]) -> Offer:
    """The offer of a complete verdict without a stop."""
    candidate, facts = verdict.candidate, verdict.facts
    slings = tuple(_sling(setting, verdict, i) for i in range(len(candidate.lengths_m)))
    frictions = [s.friction_needed for s in facts.slings if s.friction_needed is not None]
    told = [c for c in verdict.cases if c.nominal and c.pose]
    return Offer(
        order=(verdict.grade, measure_of(verdict, by), round(candidate.mass_kg * _MICRO), candidate.text),
        picked_for=picked_for,
        arrangement=_as_laid(setting, verdict),
        slings=slings,
        cases=tuple(_cases(verdict, slings)),
        findings=verdict.findings,
        hook_load_n=sum(h.load_n for h in facts.hooks),
        hook_height_m=facts.hook_height_m,
        tilt_deg=max(c.hang.tilt_deg for c in told),
        worst_tilt_deg=max(c.hang.tilt_deg for c in verdict.cases if not c.name.startswith("renders")),
        least_angle_from_horizontal_deg=facts.least_angle_from_horizontal_deg,
        rule_against_hang=_rule_against_hang(verdict),
        friction_needed=max(frictions) if frictions else None,
        price_minor=candidate.price_minor,
        currency=setting.book.currency,
        mass_kg=candidate.mass_kg,
        ready_in_days=candidate.days,
        cautions=(),
    )


def _as_laid(setting: Setting, verdict: Verdict) -> Arrangement:
    """The arrangement with its slings as they lie in the stiff told case, which the drawing shows."""
    candidate = verdict.candidate
    ends = stretch_ends(setting, candidate)
    return lay(setting, candidate, verdict.rated[0].cell.rated_n, ends.stiff).arrangement


def measure_of(verdict: Verdict, by: str) -> int:
    """The wanted figure as a whole number: minor units, days, milligrams, millionths of a limit."""
    candidate = verdict.candidate
    if by == "price":
        return candidate.price_minor
    if by == "delivery":
        return candidate.days
    if by == "weight":
        return round(candidate.mass_kg * _MICRO)
    worst = max(
        max(s.design_n / r.part_limit_n, s.hitch_ratio)
        for s, r in zip(verdict.shares, verdict.rated, strict=True)
    )
    return round(worst * _MICRO)


def _sling(setting: Setting, verdict: Verdict, index: int) -> OfferSling:
    candidate, share, rated = verdict.candidate, verdict.shares[index], verdict.rated[index]
    holding = candidate.arrangement.holdings[index]
    part = share.design_n / rated.part_limit_n
    facts = verdict.facts.slings[index]
    return OfferSling(
        id=holding.id,
        spec=candidate.specs[index],
        supply=candidate.supply,
        stock_id=candidate.stock_ids[index] if candidate.stock else None,
        hitch=holding.hitch,
        wraps=holding.wraps,
        role=holding.role,
        choke=_choke(rated, holding.round.loop_m if holding.round else 0.0),
        protection=facts.protection,
        vertical_rated_n=rated.cell.rated_n,
        printed=rated.cell.printed,
        table_id=rated.cell.table_id,
        table_cell=rated.cell.cell,
        table_adopted=rated.cell.adopted,
        table_citation=rated.cell.citation,
        part_tension_n=share.nominal_n,
        design_tension_n=share.design_n,
        part_limit_n=rated.part_limit_n,
        hitch_load_n=share.hitch_load_n,
        hitch_rated_n=share.hitch_rated_n,
        utilisation=max(part, share.hitch_ratio),
        governed_by=_governed(share, part, _worst(verdict).name),
        upper_at=_upper(verdict, index),
        lower_at=_lower(verdict, index),
        matched_set=candidate.matched and setting.lift.want.matched_set,
    )


def _choke(rated: SlingRated, loop_m: float) -> Choke | None:
    if rated.choke is None or rated.choke_factor is None:
        return None
    return Choke(
        state=rated.choke.state.value,
        angle_deg=rated.choke.angle_deg,
        factor=rated.choke_factor,
        loop_m=loop_m,
    )


def _governed(share: Share, part: float, worst: str) -> GovernedBy:
    check, case = ("part", share.case) if part >= share.hitch_ratio else ("hitch", share.hitch_case)
    return GovernedBy(check=check, case=_printed_name(case, worst), path=share.path)


def _printed_name(case: str, worst: str) -> str:
    """The name under which `_cases` prints it: the worst of all as "worst", the sample else as "sample"."""
    if case == worst and case not in ("stiff", "soft"):
        return "worst"
    return "sample" if case == "worst" else case


def _upper(verdict: Verdict, index: int) -> str:
    holding = verdict.candidate.arrangement.holdings[index]
    if holding.hook is not None:
        return f"hook {holding.hook + 1}"
    return "beam west" if holding.beam_end == 0 else "beam east"


def _lower(verdict: Verdict, index: int) -> str:
    holding = verdict.candidate.arrangement.holdings[index]
    if holding.role == "top":
        return "beam west" if holding.beam_end == 0 else "beam east"
    if holding.round is not None:
        return f"round {holding.round.x_m:.4f}"
    return holding.pick or ""


def _cases(verdict: Verdict, slings: tuple[OfferSling, ...]) -> Iterator[Case]:
    """Stiff, soft, worst (the sample or corner with the largest share), what else governs a sling, swaps."""
    governing = {s.hitch_case for s in verdict.shares} | {s.case for s in verdict.shares}
    worst = _worst(verdict)
    yield from (_case(c) for c in verdict.cases if c.name in ("stiff", "soft"))
    yield _named("worst", worst)
    for c in verdict.cases:
        if c is worst or c.name in ("stiff", "soft"):
            continue
        if c.name == "worst":  # the sample, where a corner is worse than it
            yield _named("sample", c)
        elif c.name in _ALWAYS or c.name in governing:
            yield _case(c)
    if any(s.hitch is Hitch.BASKET for s in slings):
        locked = next(c for c in verdict.cases if c.name == "stiff")
        yield _named("locked", locked)
    yield from (_case(c) for c in verdict.swaps)


def _case(solved: SolvedCase) -> Case:
    return _named(solved.name, solved)


def _named(name: str, solved: SolvedCase) -> Case:
    """A printed case, whole: `hang` on its problem gives its result to the bit."""
    hang = solved.hang if solved.whole else solve(solved.problem)
    return Case(name=name, problem=solved.problem, result=hang)


def _worst(verdict: Verdict) -> SolvedCase:
    limits = [r.part_limit_n for r in verdict.rated]
    return max(
        (c for c in verdict.cases if not c.name.startswith("renders")),
        key=lambda c: max(r.tension_n / limits[r.sling] for r in c.readings),
    )


def _rule_against_hang(verdict: Verdict) -> RuleAgainstHang | None:
    """The rule's figure against the hang's for the worst leg; None where one sling carries all."""
    facts = verdict.facts
    if facts.legs < 2:
        return None
    finding = next((f for f in verdict.findings if f.rule == "rule-against-hang"), None)
    if finding is None:
        return None
    return RuleAgainstHang(
        rule_n=facts.rule_floor_n,
        hang_n=facts.hang_n,
        rule_unconservative=facts.hang_n > facts.rule_floor_n,
        citation=finding.citation,
    )
