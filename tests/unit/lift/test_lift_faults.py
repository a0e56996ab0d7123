"""What is wrong is named where it is wrong, all of it at once, with what would be right."""

from __future__ import annotations

from typing import Any

import pytest

from slingwright.errors import Fault, InputFault
from slingwright.lift import upgrade_lift
from tests.lifts import lift_document, read_document, smallest_document


def faults_of(doc: object) -> dict[str, Fault]:
    """Faults by their field."""
    with pytest.raises(InputFault) as caught:
        read_document(doc)
    return {fault.field: fault for fault in caught.value.faults}


def changed(path: str, value: Any, *, name: str = "") -> dict[str, Any]:
    """The smallest document, or an example, with one value set; path like `load.weight`."""
    doc = lift_document(name) if name else smallest_document()
    *way, last = path.split(".")
    place = doc
    for key in way:
        place = place.setdefault(key, {})
    place[last] = value
    return doc


def test_smallest_document_reads_with_its_defaults() -> None:
    lift = read_document(smallest_document())
    assert lift.rulebook == "us"
    assert (lift.want.level_within_deg, lift.want.least_angle_deg) == (3.0, 45.0)
    assert lift.want.matched_set
    assert lift.site.purpose == "lift"
    assert not lift.load.centre.known  # nobody said where it is
    assert {"centre-not-stated", "edge-not-stated", "weight-known-by-not-stated"} <= set(lift.notes)
    assert lift.load.edge.radius_m is None
    assert not lift.load.edge.stated


def test_all_faults_come_at_once() -> None:
    doc = lift_document("chiller")
    doc["load"]["weight"] = "11 800 t"
    doc["load"]["lenght"] = doc["load"].pop("length")
    doc["load"]["pick_point"][2]["at"][0] = "six inches"
    doc["load"]["pick_point"][3]["rated_at"] = "sideways"
    doc["hook"]["headroom"] = 14
    doc["site"]["purpose"] = "bungee"
    doc["colour"] = "red"
    found = faults_of(doc)
    assert set(found) == {
        "load.weight",
        "load.lenght",
        "load.length",
        "load.pick_point[2].at[0]",
        "load.pick_point[3].rated_at",
        "hook.headroom",
        "site.purpose",
        "colour",
    }
    assert found["load.lenght"].hint == 'did you mean "length"?'
    assert '"vertical only"' in found["load.pick_point[3].rated_at"].hint
    assert "unit" in found["hook.headroom"].problem
    assert "towing" in found["site.purpose"].hint


@pytest.mark.parametrize(
    ("wrong", "right"),
    [
        ("load.wieght", '"weight"'),
        ("load.centre_of_gravty", '"centre_of_gravity"'),
        ("load.edge_radious", '"edge_radius"'),
        ("want.leval_within", '"level_within"'),
        ("load.headroom", "[hook]"),  # a key of another table: where it belongs
        ("site.stock_only", "[want]"),
        ("load.rulebook", "the top of the file"),
    ],
)
def test_unknown_key_names_the_nearest_right_one(wrong: str, right: str) -> None:
    fault = faults_of(changed(wrong, "1"))[wrong]
    assert fault.problem == "is not a key of the lift file"
    assert right in fault.hint


