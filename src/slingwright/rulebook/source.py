"""Read the data files: exact numbers, a citation for every entry, one hash over all of them."""

from __future__ import annotations

import hashlib
import tomllib
from collections.abc import Mapping
from fractions import Fraction
from importlib.resources import files
from typing import Any

from slingwright.citation import Citation, Cited, Known
from slingwright.units import parse_length_m, parse_temperature_k

__all__ = ["Entry", "cite", "cited_number", "cited_quantity", "hash_data", "read_table"]

Entry = Mapping[str, Any]
_PARTS = ("document", "edition", "clause", "known", "note")
_COMMON = "common"


def read_table(regime: str, name: str) -> Entry:
    """Read one data file; decimals arrive as exact fractions."""
    text = (files("slingwright.rulebook") / "data" / regime / f"{name}.toml").read_text("utf-8")
    return tomllib.loads(text, parse_float=Fraction)


def hash_data(regime: str) -> str:
    """Hash all data files of a rulebook, names and bytes, with the files both rulebooks share."""
    digest = hashlib.sha256()
    for folder in (regime, _COMMON):
        root = files("slingwright.rulebook") / "data" / folder
        for item in sorted(root.iterdir(), key=lambda entry: entry.name):
            if item.name.endswith(".toml"):
                digest.update(f"{folder}/{item.name}\n".encode())
                digest.update(item.read_bytes())
    return digest.hexdigest()


def cite(entry: Entry, *, head: Entry | None = None) -> Citation:
    """Make the citation of an entry; what it leaves out is its head's.

    An entry that names another document than its head takes nothing else from it.
    """
    base = {} if head is None or "document" in entry else {k: head[k] for k in _PARTS if k in head}
    own = {k: entry[k] for k in _PARTS if k in entry}
    merged = {**base, **own}
    return Citation(**{**merged, "known": Known(merged["known"])})


def cited_number(entry: Entry, *, head: Entry | None = None) -> Cited[float]:
    """Return the plain number of an entry with its citation."""
    return Cited(float(entry["value"]), cite(entry, head=head))


def cited_quantity(name: str, entry: Entry) -> Cited[float]:
    """Return a named limit in SI; the name's ending says which quantity a text is."""
    value = entry["value"]
    if name.endswith("_k"):
        return Cited(parse_temperature_k(value, name), cite(entry))
    if name.endswith("_m"):
        return Cited(parse_length_m(value, name), cite(entry))
    return cited_number(entry)
