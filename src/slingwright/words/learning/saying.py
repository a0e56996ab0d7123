"""Pages on what is said of a lift: its weight and how that is known, lugs, grip, what the best is."""

from __future__ import annotations

from slingwright.check.sources import LOAD_KNOWN
from slingwright.lift.assumptions import assumptions
from slingwright.lift.model import KnownBy
from slingwright.words.learning.model import Asked, Part

__all__ = ["best_parts", "friction_parts", "lug_parts", "weight_parts"]

_BEST = ("price", "delivery", "reserve", "weight")


def weight_parts(asked: Asked) -> tuple[Part, ...]:
    """What weighs, how far off a weight may be by how it is known, and what an estimate is good for."""
    taken, unsaid = assumptions(), assumptions().not_stated
    rows = [
        (asked.say("known-by", str(known)), asked.share(taken.tolerance[known].weight),
         asked.share(taken.tolerance[known].centre))
        for known in KnownBy if known in taken.tolerance
    ]  # fmt: skip
    return (
        Part(
            title=asked.say("learn", "weighs"), picture="weight",
            says=(asked.told("learn", "weighs-say"), asked.told("learn", "weighs-most")),
        ),
        Part(
            title=asked.say("learn", "known"), picture="known-by",
            says=(
                asked.told("learn", "known-say", LOAD_KNOWN),
                asked.told("learn", "known-unsaid", taken.citation, known=asked.say("known-by", str(unsaid))),
                asked.told("learn", "known-guess"),
            ),
            table=asked.table("known", rows, (taken.citation,)),
        ),
    )  # fmt: skip


def lug_parts(asked: Asked) -> tuple[Part, ...]:
    """What a lug may carry, and how far it may be pulled out of its line."""
    upright, most = asked.book.limit("near_vertical_deg"), asked.book.limit("lug_lean_deg")
    return (
        Part(
            title=asked.say("learn", "lug"), picture="lug",
            says=(
                asked.told("learn", "lug-say"),
                asked.told("learn", "lug-aslant"),
                asked.told("learn", "lug-upright", upright.citation, angle=asked.angle(upright.value)),
                asked.told("learn", "lug-lean", most.citation, angle=asked.angle(most.value)),
                asked.told("learn", "lug-unknown"),
            ),
        ),
    )  # fmt: skip


def friction_parts(asked: Asked) -> tuple[Part, ...]:
    """What the number of a surface's grip is, and how much of it each way of holding may need."""
    wary, most = asked.book.limit("friction_caution"), asked.book.limit("friction_stop")
    flat = asked.book.limit("basket_least_angle_along_deg")
    return (
        Part(
            title=asked.say("learn", "grip"), picture="friction",
            says=(asked.told("learn", "grip-say"), asked.told("learn", "grip-lost")),
        ),
        Part(
            title=asked.say("learn", "grip-needed"),
            says=(
                asked.told("learn", "grip-needed-say"),
                asked.told("learn", "grip-wary", wary.citation, least=asked.number(wary.value)),
                asked.told("learn", "grip-most", most.citation, most=asked.number(most.value)),
                asked.told("learn", "grip-stated"),
                asked.told("learn", "grip-flat", flat.citation, angle=asked.angle(flat.value)),
            ),
        ),
    )  # fmt: skip


def best_parts(asked: Asked) -> tuple[Part, ...]:
    """By what the best of the slings that do is chosen, and what it is never chosen by."""
    return (
        Part(
            title=asked.say("learn", "best"), picture="best",
            says=(
                asked.told("learn", "best-say"),
                *((_one_measure(asked, by), "") for by in _BEST),
                asked.told("learn", "best-cautions"),
            ),
        ),
    )  # fmt: skip


def _one_measure(asked: Asked, by: str) -> str:
    text = f"{asked.say('desk-choices', by)}: {asked.say('learn-best', by)}"
    return text[:1].upper() + text[1:]