@pytest.mark.parametrize(
    ("path", "value", "field", "words"),
    [
        ("load.weight", "11 t", "load.weight", "tons"),  # under us a bare t is three loads
        ("load.weight", "0 lb", "load.weight", "less"),
        ("load.weight", {"low": "2000 lb"}, "load.weight", "not a weight"),
        ("load.weight", {"low": "2000 lb", "high": "1500 lb"}, "load.weight", "low not below high"),
        ("load.weight_tolerance", "0 %", "load.weight_tolerance", "switches the tolerance off"),
        ("load.weight_tolerance", {"sd": "0 %"}, "load.weight_tolerance.sd", "switches the tolerance off"),
        (
            "load.weight_tolerance",
            {"low": "1800 lb", "high": "2200 lb"},
            "load.weight_tolerance",
            "more than",
        ),
        ("load.known_by", "guess", "load.known_by", "none of the choices"),
        ("load.known_by", "computed", "load.known_by", "none of the choices"),
        ("load.length", 6, "load.length", "without a unit"),
        ("load.length", "6 ft 14 in", "load.length", "below 12"),
        ("load.length", "1200 ft", "load.length", "more than"),
        ("load.diameter", "1 ft", "load.diameter", "no size of a box"),
        ("load.wall", "2 ft", "load.wall", "half the body"),
        ("load.material", "kryptonite", "load.material", "density table"),
        ("load.material", "alumnium", "load.material", "density table"),
        ("load.section", [], "load.section", "no meaning"),
        ("load.loose", True, "load.loose", "no meaning"),
        ("load.loose", "yes", "load.loose", "true nor false"),
        ("load.centre_of_gravity", ["7 ft", "2 ft", "1 ft"], "load.centre_of_gravity", "outside the load"),
        ("load.centre_of_gravity", ["3 ft", "2 ft"], "load.centre_of_gravity", "2 entries"),
        ("load.centre_of_gravity", ["-1 in", "2 ft", "1 ft"], "load.centre_of_gravity", "outside the load"),
        (
            "load.centre_of_gravity",
            {"low": ["3 ft", "2 ft", "1 ft"], "high": ["2 ft", "3 ft", "2 ft"]},
            "load.centre_of_gravity",
            "low not below high",
        ),
        (
            "load.centre_of_gravity",
            {"low": ["3 ft", "2 ft", "1 ft"], "high": ["4 ft", "3 ft", "9 ft"]},
            "load.centre_of_gravity.high",
            "outside the load",
        ),
        (
            "load.pick_point",
            [{"name": "A", "at": ["0 in", "0 in", f"{i} in"]} for i in (1, 2)],
            "load.pick_point[1].name",
            "name of another",
        ),
        ("hook", [{"headroom": "9 ft", "at": ["1 ft", "2 ft"]}] * 2, "hook", "one place"),
        ("load.centre_tolerance", "2 %", "load.centre_tolerance", "not known"),
        ("load.edge_radius", "none", "load.edge_radius", "number"),
        ("load.bears", [["3 ft", "2 ft"]], "load.bears[0]", "lower to a higher"),
        ("load.bears", [["3 ft", "7 ft"]], "load.bears[0][1]", "beyond"),
        ("load.bears", [["1 ft", "3 ft"], ["2 ft", "4 ft"]], "load.bears[1][0]", "before it ends"),
        ("load.choke_angle", "tight", "load.choke_angle", "number"),
        ("load.mesh", {"file": "barrier.stl", "unit": "in"}, "load.shape", "must be mesh"),
        ("load.pick_point", [{"at": ["30 ft", "0 in", "0 in"]}], "load.pick_point[0].at[0]", "far outside"),
        (
            "load.pick_point",
            [{"at": ["0 in", "0 in", "0 in"]}] * 2,
            "load.pick_point[1].at",
            "place of another",
        ),
        ("load.pick_point", [{"name": "A"}], "load.pick_point[0].at", "missing"),
        ("load.pick_point", {"at": ["0 in", "0 in", "0 in"]}, "load.pick_point", "not a list"),
        (
            "load.pick_point",
            [{"at": ["0 in", "0 in", "0 in"], "rated_at": "any angle"}],
            "load.pick_point[0].rated_at",
            "without a rating",
        ),
        ("hook", [], "hook", "0 entries"),
        (
            "hook",
            [{"headroom": "9 ft"}, {"headroom": "9 ft", "at": ["1 ft", "2 ft"]}],
            "hook[0].at",
            "missing",
        ),
        ("site.temperature", ["90 °F", "20 °F"], "site.temperature", "lowest after"),
        ("site.dynamic_factor", 0.9, "site.dynamic_factor", "less than"),
        ("site.dynamic_factor", float("nan"), "site.dynamic_factor", "finite"),
        ("site.dynamic_factor", 10**400, "site.dynamic_factor", "too large"),
        ("site.touches", ["", "water"], "site.touches[0]", "empty"),
        ("want.level_within", "0 deg", "want.level_within", "less than"),
        ("want.length_tolerance", "0 in", "want.length_tolerance", "less than"),
        ("want.length_tolerance", ["1 in", "2 in"], "want.length_tolerance[1]", "same kind"),
        ("want.length_tolerance", {"sigma": "1 in"}, "want.length_tolerance", "not a tolerance"),
        ("beam", [{"span": "8 ft"}], "beam[0].weight", "missing"),
        ("schema", "slingwright/lift/2", "schema", "newer"),
        ("schema", "slingwright/shop/1", "schema", "not a lift"),
        ("rulebook", "EN", "rulebook", "none of the choices"),
        ("title", "two\nlines", "title", "printed"),
    ],
)
def test_a_wrong_value_is_named(path: str, value: Any, field: str, words: str) -> None:
    found = faults_of(changed(path, value))
    assert words in found[field].problem
    assert set(found) == {field}  # and nothing that is right is blamed


