"""`slingwright make`: patterns rebuilt from what is printed, gates that hold, the traveler read back."""

from __future__ import annotations

import itertools
import math
import re
from pathlib import Path
from typing import Any

import pypdfium2 as pdfium
import pytest

from slingwright.rulebook import load_rulebook
from tests.adopting import AT, adopted_folder
from tests.shops import EXAMPLE
from tests.system.command import Command
from tests.system.test_cli_make_quote import text_of

SHOP = ("--shop", EXAMPLE / "shop.toml")
ORDER = EXAMPLE / "order.toml"
INCH_MM = 25.4
POUND_N = 4.4482216152605  # 1 lbf: international pound (0.45359237 kg) times 9.80665 m/s²
FORMS = {
    name: f'form = "{form}", fibre = "{fibre}", class = 7, '
    f'plies = {plies}, width = "{width}", length = "{length}"'
    for name, form, fibre, plies, width, length in (
        ("flat-eye", "flat-eye", "nylon", 2, "4 in", "12 ft"),
        ("twisted-eye", "twisted-eye", "polyester", 2, "2 in", "9 ft"),
        ("endless", "endless", "polyester", 1, "2 in", "6 ft"),
        ("triangles", "triangle-choker", "polyester", 1, "3 in", "10 ft"),
        ("metric", "flat-eye", "polyester", 1, "60 mm", "3 m"),
    )
}


def order_text(spec: str, more: str = "", *, rulebook: str = "us", head: str = "") -> str:
    return (
        f'schema = "slingwright/order/1"\nnumber = "T-1"\nrulebook = "{rulebook}"\n{head}\n'
        f"[[line]]\nspec = {{ {spec} }}\n{more}\n"
    )


def released(command: Command, folder: Path, spec: str, more: str = "") -> tuple[Path, tuple[Any, ...]]:
    """An order with the customer's acceptance in it, beside a shop whose gates are open."""
    options = adopted_folder(folder)
    order = folder / "order.toml"
    order.write_text(order_text(spec, more))
    found = command.answers("make", "make", order, *options, code=1)
    digest = found["approval"]["drawing_sha256"]
    approved = f'[approved]\nby = "C. Customer"\non = 2026-02-27\ndrawing_sha256 = "{digest}"\n'
    order.write_text(order_text(spec, f"{more}\n{approved}"))
    return order, options


def stretches(piece: dict[str, Any]) -> list[tuple[str, float]]:
    return [(s["name"], s["length_mm"]) for s in piece["stretches"]]


def eyed_length_mm(piece: dict[str, Any], twist_mm: float) -> tuple[float, float, float]:
    """Body, eye and lap of a folded ply: between the crowns lies the sling from bearing to bearing."""
    names = [name for name, _ in stretches(piece)]
    assert names == ["trim", "lap", "eye", "crown", "body", "crown", "eye", "lap", "trim"]
    size = [length for _, length in stretches(piece)]
    assert size[1] == size[7]
    assert size[2] == size[6]
    return size[4] - 2 * twist_mm, size[2] - twist_mm, size[1]


@pytest.mark.parametrize("name", ["flat-eye", "twisted-eye", "metric"])
def test_the_printed_pieces_fold_to_the_sling(command: Command, tmp_path: Path, name: str) -> None:
    """Length, eyes, laps and plies come back from the stretches; shop practice read from its own file."""
    order = tmp_path / "order.toml"
    rulebook = "en" if name == "metric" else "us"
    order.write_text(order_text(FORMS[name], rulebook=rulebook))
    (line,) = command.answers("make", "make", order, *SHOP, code=1)["lines"]
    spec, pieces = line["spec"], line["pattern"]["pieces"]
    twist = 0.05 * spec["width_m"] * 1000 if name == "twisted-eye" else 0.0
    plies = [piece for piece in pieces if piece["role"] == "ply"]
    assert sum(piece["count"] for piece in plies) == spec["plies"]
    for piece in plies:
        body, eye, lap = eyed_length_mm(piece, twist)
        assert body == pytest.approx(1000 * spec["length_m"], abs=0.01)
        assert eye == pytest.approx(1000 * spec["eye_m"], abs=0.01)
        assert lap == pytest.approx(1000 * line["pattern"]["lap_m"], abs=0.01)
        assert sum(length for _, length in stretches(piece)) == pytest.approx(piece["cut_mm"], abs=1e-6)
    assert line["webbing_mm"] == sum(piece["count"] * piece["cut_mm"] for piece in pieces)
    # the outer ply runs a half circle one thickness (and its folds) farther out at each crown
    crowns = [dict(stretches(piece))["crown"] for piece in plies]
    step = {"flat-eye": 2 * 3 / 16 * INCH_MM, "twisted-eye": 3 / 16 * INCH_MM, "metric": 0.0}[name]
    for inner, outer in itertools.pairwise(crowns):
        assert outer - inner == pytest.approx(math.pi * step, abs=0.01)


