"""How much of one thing done differently: the amount that helps most, or the least that makes it possible.

Some things only ever widen what may be offered: more room above slings on pick points, a looser tilt, a
flatter angle. The candidates, their hangs and figures are then the same, and each figure is held to a limit
that got looser; none of that assumes anything of strength, weight or length. So what passes with less passes
with more: where nothing fits with the most there is, nothing fits with less; and where the most leaves the
answer as it is, so does less. Whatever might not be so is searched amount by amount: the load's weight, for
slings stretch less under a lighter one; room above slings round a load, whose way round it is taken for a
hook at the top of the room. So is all where a search was cut short, since nothing follows from that.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from slingwright.choose.again import Again
from slingwright.choose.evaluate import Verdict
from slingwright.choose.explained import Change, Standing
from slingwright.lift.model import Lift

__all__ = ["Try", "best_of", "least_of"]

_HALVINGS = 5  # of the room, tilt or weight that is just enough


@dataclass(frozen=True, slots=True, kw_only=True)
class Try:
    """One thing to alter: amounts from the least to the most, and the lift altered by an amount.

    `passes` says of a candidate that passes with some amount whether it passes on an altered lift; given only
    where each amount lets pass all that those before it do.
    """

    code: str
    unit: str
    amounts: tuple[float, ...]
    lift: Callable[[float], Lift]
    passes: Callable[[Verdict, Lift], bool] | None = None


class _NotSure(Exception):  # noqa: N818  (names what is lacking)
    """A search was cut short before it found anything."""


def best_of(again: Again, one: Try, now: Standing) -> Change:
    """The amount that helps most where something fits now, the least of equals."""
    if one.passes is not None and len(one.amounts) > 1:
        most = again.answer(one.lift(one.amounts[-1]))
        if most.proved and most == now:
            return _change(one, one.amounts[0], now, most)
        if most.proved and now.proved:
            for amount in one.amounts:
                then = again.answer(one.lift(amount))
                if then.order == most.order:  # none is better than with the most
                    return _change(one, amount, now, then)
    found = [(amount, again.answer(one.lift(amount))) for amount in one.amounts]
    amount, then = min(found, key=lambda pair: pair[1].order)
    return _change(one, amount, now, then)


def least_of(again: Again, one: Try, now: Standing) -> Change:
    """Where nothing fits: the first amount with an answer, then halved towards the last one without."""
    growing = one.passes is not None
    try:
        amount = _least(_Fitting(again, one, growing=growing))
    except _NotSure:
        amount = _least(_Fitting(again, one, growing=False))
    amount = one.amounts[-1] if amount is None else amount
    return _change(one, amount, now, again.answer(one.lift(amount)))


def _least(fitting: _Fitting) -> float | None:
    amounts = fitting.one.amounts
    first = fitting.first()
    if first is None:
        return None
    if first == 0:  # no halving from what there is: that much can be had
        return amounts[0]
    below, above = amounts[first - 1], amounts[first]
    for _ in range(_HALVINGS):
        middle = (below + above) / 2
        if fitting.at(middle):
            above = middle
        else:
            below = middle
    return above


class _Fitting:
    """Whether anything fits with an amount; `growing`: what fits with less then fits with more."""

    def __init__(self, again: Again, one: Try, *, growing: bool) -> None:
        self._again, self.one, self._growing = again, one, growing
        self._passing: list[Verdict] = []

    def at(self, amount: float) -> bool:
        """Whether something fits with this amount."""
        lift, passes = self.one.lift(amount), self.one.passes
        if self._growing and passes is not None and any(passes(v, lift) for v in self._passing):
            return True
        found = self._again.passing(lift)
        if found.verdict is not None:
            self._passing.append(found.verdict)
        elif self._growing and not found.sure:
            raise _NotSure
        return found.verdict is not None

    def first(self) -> int | None:
        """The first of the amounts that fits; None where none does."""
        amounts = self.one.amounts
        if not self._growing:
            return next((k for k, amount in enumerate(amounts) if self.at(amount)), None)
        below, above = -1, len(amounts) - 1
        if not self.at(amounts[above]):
            return None
        while above - below > 1:
            middle = (below + above) // 2
            if self.at(amounts[middle]):
                above = middle
            else:
                below = middle
        return above


def _change(one: Try, amount: float, now: Standing, then: Standing) -> Change:
    both = now.price_minor is not None and then.price_minor is not None
    saved = (now.price_minor or 0) - (then.price_minor or 0) if both else None
    return Change(
        code=one.code,
        figure=amount if one.unit else None,
        unit=one.unit,
        then=then,
        saved_minor=saved,
        helps=then.order < now.order,
    )
