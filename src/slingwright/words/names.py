"""Names of things: forms, fibres, hitches, arrangements, places. Plain words first, the trade's with them."""

from __future__ import annotations

from collections.abc import Sequence

from slingwright.arrangement.model import Arrangement
from slingwright.choose.offer import Choke, OfferSling
from slingwright.lift.model import KnownBy, Shape
from slingwright.sling import Fibre, Form, Hitch, SlingSpec
from slingwright.units import Rounding, Units
from slingwright.words.catalogue import read_catalogue
from slingwright.words.figures import show_angle, show_length, show_made_length, show_number, show_width

__all__ = [
    "arrangement_name",
    "case_name",
    "cell_text",
    "choke_text",
    "fibre_name",
    "fitting_name",
    "form_name",
    "hitch_name",
    "known_by_text",
    "material_name",
    "place_text",
    "places_text",
    "plies_text",
    "protection_name",
    "rulebook_name",
    "shape_name",
    "spec_text",
    "subject_name",
    "subject_texts",
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


def known_by_text(known_by: KnownBy, *, computed_from: str = "", language: str = "en") -> str:
    """How a weight or centre is known, as the end of a sentence.

    `computed_from`: of a computed one "shape", "parts" or "mesh", "" where that is not told.
    """
    by = f"-from-{computed_from}" if computed_from and known_by is KnownBy.COMPUTED else ""
    return read_catalogue(language).word("known-by", f"{known_by}{by}")


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
        plies=plies_text(spec.plies, language=language),
        width=show_width(spec.width_m, units, language=language),
        length=show_made_length(spec.length_m, units, language=language),
        eye=show_length(spec.eye_m, units, language=language),
    )


def plies_text(plies: int, *, language: str = "en") -> str:
    """How many layers of webbing."""
    words = read_catalogue(language)
    return words.word("common", "one-ply") if plies == 1 else words.fill("common", "plies", plies=str(plies))


def cell_text(cell: str, *, language: str = "en") -> str:
    """A row of a rated-load table, whose code is "2 ply, 3 in": its layers in words, its width as printed."""
    plies, _, width = cell.partition(" ply, ")
    return f"{plies_text(int(plies), language=language)}, {width}" if plies.isdigit() else cell


def fitting_name(kind: str, *, language: str = "en") -> str:
    """What is sewn into a sling's end."""
    return read_catalogue(language).word("fittings", kind)


def supply_text(sling: OfferSling, *, language: str = "en") -> str:
    """Where the sling comes from: made to order, or which one from stock."""
    return read_catalogue(language).fill("supply", sling.supply, stock_id=sling.stock_id or "")


def place_text(code: str, units: Units, *, language: str = "en") -> str:
    """Where a sling's end sits: "hook 1", "beam west", "round 1.2000", or a pick point by its own name."""
    words = read_catalogue(language)
    head, _, rest = code.partition(" ")
    if head == "round" and _is_number(rest):
        return words.fill("places", "round", at=show_length(float(rest), units, language=language))
    if head in ("hook", "beam"):
        return words.fill("places", head, rest=_part(rest, language)).strip()
    return words.fill("places", "pick", name=code)


def places_text(codes: Sequence[str], units: Units, *, language: str = "en") -> str:
    """Several lower ends in one phrase: "pick points A, B and C", "round the load, 1 m and 3 m from …"."""
    words = read_catalogue(language)
    if len(codes) == 1:
        return place_text(codes[0], units, language=language)
    rounds = [code.removeprefix("round ") for code in codes if code.startswith("round ")]
    if len(rounds) == len(codes) and all(map(_is_number, rounds)):
        ats = [show_length(float(at), units, language=language) for at in rounds]
        return words.fill("places", "rounds", ats=_listed(ats, language))
    if any(code.partition(" ")[0] in ("beam", "hook", "round") for code in codes):
        return _listed([place_text(code, units, language=language) for code in codes], language)
    return words.fill("places", "picks", names=_listed(list(codes), language))


def choke_text(choke: Choke, *, language: str = "en") -> str:
    """How the choke is known and what it takes off."""
    angle = (
        ""
        if choke.angle_deg is None
        else show_angle(choke.angle_deg, rounding=Rounding.DOWN, language=language)
    )
    return read_catalogue(language).fill(
        "chokes", choke.state, angle=angle, factor=show_number(choke.factor, language=language)
    )


def subject_texts(subject: str, units: Units, *, language: str = "en") -> dict[str, str]:
    """What a finding is about, in each of the ways its sentence may say it.

    `subject` is a name (sling, leg, pick point, beam), several of them, "hook 1", a group of slings, a fibre,
    or "agent/material".
    """
    words = read_catalogue(language)
    agent, _, material = subject.partition("/")
    is_hook = subject.startswith("hook ")
    named = place_text(subject, units, language=language) if is_hook else subject
    key = "several-slings" if "," in subject else "one-sling" if subject else "some-sling"
    return {
        "subject": named or words.word("common", "the-lift"),
        "sling": words.fill("common", key, ids=subject),
        "agent": words.sections["agents"].get(agent) or _capital(agent.replace("-", " ")),
        "material": material_name(material or subject, language=language),
        "group": words.sections["groups"].get(subject, subject),
    }


def subject_name(subject: str, units: Units, *, language: str = "en") -> str:
    """One of the things that findings are about: a hook, a group of slings, a material; else its own name."""
    words = read_catalogue(language)
    if subject.startswith("hook "):
        return place_text(subject, units, language=language)
    return words.sections["groups"].get(subject) or material_name(subject, language=language)


def leg_name(path: str, *, language: str = "en") -> str:
    """A leg by its path's name; of the two legs of a basket the sling's, and which side it is."""
    sling, _, side = path.rpartition(" ")
    sides = read_catalogue(language).sections["leg-sides"]
    return f"{sling} {sides[side]}" if sling and side in sides else path


def material_name(code: str, *, language: str = "en") -> str:
    """A fibre or metal by its code; one that a shop names itself as it does."""
    words = read_catalogue(language)
    return words.sections["fibres"].get(code) or words.sections["materials"].get(code, code)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _part(code: str, language: str) -> str:
    parts = read_catalogue(language).sections["parts"]
    return " ".join(parts.get(word, word) for word in code.split())


def _listed(items: list[str], language: str) -> str:
    if len(items) == 1:
        return items[0]
    return read_catalogue(language).fill("places", "and", most=", ".join(items[:-1]), last=items[-1])


def _is_number(text: str) -> bool:
    return text.replace(".", "", 1).isdigit()
