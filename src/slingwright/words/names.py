"""Names of things: forms, fibres, hitches, arrangements, places. Plain words first, the trade's with them."""

from __future__ import annotations

from slingwright.arrangement.model import Arrangement
from slingwright.choose.offer import Choke, OfferSling
from slingwright.lift.model import KnownBy, Shape
from slingwright.sling import Fibre, Form, Hitch, SlingSpec
from slingwright.units import Rounding, Units, show_angle, show_length
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_made_length, show_number

__all__ = [
    "arrangement_name",
    "case_name",
    "choke_text",
    "fibre_name",
    "form_name",
    "hitch_name",
    "known_by_text",
    "place_text",
    "protection_name",
    "rulebook_name",
    "shape_name",
    "spec_text",
    "subject_text",
    "supply_text",
]


def form_name(form: Form, *, language: str = "en") -> str:
    """The form in plain words."""
    return read_catalogue(language).word("forms", str(form))


def fibre_name(fibre: Fibre, *, language: str = "en") -> str:
    """The webbing material."""
    return read_catalogue(language).word("fibres", str(fibre))


def rulebook_name(rulebook: str, profile: str = "own", *, language: str = "en") -> str:
    """The rulebook in force, and the profile where it is not the rulebook's own."""
    words = read_catalogue(language)
    name = words.word("rulebooks", rulebook)
    return name if profile == "own" else words.fill("rulebooks", profile, rulebook=name)


def shape_name(shape: Shape, *, language: str = "en") -> str:
    """The load's shape."""
    return read_catalogue(language).word("shapes", str(shape))


def hitch_name(hitch: Hitch, wraps: int = 1, *, language: str = "en") -> str:
    """The hitch, and that it goes round twice where it does."""
    words = read_catalogue(language)
    name = words.word("hitches", str(hitch))
    return name if wraps == 1 else words.fill("common", "double-wrap", hitch=name)


def protection_name(protection: str, *, language: str = "en") -> str:
    """What lies between sling and load."""
    return read_catalogue(language).word("protections", protection)


def known_by_text(known_by: KnownBy, *, language: str = "en") -> str:
    """How a weight or centre is known, as the end of a sentence."""
    return read_catalogue(language).word("known-by", str(known_by))


def case_name(code: str, *, language: str = "en") -> str:
    """The name of a hang case; "swap BADC" names the order of the legs."""
    words = read_catalogue(language)
    head, _, rest = code.partition(" ")
    return words.fill("cases", head, order=rest)


def arrangement_name(arrangement: Arrangement | str, *, language: str = "en") -> str:
    """The family in plain words; "bridle-n" tells its legs when given the whole arrangement."""
    code = arrangement if isinstance(arrangement, str) else arrangement.family
    legs = "" if isinstance(arrangement, str) else str(arrangement.legs)
    return read_catalogue(language).fill("families", code, legs=legs).strip()


def spec_text(spec: SlingSpec, units: Units, *, language: str = "en") -> str:
    """A sling in one line: form, fibre, class, plies, width, length and eye."""
    words = read_catalogue(language)
    key = "sling-with-eye" if spec.eye_m else "sling-without-eye"
    return words.fill(
        "common",
        key,
        form=form_name(spec.form, language=language),
        fibre=fibre_name(spec.fibre, language=language),
        webbing_class=str(spec.webbing_class),
        plies=words.fill("common", "one-ply" if spec.plies == 1 else "plies", plies=str(spec.plies)),
        width=show_length(spec.width_m, units),
        length=show_made_length(spec.length_m, units),
        eye=show_length(spec.eye_m, units),
    )


def supply_text(sling: OfferSling, *, language: str = "en") -> str:
    """Where the sling comes from: made to order, or which one from stock."""
    return read_catalogue(language).fill("supply", sling.supply, stock_id=sling.stock_id or "")


def place_text(code: str, units: Units, *, language: str = "en") -> str:
    """Where a sling's end sits: "hook 1", "beam west", "round 1.2000", or a pick point by its own name."""
    words = read_catalogue(language)
    head, _, rest = code.partition(" ")
    if head == "round" and _is_number(rest):
        return words.fill("places", "round", at=show_length(float(rest), units))
    if head in words.sections["places"] and head != "pick":
        return words.fill("places", head, rest=_part(rest, language)).strip()
    return words.fill("places", "pick", name=code)


def choke_text(choke: Choke, *, language: str = "en") -> str:
    """How the choke is known and what it takes off."""
    angle = "" if choke.angle_deg is None else show_angle(choke.angle_deg, rounding=Rounding.DOWN)
    return read_catalogue(language).fill("chokes", choke.state, angle=angle, factor=show_number(choke.factor))


def subject_text(subject: str, units: Units, *, language: str = "en") -> str:
    """The sling, path or pick point a finding is about; the whole lift when it names none."""
    return subject or read_catalogue(language).word("common", "the-lift")


def _part(code: str, language: str) -> str:
    parts = read_catalogue(language).sections["parts"]
    return " ".join(parts.get(word, word) for word in code.split())


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()
