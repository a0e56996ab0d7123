"""Pick points typed on the page survive a fault elsewhere: each in its own row, none lost."""

import pytest

from slingwright.desk.form import FIELDS, choke_of, fields_of, pick_rows, tables_from_form, typed_rows
from slingwright.errors import InputFault
from slingwright.units import parse_weight_n
from slingwright.words import languages, read_catalogue

KEYS = ("name", "at.0", "at.1", "at.2", "pin", "rated", "rated_at")


def typed_picks(count: int) -> dict[str, str]:
    rows = [
        dict(zip(KEYS, (f"P{i}", f"{i} ft", "0 ft", "1 ft", "", "", ""), strict=True)) for i in range(count)
    ]
    return {f"load.pick_point.{i}.{key}": text for i, row in enumerate(rows) for key, text in row.items()}


@pytest.mark.parametrize("count", [1, 4, 6, 16])
def test_what_was_typed_stays_in_its_own_row(count: int) -> None:
    rows = typed_rows(pick_rows({}), typed_picks(count))
    assert [(r["name"], r["at.0"]) for r in rows[:count]] == [(f"P{i}", f"{i} ft") for i in range(count)]
    assert not any(text for row in rows[count:] for text in row.values())


def test_a_key_that_is_no_field_is_no_row() -> None:
    strange = {"load.pick_point.1": "x", "load.pick_point.99.name": "x", "load.pick_point.0.else": "x"}
    assert typed_rows(pick_rows({}), strange) == pick_rows({})


def test_a_pick_point_without_a_place_is_asked_for_not_dropped() -> None:
    with pytest.raises(InputFault) as caught:
        tables_from_form({}, {"load.pick_point.0.name": "A", "load.pick_point.0.rated": "5 t"})
    assert [fault.field for fault in caught.value.faults] == ["load.pick_point[0].at"]


def test_a_link_whose_load_is_no_table_is_no_crash() -> None:
    assert tables_from_form({"load": []}, typed_picks(1))["load"]["pick_point"][0]["name"] == "P0"


@pytest.mark.parametrize(
    ("typed", "low", "high"),
    [
        ("11 000 lb to 12 500 lb", "11 000 lb", "12 500 lb"),
        ("from 11 000 lb up to 12 500 lb", "11 000 lb", "12 500 lb"),
        ("11 000 lb – 12 500 lb", "11 000 lb", "12 500 lb"),
        ("11 000 lb a 12 500 lb", "11 000 lb", "12 500 lb"),
        ("De 5 t hasta 5.5 t", "5 t", "5.5 t"),
        ("11 000 to 12 500 lb", "11 000 lb", "12 500 lb"),
        ("5 a 5.5 t", "5 t", "5.5 t"),
    ],
)
def test_a_range_is_read_in_the_words_of_either_language(typed: str, low: str, high: str) -> None:
    assert tables_from_form({}, {"load.weight": typed})["load"]["weight"] == {"low": low, "high": high}


def test_a_unit_of_two_parts_is_not_carried_over() -> None:
    """9 to 9 ft 6 in: what the first figure is of is not said."""
    place = tables_from_form({}, {"load.centre_of_gravity": "9 to 9 ft 6 in; 2 ft; 1 ft"})["load"]
    assert place["centre_of_gravity"]["low"][0] == "9"


@pytest.mark.parametrize("said", ["unknown", "Unknown", "desconocido", "No lo sé", "I don't know", "?"])
def test_that_nobody_knows_is_read_in_either_language(said: str) -> None:
    assert tables_from_form({}, {"load.weight": said})["load"]["weight"] == "unknown"


def test_a_box_for_the_centre_is_shown_as_people_write_it_and_read_back() -> None:
    low, high = ["16 ft 8 in", "3 ft 11 in", "22 in"], ["17 ft 4 in", "4 ft 1 in", "22 in"]
    tables = {"load": {"centre_of_gravity": {"low": low, "high": high}, "weight": "unknown"}}
    for language, to, unknown in (("en", "to", "unknown"), ("es", "a", "desconocido")):
        found = fields_of(tables, language)
        shown = found["load.centre_of_gravity"]
        assert shown == f"16 ft 8 in {to} 17 ft 4 in; 3 ft 11 in {to} 4 ft 1 in; 22 in"
        assert found["load.weight"] == unknown
        assert tables_from_form({}, found)["load"] == tables["load"]


def test_thousands_are_parted_as_the_page_s_language_reads_them_and_read_back() -> None:
    """Where a comma is the decimal sign "2,750 lb" would be read as less than three pounds."""
    pick = {"name": "1,000 lug", "at": ["0 in", "2,500 mm", "1 in"], "rated": "12,000 lb"}
    weight = {"low": "2,750 lb", "high": "1,003,050 lb"}
    tables = {"title": "Bay 1,200", "load": {"weight": weight, "pick_point": [pick]}}
    for language, shown, rated in (
        ("en", "2,750 lb to 1,003,050 lb", "12,000 lb"),
        ("es", "2 750 lb a 1 003 050 lb", "12 000 lb"),
    ):
        found, row = fields_of(tables, language), pick_rows(tables, language)[0]
        assert (found["load.weight"], row["rated"]) == (shown, rated)
        assert (found["title"], row["name"]) == ("Bay 1,200", "1,000 lug"), "words stay as they were written"
        read = tables_from_form({}, found)["load"]["weight"]
        assert [parse_weight_n(read[end], "") for end in ("low", "high")] == [
            parse_weight_n(weight[end], "") for end in ("low", "high")
        ]


@pytest.mark.parametrize("section", ["desk-hints", "desk-hints-si"])
@pytest.mark.parametrize("language", languages())
def test_what_a_field_s_hint_shows_is_read(language: str, section: str) -> None:
    """Every range that a hint gives as its example: a lift with it reads."""
    hints = read_catalogue(language).sections[section]
    for path in (field.path for field in FIELDS if field.ranged):
        _, _, example = hints[path].rpartition(": ")
        typed = example.rstrip(".")
        if path == "load.centre_of_gravity":
            typed += "; 2 ft; 1 ft"
        got = tables_from_form({}, {path: typed})["load"][path.partition(".")[2]]
        assert set(got) == {"low", "high"}, (path, typed)


@pytest.mark.parametrize(
    ("said", "read"),
    [
        ("free", "free"),
        ("Libre", "free"),
        ("desconocido", "unknown"),
        ("unknown", "unknown"),
        ("60 deg", "60 deg"),
        ("", ""),
    ],
)
def test_how_a_choke_hangs_is_read_in_either_language(said: str, read: str) -> None:
    assert choke_of(said) == read
