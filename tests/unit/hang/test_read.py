"""Each reading method: what it lets through to the bit, what it refuses in which words, what stands in."""

import math

import pytest

from slingwright.errors import InputFault
from slingwright.hang._read import Reader


def _told(call):
    """What one reading method tells, as (problem, hint), and what it gives."""
    read = Reader()
    value = call(read)
    return [(f.problem, f.hint) for f in read.faults], value


@pytest.mark.parametrize("low", [1.0, 0.0])
def test_a_number_may_stand_on_its_bounds_but_not_beyond(low):
    def read(value, **more):
        return _told(lambda r: r.number(value, "f", low=low, high=3.0, unit="N", **more))

    for value in (low, 3.0, 2):
        assert read(value) == ([], value)
    hint = f"must be at least {low:g} and at most 3 N; check the unit"
    for value in (math.nextafter(low, -1), 3.0000001, -5):
        assert read(value) == ([(f"{value:g} is out of range", hint)], 1.0)
    above = f"must be more than {low:g} and at most 3 N; check the unit"
    assert read(low, above=True) == ([(f"{low:g} is out of range", above)], 1.0)
    assert read(math.nextafter(low, 9), above=True)[0] == []
    assert isinstance(read(2)[1], float)


@pytest.mark.parametrize(("low", "high", "harmless"), [(2.0, 9.0, 2.0), (0.0, 0.5, 0.5), (0.0, 9.0, 1.0)])
def test_what_stands_in_for_a_wrong_number_is_in_range(low, high, harmless):
    for wrong in (None, True, "much", math.nan, math.inf, 10**400, 99.0):
        faults, value = _told(lambda r, w=wrong: r.number(w, "f", low=low, high=high))
        assert value == harmless
        assert len(faults) == 1


def test_a_wrong_number_is_told_by_what_is_wrong_with_it():
    def problem(value, **more):
        ((text, hint),), _ = _told(lambda r: r.number(value, "f", low=0.0, high=9.0, **more))
        return text, hint

    assert problem(None, unit="N") == ("is missing", "give a number in N")
    assert problem(None) == ("is missing", "give a number")
    assert problem("much") == ("must be a number, not 'much'", "")
    assert problem(True) == ("must be a number, not True", "")
    assert problem(10**400) == problem(math.nan) == ("must be a finite number", "")
    assert problem(99)[1] == "must be at least 0 and at most 9; check the unit"


def test_long_wrong_values_are_shown_shortened():
    """Forty characters of the value, quotes and the mark of what is left out included."""
    for size, shown in ((38, "'" + 38 * "x" + "'"), (39, "'" + 38 * "x" + "…")):
        ((text, _),), _ = _told(lambda r, n=size: r.number(n * "x", "f", low=0.0, high=9.0))
        assert text == f"must be a number, not {shown}"


def test_a_whole_number():
    def read(value):
        return _told(lambda r: r.whole(value, "f", low=2, high=5))

    assert [read(v) for v in (2, 3, 5)] == [([], 2), ([], 3), ([], 5)]
    for value in (1, 6):
        assert read(value) == ([(f"{value} is out of range", "must be between 2 and 5")], 2)
    assert read(None) == ([("is missing", "")], 2)
    assert read(True) == ([("must be a whole number, not True", "")], 2)
    assert read(3.0) == ([("must be a whole number, not 3.0", "")], 2)


def test_a_list_has_a_bounded_number_of_entries():
    def read(value):
        return _told(lambda r: r.items(value, "f", 2, 3))

    assert read([1, 2]) == ([], [1, 2])
    assert read((1, 2, 3)) == ([], (1, 2, 3))
    for value in ([1], [1, 2, 3, 4]):
        assert read(value) == ([(f"has {len(value)} entries", "between 2 and 3 are allowed")], ())
    assert read(None) == ([("is missing", "")], ())
    assert read("ab") == ([("must be a list, not 'ab'", "")], ())


def test_a_vector():
    def read(value):
        reader = Reader()
        vector = reader.vector(value, "f", size=2.0)
        return vector, [(f.field, f.problem, f.hint) for f in reader.faults]

    assert read([2, -2.0, 0]) == ((2.0, -2.0, 0.0), [])
    value, ((field, problem, hint),) = read([0, 3, 1])
    assert (value, field, problem) == ((0.0, 1.0, 1.0), "f[1]", "3 is out of range")
    assert hint == "must be at least -2 and at most 2 m; check the unit"
    assert read([0, 0, -2.5])[1][0][0] == "f[2]"
    assert read(None) == ((0.0, 0.0, 0.0), [("f", "is missing", "metres, z up")])
    assert read([1, 2]) == (
        (0.0, 0.0, 0.0), [("f", "must be three numbers [x, y, z], not [1, 2]", "metres, z up")],
    )  # fmt: skip
    assert len(read("xyz")[1]) == len(read([1, 2, 3, 4])[1]) == 1


def test_a_name_is_short_and_not_empty():
    def read(value, *default):
        return _told(lambda r: r.text(value, "f", *default))

    assert read("A") == ([], "A")
    assert read(None, "leg 1") == ([], "leg 1")
    assert read(None) == ([("is missing", "")], "f")
    assert read(80 * "x")[0] == []
    assert len(read(81 * "x")[0]) == 1
    assert read("  ", "leg 1") == ([("must be a short name, not '  '", "")], "leg 1")
    assert read("", "leg 1")[1] == read(7, "leg 1")[1] == "leg 1"
    assert read(7) == ([("must be a short name, not 7", "")], "f")


def test_a_table_names_what_it_does_not_know():
    def read(value, field="f", keys=("length_m", "name")):
        read = Reader()
        table = read.table(value, field, keys)
        return [(f.field, f.problem, f.hint) for f in read.faults], table

    assert read({"name": 1}) == ([], {"name": 1})
    assert read({"lenght": 1})[0] == [("f.lenght", "unknown key", "did you mean length_m?")]
    assert read({"q": 1}, "")[0] == [("q", "unknown key", "known keys: length_m, name")]
    assert read({50 * "q": 1})[0][0][0] == "f." + 40 * "q"
    assert read(3) == ([("f", "must be a table, not 3", "")], {})
    # half alike is near enough to be meant, less is not
    assert read({"abxy": 1}, keys=("abcd",))[0][0][2] == "did you mean abcd?"
    assert read({"axyz": 1}, keys=("abcd",))[0][0][2] == "known keys: abcd"
    # the nearest alone is named
    assert read({"names": 1}, keys=("name", "named"))[0][0][2] in (
        "did you mean name?",
        "did you mean named?",
    )


def test_nothing_is_raised_where_nothing_is_at_fault():
    read = Reader()
    read.stop_if_faulty()
    read.fault("f", "is odd")
    assert read.faults[0].hint == ""
    with pytest.raises(InputFault, match="is odd"):
        read.stop_if_faulty()