def test_an_endless_sling_goes_twice_its_length(command: Command, tmp_path: Path) -> None:
    order = tmp_path / "order.toml"
    order.write_text(order_text(FORMS["endless"]))
    (line,) = command.answers("make", "make", order, *SHOP, code=1)["lines"]
    (piece,) = line["pattern"]["pieces"]
    turns = [length for name, length in stretches(piece) if name == "turn"]
    middle = 3 / 16 * INCH_MM / 2  # its middle surface lies half a thickness out
    assert turns == pytest.approx([2 * 72 * INCH_MM + 2 * math.pi * middle], abs=0.01)


def test_a_fitted_sling_reaches_from_bearing_to_bearing(command: Command, tmp_path: Path) -> None:
    """Fittings' reach and bar as the shop's file has them: 4 in and 6 in, bars of 3/4 in."""
    order = tmp_path / "order.toml"
    order.write_text(order_text(FORMS["triangles"]))
    (line,) = command.answers("make", "make", order, *SHOP, code=1)["lines"]
    (piece,) = line["pattern"]["pieces"]
    body = dict(stretches(piece))["body"]
    assert body / INCH_MM + 4 + 6 + 2 * 0.75 / 2 == pytest.approx(120, abs=1e-3)
    assert line["fittings"] == ["triangle", "choker-triangle"]


def test_the_examples_order_waits_for_every_gate(command: Command, tmp_path: Path) -> None:
    traveler, approval = tmp_path / "t.pdf", tmp_path / "a.pdf"
    options = (*SHOP, *AT, "--traveler", traveler, "--approval", approval)
    found = command.answers("make", "make", ORDER, *options, code=1)
    assert found["answer"] == "stop"
    assert found["planning_only"] is True
    for line in found["lines"]:
        assert {gate["gate"]: gate["open"] for gate in line["gates"]} == dict.fromkeys(
            ("table", "pattern", "lot"), False
        )
    assert found["approval"]["gate"]["open"] is False
    assert not traveler.exists()
    text = text_of(approval)
    for wanted in (
        found["approval"]["drawing_sha256"],
        "PLANNING ONLY",
        "Order HQ-1042",
        "Saltmarsh Boatyard",
        "6,200 lb",
        "9 ft (2.743 m)",
        "within 2 9/16 in",
        "Made length",
        "alike within 1/2 in",
        "basket 90° 12,400 lb, 60° 10,730 lb",
        "polyester",
        "each sling its own",
        "Accepted for the customer",
        "Harrow Quay Sling Loft",
    ):
        assert wanted in text, wanted
    assert "SPECIMEN" not in text


def test_a_specimen_says_so_on_every_page(command: Command, tmp_path: Path) -> None:
    pdf = tmp_path / "t.pdf"
    command("make", ORDER, *SHOP, *AT, "--traveler", pdf, "--specimen")
    # the mark of an archival file (ISO 19005-2), tables over pages too
    assert b"pdfaid:part" in pdf.read_bytes()
    said: list[str] = []
    paper = pdfium.PdfDocument(pdf)
    try:
        assert len(paper) >= 2
        for page in paper:
            text = page.get_textpage()
            assert "SPECIMEN, NOT FOR SERVICE" in text.get_text_range().replace("\r\n", " ")
            said.append(" ".join(text.get_text_range().split()))
            text.close()
            page.close()
    finally:
        paper.close()
    assert "Nobody stands in line with a sling under pull" in " ".join(said)
    assert "Local codes and the site's own rules come first." in said[-1]