def test_a_tolerance_beside_a_range_is_one_too_many() -> None:
    doc = changed("load.weight", {"low": "1900 lb", "high": "2100 lb"})
    doc["load"]["weight_tolerance"] = "5 %"
    assert "beside a range" in faults_of(doc)["load.weight_tolerance"].problem


def test_missing_weight_says_how_to_say_that_it_is_not_known() -> None:
    doc = smallest_document()
    del doc["load"]["weight"]
    assert 'weight = "unknown"' in faults_of(doc)["load.weight"].hint


@pytest.mark.parametrize("missing", ["load", "hook"])
def test_missing_table_is_named(missing: str) -> None:
    doc = smallest_document()
    del doc[missing]
    assert faults_of(doc)[missing].problem == "is missing"


@pytest.mark.parametrize("doc", [None, [], "weight", 3, {"load": []}, {"load": None}, {}])
def test_what_is_no_lift_at_all_is_a_fault_too(doc: object) -> None:
    assert faults_of(doc)


def test_endless_faults_are_counted_and_cut() -> None:
    doc = smallest_document() | {f"key{i}": 1 for i in range(500)}
    with pytest.raises(InputFault) as caught:
        read_document(doc)
    assert len(caught.value.faults) == 101
    assert "400 more" in caught.value.faults[-1].problem


def test_a_long_strange_key_is_shown_short_on_one_line() -> None:
    (field,) = faults_of(smallest_document() | {"x\n\x1b[31m" + "y" * 10_000: 1})
    assert len(field) < 80
    assert field.isprintable()


@pytest.mark.parametrize("purpose", ["marine", "towing", "tie-down", "people", "offshore"])
def test_a_purpose_that_will_be_refused_is_no_fault(purpose: str) -> None:
    """The answer is no (exit 1), but the file is right (never exit 2)."""
    assert read_document(changed("site.purpose", purpose)).site.purpose == purpose


def test_a_rating_that_does_not_say_for_which_pull_is_noted() -> None:
    picks = [{"at": ["0 in", "0 in", "3 ft"], "rated": "900 lb"}, {"at": ["6 ft", "0 in", "3 ft"]}]
    lift = read_document(changed("load.pick_point", picks))
    assert [pick.rated_at_stated for pick in lift.load.pick_points] == [False, True]
    assert [pick.name for pick in lift.load.pick_points] == ["A", "B"]
    assert "lug-angle-not-stated" in lift.notes


def test_beams_without_names_are_numbered() -> None:
    beams = [{"span": "8 ft", "weight": "90 lb"}, {"span": "9 ft", "weight": "99 lb", "name": "blue"}]
    assert [beam.name for beam in read_document(changed("beam", beams)).beams] == ["beam 1", "blue"]


def test_unknown_weight_is_no_fault() -> None:
    weight = read_document(changed("load.weight", "unknown")).load.weight
    assert (weight.nominal_n, weight.low_n, weight.high_n) == (None, None, None)


def test_null_is_read_as_left_out() -> None:
    doc = smallest_document()
    doc["load"]["edge_radius"] = None
    doc["site"] = None
    assert read_document(doc) == read_document(smallest_document())


def test_a_file_without_an_edition_is_read_as_the_first() -> None:
    doc = smallest_document()
    assert upgrade_lift(doc) == doc | {"schema": "slingwright/lift/1"}
    assert "schema" not in doc  # what was handed over is left alone
    assert read_document(upgrade_lift(doc)) == read_document(doc)


@pytest.mark.parametrize(("rulebook", "units"), [("us", "us"), ("en", "si")])
def test_as_many_feet_as_metres_leaves_it_to_the_rulebook(rulebook: str, units: str) -> None:
    doc = changed("load.edge_radius", "3 mm") | {"rulebook": rulebook, "hook": {"headroom": "4 m"}}
    doc["load"]["weight"] = "900 kg"  # three and three
    assert read_document(doc).units == units
