"""Read a shop's files into a `Shop`, with every fault of all of them at once."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from slingwright.errors import Fault, InputFault
from slingwright.shop.fields import read_document
from slingwright.shop.kinds import nearest_hint
from slingwright.shop.model import (
    Capacity,
    Cutting,
    EyeRow,
    Freight,
    Loft,
    Papers,
    Practice,
    Protection,
    Roll,
    Shop,
    StockSling,
)
from slingwright.shop.sewing import Fitting, Guard, Sewing
from slingwright.shop.tables import ROLLS, SHOP, STOCK
from slingwright.sling import Form, SlingSpec, Webbing

__all__ = ["read_shop"]

Row = Mapping[str, Any]


def read_shop(
    doc: object, *, stock_doc: object | None = None, rolls_doc: object | None = None, sha256: str
) -> Shop:
    """Read the parsed files of a shop (`slingwright/shop/1`, `stock/1`, `rolls/1`).

    Parameters
    ----------
    doc, stock_doc, rolls_doc
        The files as parsed from TOML or JSON. Faults of the stock and roll files are named under `stock.` and
        `rolls.`.
    sha256
        Hash of the files read, carried into every document.

    Raises
    ------
    InputFault
        Any file at fault; all faults of all files at once.
    """
    faults: list[Fault] = []
    shop_row = read_document(SHOP, doc, faults)
    stock_row = read_document(STOCK, stock_doc, faults, prefix="stock") if stock_doc is not None else None
    rolls_row = read_document(ROLLS, rolls_doc, faults, prefix="rolls") if rolls_doc is not None else None
    if shop_row is None:  # what the other files refer to is not known
        raise InputFault(faults)
    faults += _shop_faults(shop_row)
    shop = _shop(shop_row, sha256)
    if stock_row is not None:
        faults += _repeated(stock_row["sling"], "stock.sling", ("id",))
        faults += (
            f
            for i, row in enumerate(stock_row["sling"])
            for f in _stock_faults(row, f"stock.sling[{i}]", shop)
        )
    if rolls_row is not None:
        faults += _repeated(rolls_row["roll"], "rolls.roll", ("id",))
        faults += (
            f for i, row in enumerate(rolls_row["roll"]) for f in _shelf_faults(row, f"rolls.roll[{i}]", shop)
        )
    if faults:
        raise InputFault(faults)
    stock = tuple(_stock_sling(row, shop) for row in (stock_row or {"sling": ()})["sling"])
    rolls = tuple(_roll(row) for row in (rolls_row or {"roll": ()})["roll"])
    return _shop(shop_row, sha256, stock=stock, rolls=rolls)


def _shop(row: Row, sha256: str, *, stock: tuple[StockSling, ...] = (), rolls: tuple[Roll, ...] = ()) -> Shop:
    return Shop(
        name=row["name"],
        sha256=sha256,
        lofts=tuple(_loft(r) for r in row["loft"]),
        webbings=tuple(w for r in row["webbing"] for w in _webbings(r)),
        plies=tuple(sorted(row["plies"])),
        protections=(Protection.NONE, *(r["kind"] for r in row["protection"])),
        practice=_practice(row),
        sewing=_sewing(row),
        guards=tuple(_guard(r) for r in row["protection"]),
        stock=stock,
        rolls=rolls,
        papers=_papers(row["papers"]),
        cutting=_cutting(row["cutting"]),
    )


def _cutting(row: Row | None) -> Cutting | None:
    return None if row is None else Cutting(**{key: row[key] for key in row if key != "known"})


def _papers(row: Row | None) -> Papers | None:
    if row is None:
        return None
    return Papers(**{key: row[key] for key in row if key != "known"})


def _loft(row: Row) -> Loft:
    return Loft(
        id=row["id"],
        name=row["name"],
        forms=row["forms"],
        fibres=row["fibres"],
        classes=row["classes"],
        max_width_m=row["max_width"],
        max_plies=row["max_plies"],
        min_length_m=row["min_length"],
        max_length_m=row["max_length"],
        days=row["days"],
        qualified=row["qualified"],
        capacity=_capacity(row["capacity"]),
    )


def _capacity(row: Row | None) -> Capacity | None:
    if row is None:
        return None
    plain = {key: row[key] for key in row if key != "freight"}
    return Capacity(**plain, freight=tuple(Freight(**one) for one in row["freight"]))


def _webbings(row: Row) -> Iterator[Webbing]:
    for width_m in row["widths"]:
        yield Webbing(
            fibre=row["fibre"],
            webbing_class=row["class"],
            width_m=width_m,
            thickness_m=row["thickness"],
            mass_kg_m=float(row["mass_kg_m2"]) * width_m,
            strain_low=row["stretch"][0],
            strain_high=row["stretch"][1],
            stretch_at_factor=float(row["stretch_at_factor"]),
            roll_m=row["roll"],
            known=row["known"],
        )


def _practice(row: Row) -> Practice:
    steps = row["practice"]
    radii: dict[Protection, float] = {
        r["kind"]: radius for r in row["protection"] if (radius := r["tested_radius"] or r["gives_radius"])
    }
    return Practice(
        length_step_m=steps["length_step"],
        placement_step_m=steps["placement_step"],
        height_step_m=steps["height_step"],
        bridle_step_m=steps["bridle_step"] or steps["length_step"],
        tolerance_rel=steps["tolerance"],
        tolerance_m=steps["tolerance_plus"],
        matched_tolerance_m=steps["matched_tolerance"],
        stiffness_spread_rel=steps["stiffness_spread"],
        sleeve_rated_radius_m=radii.get(Protection.CUT_SLEEVE),
        former_radius_m=radii.get(Protection.FORMER),
        eye_rows=tuple(
            EyeRow(
                width_m=r["width"],
                plies_low=r["plies"][0],
                plies_high=r["plies"][1],
                eye_m=r["eye"],
                lap_m=r["lap"],
                taper_width_m=r["taper"],
                pad_m=r["pad"],
            )
            for r in row["eyes"]["rows"]
        ),
        label_m=steps["label"],
        min_body_widths=float(steps["min_body_widths"]),
    )


def _sewing(row: Row) -> Sewing:
    sewing = row["sewing"]
    plain = ("least_rows", "body_rows", "set_up_s", "cut_s", "end_s", "twist_s", "seam_s_per_m", "fitting_s")
    return Sewing(
        **{name: sewing[name] for name in (*plain, "label_s", "inspect_s", "rows_per_m")},
        throat_m=sewing["throat"],
        twist_share=sewing["twist"],
        end_trim_m=sewing["end_trim"],
        thread_ratio=sewing["thread_per_seam"],
        thread_kg_m=float(sewing["thread_kg_per_km"] / 1000),
        label_kg=float(sewing["label_kg"]),
        fittings=tuple(
            Fitting(
                kind=r["kind"],
                width_m=r["width"],
                reach_m=r["reach"],
                bar_m=r["bar"],
                mass_kg=float(r["mass_kg"]),
                rated_n=r["rated"],
                material=r["material"],
            )
            for r in _fitting_rows(row)
        ),
    )


def _fitting_rows(row: Row) -> tuple[Row, ...]:
    rows: tuple[Row, ...] = row["fittings"]["rows"] if row["fittings"] else ()
    return rows


def _guard(row: Row) -> Guard:
    return Guard(
        protection=row["kind"],
        pieces_per_sling=row["pieces_per_sling"],
        length_m=row["length"],
        mass_kg_m2=float(row["mass_kg_m2"]),
        max_width_m=row["max_width"],
    )


def _stock_sling(row: Row, shop: Shop) -> StockSling:
    eyes = shop.eye_row(row["width"], row["plies"])
    eye_m = (row["eye"] or (eyes.eye_m if eyes else 0.0)) if row["form"].has_eyes else 0.0
    spec = SlingSpec(
        form=row["form"],
        fibre=row["fibre"],
        webbing_class=row["class"],
        plies=row["plies"],
        width_m=row["width"],
        length_m=row["length"],
        eye_m=eye_m,
    )
    same = {name: row[name] for name in ("id", "loft", "count", "matched", "days")}
    return StockSling(spec=spec, rulebook=str(row["rulebook"]), **same)


def _roll(row: Row) -> Roll:
    return Roll(
        id=row["id"],
        fibre=row["fibre"],
        webbing_class=row["class"],
        width_m=row["width"],
        length_m=row["length"],
        lot=row["lot"],
        loft=row["loft"],
        certificate=row["certificate"],
    )


def _shop_faults(row: Row) -> Iterator[Fault]:
    """Faults that no single key shows."""
    yield from _step_faults(row["practice"])
    yield from _repeated(row["loft"], "loft", ("id",))
    yield from _repeated(row["protection"], "protection", ("kind",))
    yield from _repeated(_fitting_rows(row), "fittings.rows", ("kind", "width"))
    for i, loft in enumerate(row["loft"]):
        if loft["min_length"] > loft["max_length"]:
            yield Fault(f"loft[{i}].min_length", "is more than max_length")
        if loft["capacity"] is not None:
            yield from _repeated(loft["capacity"]["freight"], f"loft[{i}].capacity.freight", ("region",))
    seen: set[tuple[object, ...]] = set()
    for i, webbing in enumerate(row["webbing"]):
        if not 0 < webbing["stretch"][0] <= webbing["stretch"][1]:
            yield Fault(f"webbing[{i}].stretch", "is not a range above 0", 'write it like ["3 %", "7 %"]')
        keys = [(webbing["fibre"], webbing["class"], width) for width in webbing["widths"]]
        yield from (
            Fault(f"webbing[{i}].widths[{j}]", "is listed twice") for j, k in enumerate(keys) if k in seen
        )
        seen.update(keys)
    yield from _eye_faults(row["eyes"]["rows"])
    for i, guard in enumerate(row["protection"]):
        yield from _guard_faults(guard, f"protection[{i}]")
    if row["cutting"] is not None and row["cutting"]["discount_mm"] > row["cutting"]["remnant_min_mm"]:
        yield Fault(
            "cutting.discount_mm", "is more than remnant_min_mm", "a remnant is worth nothing or more"
        )
    if row["papers"] is not None:
        yield from _papers_faults(row["papers"])


def _step_faults(practice: Row) -> Iterator[Fault]:
    fine, step = practice["bridle_step"], practice["length_step"]
    if fine is not None and round(step * 1e6) % max(round(fine * 1e6), 1):
        yield Fault("practice.bridle_step", "does not divide length_step", 'like "1/4 in" under "1 in"')


def _papers_faults(row: Row) -> Iterator[Fault]:
    if not (row["company_prefix"].isascii() and row["company_prefix"].isdigit()):
        yield Fault("papers.company_prefix", "is not a row of digits")
    if row["contact"] is not None and not re.fullmatch(r"[^@\s]+@[^@\s?&]+", row["contact"]):
        yield Fault("papers.contact", "is not an e-mail address", 'like "loft@shop.example"')
    if not re.fullmatch(r"[a-z0-9-]+(\.[a-z0-9-]+)+", row["link_host"]):
        yield Fault("papers.link_host", "is not a host's name", 'small letters, like "id.shop.example"')


def _eye_faults(rows: tuple[Row, ...]) -> Iterator[Fault]:
    for i, row in enumerate(rows):
        at = f"eyes.rows[{i}]"
        low, high = row["plies"]
        if low > high:
            yield Fault(f"{at}.plies", "is not from low to high")
        if any(
            r["width"] == row["width"] and r["plies"][0] <= high and low <= r["plies"][1] for r in rows[:i]
        ):
            yield Fault(f"{at}.plies", "overlaps an earlier row of this width")
        if row["taper"] is not None and row["taper"] > row["width"]:
            yield Fault(f"{at}.taper", "is wider than the webbing")
        if row["pad"] > 2 * row["eye"]:
            yield Fault(f"{at}.pad", "is longer than the eye's way round")


def _guard_faults(row: Row, at: str) -> Iterator[Fault]:
    asked = {Protection.CUT_SLEEVE: "tested_radius", Protection.FORMER: "gives_radius"}
    if row["kind"] is Protection.NONE:
        yield Fault(f"{at}.kind", "none is not a protection", "wear-sleeve, cut-sleeve or radius-former")
    for kind, key in asked.items():
        if row["kind"] is kind and row[key] is None:
            yield Fault(f"{at}.{key}", "is missing", "without it this protection clears no edge")
        if row["kind"] is not kind and row[key] is not None:
            yield Fault(f"{at}.{key}", f"does not belong to {row['kind']}", f"only {kind} has it")


def _shelf_faults(row: Row, at: str, shop: Shop) -> Iterator[Fault]:
    """What a stock sling or roll refers to must be the shop's."""
    lofts = [loft.id for loft in shop.lofts]
    if row["loft"] not in lofts:
        yield Fault(
            f"{at}.loft", f"{row['loft']!r} is not a loft of this shop", nearest_hint(row["loft"], lofts)
        )
    if shop.webbing(row["fibre"], row["class"], row["width"]) is None:
        yield Fault(
            f"{at}.width",
            f"the shop lists no {row['fibre']} webbing of class {row['class']} in this width",
            "its stretch, thickness and mass must be known: add it to the shop's webbing",
        )


