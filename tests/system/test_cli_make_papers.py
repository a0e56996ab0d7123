"""Tags, certificates and data sheets read back: every field the rulebook lists, and codes that decode."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import numpy as np
import pypdfium2 as pdfium
import pytest
import zxingcpp

from slingwright.rulebook import load_rulebook
from tests.adopting import AT
from tests.shops import EXAMPLE
from tests.system.command import Command
from tests.system.test_cli_make import FORMS, SHOP, order_text, released
from tests.system.test_cli_make_quote import text_of

ORDER = EXAMPLE / "order.toml"
TWISTED = 'quantity = 2\nmatched = true\nloft = "quay"\n'


def pages(path: Path, scale: float = 3.0) -> Iterator[tuple[str, Any, tuple[float, float]]]:
    """Text, picture (grey) and size [mm] of each page."""
    paper = pdfium.PdfDocument(path)
    try:
        for page in paper:
            text = page.get_textpage()
            said = re.sub(r"\s+", " ", text.get_text_range().replace("\ufffe", "-"))
            text.close()
            wide, high = page.get_size()
            picture = page.render(scale=scale, grayscale=True).to_numpy()
            yield said, np.ascontiguousarray(picture.squeeze()), (wide * 25.4 / 72, high * 25.4 / 72)
            page.close()
    finally:
        paper.close()


def test_a_tag_says_what_its_rulebook_asks_and_its_code_decodes(command: Command, tmp_path: Path) -> None:
    """US: maker, code, rated load of each hitch with its angle, fibre (ASME B30.9, OSHA 1926.251(e))."""
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], TWISTED)
    pdf, again = tmp_path / "tag.pdf", tmp_path / "again.pdf"
    found = command.answers("tag", "tag", order, *options, *AT, "--pdf", pdf)
    assert found["answer"] == "tags"
    asked = [row.id for row in load_rulebook("us").tag_fields()]
    applies = [id_ for id_ in asked if id_ not in ("legs", "repairer")]  # one leg, never repaired
    printed = list(pages(pdf))
    assert len(printed) == len(found["tags"]) == 2
    for number, (tag, (text, picture, size)) in enumerate(zip(found["tags"], printed, strict=True), start=1):
        ids = [field["id"] for field in tag["fields"]]
        assert [id_ for id_ in ids if id_ != "serial"] == applies
        for wanted in (
            "Harrow Quay Sling Loft",
            "IV2-PO7-51x2743",
            f"T-1-1-{number}",
            "straight 6,200 lb",
            "choker 4,960 lb",
            "basket 90° 12,400 lb, 60° 10,730 lb, 45° 8,760 lb, 30° 6,200 lb",
            "from horizontal",
            "polyester",
            "Inspect before every use.",
            "a qualified person",
        ):
            assert wanted in re.sub(r"\s+", " ", text), wanted
        assert "EN 1492" not in text  # never another regime's standard on a 5:1 sling
        assert "SPECIMEN" not in text
        # GS1 Digital Link with AI 8004 under the prefix for examples (from memory)
        assert tag["link"] == f"https://id.harrow-quay.example/8004/9521234T-1-1-{number}"
        assert [code.text for code in zxingcpp.read_barcodes(picture)] == [tag["link"]]
        assert size == pytest.approx((5 * 25.4, 46.0), abs=0.1)  # the label the patterns leave room for: 5 in
    command("tag", order, *options, *AT, "--pdf", again)
    assert again.read_bytes() == pdf.read_bytes()


def test_a_specimen_tag_leads_nowhere(command: Command, tmp_path: Path) -> None:
    pdf = tmp_path / "tag.pdf"
    found = command.answers("tag", "tag", ORDER, *SHOP, *AT, "--pdf", pdf, "--specimen", code=1)
    assert {tag["link"] for tag in found["tags"]} == {None}
    for text, picture, _ in pages(pdf):
        assert "SPECIMEN, NOT FOR SERVICE" in text
        assert "8004" not in text
        assert {code.text for code in zxingcpp.read_barcodes(picture)} <= {"SPECIMEN, NOT FOR SERVICE"}


def test_no_tag_and_no_certificate_while_a_gate_is_shut(command: Command, tmp_path: Path) -> None:
    pdf = tmp_path / "tag.pdf"
    found = command.answers("tag", "tag", ORDER, *SHOP, *AT, "--pdf", pdf, code=1)
    assert (found["answer"], found["tags"]) == ("stop", [])
    record = EXAMPLE / "making_record.toml"
    line = (ORDER, *SHOP, *AT, "--record", record, "--out", tmp_path)
    held = command.answers("certificate", "certificate", *line, code=1)
    assert (held["answer"], held["certificates"]) == ("stop", [])
    assert list(tmp_path.iterdir()) == []
    told = command("certificate", *line, "--specimen").out
    assert "Specimens drawn, which certify nothing" in told
    assert "Certified:" not in told
    assert "Local codes and the site's own rules come first." in told


@pytest.mark.parametrize("width", ["60 mm", "240 mm"])
def test_a_european_tag(command: Command, tmp_path: Path, width: str) -> None:
    """EN 1492-1's label (from memory): WLL, material, length in m, maker, code, standard, modes."""
    order, pdf = tmp_path / "order.toml", tmp_path / "tag.pdf"
    spec = FORMS["metric"].replace("60 mm", width)
    order.write_text(order_text(spec, rulebook="en"))
    found = command.answers("tag", "tag", order, *SHOP, *AT, "--pdf", pdf, "--specimen", code=1)
    ids = {field["id"] for field in found["tags"][0]["fields"]}
    asked = {row.id for row in load_rulebook("en").tag_fields()}
    assert ids == (asked - {"fitting-grade"}) | {"serial"}  # no fittings on it
    ((text, _, _),) = pages(pdf)
    for wanted in ("EN 1492-1", "polyester", "3 m", "2026", "(M 0.8)", "(M 2)", "(M 1)"):
        assert wanted in text, wanted
    assert "CE" not in re.findall(r"[A-Z]+", text)  # no conformity mark without the shop's own file
    for field in found["tags"][0]["fields"]:
        assert field["text"].replace("; ", " ") in text.replace("; ", " ")


