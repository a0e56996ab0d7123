"""The shop's files: Harrow Quay reads, and every fault of all files is named at once."""

from __future__ import annotations

import copy
from collections.abc import Callable, Iterator
from typing import Any

import jsonschema
import pytest

from slingwright.errors import InputFault
from slingwright.make.pattern import pattern_name
from slingwright.shop import Protection, Shop, read_shop, rolls_schema, shop_schema, spec_for, stock_schema
from slingwright.sling import Fibre, Form
from tests.shops import SHA256, adopted_harrow_quay, document, harrow_quay

Doc = dict[str, Any]


def read(shop: Doc, stock: Doc | None = None, rolls: Doc | None = None) -> Shop:
    return read_shop(shop, stock_doc=stock, rolls_doc=rolls, sha256=SHA256)


def fields_of(shop: Doc, stock: Doc | None = None, rolls: Doc | None = None) -> list[str]:
    with pytest.raises(InputFault) as caught:
        read(shop, stock, rolls)
    return [fault.field for fault in caught.value.faults]


def test_harrow_quay_is_the_shop_it_is_meant_to_be() -> None:
    shop = harrow_quay()
    inch = {w.width_m for w in shop.webbings if w.width_m in {k * 254 / 10_000 for k in range(1, 13)}}
    assert inch == {k * 254 / 10_000 for k in (1, 2, 3, 4, 6, 8, 10, 12)}
    assert {w.fibre for w in shop.webbings} == {Fibre.POLYESTER, Fibre.NYLON}
    assert {w.webbing_class for w in shop.webbings} == {5, 7}
    assert shop.plies == (1, 2)
    assert len({form for loft in shop.lofts for form in loft.forms}) == 5
    assert len(shop.lofts) == 3
    assert len({(x.max_width_m, x.forms, x.max_length_m, x.days) for x in shop.lofts}) == 3
    assert len(shop.stock) == 60
    assert len(shop.rolls) == 10
    assert {sling.rulebook for sling in shop.stock} == {"us", "en"}
    assert any(sling.matched for sling in shop.stock)
    assert shop.sha256 == SHA256


def test_figures_arrive_in_si() -> None:
    shop = harrow_quay()
    webbing = shop.webbing(Fibre.POLYESTER, 7, 0.0508)
    assert webbing is not None
    assert webbing.thickness_m == 0.0047625  # 3/16 in
    assert webbing.mass_kg_m == pytest.approx(3.2 * 0.0508, abs=1e-12)
    assert (webbing.strain_low, webbing.strain_high) == (0.03, 0.07)
    assert webbing.roll_m == 91.44  # 300 ft
    assert webbing.strain_at_rated(7.0) == pytest.approx((0.03 * 5 / 7, 0.07 * 5 / 7), abs=1e-15)
    assert shop.practice.tolerance_m == 0.0254
    assert shop.practice.sleeve_rated_radius_m == 0.003175  # 1/8 in
    assert shop.practice.former_radius_m == 0.0381  # 1 1/2 in
    assert shop.sewing.thread_kg_m == 0.0005
    guard = shop.guard(Protection.WEAR_SLEEVE)
    assert guard is not None
    assert guard.length_m == 0.6096
    assert shop.stock[0].spec.eye_m == 0.2159  # left out in the file: the shop's own, 8 1/2 in
    assert shop.guard(Protection.NONE) is None


def test_eyes_are_the_common_series_by_width() -> None:
    """DOMAIN 10: eye length by width for 1 and 2 plies, in inches (read in a trade text, common practice)."""
    series = {1: 8.5, 2: 10, 3: 11, 4: 12, 6: 16, 8: 20, 10: 24, 12: 24}
    for width_in, eye_in in series.items():
        for plies in (1, 2):
            row = harrow_quay().eye_row(width_in * 254 / 10_000, plies)
            assert row is not None
            assert row.eye_m == pytest.approx(eye_in * 0.0254, abs=1e-12)


def test_metric_eyes_are_at_least_the_european_minimum() -> None:
    """EN 1492-1 (from memory, DOMAIN 3.3): three widths up to 150 mm, two and a half above."""
    rows = [r for r in harrow_quay().practice.eye_rows if round(r.width_m * 1000) in range(30, 301, 30)]
    assert len(rows) == 8
    for row in rows:
        assert row.eye_m >= (3 if row.width_m <= 0.150 else 2.5) * row.width_m - 1e-12


