"""The answer before the answer: the best offer alone, or one that passes while the best is looked for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from slingwright.choose.offer import Answer, SearchReport
from slingwright.choose.present import make_offer

if TYPE_CHECKING:
    from slingwright.choose.evaluate import Verdict
    from slingwright.choose.search import Found, Search
    from slingwright.choose.setting import Setting

__all__ = ["NO_ANSWER", "answer_so_far", "first_answer"]

NO_ANSWER = Answer(
    answer="stop",
    offers=(),
    refused=(),
    search=SearchReport(
        space=0, hang_problems=0, pruned={}, solved=0, cheaper_and_rejected=0, rejected_by={},
        proved=False, seconds=None, samples=0, seed=0,
    ),
)  # fmt: skip


def first_answer(setting: Setting, search: Search, main: Found) -> Answer | None:
    """The best as the whole answer will show it first; None where nothing fits: then the whole says why."""
    if main.answer is None:
        return None
    return _alone(setting, search, main.answer, "best", proved=main.proved)


def answer_so_far(setting: Setting, search: Search, verdict: Verdict) -> Answer:
    """One that passes every check with a caution of its own: it is shown as no more, and has no papers."""
    return _alone(setting, search, verdict, "so-far", proved=False)


def _alone(setting: Setting, search: Search, verdict: Verdict, picked_for: str, *, proved: bool) -> Answer:
    return Answer(
        answer="offers",
        offers=(make_offer(setting, verdict, by=setting.lift.want.by, picked_for=(picked_for,)),),
        refused=(),
        search=SearchReport(
            space=search.space.candidates,
            hang_problems=search.space.hang_problems,
            pruned={reason: count for reason, count in sorted(search.space.pruned.items()) if count},
            solved=None if proved else search.solved,
            cheaper_and_rejected=None,  # counting them takes as long as drawing the best
            rejected_by={},
            proved=proved,
            seconds=None,
            samples=setting.draws.samples,
            seed=setting.draws.seed,
        ),
        notes=setting.lift.notes,
    )