def test_an_identifier_too_long_for_its_code_is_a_fault(command: Command, tmp_path: Path) -> None:
    order = tmp_path / "order.toml"
    order.write_text(order_text(FORMS["endless"]).replace('"T-1"', '"A-23456789-123456789"'))
    fault = command.answers("fault", "tag", order, *SHOP, "--specimen", code=2)
    assert fault["field"] == "number"
    order.write_text(order_text(FORMS["endless"]))
    fault = command.answers("fault", "tag", order, *SHOP, "--serial", "T-1-1-2", code=2)
    assert fault["field"] == "--serial"


def record_text(*slings: tuple[str, str, str], lot: str = "HQ-P7-114") -> str:
    rows = ['schema = "slingwright/making-record/1"']
    for serial, length, proof in slings:
        rows.append(
            f'[[sling]]\nserial = "{serial}"\nmade_length = "{length}"\nlot = "{lot}"\nthread_lot = "T-5"\n'
            f'inspected_by = "I. Inspector"\ninspected_on = 2026-02-28\n{proof}'
        )
    return "\n".join(rows)


def pulled(load: str) -> str:
    test_bed = 'machine = "Bed 1", calibration = "CAL-7", on = 2026-02-28, by = "P. Puller"'
    return f'proof = {{ load = "{load}", {test_bed} }}'


def test_certificates_of_a_matched_set(command: Command, tmp_path: Path) -> None:
    """Fields: union of DOE, ILO and OSHA; proof 200 %, -5 %/+0 % (DOE-STD-1090-96 11.3.5.2)."""
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], TWISTED)
    record, out = tmp_path / "record.toml", tmp_path / "out"
    out.mkdir()
    record.write_text(
        record_text(("T-1-1-1", "9 ft 1/4 in", pulled("12,000 lb")), ("T-1-1-2", "9 ft 1/2 in", ""))
    )
    line = ("certificate", order, *options, *AT, "--record", record, "--out", out)
    found = command.answers("certificate", *line)
    assert [one["number"] for one in found["certificates"]] == ["C-T-1-1-1", "C-T-1-1-2"]
    asked = [row.id for row in load_rulebook("us").certificate_fields()]
    assert [field["id"] for field in found["certificates"][0]["fields"]] == asked
    text = text_of(out / "C-T-1-1-1.pdf")
    for wanted in (
        "Certificate of conformity and proof test C-T-1-1-1",
        "Harrow Quay Sling Loft, 4 Ropewalk",
        "2026-03-01",
        "T-1-1-1",
        "IV2-PO7-51x2743",
        "IV, twisted-eye sling",
        "lot HQ-P7-114, certificate HQ-LC-0114 (invented)",
        "class 7",
        "2 ply",
        "bonded, lockstitch, lot T-5",
        "9 ft 1/4 in",
        "within 2 9/16 in",
        "Straight 6,200 lb",
        "Choker, choke hanging free 4,960 lb",
        "5 to 1",
        "12,000 lb applied on 2026-02-28 by P. Puller",
        "Bed 1",
        "CAL-7",
        "ASME B30.9",
        "invented for the tests",
        "I. Inspector",
        "Signature",
        "tag gone or not readable",
    ):
        assert wanted in text, wanted
    untested = text_of(out / "C-T-1-1-2.pdf")
    assert "not proof tested" in untested
    assert "and proof test C-" not in untested
    first = (out / "C-T-1-1-1.pdf").read_bytes()
    command(*line)
    assert (out / "C-T-1-1-1.pdf").read_bytes() == first


