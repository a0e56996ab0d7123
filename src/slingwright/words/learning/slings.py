"""Pages on the sling itself: forms, webbing, the tag."""

from __future__ import annotations

from slingwright.rulebook import Colour
from slingwright.rulebook.rated import RatedTable
from slingwright.sling import Fibre, Form, Hitch
from slingwright.units import Rounding, Units
from slingwright.units.parse import INCH_M
from slingwright.words.figures import show_force, show_length
from slingwright.words.learning.model import Asked, Part, Table
from slingwright.words.names import fibre_name, form_name, hitch_name

__all__ = ["form_parts", "tag_parts", "webbing_parts"]


def form_parts(asked: Asked) -> tuple[Part, ...]:
    """Each form: its ends, its names in both regimes, the hitches it may be used in, whether it is rated."""
    parts = []
    for form in Form:
        hitches = [h for h in Hitch if form.chokes or h is not Hitch.CHOKER]
        names = ", ".join(hitch_name(h, 1, language=asked.language) for h in hitches)
        says = [
            asked.told("learn-forms", str(form)),
            asked.told("learn", "form-names", us_type=form.us_type, en_form=form.en_form),
            asked.told("learn", "form-hitches", hitches=names),
        ]
        if not any(form in table.forms for table in asked.book.tables):
            says.append(asked.told("learn", "form-unrated"))
        title = form_name(form, language=asked.language)
        parts.append(Part(title=_upper(title), picture=f"form-{form}", says=tuple(says)))
    return tuple(parts)


def webbing_parts(asked: Asked) -> tuple[Part, ...]:
    """Plies, width, class with the rated loads of every row, stretch by fibre, the design factor."""
    book = asked.book
    design = book.design_factor
    factor = asked.short(design.value)
    return (
        Part(title=asked.say("learn", "plies"), picture="plies", says=(asked.told("learn", "plies-say"),)),
        Part(title=asked.say("learn", "width"), picture="width", says=(asked.told("learn", "width-say"),)),
        Part(
            title=asked.say("learn", "class"),
            says=(
                asked.told("learn", "class-say"),
                *(
                    asked.told("learn", "class-strength", strength.citation, webbing_class=str(name),
                               strength=_per_width(strength.value, asked))
                    for name, strength in sorted(book.gate.strength_n_per_m.items())
                ),
                asked.told("learn", "design-factor", design.citation, factor=factor),
            ),
        ),
        *(_rated_part(table, asked) for table in book.tables),
        Part(
            title=asked.say("learn", "stretch"),
            says=(asked.told("learn", "stretch-say"),),
            table=_stretch(asked),
        ),
    )  # fmt: skip


def tag_parts(asked: Asked) -> tuple[Part, ...]:
    """What a tag says by these rules, and the colours where they have any."""
    fields = asked.book.tag_fields()
    rows = [(str(at + 1), asked.say("learn-tag", row.id)) for at, row in enumerate(fields)]
    parts = [
        Part(
            title=asked.say("learn", "tag-fields"),
            picture="tag",
            says=(asked.told("learn", "tag-governs"), asked.told("learn", "tag-gone")),
            table=asked.table("tag", rows, [row.citation for row in fields]),
        )
    ]
    colours = asked.book.colours()
    if colours:
        rated = [(asked.say("learn-colours", c.colour), _stands_for(c, asked)) for c in colours]
        table = asked.table("colours", rated, [c.citation for c in colours])
        parts.append(Part(title=asked.say("learn", "colours"), says=(asked.told("learn", "colours-say"),),
                          table=table))  # fmt: skip
    else:
        parts.append(Part(title=asked.say("learn", "colours"), says=(asked.told("learn", "colours-none"),)))
    return tuple(parts)


def _stands_for(colour: Colour, asked: Asked) -> str:
    if colour.rated_t is None:
        name = fibre_name(Fibre(colour.fibre), language=asked.language)
        return asked.say("learn", "colour-fibre", fibre=name)
    key = "colour-above" if colour.and_above else "colour-load"
    return asked.say("learn", key, rated=f"{colour.rated_t:g} t")


def _rated_part(table: RatedTable, asked: Asked) -> Part:
    """Every cell of a rated-load table as it is printed: widths down, plies across."""
    cells = table.cells.values()
    plies = sorted({cell.plies for cell in cells})
    found = {(cell.width_m, cell.plies): cell.printed for cell in cells}
    rows = [
        (_printed_width(table, width), *(found.get((width, count), "–") for count in plies))
        for width in sorted({cell.width_m for cell in cells})
    ]
    head = (asked.say("learn", "width"), *(_plies(count, asked) for count in plies))
    return Part(
        title=_rated_title(table, asked),
        says=(
            asked.told("learn", "rated-say", forms=_forms(table, asked)),
            *((asked.told("learn", "not-adopted"),) if any(not cell.adopted for cell in cells) else ()),
        ),
        table=asked.table("rated", rows, (table.citation,), head=head),
    )


def _rated_title(table: RatedTable, asked: Asked) -> str:
    webbing_class = str(table.webbing_class)
    if len(table.forms) > 1:
        return asked.say("learn", "rated", webbing_class=webbing_class)
    return asked.say("learn", "rated-form", webbing_class=webbing_class, form=_forms(table, asked))


def _stretch(asked: Asked) -> Table:
    rows, cited = [], []
    for row in asked.book.fibres():
        if "stretch_low" not in row.figures:
            continue
        low, high = (asked.share(row.figures[key]) for key in ("stretch_low", "stretch_high"))
        rows.append((fibre_name(Fibre(row.id), language=asked.language), f"{low} – {high}"))
        cited.append(row.citation)
    return asked.table("stretch", rows, cited)


def _forms(table: RatedTable, asked: Asked) -> str:
    return ", ".join(form_name(f, language=asked.language) for f in Form if f in table.forms)


def _plies(count: int, asked: Asked) -> str:
    return asked.say("common", "one-ply" if count == 1 else "plies", plies=str(count))


def _printed_width(table: RatedTable, width_m: float) -> str:
    """A width as its table prints it: 12 in, and never a foot."""
    cell = next(cell for cell in table.cells.values() if cell.width_m == width_m)
    return cell.cell.partition(", ")[2]


def _per_width(strength_n_per_m: float, asked: Asked) -> str:
    """A webbing's strength for each inch or each 100 mm of its width."""
    width_m = float(INCH_M) if asked.units is Units.US else 0.1
    load = show_force(
        strength_n_per_m * width_m, asked.units, rounding=Rounding.DOWN, language=asked.language
    )
    return f"{load} / {show_length(width_m, asked.units, language=asked.language)}"


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
