"""Properties of the lift reader: unit choice changes no bit, and nothing that goes in breaks it."""

from __future__ import annotations

import copy
import dataclasses
import json
from decimal import Decimal
from fractions import Fraction
from typing import Any

import jsonschema
from hypothesis import given
from hypothesis import strategies as st

from slingwright.errors import InputFault
from slingwright.lift import lift_from_text, lift_schema, read_lift
from slingwright.lift.model import Lift
from slingwright.lift.notes import NOTES
from slingwright.lift.sections import convex_hull
from tests.lifts import NAMES, lift_document

VALIDATOR = jsonschema.Draft202012Validator(lift_schema())


def decimal(value: Fraction) -> str:
    """A terminating fraction written out in full."""
    return format(Decimal(value.numerator) / Decimal(value.denominator), "f")


@dataclasses.dataclass(frozen=True)
class Sixteenths:
    """A length in sixteenths of an inch, written in any unit."""

    count: int

    def write(self, unit: int) -> str:
        inches = Fraction(self.count, 16)
        feet, rest = divmod(inches, 12)
        whole, part = divmod(rest, 1)
        in_text = f"{whole} {part}" if part else f"{whole}"
        return (
            f"{decimal(inches)} in",
            f"{decimal(inches * Fraction(254, 10))} mm",
            f"{decimal(inches * Fraction(254, 10_000))} m",
            f"{feet} ft {in_text} in",
            f"{feet}'-{in_text}\"",
            f"{decimal(inches * Fraction(254, 100))} cm",
        )[unit % 6]


@dataclasses.dataclass(frozen=True)
class Pounds:
    """A weight in whole pounds, written in any unit."""

    count: int

    def write(self, unit: int) -> str:
        kg = self.count * Fraction(45_359_237, 100_000_000)
        return (
            f"{self.count} lb",
            f"{decimal(kg)} kg",
            f"{decimal(kg / 1000)} tonne",
            f"{decimal(kg * Fraction(980_665, 100_000))} N",
            f"{decimal(Fraction(self.count, 1000))} kips",
            f"{self.count:,} lbs",
        )[unit % 6]


@dataclasses.dataclass(frozen=True)
class FifthsOfNine:
    """A temperature 32 + 9 n °F = 5 n °C."""

    count: int

    def write(self, unit: int) -> str:
        c = 5 * self.count
        return (f"{32 + 9 * self.count} °F", f"{c} °C", f"{decimal(Fraction(27_315, 100) + c)} K")[unit % 3]


lengths = st.integers(200, 4000).map(Sixteenths)
pounds = st.integers(100, 99_999).map(Pounds)


@st.composite
def documents(draw: st.DrawFn) -> dict[str, Any]:
    """Lift documents whose quantities are not yet written in any unit."""
    size = [draw(lengths) for _ in range(3)]
    within = [Sixteenths(draw(st.integers(1, side.count - 1))) for side in size]
    load: dict[str, Any] = {
        "shape": draw(st.sampled_from(["box", "frame", "hull", "bundle"])),
        **dict(zip(("length", "width", "height"), size, strict=True)),
        "weight": draw(pounds),
        "centre_of_gravity": draw(st.sampled_from([within, "unknown"])),
        "edge_radius": Sixteenths(draw(st.integers(0, 40))),
        "surface_temperature": FifthsOfNine(draw(st.integers(0, 20))),
        "bears": [[Sixteenths(0), within[0]]],
        "pick_point": [
            {"at": [Sixteenths(draw(st.integers(0, side.count))) for side in size], "rated": draw(pounds)}
        ],
    }
    if draw(st.booleans()):
        load["weight_tolerance"] = Pounds(draw(st.integers(1, load["weight"].count)))
    return {
        "load": load,
        "hook": {"headroom": draw(lengths), "capacity": draw(pounds)},
        "beam": [{"span": draw(lengths), "weight": draw(pounds)}],
        "site": {"temperature": [FifthsOfNine(-3), FifthsOfNine(draw(st.integers(0, 9)))]},
    }


def written(value: Any, units: Any) -> Any:
    """The document with every quantity written in the next unit of `units`."""
    if isinstance(value, Sixteenths | Pounds | FifthsOfNine):
        return value.write(next(units))
    if isinstance(value, dict):
        return {key: written(inner, units) for key, inner in value.items()}
    if isinstance(value, list):
        return [written(inner, units) for inner in value]
    return value


