"""What a tag says: the union that its own rulebook's documents ask for, field by field."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from slingwright.make.ratings import HitchLoad
from slingwright.rulebook import Rulebook
from slingwright.shop import Fitting
from slingwright.sling import Hitch, SlingSpec
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_angle, show_length
from slingwright.words.making import sling_code
from slingwright.words.names import fibre_name, material_name

__all__ = ["TagFacts", "TagLine", "tag_lines"]


@dataclass(frozen=True, slots=True, kw_only=True)
class TagFacts:
    """What a tag is made from."""

    maker: str
    serial: str
    year: int
    spec: SlingSpec
    loads: tuple[HitchLoad, ...]
    fittings: tuple[Fitting, ...] = ()
    legs: int = 1
    repairer: str = ""


@dataclass(frozen=True, slots=True)
class TagLine:
    """One field: its id in the rulebook, its label and what it says."""

    id: str
    label: str
    text: str


def tag_lines(facts: TagFacts, rulebook: Rulebook, *, language: str = "en") -> tuple[TagLine, ...]:
    """Fill in the rulebook's own tag fields, in its order; those that do not apply are left out.

    The serial number stands beside the code, whether or not the regime asks for it.

    Raises
    ------
    LookupError
        A field of the rulebook that this program cannot fill: our fault, never an empty tag.
    """
    texts = _texts(facts, rulebook, language)
    labels = read_catalogue(language).sections["tag-labels"]
    found = []
    for row in rulebook.tag_fields():
        text = texts[row.id]
        if text:
            found.append(TagLine(row.id, labels[row.id], text))
        if row.id == "code":
            found.append(TagLine("serial", labels["serial"], facts.serial))
    return tuple(found)


def _texts(facts: TagFacts, rulebook: Rulebook, language: str) -> dict[str, str]:
    spec = facts.spec
    straight = next(load for load in facts.loads if load.hitch is Hitch.VERTICAL)
    return {
        "maker": facts.maker,
        "code": sling_code(spec),
        "rated-loads": _rated(facts.loads, language),
        "fibre": fibre_name(spec.fibre, language=language),
        "legs": str(facts.legs) if facts.legs > 1 else "",
        "repairer": facts.repairer,
        "wll": straight.rating.printed,
        "fitting-grade": ", ".join(
            dict.fromkeys(material_name(one.material, language=language) for one in facts.fittings)
        ),
        "length": show_length(spec.length_m, Units.SI, language=language),
        "standard": rulebook.source.document,
        "wll-by-mode": _modes(facts.loads, straight, language),
        "year": str(facts.year) if facts.year else "",
    }


def _rated(loads: Sequence[HitchLoad], language: str) -> str:
    """Each hitch apart, the basket's angles together."""
    return _by_hitch(loads, [load.rating.printed for load in loads], language)


def _modes(loads: Sequence[HitchLoad], straight: HitchLoad, language: str) -> str:
    """The same with each mode's factor on the straight rating."""
    told = []
    for load in loads:
        factor = f"{load.rating.rated_n / straight.rating.rated_n:.2f}".rstrip("0").rstrip(".")
        printed = load.rating.printed
        told.append(read_catalogue(language).fill("tag-texts", "mode", printed=printed, factor=factor))
    return _by_hitch(loads, told, language)


def _by_hitch(loads: Sequence[HitchLoad], printed: Sequence[str], language: str) -> str:
    words = read_catalogue(language)
    parts, angles = [], []
    for load, text in zip(loads, printed, strict=True):
        angle = load.angle_from_horizontal_deg
        if angle is not None:
            shown = show_angle(angle, rounding=Rounding.UP, language=language)
            angles.append(words.fill("tag-texts", "at-angle", angle=shown, printed=text))
        else:
            key = "straight" if load.hitch is Hitch.VERTICAL else "choker"
            parts.append(words.fill("tag-texts", key, printed=text))
    if angles:
        parts.append(words.fill("tag-texts", "basket", angles=", ".join(angles)))
    return words.fill("tag-texts", "from-horizontal", text="; ".join(parts))