@pytest.mark.parametrize(
    ("first", "second", "lot", "code"),
    [
        (("9 ft 3 in", ""), ("9 ft 3 in", ""), "HQ-P7-114", "length-off"),  # 2.62 in are allowed
        (("8 ft 11 3/4 in", ""), ("9 ft 1/2 in", ""), "HQ-P7-114", "set-apart"),  # 1/2 in is allowed
        (("9 ft", ""), None, "HQ-P7-114", "set-incomplete"),
        (("9 ft", ""), ("9 ft", ""), "HQ-P7-098", "lot-not-allowed"),
        (("9 ft", pulled("11,700 lb")), ("9 ft", ""), "HQ-P7-114", "proof-off"),  # below 0.95 x 12,400 lb
        (("9 ft", pulled("12,500 lb")), ("9 ft", ""), "HQ-P7-114", "proof-off"),  # above 12,400 lb
    ],
)
def test_slings_not_as_ordered_are_not_certified(
    command: Command,
    tmp_path: Path,
    first: tuple[str, str],
    second: tuple[str, str] | None,
    lot: str,
    code: str,
) -> None:
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], TWISTED)
    record, out = tmp_path / "record.toml", tmp_path / "out"
    out.mkdir()
    slings = [("T-1-1-1", *first)] + ([("T-1-1-2", *second)] if second else [])
    record.write_text(record_text(*slings, lot=lot))
    line = ("certificate", order, *options, *AT, "--record", record, "--out", out)
    found = command.answers("certificate", *line, code=1)
    assert code in {one["code"] for one in found["departures"]}
    assert found["certificates"] == []  # a matched set is withheld whole
    assert list(out.iterdir()) == []


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("T-1-1-2", "T-1-1-9", "record.sling[1].serial"),
        ("T-1-1-2", "T-1-1-1", "sling[1].serial"),
        ('lot = "HQ-P7-114"', "lots = 1", "sling[0].lots"),
        ("9 ft", "nine feet", "sling[0].made_length"),
    ],
)
def test_faults_of_a_record(command: Command, tmp_path: Path, old: str, new: str, field: str) -> None:
    order, options = released(command, tmp_path / "shop", FORMS["twisted-eye"], TWISTED)
    record = tmp_path / "record.toml"
    record.write_text(record_text(("T-1-1-1", "9 ft", ""), ("T-1-1-2", "9 ft", "")).replace(old, new))
    fault = command.answers("fault", "certificate", order, *options, "--record", record, code=2)
    assert field in [one["field"] for one in fault["faults"]]


def test_a_certificate_needs_a_record(command: Command) -> None:
    fault = command.answers("fault", "certificate", ORDER, *SHOP, code=2)
    assert fault["field"] == "--record"


def test_a_specimen_certificate_of_a_fitted_sling(command: Command, tmp_path: Path) -> None:
    order = tmp_path / "order.toml"
    order.write_text(order_text(FORMS["triangles"]))
    command("certificate", order, *SHOP, *AT, "--specimen", "--out", tmp_path)
    text = text_of(tmp_path / "C-T-1-1-1.pdf")
    assert "SPECIMEN, NOT FOR SERVICE" in text
    assert "nothing is certified" in text
    assert "choker triangle of alloy steel, rated 9,000 lb" in text


def test_a_data_sheet(command: Command, tmp_path: Path) -> None:
    pdf = tmp_path / "sheet.pdf"
    asked = ("--form", "endless", "--fibre", "polyester", "--class", "7", "--plies", "1", "--width", "2 in",
             "--length", "6 ft", "--rulebook", "us")  # fmt: skip
    found = command.answers("quote", "sheet", *asked, *SHOP, *AT, "--pdf", pdf)
    assert found["items"][0]["code"] == "V1-PO7-51x1829"
    text = text_of(pdf)
    book = load_rulebook("us")
    for wanted in (
        "Sling data sheet",
        "V1-PO7-51x1829",
        "PLANNING ONLY",
        "6,400 lb (28.4 kN)",
        "6 ft (1.829 m)",
        "Basket, 60° from",
        "Design factor 5 to 1",
        "may touch it",
        "30° from horizontal",
        "Local codes",
        *(row.what for row in book.removal_criteria()),
        *(row.what for row in book.inspection()),
    ):
        assert wanted in text, wanted
    refused = command(
        "sheet", *asked[:-2], "--rulebook", "us", "--plies", "3", *SHOP, "--pdf", tmp_path / "no.pdf"
    )
    assert refused.code in (1, 2)
    assert not (tmp_path / "no.pdf").exists()