def test_a_released_order_has_its_traveler(command: Command, tmp_path: Path) -> None:
    order, options = released(
        command, tmp_path / "shop", FORMS["twisted-eye"], 'quantity = 4\nmatched = true\nloft = "quay"\n'
    )
    pdf, again = tmp_path / "t.pdf", tmp_path / "u.pdf"
    found = command.answers("make", "make", order, *options, *AT, "--traveler", pdf)
    assert found["answer"] == "released"
    (line,) = found["lines"]
    assert line["lots"] == ["HQ-P7-114"]
    assert line["serials"] == ["T-1-1-1", "T-1-1-2", "T-1-1-3", "T-1-1-4"]
    # proof: 200 % of the vertical rated load within -5 %/+0 % (DOE-STD-1090-96 11.3.5.2, read)
    assert line["proof"]["load_n"] == pytest.approx(2 * 6200 * POUND_N)
    assert line["proof"]["low_n"] == pytest.approx(0.95 * 2 * 6200 * POUND_N)
    assert line["proof"]["high_n"] == pytest.approx(2 * 6200 * POUND_N)
    # made length: 1.5 % and 1 in, as the shop's file has it
    assert line["length_tolerance_m"] == pytest.approx((0.015 * 108 + 1) * 0.0254)
    text = text_of(pdf)
    assert "SPECIMEN" not in text
    for wanted in (
        "Order T-1",
        "Quay Loft",
        "HQ-P7-114 (HQ-LC-0114 (invented))",
        *line["serials"],
        "12,400 lb",
        "11,780 lb",
        "DOE-STD-1090-96",
        "Webbing lot and roll",
        "Thread lot",
        "Done by",
        "half turn",
        "lockstitch",
        "7 rows across",
        "approval drawing accepted by C. Customer, 2026-02-27",
        "Made lengths",
        "no more than 1/2 in",
    ):
        assert wanted in text, wanted
    for piece in line["pattern"]["pieces"]:
        at = 0.0
        for _, length in stretches(piece):
            at += length
            assert re.search(rf"\b{math.floor(at + 0.5):,}\b".replace(",", " "), text)
    command("make", order, *options, *AT, "--traveler", again)
    assert again.read_bytes() == pdf.read_bytes()


@pytest.mark.parametrize(
    ("file", "old", "new", "gate"),
    [
        ("shop.toml", '"twisted-eye/polyester/7/2p/0.0508/0.2540"', '"none"', "pattern"),
        ("rolls.toml", ', certificate = "HQ-LC-0114 (invented)"', "", "lot"),
        ("order.toml", 'loft = "quay"', 'loft = "quay"\nlot = "HQ-P7-098"', "lot"),
        ("order.toml", 'loft = "quay"', 'loft = "fell"', "pattern"),
        ("order.toml", 'length = "9 ft"', 'length = "9 ft 1 in"', "approval"),
        ("order.toml", "quantity = 4", "quantity = 5", "approval"),
        ("order.toml", "matched = true", 'length_tolerance = "2 in"', "approval"),
    ],
)
def test_each_gate_shuts_alone(
    command: Command, tmp_path: Path, file: str, old: str, new: str, gate: str
) -> None:
    more = 'quantity = 4\nmatched = true\nloft = "quay"\n'
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], more)
    changed = tmp_path / "shop" / file
    assert old in changed.read_text()
    changed.write_text(changed.read_text().replace(old, new))
    pdf = tmp_path / "t.pdf"
    found = command.answers("make", "make", order, *options, *AT, "--traveler", pdf, code=1)
    gates = [*found["lines"][0]["gates"], found["approval"]["gate"]]
    assert gate in {one["gate"] for one in gates if not one["open"]}
    assert not pdf.exists()


def test_an_order_without_adoption_is_not_released(command: Command, tmp_path: Path) -> None:
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], 'loft = "quay"\n')
    found = command.answers("make", "make", order, *options[:2], code=1)
    assert [g["gate"] for g in found["lines"][0]["gates"] if not g["open"]] == ["table"]


@pytest.mark.parametrize(
    ("spec", "more", "code"),
    [
        (FORMS["twisted-eye"].replace("twisted-eye", "return-eye"), "", "form-not-sewn"),
        (FORMS["endless"], 'loft = "strand"', "not-at-loft"),
        (FORMS["twisted-eye"].replace('"2 in"', '"5 in"'), "", "webbing-not-kept"),
    ],
)
def test_what_cannot_be_made_is_refused(
    command: Command, tmp_path: Path, spec: str, more: str, code: str
) -> None:
    order = tmp_path / "order.toml"
    order.write_text(order_text(spec, more))
    found = command.answers("make", "make", order, *SHOP, code=1)
    assert [one["code"] for one in found["refused"]] == [code]
    assert found["lines"] == []