def test_webbing_is_heavy_enough_to_be_as_strong_as_its_class() -> None:
    """Mass per length ≥ strength / tenacity: strengths of DOMAIN 2.1, highest tenacities of DOMAIN 6.

    1 g/den = 9 gf/tex = 0.0882599 N/tex; fibres cannot be stronger, so lighter webbing could not exist.
    """
    strength_n_m = {7: 9_800 * 4.4482216152605 / 0.0254, 5: 6_800 * 4.4482216152605 / 0.0254}
    tenacity_n_tex = {Fibre.NYLON: 10.5 * 9 * 0.00980665, Fibre.POLYESTER: 10.0 * 9 * 0.00980665}
    density = {Fibre.NYLON: 1140.0, Fibre.POLYESTER: 1380.0}
    for w in harrow_quay().webbings:
        lightest_kg_m = strength_n_m[w.webbing_class] * w.width_m / tenacity_n_tex[w.fibre] * 1e-6
        solid_kg_m = w.width_m * w.thickness_m * density[w.fibre]
        assert lightest_kg_m < w.mass_kg_m < solid_kg_m


def test_the_adopted_twin_differs_only_in_its_gates() -> None:
    shop, adopted = harrow_quay(), adopted_harrow_quay()
    assert not any(loft.qualified for loft in shop.lofts)
    assert not any(roll.certificate for roll in shop.rolls)
    spec = spec_for(adopted, Form.TWISTED_EYE, Fibre.POLYESTER, 7, 2, 0.0508, 3.0)
    assert pattern_name(spec) in adopted.lofts[0].qualified
    assert [r.id for r in adopted.rolls if r.certificate] == ["R-02", "R-03", "R-06"]
    assert adopted.webbings == shop.webbings


def required_keys(schema: Doc, doc: Any, at: tuple[str | int, ...] = ()) -> Iterator[tuple[str | int, ...]]:
    """Every required key of a document, the first two rows of each list."""
    if schema.get("type") == "object":
        yield from ((*at, key) for key in schema["required"])
        for key, part in schema["properties"].items():
            if key in doc:
                yield from required_keys(part, doc[key], (*at, key))
    if schema.get("type") == "array":
        for index, item in enumerate(doc[:2]):
            yield from required_keys(schema["items"], item, (*at, index))


def path_text(at: tuple[str | int, ...]) -> str:
    return "".join(f"[{key}]" if isinstance(key, int) else f".{key}" for key in at).lstrip(".")


FILES = {
    "shop": (shop_schema(), "shop.toml"),
    "stock": (stock_schema(), "stock.toml"),
    "rolls": (rolls_schema(), "rolls.toml"),
}


@pytest.mark.parametrize("name", FILES)
def test_a_missing_key_is_named_and_the_schema_agrees(name: str) -> None:
    schema, file = FILES[name]
    whole = document(file)
    jsonschema.validate(whole, schema)
    validator = jsonschema.Draft202012Validator(schema)
    keys = list(required_keys(schema, whole))
    assert len(keys) > 15
    for at in keys:
        doc = copy.deepcopy(whole)
        holder = doc
        for step in at[:-1]:
            holder = holder[step]  # type: ignore[index]
        del holder[at[-1]]  # type: ignore[arg-type]
        assert not validator.is_valid(doc)
        docs = {"shop": document("shop.toml")} | {name: doc}
        prefix = "" if name == "shop" else f"{name}."
        assert fields_of(docs["shop"], docs.get("stock"), docs.get("rolls")) == [prefix + path_text(at)]


def test_an_unknown_key_names_the_nearest() -> None:
    doc = document("shop.toml")
    doc["practice"]["lenght_step"] = "1 in"
    with pytest.raises(InputFault, match=r"practice\.lenght_step") as caught:
        read(doc)
    assert caught.value.hint == "did you mean length_step?"
    assert not jsonschema.Draft202012Validator(shop_schema()).is_valid(doc)


def test_all_faults_of_all_files_come_at_once() -> None:
    shop, stock, rolls = document("shop.toml"), document("stock.toml"), document("rolls.toml")
    shop["loft"][0]["days"] = -1
    shop["webbing"][1]["thickness"] = "3/16"
    stock["sling"][7]["form"] = "flat-eyes"
    rolls["roll"][2]["length"] = "-4 ft"
    assert fields_of(shop, stock, rolls) == [
        "loft[0].days",
        "webbing[1].thickness",
        "stock.sling[7].form",
        "rolls.roll[2].length",
    ]


def change(*steps: str | int, to: Any) -> Callable[[Doc], None]:
    def apply(doc: Doc) -> None:
        for step in steps[:-1]:
            doc = doc[step]  # type: ignore[index]
        doc[steps[-1]] = to  # type: ignore[index]

    return apply


