"""An arrangement: how many slings, which hitch each, where each touches load and hook. No lengths yet."""

from __future__ import annotations

from dataclasses import dataclass

from slingwright.lift.model import Beam
from slingwright.sling import Hitch

__all__ = ["Arrangement", "Holding", "Round"]

Vector = tuple[float, float, float]


@dataclass(frozen=True, slots=True, kw_only=True)
class Round:
    """A sling's way round a section at `x_m`: the taut string, in load coordinates.

    `turns_m` are the points of contact in order from the first leaving point to the last (a basket) or
    just the bite (a choker). `lies_m` is the length lying on the load in one basket pass including all
    wraps; `loop_m` the loop of a choker, all wraps. `contact_rad` is the whole angle of contact.
    """

    x_m: float
    turns_m: tuple[Vector, ...]
    lies_m: float
    loop_m: float
    contact_rad: float
    perimeter_m: float
    radius_m: float | None  # a round section's radius; None = a section with edges
    edges: int  # how many edges of the load the sling bends over
    curved: bool  # what lies on the load follows a curve: `lies_m` must be handed to the statics
    centre_yz_m: tuple[float, float] | None = None  # of a round section
    wraps: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Holding:
    """One sling's place: from `upper` (a hook or a beam lug) to a pick point or round the load.

    `upper_on` is "hook 0", "hook 1", "beam top", i.e. which hook, or "beam" for a point of the beam.
    """

    id: str
    hitch: Hitch
    wraps: int = 1
    hook: int | None = 0  # index of the hook its upper end sits on; None = on the beam
    beam_end: int | None = None  # 0 = west end, 1 = east end of the beam, where it touches the beam
    role: str = "main"  # "main" = holds the load; "top" = between hook and beam
    pick: str | None = None
    lower_m: Vector | None = None  # the pick point, load coordinates
    round: Round | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Arrangement:
    """A family with its placement.

    `family` codes: vertical, bridle-2, bridle-3, bridle-4, bridle-n, basket-1, basket-2, double-basket-1,
    double-basket-2, choker-1, choker-2, double-choker-1, double-choker-2; on a beam: beam-vertical,
    beam-basket, beam-choker, beam-double-basket, beam-double-choker; on several hooks: hooks-vertical,
    hooks-basket, hooks-choker, hooks-double-basket, hooks-double-choker.
    `lengths` says how the slings' lengths go together: "equal", "made" (individually made, level at a
    hook height), "beam" (equal above the beam, equal below it). `placement` names the place along the
    load (canonical text, part of the tie key). `hooks_xy_m` is where each hook stands over the level
    load. `level_height_m`: the level hook heights for which a basket's string touches just these edges
    of the load, None = any. On a round section `turns_m` are tangents from one height; `refit` takes
    them anew for the hook where it really hangs, and nothing is judged before that.
    """

    family: str
    placement: str
    holdings: tuple[Holding, ...]
    lengths: str = "equal"
    beam: Beam | None = None
    hooks_xy_m: tuple[tuple[float, float], ...] = ()
    level_height_m: tuple[float, float] | None = None

    @property
    def main(self) -> tuple[Holding, ...]:
        """The slings that hold the load itself (not those between hook and beam)."""
        return tuple(h for h in self.holdings if h.role == "main")

    @property
    def legs(self) -> int:
        """How many slings share the load (a basket sling is one support)."""
        return len(self.main)
