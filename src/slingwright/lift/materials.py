"""Densities of materials: cited data, the higher where sources differ."""

from __future__ import annotations

import difflib
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from importlib.resources import files

from slingwright.citation import Citation, Cited, Known
from slingwright.errors import fail
from slingwright.units import parse_density_kg_m3

__all__ = ["Material", "density_of", "materials"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One material: every density found for it [kg/m³], each with where it is printed."""

    name: str
    also: tuple[str, ...]
    found: tuple[Cited[float], ...]

    @property
    def density_kg_m3(self) -> Cited[float]:
        """The density to use: the highest printed."""
        return max(self.found, key=lambda cited: cited.value)


@cache
def materials() -> tuple[Material, ...]:
    """All materials, in the order of the data file."""
    text = files("slingwright.lift").joinpath("data/materials.toml").read_text(encoding="utf-8")
    return tuple(
        Material(
            name=row["name"],
            also=tuple(row.get("also", ())),
            found=tuple(_cited(value, row["name"]) for value in row["values"]),
        )
        for row in tomllib.loads(text)["material"]
    )


def _cited(value: Mapping[str, str], name: str) -> Cited[float]:
    citation = Citation(
        document=value["document"],
        clause=value.get("clause", ""),
        known=Known(value["known"]),
        note=value["density"],
    )
    return Cited(parse_density_kg_m3(value["density"], f"materials.{name}"), citation)


@cache
def _by_name() -> Mapping[str, Material]:
    return {name: material for material in materials() for name in (material.name, *material.also)}


def density_of(name: str, field: str) -> float:
    """Density of a named material [kg/m³].

    Raises
    ------
    InputFault
        No such material in the table; names the nearest.
    """
    word = " ".join(name.lower().split())
    found = _by_name().get(word)
    if found is not None:
        return found.density_kg_m3.value
    close = difflib.get_close_matches(word[:60], _by_name(), n=1)
    names = ", ".join(material.name for material in materials())
    hint = f'did you mean "{close[0]}"?' if close else f"one of: {names}; or give a density"
    raise fail(field, f'"{name[:40]}" is not in the density table', hint)
