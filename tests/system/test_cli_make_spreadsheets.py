"""`slingwright load` and `export`: round trips, faults by row and column, nothing half-written."""

from __future__ import annotations

import csv
import io
import json
import tomllib
from pathlib import Path

import openpyxl
import pytest

from slingwright.shop import read_shop
from tests.shops import EXAMPLE, document
from tests.system.command import Command
from tests.system.test_cli_cut import JOB

SHOP = ("--shop", EXAMPLE / "shop.toml")
AT = ("--at", "2026-03-01")
ORDER_CSV = """number;customer;due;rulebook;form;fibre;class;plies;width;length;quantity;matched;loft
S-7;Boatyard;2026-06-12;us;twisted-eye;polyester;7;2;2 in;9 ft;4;yes;quay
;;;;endless;polyester;7;1;2 in;6 ft 6 in;2;;
"""


def cells(path: Path) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(path.read_text(encoding="utf-8-sig"))))


@pytest.mark.parametrize("ending", ["csv", "xlsx"])
@pytest.mark.parametrize("kind", ["stock", "rolls"])
def test_a_list_goes_out_and_comes_back(command: Command, tmp_path: Path, kind: str, ending: str) -> None:
    sheet, back = tmp_path / f"{kind}.{ending}", tmp_path / f"{kind}.toml"
    assert command("export", kind, *SHOP, *AT, "--out", sheet).code == 0
    said = command.answers("load", "load", kind, sheet, *SHOP, "--out", back)
    assert said["text"] == back.read_text()
    loaded = tomllib.loads(back.read_text())
    own = {"shop.toml": document("shop.toml"), f"{kind}.toml": document(f"{kind}.toml")}
    before = read_shop(own["shop.toml"], **{f"{kind}_doc": own[f"{kind}.toml"]}, sha256="")
    after = read_shop(own["shop.toml"], **{f"{kind}_doc": loaded}, sha256="")
    assert before == after
    again = tmp_path / f"again.{ending}"
    command("export", kind, *SHOP, *AT, "--out", again)
    assert again.read_bytes() == sheet.read_bytes()


def test_an_order_comes_in(command: Command, tmp_path: Path) -> None:
    sheet, order = tmp_path / "order.csv", tmp_path / "order.toml"
    sheet.write_text(ORDER_CSV)
    assert command("load", "order", sheet, *SHOP, "--out", order).code == 0
    found = command.answers("make", "make", order, *SHOP, code=1)
    assert (found["number"], found["customer"], found["due"]) == ("S-7", "Boatyard", "2026-06-12")
    assert [(line["quantity"], line["spec"]["form"]) for line in found["lines"]] == [
        (4, "twisted-eye"),
        (2, "endless"),
    ]
    assert found["lines"][0]["matched_tolerance_m"] is not None


def test_an_order_from_a_workbook(command: Command, tmp_path: Path) -> None:
    rows = list(csv.reader(io.StringIO(ORDER_CSV), delimiter=";"))
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append([int(cell) if cell.isdigit() else cell or None for cell in row])
    book.save(tmp_path / "order.xlsx")
    (tmp_path / "order.csv").write_text(ORDER_CSV)
    told = [command("load", "order", tmp_path / f"order.{ending}", *SHOP) for ending in ("csv", "xlsx")]
    assert told[0].out == told[1].out
    assert told[0].code == 0


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ("9 ft", "nine", "row 2, length"),
        ("6 ft 6 in", "6", "row 3, length"),
        ("endless;polyester", "endless;polyestr", "row 3, fibre"),
        (";loft\n", ";lofts\n", "row 2, lofts"),
        ("length;quantity", "length;length", "row 1"),
        (";;;;endless", "S-8;;;;endless", "number"),
        ("form;fibre", ";fibre", "row 1"),
        ("4;yes", "4;perhaps", "row 2, matched"),
    ],
)
def test_faults_by_row_and_column_and_nothing_written(
    command: Command, tmp_path: Path, old: str, new: str, field: str
) -> None:
    assert old in ORDER_CSV
    sheet, order = tmp_path / "order.csv", tmp_path / "order.toml"
    sheet.write_text(ORDER_CSV.replace(old, new))
    told = command("load", "order", sheet, *SHOP, "--out", order)
    assert told.code == 2
    assert field in told.err
    assert not order.exists()


@pytest.mark.parametrize(
    ("kind", "text", "field"),
    [
        ("rolls", "id,fibre,class,width,length,lot,loft\nR,polyester,7,2 in,-3 ft,L,quay\n", "row 2, length"),
        ("rolls", "id,fibre,class,width,length,lot,loft\nR,hemp,7,2 in,3 ft,L,quay\n", "row 2, fibre"),
        ("rolls", "id,fibre,class,width,length,lot,loft\nR,polyester,7,5 in,3 ft,L,quay\n", "row 2, width"),
        ("stock", "id,form,fibre,class,plies,width,length,loft,rulebook,count\n"
                  "S,endless,polyester,7,1,2 in,6 ft,quay,us,-2\n", "row 2, count"),
        ("stock", "", ""),
        ("stock", "id\n", ""),
        ("stock", 'id,form\n"open', ""),
    ],
)  # fmt: skip
def test_faults_of_lists(command: Command, tmp_path: Path, kind: str, text: str, field: str) -> None:
    sheet = tmp_path / "list.csv"
    sheet.write_text(text)
    told = command("load", kind, sheet, *SHOP, "--out", tmp_path / "out.toml")
    assert told.code == 2
    assert field in told.err
    assert not (tmp_path / "out.toml").exists()


