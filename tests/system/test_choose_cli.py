"""`slingwright choose` from end to end: every example lift, and files that are wrong.

Lifts that go round a load, and beams, take a coarse twin of the example's shop (lengths by the foot) to keep
the tests quick; the rest take the shop as it ships.
"""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pytest

from slingwright import __version__
from tests.choosing import CUT_SHORT, printed, run_command
from tests.lifts import EXAMPLES, NAMES, lift_document

Doc = dict[str, Any]

# exit status, and whether the coarse shop answers
EXPECTED = {
    "barrier_mesh": (0, False),
    "caustic_heat_exchanger": (0, False),
    "chiller": (0, False),
    "compressor_en": (0, False),
    "conduit_bundle": (0, True),
    "crane_rail_beam": (0, False),
    "duct_section": (0, True),
    "hot_casting": (1, False),  # too hot for any web sling
    "pipe_40ft": (0, True),
    "pontoon_two_hooks": (0, True),
    "precast_stair": (0, True),
    "pump_skid_parts": (0, True),
    "scrubber_vessel": (1, False),  # it would turn over
    "yard_launch": (0, True),
}


def test_every_example_is_here() -> None:
    assert set(EXPECTED) == set(NAMES)


@pytest.mark.parametrize("name", EXPECTED)
def test_an_example_is_answered_with_its_papers(name: str) -> None:
    code, coarse = EXPECTED[name]
    done = printed(name, coarse=coarse)
    document = done.document
    if name in CUT_SHORT:  # out of time it may have found nothing yet
        code = 0 if document["offers"] else 1
    assert done.code == code
    assert "Traceback" not in done.err
    assert document["schema"] == "slingwright/offers/1"
    assert document["answer"] == ("stop" if code else "offers")
    assert bool(document["offers"]) is (code == 0)
    assert done.sheet is not None
    assert done.sheet.startswith(b"%PDF-")
    assert (done.drawing is not None) is (code == 0)  # what does not hang is not drawn
    if done.drawing is not None:
        assert "<svg" in done.drawing[:400]
    assert document["cautions"]  # local codes and a qualified person


@pytest.mark.parametrize("name", EXPECTED)
def test_the_head_says_who_made_it_from_what_and_nothing_of_this_machine(name: str) -> None:
    done = printed(name, coarse=EXPECTED[name][1])
    made_by = done.document["made_by"]
    assert set(made_by) == {"tool", "rulebook", "shop_sha256", "price_book", "input_sha256", "seed"}
    assert made_by["tool"] == f"slingwright {__version__}"
    assert made_by["rulebook"]["id"] == ("en" if name == "compressor_en" else "us")
    assert made_by["rulebook"]["adopted"] is None  # the example ships unadopted
    assert {len(made_by[key]) for key in ("shop_sha256", "input_sha256")} == {64}
    for place in (str(Path.home()), str(EXAMPLES), str(Path.cwd())):
        assert place.encode() not in done.out


@pytest.mark.parametrize("name", EXPECTED)
def test_every_offer_is_for_planning_and_in_its_order(name: str) -> None:
    document = printed(name, coarse=EXPECTED[name][1]).document
    offers = document["offers"]
    for offer in offers:
        assert offer["planning_only"]
        assert offer["price"]["price_minor"] > 0
        assert all(f["citation"]["document"] for f in offer["findings"])
        assert not [f for f in offer["findings"] if f["outcome"] == "stop"]
    if offers:
        assert "best" in offers[0]["picked_for"]
        assert offers[0]["order"]["grade"] == min(offer["order"]["grade"] for offer in offers)
        assert document["search"]["proved"] or name in CUT_SHORT
        assert document["search"]["solved"] > 0


