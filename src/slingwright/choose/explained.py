"""What explains an answer, as plain values: how the best stands, what would change it, what to ask next."""

from __future__ import annotations

from dataclasses import dataclass, field

from slingwright.check import Finding
from slingwright.sling import SlingSpec

__all__ = ["Change", "Explained", "Piece", "Question", "Standing", "Supplies", "TradePoint"]

_NONE = 2  # a grade below both: no answer at all


@dataclass(frozen=True, slots=True, kw_only=True)
class Standing:
    """The best of one search. `key` None = nothing fits.

    `proved` False = it was cut short: a better one may be left. `stop` is then the finding that is nearest
    to passing, `off_by` how far off it is as a share of its limit.
    """

    grade: int = _NONE
    measure: int | None = None
    price_minor: int | None = None
    family: str = ""
    specs: tuple[SlingSpec, ...] = ()
    key: str | None = None
    stop: Finding | None = None
    off_by: float | None = None
    proved: bool = True

    @property
    def fits(self) -> bool:
        """Whether there is an answer."""
        return self.key is not None

    @property
    def order(self) -> tuple[int, float]:
        """(grade, the wanted measure): less is better; nothing fits comes last."""
        return self.grade, float("inf") if self.measure is None else self.measure


@dataclass(frozen=True, slots=True, kw_only=True)
class Change:
    """One thing done differently, and the best there is then.

    `figure` is how much of it, in `unit`: the room above [m], the radius [m], the beam's span [m], the
    weight's upper bound [N], the tilt allowed [deg]. `saved_minor` is what it saves in price; None where
    one of both has no answer.
    """

    code: str
    figure: float | None
    unit: str
    then: Standing
    saved_minor: int | None
    helps: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Piece:
    """One answer to a question, or a stretch of its range in which the answer to the lift is the same.

    `choice` names it where the question is one of choices; else it runs from `low` to `high`. `share` is
    its share of the range (of the choices).
    """

    choice: str
    low: float | None
    high: float | None
    share: float
    then: Standing


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What to find out. `code` is "what" or "what: about"; `worth_minor` how far its answer moves the price.

    The worth is the mean over the range of |price then - price now|; a piece in which nothing fits (or,
    where nothing fits now, one in which something does) counts the whole price. `changes` is the share of
    the range in which family, fibre or grade change.
    """

    code: str
    unit: str
    worth_minor: float
    changes: float
    pieces: tuple[Piece, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TradePoint:
    """One offer of the trade-off curve: none found beats it in any figure without losing in another."""

    key: str
    family: str
    specs: tuple[SlingSpec, ...]
    price_minor: int
    hook_height_m: float
    mass_kg: float
    utilisation: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Supplies:
    """Stock against made to order: what each costs in money, days, tilt and the worst part's tension."""

    stock_price_minor: int
    made_price_minor: int
    stock_days: int
    made_days: int
    stock_tilt_deg: float
    made_tilt_deg: float
    stock_tension_n: float
    made_tension_n: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Explained:
    """All of it; `proved` False = a search was cut short by its number of tries or by the time.

    `weighed` and `unweighed`: the codes of what the lift leaves open, whose worth is known, and not.
    """

    changes: tuple[Change, ...] = ()
    question: Question | None = None
    curve: tuple[TradePoint, ...] = field(default=())
    supplies: Supplies | None = None
    weighed: tuple[str, ...] = ()
    unweighed: tuple[str, ...] = ()
    proved: bool = True