def without_units(lift: Lift) -> Lift:
    return dataclasses.replace(lift, units="us")  # which units a paper prints first does differ


@given(documents(), st.randoms(use_true_random=False))
def test_unit_choice_changes_no_bit(doc: dict[str, Any], rng: Any) -> None:
    first = read_lift(written(doc, iter(lambda: 0, 1)))
    other = read_lift(written(doc, iter(lambda: rng.randrange(60), 60)))
    # repr tells floats apart to the last bit, == would take -0.0 for 0.0
    assert repr(without_units(first)) == repr(without_units(other))


@given(documents())
def test_bounds_hold_what_they_bound(doc: dict[str, Any]) -> None:
    load = read_lift(written(doc, iter(lambda: 0, 1))).load
    assert load.weight.low_n is not None
    assert load.weight.nominal_n is not None
    assert load.weight.high_n is not None
    assert 0 <= load.weight.low_n < load.weight.nominal_n < load.weight.high_n
    sizes = (load.length_m, load.width_m, load.height_m)
    for low, middle, high, size in zip(
        load.centre.low_m, load.centre.nominal_m, load.centre.high_m, sizes, strict=True
    ):
        assert 0 <= low <= middle <= high <= size * (1 + 1e-9)
        assert low < high  # never switched off


@given(documents())
def test_what_the_reader_takes_the_schema_takes(doc: dict[str, Any]) -> None:
    text = json.dumps(written(doc, iter(lambda: 3, 0)))
    lift = lift_from_text(text, "json")
    assert set(lift.notes) <= NOTES
    assert list(VALIDATOR.iter_errors(json.loads(text))) == []


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=30) | st.dates()
    | st.sampled_from(["9 ft", "0 in", "-3 m", "5 %", "unknown", "10 lb", "45°", "free", "cylinder"]),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=12), inner, max_size=4),
    max_leaves=8,
)  # fmt: skip


def places(value: Any, way: tuple[Any, ...] = ()) -> list[tuple[Any, ...]]:
    """Ways to every value of a document, tables and lists as well."""
    found = [way] if way else []
    pairs = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, inner in pairs:
        found += places(inner, (*way, key))
    return found


PLACES = [(name, way) for name in NAMES if name != "barrier_mesh" for way in places(lift_document(name))]


@given(st.lists(st.tuples(st.sampled_from(range(len(PLACES))), values), min_size=1, max_size=3))
def test_any_value_anywhere_is_a_lift_or_a_fault(changes: list[tuple[int, Any]]) -> None:
    name = PLACES[changes[0][0]][0]
    doc = copy.deepcopy(lift_document(name))
    for index, value in changes:
        place: Any = doc
        way = PLACES[index][1]
        for key in way[:-1]:
            place = place.get(key) if isinstance(place, dict) else None
        if isinstance(place, dict):
            place[way[-1]] = value
    try:
        lift = read_lift(doc)
    except InputFault as fault:
        lines = [f"{one.field}{one.problem}" for one in fault.faults]
        refused = all(line.isprintable() for line in lines)
    else:
        refused = isinstance(lift, Lift)
    assert refused


@given(st.binary(max_size=300) | st.text(max_size=300), st.sampled_from(["toml", "json"]))
def test_any_text_is_a_lift_or_a_fault(text: str | bytes, form: Any) -> None:
    try:
        lift_from_text(text, form)
    except InputFault as fault:
        problem = fault.problem
    assert problem  # nothing so short is a lift


points = st.tuples(st.integers(-50, 50), st.integers(-50, 50))


@given(st.lists(points, min_size=1, max_size=40))
def test_hull_is_convex_anticlockwise_and_holds_every_point(cloud: list[tuple[int, int]]) -> None:
    hull = convex_hull([(float(y), float(z)) for y, z in cloud])
    assert set(hull) <= {(float(y), float(z)) for y, z in cloud}
    if len(hull) < 3:
        return
    for (ay, az), (by, bz) in zip(hull, (*hull[1:], hull[0]), strict=True):
        assert all((by - ay) * (z - az) - (bz - az) * (y - ay) >= 0 for y, z in cloud)