def test_metric_and_european(command: Command, tmp_path: Path) -> None:
    """EN has no band round its proof load, and no tolerance is invented for it."""
    order, pdf = tmp_path / "order.toml", tmp_path / "t.pdf"
    order.write_text(
        order_text(FORMS["metric"], rulebook="en", head='customer = "' + "Æ very long name " * 9 + '"')
    )
    found = command.answers("make", "make", order, *SHOP, *AT, "--traveler", pdf, "--specimen", code=1)
    (line,) = found["lines"]
    assert (line["proof"]["low_n"], line["proof"]["high_n"]) == (None, None)
    text = text_of(pdf)
    assert "states no band" in text
    assert load_rulebook("us").proof_test()[0].citation.document not in text
    assert ("Æ very long name " * 9).strip() in text
    assert "60 mm" in text


def test_webbing_is_conserved_from_order_to_plan_to_shelf(command: Command, tmp_path: Path) -> None:
    """Pieces of the traveler = pieces of the plan; what the mounted rolls lose = all that was not kept."""
    order, options = released(
        command, tmp_path / "shop", FORMS["twisted-eye"], 'quantity = 6\nmatched = true\nloft = "quay"\n'
    )
    rolls = tmp_path / "shop" / "rolls.toml"
    made = 'fibre = "polyester", class = 7, width = "2 in", length = "44.1 m"'
    better = f'  {{ id = "R-98", {made}, lot = "X", loft = "quay" }},'  # just enough, but for its certificate
    rolls.write_text(rolls.read_text().replace("\n]", f"\n{better}\n]"))
    job = tmp_path / "job.json"
    (line,) = command.answers("make", "make", order, *options, *AT, "--cut-job", job)["lines"]
    plan = command.answers("cut-plan", "cut", job)
    (one,) = plan.get("plans", [plan])
    assert one["status"] == "optimal"
    cut = {int(length): n for roll in one["plan"] for length, n in roll["cut"].items()}
    wanted = {piece["cut_mm"]: 6 * piece["count"] for piece in line["pattern"]["pieces"]}
    assert cut == wanted
    scrap = one["scrap"]
    assert scrap["pieces_mm"] == 6 * line["webbing_mm"]
    parts = ("pieces_mm", "kerf_mm", "trim_mm", "short_ends_mm", "remnants_mm")
    assert scrap["mounted_mm"] == sum(scrap[part] for part in parts)
    assert {roll["lot"] for roll in one["plan"]} == {"HQ-P7-114"}  # the certified lot at that loft


def test_an_order_of_two_lofts_is_cut_from_each_ones_rolls(command: Command, tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    command("make", ORDER, *SHOP, *AT, "--cut-job", job)
    plan = command.answers("cut-plan", "cut", job)
    names = {one["name"]: {roll["roll"] for roll in one["plan"]} for one in plan["plans"]}
    assert set(names) == {"polyester class 7 50.8 mm at quay", "polyester class 7 50.8 mm at fell"}
    assert names["polyester class 7 50.8 mm at quay"] <= {"R-02"}
    assert names["polyester class 7 50.8 mm at fell"] <= {"R-03", "R-04"}


def test_the_cut_list_reads_back_as_its_plan(command: Command, tmp_path: Path) -> None:
    job, pdf, again = tmp_path / "job.json", tmp_path / "cut.pdf", tmp_path / "again.pdf"
    command("make", ORDER, *SHOP, *AT, "--cut-job", job)
    plan = command.answers("cut-plan", "cut", job, *AT, "--pdf", pdf)
    text = text_of(pdf).replace("\u00a0", " ")
    for one in plan["plans"]:
        assert one["name"] in text
        for roll in one["plan"]:
            rest = f"{roll['leftover']:,} mm".replace(",", " ")
            for wanted in (roll["roll"], roll["lot"], f"{roll['stock_length']:,} mm".replace(",", " "), rest):
                assert wanted in text, wanted
            for length, count in roll["cut"].items():
                shown = f"{int(length):,} mm".replace(",", " ")
                told = [int(n) for n in re.findall(rf"(\d+) × {shown}", text)]
                assert sum(told) == count
    assert "proved, no plan costs less" in text
    assert "no piece is spliced" in text
    command("cut", job, *AT, "--pdf", again)
    assert again.read_bytes() == pdf.read_bytes()