@pytest.mark.parametrize(("name", "rule"), [("hot_casting", "temperature"), ("scrubber_vessel", "stability")])
def test_a_stop_names_the_rule_that_stops_it(name: str, rule: str) -> None:
    document = printed(name).document
    found = document["stops"] + [refused["finding"] for refused in document["refused"]]
    assert any(f["rule"] in (rule, "wrong-tool") and f["outcome"] == "stop" for f in found)
    assert all(f["text"] for f in found)


def test_the_worst_leg_told_beside_the_rule_is_the_one_that_pulls_hardest() -> None:
    """The rule's one figure governs all four legs alike: by design tension none of them is the worst."""
    document = printed("chiller").document
    offer = document["offers"][0]
    assert len({sling["design_tension_n"] for sling in offer["slings"]}) == 1
    pulls = [path["tension_n"] for case in offer["cases"] for path in case["result"]["paths"]]
    assert offer["rule_against_hang"]["hang_n"] == max(pulls)


def test_the_same_input_prints_the_same_bytes_but_for_the_clock() -> None:
    """`search.seconds` is the one figure that a clock makes."""
    first = printed("chiller")
    again = run_command(["choose", str(EXAMPLES / "chiller.toml"), "--json", "--at", "2026-05-31"])

    def timeless(out: bytes) -> list[bytes]:
        return [line for line in out.splitlines() if not line.strip().startswith(b'"seconds":')]

    assert timeless(first.out) == timeless(again.out)
    assert len(first.out.splitlines()) - len(timeless(first.out)) == 1


def test_text_for_people_names_the_sling_and_where_the_papers_are(tmp_path: Path) -> None:
    sheet = tmp_path / "sheet.pdf"
    done = run_command(["choose", str(EXAMPLES / "hot_casting.toml"), "--sheet", str(sheet)])
    assert done.code == 1
    assert str(sheet).encode() in done.out
    assert sheet.read_bytes().startswith(b"%PDF-")


