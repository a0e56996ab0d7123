"""What a candidate asks of pick points, hooks and the beam, worst over its cases."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.arrangement import Arrangement
from slingwright.arrangement.reading import hook_angles, included_angle_deg
from slingwright.check.facts import BeamFacts, HookFacts, LugFacts
from slingwright.choose.candidate import Candidate
from slingwright.choose.cases import SolvedCase
from slingwright.choose.setting import Setting
from slingwright.sling import Hitch

__all__ = ["beam_facts", "hook_facts", "lug_facts"]


def lug_facts(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> tuple[LugFacts, ...]:
    """Each pick point's hardest pull and its lean from the lug's own vertical."""
    out = []
    for pick in setting.lift.load.pick_points:
        at = [i for i, h in enumerate(candidate.arrangement.holdings) if h.pick == pick.name]
        pulls = [r for c in cases for r in c.readings if r.sling in at]
        if pulls:
            out.append(
                LugFacts(
                    name=pick.name,
                    tension_n=max(r.tension_n for r in pulls),
                    lean_from_vertical_deg=max(
                        (r.lean_from_own_vertical_deg for r in pulls if not r.slack), default=0.0
                    ),
                    rated_n=pick.rated_n,
                    vertical_only=pick.vertical_only,
                )
            )
    return tuple(out)


def hook_facts(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> tuple[HookFacts, ...]:
    """Each hook's load (slings and beam in), spread of legs and side pull."""
    a = candidate.arrangement
    out = []
    for k, hook in enumerate(setting.lift.hooks[: len(a.hooks_xy_m)]):
        on = [i for i, h in enumerate(a.holdings) if h.hook == k]
        ends = sum(2 if a.holdings[i].hitch is Hitch.BASKET else 1 for i in on)
        included, pull, lifted = 0.0, 0.0, 0.0
        for c in cases:
            mine = [r for r in c.readings if r.sling in on]
            included = max(included, included_angle_deg(mine))
            leans = hook_angles(c.hang)
            pull = max(pull, *(leans.get(r.hook, 0.0) for r in mine if r.hook is not None), 0.0)
            lifted = max(lifted, sum(r.vertical_n for r in mine))
        out.append(
            HookFacts(
                index=k,
                load_n=lifted + candidate.mass_kg * setting.rulebook.g / len(a.hooks_xy_m),
                capacity_n=hook.capacity_n,
                included_angle_deg=included,
                side_pull_deg=pull,
                eyes_width_m=ends * candidate.base.width_m,
                width_m=hook.width_m,
                eyes=ends,
            )
        )
    return tuple(out)


def beam_facts(setting: Setting, candidate: Candidate, cases: Sequence[SolvedCase]) -> BeamFacts | None:
    """The beam's load against its rating and its top slings' flattest angle; None without a beam."""
    a = candidate.arrangement
    if a.beam is None:
        return None
    tops = [i for i, h in enumerate(a.holdings) if h.role == "top"]
    return BeamFacts(
        name=a.beam.name,
        # a plate rates the whole beam evenly loaded: twice its heavier end is what counts
        load_n=max(2 * max(_end_load(a, c, end) for end in (0, 1)) for c in cases),
        rated_n=a.beam.rated_n,
        top_angle_from_horizontal_deg=min(
            r.angle_from_horizontal_deg for c in cases for r in c.readings if r.sling in tops
        ),
        least_top_angle_deg=a.beam.least_top_angle_deg,
    )


def _end_load(arrangement: Arrangement, case: SolvedCase, end: int) -> float:
    """What hangs on one end of the beam [N]."""
    mine = [i for i, h in enumerate(arrangement.holdings) if h.role == "main" and h.beam_end == end]
    return sum(r.vertical_n for r in case.readings if r.sling in mine)
