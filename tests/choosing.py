"""What the tests of the search share: a coarse Harrow Quay, small shops, answers computed once a session."""

from __future__ import annotations

import contextlib
import functools
import io
import json
import re
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from slingwright.cli import main
from slingwright.price import PriceBook, read_price_book
from slingwright.shop import Shop, read_shop
from tests.lifts import EXAMPLES
from tests.shops import document

_KEPT = tempfile.TemporaryDirectory(prefix="slingwright-tests-")  # gone when the tests end
FOLDER = Path(_KEPT.name)

# Harrow Quay, but by the foot and the yard: a twelfth of the lengths, a third of the places
COARSE = {"placement_step": "4 ft", "height_step": "6 in"}  # and legs to no finer step than the rest
LENGTH_STEP = {"duct_section": "3 in"}  # below a beam lengths go by twelve steps
CUT_SHORT = {"conduit_bundle"}  # round a loose bundle nothing is of grade 0: all of the space is tried


@dataclass(frozen=True, slots=True, kw_only=True)
class Printed:
    """One run of the command: exit status, what it printed, what it wrote."""

    code: int
    out: bytes
    err: str
    sheet: bytes | None = None
    drawing: str | None = None

    @property
    def document(self) -> dict[str, Any]:
        """The one JSON document on stdout, read anew."""
        found: dict[str, Any] = json.loads(self.out)
        return found


@functools.cache
def coarse_shop(length_step: str, *, one_webbing: bool = False) -> Path:
    """The coarse shop's file, its stock and price book beside it."""
    folder = FOLDER / f"coarse {length_step} {one_webbing}"
    folder.mkdir()
    text = (EXAMPLES / "shop.toml").read_text(encoding="utf-8")
    text = re.sub(r'^bridle_step = ".*"\n', "", text, flags=re.MULTILINE)
    for key, coarse in (COARSE | {"length_step": length_step}).items():
        text, found = re.subn(f'^{key} = ".*"$', f'{key} = "{coarse}"', text, flags=re.MULTILINE)
        assert found == 1
    stock = (EXAMPLES / "stock.toml").read_text(encoding="utf-8")
    if one_webbing:
        head, *blocks = text.split("[[webbing]]")
        blocks[:-1] = [b for b in blocks[:-1] if "class = 7" in b and 'fibre = "polyester"' in b]
        text = "[[webbing]]".join((head, *blocks))
        lines = stock.splitlines(keepends=True)
        stock = "".join(line for line in lines if "class = 5" not in line and "nylon" not in line)
    (folder / "shop.toml").write_text(text, encoding="utf-8")
    (folder / "stock.toml").write_text(stock, encoding="utf-8")
    prices = (EXAMPLES / "price_book.toml").read_text(encoding="utf-8")
    (folder / "price_book.toml").write_text(prices, encoding="utf-8")
    return folder / "shop.toml"


@contextlib.contextmanager
def _caught() -> Iterator[tuple[io.BytesIO, io.StringIO]]:
    """Stdout as bytes, stderr as text, whatever else pytest does with them."""
    out, err = io.BytesIO(), io.StringIO()
    wrapped = io.TextIOWrapper(out, encoding="utf-8", write_through=True)
    old = sys.stdout, sys.stderr
    sys.stdout, sys.stderr = wrapped, err
    try:
        yield out, err
    finally:
        wrapped.flush()
        sys.stdout, sys.stderr = old


def run_command(arguments: Sequence[str]) -> Printed:
    """Run the command line in this process."""
    with _caught() as (out, err):
        code = main.run(list(arguments))
        sys.stdout.flush()
        printed = out.getvalue()
    return Printed(code=code, out=printed, err=err.getvalue())


def printed(name: str, *, coarse: bool = False) -> Printed:
    """One example lift through `slingwright choose`, with its papers; computed once a session."""
    return _printed(name, coarse)


@functools.cache
def _printed(name: str, coarse: bool) -> Printed:
    folder = FOLDER / f"{name}{'-coarse' if coarse else ''}"
    folder.mkdir()
    sheet, drawing = folder / "sheet.pdf", folder / "drawing.svg"
    line = ["choose", str(EXAMPLES / f"{name}.toml"), "--json", "--at", "2026-05-31"]
    line += ["--sheet", str(sheet), "--drawing", str(drawing)]
    if coarse:
        shop = _tiny_shop() if name in CUT_SHORT else coarse_shop(LENGTH_STEP.get(name, "1 ft"))
        line += ["--limit", "3"] if name in CUT_SHORT else []
        line += ["--shop", str(shop)]
    done = run_command(line)
    return Printed(
        code=done.code,
        out=done.out,
        err=done.err,
        sheet=sheet.read_bytes() if sheet.exists() else None,
        drawing=drawing.read_text(encoding="utf-8") if drawing.exists() else None,
    )