def test_offers_and_their_cautions_are_printed_before_it_is_looked_up_why_others_are_refused(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("slingwright.choose.answer._refused", interrupted)
    done = run_command(["choose", str(EXAMPLES / "chiller.toml")])
    assert done.code == 130
    told = done.out.decode()
    assert told.index("Offer 1") < told.index("A qualified person must approve the lift")
    assert "What was searched" not in told
    # with a paper, or an offer that is not there, nothing is printed before all is well
    for options in (["--drawing", "unwritten.svg"], ["--offer", "99"]):
        assert run_command(["choose", str(EXAMPLES / "chiller.toml"), *options]).out == b""


def test_each_block_of_an_answer_is_printed_once() -> None:
    told = run_command(["choose", str(EXAMPLES / "chiller.toml"), "--no-explain"]).out.decode()
    for title in ("Offer 1", "Before anyone lifts", "What was searched"):
        assert told.count(title) == 1


def test_a_search_cut_short_is_no_stop_of_the_lift(tmp_path: Path) -> None:
    """Nothing found so far is not that nothing fits: neither the terminal nor the sheet says so."""
    sheet = tmp_path / "sheet.pdf"
    chiller = str(EXAMPLES / "chiller.toml")
    done = run_command(["choose", chiller, "--limit", "1e-9", "--sheet", str(sheet)])
    assert done.code == 1
    printed_sheet = pdfium.PdfDocument(sheet)[0].get_textpage().get_text_range()
    for told in (done.out.decode(), printed_sheet):
        assert "This lift stops here" not in told
        assert "No answer: the search was cut short" in told
        assert "One that does may be left" in done.out.decode()


@pytest.mark.parametrize(
    ("option", "value", "wanted"), [("--limit", "5s", "number"), ("--offer", "x", "whole number")]
)
def test_an_option_that_is_no_number_says_how_one_is_written(option: str, value: str, wanted: str) -> None:
    done = run_command(["choose", str(EXAMPLES / "chiller.toml"), option, value])
    assert done.code == 2
    assert f'{option}: "{value}" is no {wanted}' in done.err
    assert "write it like 2" in done.err


# -- twenty files that are wrong --------------------------------------------------------------------------


def _with(*changes: tuple[str, Any]) -> Callable[[], str]:
    """The chiller with keys set (or dropped, where the value is None), as JSON."""

    def make() -> str:
        doc = copy.deepcopy(lift_document("chiller"))
        for way, value in changes:
            place: Any = doc
            *path, last = (int(x) if x.isdigit() else x for x in way.split("/"))
            for key in path:
                place = place[key]
            if value is None:
                del place[last]
            else:
                place[last] = value
        return json.dumps(doc)

    return make


WRONG: dict[str, tuple[Callable[[], str], tuple[str, ...]]] = {
    "no weight": (_with(("load/weight", None)), ("load.weight",)),
    "a bare ton": (_with(("load/weight", "5 ton")), ("load.weight",)),
    "a bare t under us": (_with(("load/weight", "5 t")), ("load.weight",)),
    "a length for a weight": (_with(("load/weight", "5 ft")), ("load.weight",)),
    "weight below nothing": (_with(("load/weight", "-5 lb")), ("load.weight",)),
    "an unknown key": (_with(("load/wieght", "5 lb")), ("load.wieght",)),
    "an unknown table": (_with(("hok", {})), ("hok",)),
    "no hook": (_with(("hook", None)), ("hook",)),
    "no headroom": (_with(("hook/headroom", None)), ("hook.headroom",)),
    "headroom as a word": (_with(("hook/headroom", "plenty")), ("hook.headroom",)),
    "a pick of two figures": (_with(("load/pick_point/2/at", ["1 in", "2 in"])), ("load.pick_point[2].at",)),
    "a pick of no length": (
        _with(("load/pick_point/1/at", ["1 in", "2 lb", "3 in"])),
        ("load.pick_point[1].at[1]",),
    ),
    "two picks of one name": (_with(("load/pick_point/1/name", "A")), ("load.pick_point[1].name",)),
    "no such rulebook": (_with(("rulebook", "uk")), ("rulebook",)),
    "no such wish": (_with(("want/by", "colour")), ("want.by",)),
    "an angle past upright": (_with(("want/least_angle", "120 deg")), ("want.least_angle",)),
    "a bare temperature": (_with(("site/temperature", ["20", "110 °F"])), ("site.temperature[0]",)),
    "four faults at once": (
        _with(
            ("load/weight", "5 ton"),
            ("hook/headroom", "plenty"),
            ("want/by", "colour"),
            ("load/pick_point/2/at", ["1 in", "2 in"]),
        ),
        ("load.weight", "hook.headroom", "want.by", "load.pick_point[2].at"),
    ),
    "no TOML": (lambda: "load = [", ("",)),
    "an empty file": (lambda: "", ("load", "hook")),
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_lift_file_is_exit_2_with_every_field_and_nothing_written(tmp_path: Path, name: str) -> None:
    make, fields = WRONG[name]
    text = make()
    path = tmp_path / ("lift.json" if text.startswith("{") else "lift.toml")
    path.write_text(text, encoding="utf-8")
    line = ["choose", str(path), "--shop", str(EXAMPLES / "shop.toml")]
    line += ["--sheet", str(tmp_path / "sheet.pdf"), "--drawing", str(tmp_path / "drawing.svg")]
    for_people = run_command(line)
    assert for_people.code == 2
    assert for_people.out == b""
    assert "Traceback" not in for_people.err
    done = run_command([*line, "--json"])
    assert done.code == 2
    document = done.document
    assert document["schema"] == "slingwright/fault/1"
    told = [fault["field"] for fault in document["faults"]]
    for field in fields:
        assert any(x == field or (field and x.startswith(f"{field}[")) for x in told), told
        assert field in for_people.err
    assert document["field"] == told[0]
    assert all(fault["problem"] for fault in document["faults"])
    assert {p.name for p in tmp_path.iterdir()} == {path.name}


def test_there_are_twenty_of_them() -> None:
    assert len(WRONG) == 20