@pytest.mark.parametrize("content", [b"PK\x03\x04 no zip", b"\xff\xfe\x00x", b"PK"])
def test_bytes_that_are_no_list(command: Command, tmp_path: Path, content: bytes) -> None:
    sheet = tmp_path / "list.xlsx"
    sheet.write_bytes(content)
    assert command("load", "stock", sheet, *SHOP).code == 2


def test_a_text_like_a_formula_stays_a_text(command: Command, tmp_path: Path) -> None:
    rolls = (EXAMPLE / "rolls.toml").read_text().replace('lot = "HQ-P7-101"', 'lot = "=1+1"')
    (tmp_path / "rolls.toml").write_text(rolls)
    for ending in ("csv", "xlsx"):
        sheet = tmp_path / f"rolls.{ending}"
        options = (*SHOP, "--rolls", tmp_path / "rolls.toml", *AT)
        assert command("export", "rolls", *options, "--out", sheet).code == 0
        assert 'lot = "=1+1"' in command("load", "rolls", sheet, *SHOP).out
    assert cells(tmp_path / "rolls.csv")[0]["lot"] == "'=1+1"
    cell = openpyxl.load_workbook(tmp_path / "rolls.xlsx").active["F2"]
    assert (cell.value, cell.data_type) == ("=1+1", "s")


def test_a_price_list_has_the_prices_of_quotes(command: Command, tmp_path: Path) -> None:
    sheet = tmp_path / "prices.csv"
    command(
        "export", "price-list", *SHOP, *AT, "--rulebook", "us", "--lengths", "6 ft, 23 ft", "--out", sheet
    )
    rows = cells(sheet)
    wanted = {"form": "flat-eye", "fibre": "nylon", "class": "7", "plies": "2", "width_m": "0.0762"}
    (row,) = (r for r in rows if wanted.items() <= r.items() and r["length_m"] == "7.0104")
    quoted = command.answers(
        "quote", "quote", "--form", "flat-eye", "--fibre", "nylon", "--plies", "2", "--width", "3 in",
        "--length", "23 ft", "--rulebook", "us", *SHOP, *AT,
    )  # fmt: skip
    assert int(row["price_minor"]) == quoted["items"][0]["each"]["price_minor"]
    assert row["rated_straight"] == "8,600 lb"
    assert row["rated_basket"] == "17,200 lb"
    assert row["planning_only"] == "true"
    assert len(rows) == len({row["code"] for row in rows})
    line = (
        "export",
        "price-list",
        *SHOP,
        *AT,
        "--rulebook",
        "us",
        "--lengths",
        "6 ft",
        "--out",
        tmp_path / "6.csv",
    )
    assert command.answers("export", *line)["rows"] == len(cells(tmp_path / "6.csv"))
    workbook = tmp_path / "prices.xlsx"
    command(
        "export", "price-list", *SHOP, *AT, "--rulebook", "us", "--lengths", "6 ft, 23 ft", "--out", workbook
    )
    assert openpyxl.load_workbook(workbook, read_only=True).active.max_row == len(rows) + 1


def test_a_cut_list_has_every_piece_of_its_plan(command: Command, tmp_path: Path) -> None:
    (tmp_path / "job.toml").write_text(JOB)
    plan = tmp_path / "plan.json"
    plan.write_text(command("cut", tmp_path / "job.toml", "--json").out)
    sheet = tmp_path / "cut.csv"
    assert command("export", "cut-list", *SHOP, *AT, "--plan", plan, "--out", sheet).code == 0
    listed = sum(int(row["times"]) * int(row["pieces_a_roll"]) * int(row["piece_mm"]) for row in cells(sheet))
    document = json.loads(plan.read_text())
    plans = document.get("plans", [document])
    assert listed == sum(one["scrap"]["pieces_mm"] for one in plans) > 0


@pytest.mark.parametrize(
    ("line", "field"),
    [
        (("stocks", "--out", "x.csv"), "KIND"),
        (("stock", "--out", "x.txt"), "--out"),
        (("price-list", "--rulebook", "us", "--out", "x.csv"), "--lengths"),
        (("price-list", "--rulebook", "us", "--lengths", "6", "--out", "x.csv"), "--lengths"),
        (("cut-list", "--out", "x.csv"), "--plan"),
    ],
)
def test_faults_of_export(command: Command, tmp_path: Path, line: tuple[str, ...], field: str) -> None:
    told = command("export", *line, *SHOP)
    assert told.code == 2
    assert field in told.err
    assert list(tmp_path.glob("x.*")) == []
