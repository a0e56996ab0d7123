"""A shop whose gates are open, as the tests need one: table adopted, patterns qualified, lots certified.

Invented: no such table was checked by anybody and no such test was made.
"""

from __future__ import annotations

import tomllib
from collections.abc import Iterator
from pathlib import Path

from slingwright.rulebook import load_rulebook
from tests.shops import ADOPTED, EXAMPLE

AT = ("--at", "2026-03-01")


def adopted_folder(folder: Path) -> tuple[str | Path, ...]:
    """Write the adopted twin of Harrow Quay into a folder; give the options that name its files."""
    adopted = tomllib.loads(ADOPTED.read_text(encoding="utf-8"))
    shop = (EXAMPLE / "shop.toml").read_text(encoding="utf-8")
    for loft, names in adopted["qualified"].items():
        shop = shop.replace(f'id = "{loft}"', f'id = "{loft}"\nqualified = {names!r}'.replace("'", '"'))
    rolls = (EXAMPLE / "rolls.toml").read_text(encoding="utf-8")
    for lot, certificate in adopted["certificates"].items():
        rolls = rolls.replace(f'lot = "{lot}"', f'lot = "{lot}", certificate = "{certificate}"')
    folder.mkdir(exist_ok=True)
    (folder / "shop.toml").write_text(shop, encoding="utf-8")
    (folder / "rolls.toml").write_text(rolls, encoding="utf-8")
    for name in ("price_book.toml", "stock.toml"):
        (folder / name).write_bytes((EXAMPLE / name).read_bytes())
    (folder / "adoption.toml").write_text("\n".join(adoption_lines()), encoding="utf-8")
    return ("--shop", folder / "shop.toml", "--adoption", folder / "adoption.toml")


def adoption_lines() -> Iterator[str]:
    """An adoption of every shipped table."""
    yield 'rulebook = "us"'
    yield 'by = ["A. Tester", "B. Checker"]'
    yield 'document = "invented for the tests"'
    yield 'edition = "0"'
    yield "date = 2026-01-05"
    for table in load_rulebook("us").tables:
        yield f'[[checked]]\ntable = "{table.id}"\nsha256 = "{table.sha256}"'