SHOP_FAULTS = [
    ("schema", change("schema", to="slingwright/shop/2")),
    ("name", change("name", to="")),
    ("name", change("name", to="Quay\nLoft")),
    ("plies[1]", change("plies", to=[1, 1])),
    ("plies[0]", change("plies", to=[True])),
    ("practice", change("practice", to=3)),
    ("practice.tolerance", change("practice", "tolerance", to="150 %")),
    ("practice.tolerance_plus", change("practice", "tolerance_plus", to=1)),
    ("practice.min_body_widths", change("practice", "min_body_widths", to=float("nan"))),
    ("loft", change("loft", to=[])),
    ("loft[0].forms[1]", change("loft", 0, "forms", to=["endless", "grommet"])),
    ("loft[1].id", change("loft", 1, "id", to="quay")),
    ("loft[2].min_length", change("loft", 2, "min_length", to="31 ft")),
    ("webbing[0].stretch", change("webbing", 0, "stretch", to=["7 %", "3 %"])),
    ("webbing[0].stretch", change("webbing", 0, "stretch", to=["0 %", "3 %"])),
    ("webbing[0].stretch", change("webbing", 0, "stretch", to=["3 %"])),
    ("webbing[4].widths[0]", change("webbing", 4, "widths", to=["2 in"])),
    ("eyes.rows[1].plies", change("eyes", "rows", 1, "plies", to=[2, 1])),
    ("eyes.rows[1].plies", change("eyes", "rows", 1, "width", to="1 in")),
    ("eyes.rows[2].taper", change("eyes", "rows", 2, "taper", to="4 in")),
    ("eyes.rows[2].pad", change("eyes", "rows", 2, "pad", to="23 in")),
    ("fittings.rows[1].kind", change("fittings", "rows", 1, "width", to="2 in")),
    ("protection[0].kind", change("protection", 0, "kind", to="none")),
    ("papers.contact", change("papers", "contact", to="nobody at all")),
    ("papers.contact", change("papers", "contact", to="a@b.example?bcc=c@d")),
    ("protection[0].kind", change("protection", 0, "kind", to="edge-pad")),
    ("protection[0].gives_radius", change("protection", 0, "gives_radius", to="1 in")),
    ("protection[1].tested_radius", change("protection", 1, to={
        "kind": "cut-sleeve", "known": "x", "pieces_per_sling": 1, "length": "1 ft",
        "mass_kg_m2": 1, "max_width": "4 in",
    })),
    ("sewing.set_up_s", change("sewing", "set_up_s", to=1.5)),
]  # fmt: skip


@pytest.mark.parametrize(
    ("field", "spoil"), SHOP_FAULTS, ids=[f"{i}-{f[0]}" for i, f in enumerate(SHOP_FAULTS)]
)
def test_a_bad_shop_file_names_its_field(field: str, spoil: Callable[[Doc], None]) -> None:
    doc = document("shop.toml")
    spoil(doc)
    assert fields_of(doc)[0] == field


STOCK_FAULTS = [
    ("stock.sling[0].count", change("sling", 0, "count", to=0)),
    ("stock.sling[0].count", change("sling", 0, "count", to=-3)),
    ("stock.sling[0].loft", change("sling", 0, "loft", to="quai")),
    ("stock.sling[0].width", change("sling", 0, "width", to="5 in")),
    ("stock.sling[0].plies", change("sling", 0, "plies", to=3)),
    ("stock.sling[0].form", change("sling", 0, "form", to="return-eye")),
    ("stock.sling[0].length", change("sling", 0, "length", to="17 in")),
    ("stock.sling[0].rulebook", change("sling", 0, "rulebook", to="uk")),
    ("stock.sling[0].matched", change("sling", 0, "matched", to="yes")),
    ("stock.sling[1].id", change("sling", 1, "id", to="HQ-001")),
    ("stock.sling[32].eye", change("sling", 32, "eye", to="10 in")),
    ("stock.sling", change("sling", to={})),
]


@pytest.mark.parametrize(
    ("field", "spoil"), STOCK_FAULTS, ids=[f"{i}-{f[0]}" for i, f in enumerate(STOCK_FAULTS)]
)
def test_a_bad_stock_file_names_its_field(field: str, spoil: Callable[[Doc], None]) -> None:
    stock = document("stock.toml")
    spoil(stock)
    found = fields_of(document("shop.toml"), stock)
    assert found[0] == field
    assert all(f.startswith("stock.sling") for f in found)


@pytest.mark.parametrize(
    ("field", "spoil"),
    [
        ("rolls.roll[0].length", change("roll", 0, "length", to="0 ft")),
        ("rolls.roll[0].width", change("roll", 0, "fibre", to="polypropylene")),
        ("rolls.roll[1].id", change("roll", 1, "id", to="R-01")),
        ("rolls.roll[1].loft", change("roll", 1, "loft", to="moor")),
    ],
)
def test_a_bad_roll_file_names_its_field(field: str, spoil: Callable[[Doc], None]) -> None:
    rolls = document("rolls.toml")
    spoil(rolls)
    assert fields_of(document("shop.toml"), None, rolls) == [field]


def test_a_file_that_is_no_table_is_a_fault() -> None:
    with pytest.raises(InputFault, match="is not a table"):
        read_shop([1, 2], sha256=SHA256)
