"""Weight and centre of gravity with their bounds: stated, computed, or unknown."""

from __future__ import annotations

from collections.abc import Callable

from slingwright.lift.assumptions import assumptions
from slingwright.lift.computed import Computed
from slingwright.lift.model import Centre, KnownBy, Vector, Weight
from slingwright.lift.size import Size
from slingwright.lift.table import Reader, Values

__all__ = ["read_centre", "read_weight"]

_HOW = 'write weight = "unknown" if you do not know it, or give shape sizes and a material'


def _known_by(values: Values, reader: Reader, what: str) -> KnownBy:
    word = (values["known_by"] or {}).get(what)
    if word:
        return KnownBy(word)
    reader.note(f"{what.replace('_', '-')}-known-by-not-stated")
    return assumptions().not_stated


def read_weight(values: Values, reader: Reader, computed: Computed | None) -> Weight | None:
    """The weight with its bounds; None with a fault kept where the file gives none."""
    mesh: Values | None = values["mesh"]
    if mesh is not None and mesh.has("weight"):
        if values.has("weight"):
            reader.fault(mesh.field("weight"), "is given for the load too", "give one of them")
        return _with_tolerance(values, reader, mesh["weight"], _known_by(values, reader, "weight"))
    stated = values["weight"]
    if stated is None or stated == "unknown":
        if computed is not None and computed.weight_n is not None:
            reader.note(f"weight-computed-from-{computed.by}")
            return _with_tolerance(values, reader, computed.weight_n, KnownBy.COMPUTED)
        if stated is None:
            if not values.has("weight"):
                reader.fault(values.field("weight"), "is missing", _HOW)
            return None
        return Weight(nominal_n=None, low_n=None, high_n=None, known_by=KnownBy.ESTIMATE)
    known_by = _known_by(values, reader, "weight")
    if isinstance(stated, tuple):
        if values.has("weight_tolerance"):
            hint = "{ low, high } already says how far off it may be"
            reader.fault(values.field("weight_tolerance"), "is given beside a range", hint)
        low, high = stated
        return Weight(
            nominal_n=(low + high) / 2, low_n=low, high_n=high, known_by=known_by, stated_tolerance=True
        )
    return _with_tolerance(values, reader, stated, known_by)


def _with_tolerance(
    values: Values, reader: Reader, nominal_n: float | None, known_by: KnownBy
) -> Weight | None:
    if nominal_n is None:
        return None
    stated = values["weight_tolerance"]
    below, above = _bounds(values, reader, nominal_n, known_by)
    return Weight(
        nominal_n=nominal_n,
        low_n=max(nominal_n - below, 0.0),
        high_n=nominal_n + above,
        known_by=known_by,
        stated_tolerance=stated is not None,
    )


def _bounds(values: Values, reader: Reader, nominal_n: float, known_by: KnownBy) -> tuple[float, float]:
    """How far below and above the nominal [N]."""
    stated = values["weight_tolerance"]
    if stated is None:
        share = assumptions().tolerance[known_by].weight
        reader.note(f"weight-tolerance-of-{known_by}")
        return share * nominal_n, share * nominal_n
    if stated[0] == "sd":
        reader.note("weight-spread-as-limit")
        share = assumptions().standard_deviations * stated[1]
        return share * nominal_n, share * nominal_n
    _, below, above = stated
    if stated[0] == "share":
        return below * nominal_n, above * nominal_n
    if max(below, above) > nominal_n:
        hint = "low and high here are how far below and above; for a range write weight = { low, high }"
        reader.fault(values.field("weight_tolerance"), "is more than the weight itself", hint)
    return below, above


