"""Pages on how a sling holds its load: hitches, angles, the angle of choke, edges."""

from __future__ import annotations

from collections.abc import Iterator

from slingwright.citation import Citation
from slingwright.rulebook import Choke, ChokeState, RatedCell, Rating, Refusal
from slingwright.sling import Fibre, Form, Hitch, SlingSpec
from slingwright.words.learning.model import Asked, Part, Table
from slingwright.words.names import hitch_name, protection_name
from slingwright.words.rating import refusal_text, sling_text

__all__ = ["angle_parts", "choke_parts", "edge_parts", "example_sling", "hitch_parts"]

_STEP_DEG = 15  # of the tables' angles
_STRAIGHT_DEG = 180.0
_FREE = Choke(state=ChokeState.FREE)
_LENGTH_M, _EYE_M = 3.0, 0.3  # of the example: no rated load depends on either


def example_sling(asked: Asked) -> tuple[SlingSpec, RatedCell]:
    """A two-ply flat-eye polyester sling of the second width that its table holds, and its cell."""
    for table in asked.book.tables:
        if (
            Form.FLAT_EYE in table.forms
            and Fibre.POLYESTER in table.fibres
            and table.webbing_class == _class(asked)
        ):
            cell = sorted((c for c in table.cells.values() if c.plies == 2), key=lambda c: c.width_m)[1]
            return SlingSpec(
                form=Form.FLAT_EYE, fibre=Fibre.POLYESTER, webbing_class=table.webbing_class, plies=2,
                width_m=cell.width_m, length_m=_LENGTH_M, eye_m=_EYE_M,
            ), cell  # fmt: skip
    raise LookupError("these rules rate no flat-eye polyester sling")


def _example(asked: Asked) -> tuple[str, str]:
    """Which sling the figures of a page are of."""
    spec, cell = example_sling(asked)
    sling = sling_text(spec, asked.units, asked.language)
    return asked.told("learn", "example", cell.citation, sling=sling, printed=cell.printed)


def hitch_parts(asked: Asked) -> tuple[Part, ...]:
    """Each hitch with the example's rated load in it and how that comes about."""
    spec, cell = example_sling(asked)
    first = _example(asked)
    parts = []
    for hitch in Hitch:
        rating = asked.book.rate(spec, hitch, choke=_FREE if hitch is Hitch.CHOKER else None)
        assert isinstance(rating, Rating)
        says = [asked.told("learn-hitches", str(hitch))]
        says += [first] if hitch is Hitch.VERTICAL else []
        if hitch is not Hitch.VERTICAL:
            factor = rating.factors[0]
            says.append(
                asked.told("learn", "hitch-rated", factor.citation, rated=rating.printed,
                           straight=cell.printed, factor=asked.short(factor.value))
            )  # fmt: skip
        name = hitch_name(hitch, 1, language=asked.language)
        parts.append(Part(title=_upper(name), picture=f"hitch-{hitch}", says=tuple(says)))
    wraps = asked.book.hitch.factors["wraps"].citation
    parts.append(
        Part(
            title=asked.say("learn", "wraps"),
            says=(asked.told("learn", "wraps-say", wraps), asked.told("learn", "two-checks")),
        )
    )
    return tuple(parts)


def angle_parts(asked: Asked) -> tuple[Part, ...]:
    """Both ways to say an angle, what a flat leg costs, and how flat is allowed."""
    book = asked.book
    limits = [
        asked.told("learn-angles", name, book.limit(name).citation, angle=asked.angle(book.limit(name).value))
        for name in ("preferred_angle_deg", "normal_angle_deg", "least_angle_deg")
        if book.has_limit(name)
    ]
    how = "angles-banded" if book.hitch.banded else "angles-sine"
    modes = book.hitch.bridle_modes
    source = modes[0].factor.citation if book.hitch.banded else book.hitch.factors["angle"].citation
    return (
        Part(
            title=asked.say("learn", "two-angles"),
            picture="angle",
            says=(asked.told("learn", "two-angles-say"),),
        ),
        Part(
            title=asked.say("learn", "flat-costs"),
            picture="fan",
            says=(asked.told("learn", "flat-costs-say"), asked.told("learn", how, source), _example(asked)),
            table=_angle_table(asked),
        ),
        Part(title=asked.say("learn", "how-flat"), says=tuple(limits)),
    )  # fmt: skip