@dataclass(frozen=True, slots=True)
class SmallShop:
    """A shop small enough that every candidate of a lift can be solved, and its prices."""

    shop: Shop
    book: PriceBook


@functools.cache
def small_shop(
    *,
    widths: tuple[str, ...],
    forms: tuple[str, ...] = ("twisted-eye", "flat-eye"),
    fibres: tuple[str, ...] = ("polyester", "nylon"),
    plies: tuple[int, ...] = (1, 2),
    lengths: tuple[str, str] = ("4 ft", "16 ft"),
    quick_up_to: str = "10 ft",
    length_step: str = "2 ft",
    placement_step: str = "3 ft",
    height_step: str = "1 ft",
    bridle_step: str | None = None,
    shelf: int = 99,
    protections: tuple[str, ...] = ("radius-former",),
    nylon_stretch: tuple[str, str] | None = None,
) -> SmallShop:
    """Harrow Quay with few makes and two lofts: a slow one that sews all, a quick one for short slings."""
    doc, prices, stock = document("shop.toml"), document("price_book.toml"), document("stock.toml")
    doc["plies"] = list(plies)
    doc["practice"].pop("bridle_step", None)
    doc["practice"] |= {
        "length_step": length_step,
        "placement_step": placement_step,
        "height_step": height_step,
        **({} if bridle_step is None else {"bridle_step": bridle_step}),
    }
    slow, quick = doc["loft"][:2]
    slow |= {"min_length": lengths[0], "max_length": lengths[1], "forms": list(forms)}
    quick |= {"min_length": lengths[0], "max_length": quick_up_to, "forms": list(forms)}
    doc["loft"] = [slow, quick]
    metric = widths[0].endswith("mm")
    doc["webbing"] = [
        w | {"widths": [x for x in w["widths"] if x in widths]}
        for w in doc["webbing"]
        if w["class"] == 7 and w["fibre"] in fibres and w["widths"][0].endswith("mm") is metric
    ]
    for webbing in doc["webbing"]:
        if webbing["fibre"] == "nylon" and nylon_stretch is not None:
            webbing["stretch"] = list(nylon_stretch)
    doc["protection"] = [p for p in doc["protection"] if p["kind"] in protections]
    kept = {"quay", "fell"}
    stock["sling"] = [
        s
        for s in stock["sling"]
        if s["width"] in widths and s["form"] in forms and s["loft"] in kept and s["plies"] in plies
        and s["fibre"] in fibres and s["class"] == 7
    ]  # fmt: skip
    kinds: dict[tuple[object, ...], list[dict[str, Any]]] = {}
    for s in sorted(stock["sling"], key=lambda s: -s.get("count", 1)):  # the fullest rows of each kind
        kinds.setdefault((s["width"], s["form"], s["plies"], s["fibre"]), []).append(s)
    stock["sling"] = [s for rows in kinds.values() for s in rows[:shelf]]
    shop = read_shop(doc, stock_doc=stock, sha256="0" * 64)
    return SmallShop(shop=shop, book=read_price_book(prices, sha256="0" * 64, shop=shop))


@functools.cache
def _tiny_shop() -> Path:
    """The coarse shop with two widths of one webbing: a whole search in a fraction of a second."""
    whole = coarse_shop("1 ft", one_webbing=True)
    folder = FOLDER / "tiny"
    folder.mkdir()
    for name in ("shop.toml", "stock.toml", "price_book.toml"):
        text = (whole.parent / name).read_text(encoding="utf-8")
        if name == "shop.toml":
            text = text.replace(_widths("in"), 'widths = ["2 in", "3 in"]')
            text = text.replace(_widths("mm"), 'widths = ["60 mm", "90 mm"]')
        if name == "stock.toml":
            kept = re.compile(r'^  \{(?!.*width = "[23] in")')
            text = "".join(line for line in text.splitlines(keepends=True) if not kept.match(line))
        (folder / name).write_text(text, encoding="utf-8")
    return folder / "shop.toml"


def _widths(unit: str) -> str:
    """The line of the shop's file with the widths of this unit."""
    lines = (EXAMPLES / "shop.toml").read_text(encoding="utf-8").splitlines()
    return next(line for line in lines if line.startswith("widths =") and unit in line)


def answered(doc: dict[str, Any]) -> dict[str, Any]:
    """The document that the command prints for a lift in the tiny shop."""
    path = FOLDER / "lift.json"
    path.write_text(json.dumps(doc), encoding="utf-8")
    done = run_command(["choose", str(path), "--json", "--units", "us", "--shop", str(_tiny_shop())])
    assert done.code in (0, 1), done.err
    return done.document