def read_centre(values: Values, reader: Reader, size: Size, computed: Computed | None) -> Centre | None:
    """The centre of gravity with the box it lies in, never outside the load's own sizes."""
    stated = values["centre_of_gravity"]
    if stated is None and values.has("centre_of_gravity"):
        return None
    if stated in (None, "unknown"):
        if computed is not None and stated is None:
            reader.note(f"centre-computed-from-{computed.by}")
            return _computed_centre(values, reader, size, computed)
        reader.note("centre-unknown" if stated else "centre-not-stated")
        return _unknown_centre(values, reader, size)
    known_by = _known_by(values, reader, "centre_of_gravity")
    if isinstance(stated[0], tuple):
        if values.has("centre_tolerance"):
            reader.fault(values.field("centre_tolerance"), "is given beside a box { low, high }")
        return _centre_box(values, reader, size, stated, known_by)
    if not _within(stated, size):
        _outside(reader, values.field("centre_of_gravity"))
        return None
    return _around(values, reader, size, stated, known_by)


def _computed_centre(values: Values, reader: Reader, size: Size, computed: Computed) -> Centre:
    if computed.also_at_m is None:
        return _around(values, reader, size, computed.centre_m, KnownBy.COMPUTED)
    # a skin of unknown evenness: as an estimate, and reaching to where a solid's centre would be
    skin = _around(values, reader, size, computed.centre_m, KnownBy.ESTIMATE)
    return Centre(
        nominal_m=skin.nominal_m,
        low_m=_each(min, skin.low_m, computed.also_at_m),
        high_m=_each(max, skin.high_m, computed.also_at_m),
        known=True,
        known_by=KnownBy.ESTIMATE,
    )


def _unknown_centre(values: Values, reader: Reader, size: Size) -> Centre:
    if values.has("centre_tolerance"):
        reader.fault(values.field("centre_tolerance"), "is given for a centre that is not known")
    share = assumptions().unknown_centre_share
    middle = tuple(extent / 2 for extent in size.extents_m)
    reach = tuple(share * extent for extent in size.extents_m)
    return Centre(
        nominal_m=_vector(middle),
        low_m=_vector(tuple(m - r for m, r in zip(middle, reach, strict=True))),
        high_m=_vector(tuple(m + r for m, r in zip(middle, reach, strict=True))),
        known=False,
        known_by=KnownBy.ESTIMATE,
    )


def _centre_box(
    values: Values, reader: Reader, size: Size, ends: tuple[Vector, Vector], known_by: KnownBy
) -> Centre | None:
    low, high = ends
    outside = [name for name, end in (("low", low), ("high", high)) if not _within(end, size)]
    for name in outside:
        _outside(reader, f"{values.field('centre_of_gravity')}.{name}")
    if outside:
        return None
    middle = tuple((a + b) / 2 for a, b in zip(low, high, strict=True))
    return Centre(
        nominal_m=_vector(middle), low_m=_vector(low), high_m=_vector(high), known=True, known_by=known_by
    )


def _around(values: Values, reader: Reader, size: Size, point: Vector, known_by: KnownBy) -> Centre:
    stated = values["centre_tolerance"]
    if stated is None:
        reader.note(f"centre-tolerance-of-{known_by}")
        stated = (False, "share", (assumptions().tolerance[known_by].centre,))
    spread, kind, reach = stated
    if kind == "share":
        reach = tuple(reach[0] * extent for extent in size.extents_m)
    if spread:
        reader.note("centre-spread-as-limit")
        reach = tuple(assumptions().standard_deviations * r for r in reach)
    low = tuple(max(p - r, 0.0) for p, r in zip(point, reach, strict=True))
    high = tuple(min(p + r, e) for p, r, e in zip(point, reach, size.extents_m, strict=True))
    return Centre(
        nominal_m=_vector(point), low_m=_vector(low), high_m=_vector(high), known=True, known_by=known_by
    )


def _within(point: Vector, size: Size) -> bool:
    return all(0.0 <= p <= e * (1 + 1e-9) for p, e in zip(point, size.extents_m, strict=True))


def _outside(reader: Reader, field: str) -> None:
    hint = "it is measured from the load's left-front-bottom corner: x along, y across, z up"
    reader.fault(field, "lies outside the load", hint)


def _each(choose: Callable[[float, float], float], first: Vector, second: Vector) -> Vector:
    return _vector(tuple(choose(a, b) for a, b in zip(first, second, strict=True)))


def _vector(values: tuple[float, ...]) -> Vector:
    x, y, z = values
    return x, y, z
