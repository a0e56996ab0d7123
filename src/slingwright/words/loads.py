"""The load in sentences: its weight and how that is known, its centre of gravity, the room above."""

from __future__ import annotations

from collections.abc import Iterable

from slingwright.lift.model import Centre, Lift, Load, Weight
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_length, show_weight
from slingwright.words.names import known_by_text, shape_name

__all__ = ["centre_text", "room_text", "size_text", "weight_text"]


def weight_text(weight: Weight, units: Units, *, notes: Iterable[str] = (), language: str = "en") -> str:
    """The weight, its bounds and how it is known; the upper bound is what every check uses.

    `notes`: the lift's, which say what it was computed from.
    """
    words = read_catalogue(language)
    if weight.nominal_n is None or weight.low_n is None or weight.high_n is None:
        return words.word("loads", "weight-unknown")
    return words.fill(
        "loads",
        "weight",
        weight=show_weight(weight.nominal_n, units, language=language),
        low=show_weight(weight.low_n, units, rounding=Rounding.DOWN, language=language),
        high=show_weight(weight.high_n, units, rounding=Rounding.UP, language=language),
        known=known_by_text(weight.known_by, computed_from=_from("weight", notes), language=language),
    )


def centre_text(centre: Centre, units: Units, *, notes: Iterable[str] = (), language: str = "en") -> str:
    """Where the centre of gravity lies, from the left-front-bottom corner, and how far off it may be.

    `notes`: the lift's, which say what it was computed from.
    """
    words = read_catalogue(language)
    x, y, z = (show_length(v, units, language=language) for v in centre.nominal_m)
    boxes = zip(centre.low_m, centre.high_m, strict=True)
    dx, dy, dz = (
        show_length((high - low) / 2, units, rounding=Rounding.UP, language=language) for low, high in boxes
    )
    return words.fill(
        "loads",
        "centre" if centre.known else "centre-unknown",
        x=x,
        y=y,
        z=z,
        dx=dx,
        dy=dy,
        dz=dz,
        known=known_by_text(centre.known_by, computed_from=_from("centre", notes), language=language),
    )


def _from(what: str, notes: Iterable[str]) -> str:
    """What a weight or a centre was computed from, by the notes of the lift; "" where it was not."""
    said = f"{what}-computed-from-"
    return next((note.removeprefix(said) for note in notes if note.startswith(said)), "")


def room_text(lift: Lift, units: Units, *, language: str = "en") -> str:
    """The room above, hook by hook."""
    words = read_catalogue(language)
    rooms = [
        show_length(hook.headroom_m, units, rounding=Rounding.DOWN, language=language) for hook in lift.hooks
    ]
    return words.fill("loads", "room", rooms=", ".join(rooms))


def size_text(load: Load, units: Units, *, language: str = "en") -> str:
    """The load's shape and size."""
    words = read_catalogue(language)
    sizes = {
        "shape": shape_name(load.shape, language=language),
        "length": show_length(load.length_m, units, language=language),
        "width": show_length(load.width_m, units, language=language),
        "height": show_length(load.height_m, units, language=language),
    }
    if load.diameter_m is None:
        return words.fill("loads", "size", **sizes)
    return words.fill(
        "loads", "size-round", **sizes, diameter=show_length(load.diameter_m, units, language=language)
    )
