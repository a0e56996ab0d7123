"""Pick points typed on the page survive a fault elsewhere: each in its own row, none lost."""

import pytest

from slingwright.desk.form import pick_rows, tables_from_form, typed_rows
from slingwright.errors import InputFault

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