def _angle_table(asked: Asked) -> Table:
    """From straight up to the flattest: both angles, a leg's share, the example's rated load as a pair."""
    spec, cell = example_sling(asked)
    book, rows = asked.book, []
    for angle_deg in range(90 - _STEP_DEG, int(book.limit("least_angle_deg").value) - 1, -_STEP_DEG):
        # by statics alone: what a leg pulls, even where the rules count more all along a band
        share = book.leg_floor(2, 1.0, float(angle_deg), symmetric=False).value
        rated = book.rate(spec, Hitch.VERTICAL, angle_from_horizontal_deg=float(angle_deg), legs=2)
        rows.append(
            (
                asked.angle(float(angle_deg)),
                asked.angle(90.0 - angle_deg),
                asked.number(share),
                rated.printed if isinstance(rated, Rating) else refusal_text(rated, language=asked.language),
            )
        )
    return asked.table("angles", rows, (book.legs.statics, cell.citation))


def choke_parts(asked: Asked) -> tuple[Part, ...]:
    """What the angle of choke is, and the factor for each band of it."""
    book = asked.book
    free, factor = book.hitch.choke_free, book.choker_factor()
    says = [
        asked.told("learn", "choke-say"),
        asked.told("learn", "choke-factor", factor.citation, factor=asked.short(factor.value)),
        asked.told(
            "learn", "choke-free", free.citation, angle=asked.angle(book.limit("choke_full_angle_deg").value)
        ),
        *_stricter_edge(asked),
        asked.told("learn", "choke-where"),
    ]
    bands = list(_bands(asked))
    if bands:
        sources: list[Citation] = [book.hitch.choke_citation, *(s.citation for s in book.hitch.schemes)]
        table = asked.table("choke", bands, sources)
    else:
        unknown = book.choke_band(ChokeState.UNKNOWN)
        assert isinstance(unknown, Refusal)
        says.append((refusal_text(unknown, language=asked.language), str(unknown.citation)))
        table = None
    return (Part(title=asked.say("learn", "choke"), picture="choke", says=tuple(says), table=table),)


def _stricter_edge(asked: Asked) -> Iterator[tuple[str, str]]:
    """That the table has less at the very angle at which the full rating is said to stand, where it has."""
    full_deg = asked.book.limit("choke_full_angle_deg").value
    band = asked.book.choke_band(ChokeState.STATED, full_deg)
    if not isinstance(band, Refusal) and band.value < 1.0:
        yield asked.told("learn", "choke-edge", angle=asked.angle(full_deg))


def _bands(asked: Asked) -> Iterator[tuple[str, str]]:
    """Each stretch of angles of choke with the one factor that counts all along it, straightest first."""
    book = asked.book
    edges = sorted({band.from_deg for scheme in book.hitch.schemes for band in scheme.bands}, reverse=True)
    above = _STRAIGHT_DEG
    for edge in edges:
        inside, on_it = (book.choke_band(ChokeState.STATED, deg) for deg in ((edge + above) / 2, edge))
        assert not isinstance(inside, Refusal)
        assert not isinstance(on_it, Refusal)
        key = "band-from" if on_it.value == inside.value else "band-above"
        yield (
            asked.say("learn", key, low=asked.angle(edge), high=asked.angle(above)),
            asked.number(inside.value),
        )
        above = edge


def edge_parts(asked: Asked) -> tuple[Part, ...]:
    """When an edge is sharp for a stack of webbing, and the three things that go between."""
    book = asked.book
    sharp, former = book.limit("edge_radius_ratio"), book.limit("edge_former_ratio")
    layer = next(row for row in book.fibres() if row.id == "thickness")
    layer_m = layer.figures["class7_m"]
    rows = [
        (asked.say("common", "one-ply" if plies == 1 else "plies", plies=str(plies)),
         asked.length_up(plies * layer_m),
         asked.length_up(plies * layer_m * sharp.value))
        for plies in sorted({cell.plies for table in book.tables for cell in table.cells.values()})
    ]  # fmt: skip
    parts = [
        Part(
            title=asked.say("learn", "edge"),
            picture="edge",
            says=(
                asked.told("learn", "edge-say"),
                asked.told("learn", "edge-sharp", sharp.citation, ratio=asked.short(sharp.value)),
                asked.told("learn", "edge-knife", former.citation, ratio=asked.short(former.value)),
                asked.told("learn", "edge-unlisted"),
            ),
            table=asked.table("edge", rows, (layer.citation, sharp.citation)),
        )
    ]
    for kind in ("wear-sleeve", "cut-sleeve", "radius-former"):
        title = _upper(protection_name(kind, language=asked.language))
        parts.append(Part(title=title, picture=kind, says=(asked.told("learn-protections", kind),)))
    parts.append(Part(title=asked.say("learn", "never-proof"), says=(asked.told("standing", "edge"),)))
    return tuple(parts)


def _class(asked: Asked) -> int:
    """The strongest class that is rated: the usual one."""
    return max(table.webbing_class for table in asked.book.tables)


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