def _stock_faults(row: Row, at: str, shop: Shop) -> Iterator[Fault]:
    yield from _shelf_faults(row, at, shop)
    eyes = shop.eye_row(row["width"], row["plies"])
    if row["form"] is Form.RETURN_EYE:
        yield Fault(f"{at}.form", "return-eye has no pattern here, so it can be neither drawn nor priced")
    if eyes is None:
        yield Fault(f"{at}.plies", "the shop has no eye and lap row for this width and ply count")
    if row["eye"] is not None and not row["form"].has_eyes:
        yield Fault(f"{at}.eye", f"{row['form']} has no sewn eyes", "leave it out")
    eye_m = row["eye"] or (eyes.eye_m if eyes else 0.0)
    if row["form"].has_eyes and row["length"] <= 2 * eye_m:
        yield Fault(f"{at}.length", "is not longer than its two eyes")


def _repeated(rows: Iterable[Row], at: str, keys: tuple[str, ...]) -> Iterator[Fault]:
    seen: set[tuple[object, ...]] = set()
    for i, row in enumerate(rows):
        key = tuple(row[k] for k in keys)
        if key in seen:
            yield Fault(f"{at}[{i}].{keys[0]}", f"{' '.join(str(k) for k in key)} is listed twice")
        seen.add(key)
