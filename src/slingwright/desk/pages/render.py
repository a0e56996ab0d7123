"""Templates filled: the lift page in each of its states, and what every page is given."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any
from urllib.parse import parse_qsl, quote

from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS, field_id, fields_of, pick_rows, typed_rows
from slingwright.desk.link import pack_lift, unpack_lift
from slingwright.desk.pages.asked import MOST_NAME, link_to, query_of, scale_links
from slingwright.desk.pages.faults import english, told_of_lift
from slingwright.desk.pages.sketch import sketch_of, sketch_units
from slingwright.desk.pages.wanted import wanted_of
from slingwright.errors import InputFault
from slingwright.usecases.lift_text import lift_text
from slingwright.words import BESIDE, languages, read_catalogue
from slingwright.words.figures import hold_figures
from slingwright.words.learning import topic_of_field, topic_of_rule

if TYPE_CHECKING:
    from slingwright.desk.pages.view import AnswerView
    from slingwright.errors import Fault

__all__ = ["Shown", "Waits", "lift_page", "lift_part", "load_templates", "render", "sketch_part"]

_EXPLAINED_BY: Mapping[str, str] = {  # a field, and the small drawing that explains it
    "load.weight": "weight",
    "load.known_by": "known-by",
    "load.surface": "friction",
    "load.pick_point.rated": "lug",
    "want.by": "best",
    "load.length": "load-size",
    "load.width": "load-size",
    "load.height": "load-size",
    "load.diameter": "diameter",
    "load.centre_of_gravity": "centre-of-gravity",
    "load.edge_radius": "edge-radius",
    "load.pick_point": "pick-point",
    "hook.headroom": "headroom",
    "hook.thickness": "hook-thickness",
    "hook.width": "hook-width",
    "want.level_within": "level",
    "want.least_angle": "angle",
    "plies": "ply",
    "width": "width",
    "length": "sling-length",
    "eye": "sling-length",
    "load.shape": "shape",
    "hitch": "hitches",
    "choke": "choke-angle",
    "angle_from_horizontal": "angle",
}
_ENVIRONMENT = Environment(
    loader=PackageLoader("slingwright.desk"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
)


def load_templates() -> None:
    """Read all templates before the first page is asked for: a tenth of a second."""
    for name in _ENVIRONMENT.list_templates():
        _ENVIRONMENT.get_template(name)


def render(template: str, look: Look, **given: Any) -> str:
    """Fill a template.

    Every one is given `say` (a sentence of the catalogue), `hint` (a field's, in the units shown), `both` (a
    sentence with its English beside it, the English told apart), `to` (a link of ours that shows the same
    way), `language`, `look` and `tongues` (of each language its code, its own name, and the link to this page
    in it; `scales` the same of units).
    """
    said = partial(_say, read_catalogue(look.language))
    tongues = [
        (code, read_catalogue(code).name, link_to(look.here, replace(look, units=None), lang=code))
        for code in languages()
    ]
    return _ENVIRONMENT.get_template(template).render(
        say=said, both=_both, hint=partial(_hint, read_catalogue(look.language)),
        to=partial(_to, look), english=partial(english, look),
        explained_by=_EXPLAINED_BY, shown_word=partial(_shown_word, look),
        topic_of_field=topic_of_field, topic_of_rule=topic_of_rule,
        language=look.language, look=look, tongues=tongues, scales=scale_links(look), **given,
    )  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Shown:
    """What stands on the lift page beside the form.

    `waits`: the answer is on its way, or a part of it, and is asked for with `part_query`. `halted`: somebody
    stopped the search, or it ended before its time (`died`). `typed` stays in the fields.
    `so_far`: the `view` is of what was found so far, while the answer is on its way. `settled`: what became
    of it.
    """

    view: AnswerView | None = None
    faults: Sequence[Fault] = ()
    rest: bool = True  # the other offers are known, too
    asked: bool = False  # so is the next question
    explained: bool = False  # and what would change the answer
    typed: Mapping[str, str] = field(default_factory=dict)
    waits: Waits | None = None
    so_far: bool = False
    settled: str = ""
    part_query: str = ""
    halted: bool = False
    died: bool = False
    pressed: bool = True  # somebody asked for an answer; else what is still missing is no fault yet


@dataclass(frozen=True, slots=True, kw_only=True)
class Waits:
    """A part of the answer that is asked for again: what is done now, and where what comes shall stand."""

    part: str
    stage: str
    solved: str = ""
    weighed: str = ""  # of so many `open_points`, at the stage "weighing"
    open_points: str = ""
    delay_ms: int = 400
    target: str = "#answer"
    swap: str = "innerHTML"
    quiet: bool = False  # another part says so already
    seen: bool = False  # what was found so far stands there meanwhile


def lift_page(
    bench: Bench, tables: Mapping[str, Any], look: Look, shown: Shown, *, status: int = 200
) -> HTMLResponse:
    """The one page in each of its states."""
    return HTMLResponse(lift_part("lift.html", bench, tables, look, shown), status_code=status)


def lift_part(template: str, bench: Bench, tables: Mapping[str, Any], look: Look, shown: Shown) -> str:
    """The lift page, or a part of it by its template."""
    typed, rows = shown.typed, typed_rows(pick_rows(tables, look.language), shown.typed)
    values = fields_of(tables, look.language) | {
        k: v for k, v in typed.items() if not k.startswith("load.pick")
    }
    unsaid = [] if shown.pressed else [one for one in shown.faults if _is_unsaid(one.field, typed)]
    told = told_of_lift([one for one in shown.faults if one not in unsaid], look)
    units = sketch_units(values, look.units)
    query = query_of(tables, look) if tables else ""
    return render(
        template, look, fields=FIELDS, values=values,
        sketch=lambda: sketch_of(values, rows, units, look.language), sketch_units=units,
        rows=rows, several_hooks=isinstance(tables.get("hook"), list),
        view=shown.view, rest=shown.rest, asked=shown.asked, explained=shown.explained, waits=shown.waits,
        part_query=shown.part_query, halted=shown.halted, died=shown.died, so_far=shown.so_far,
        settled=shown.settled, examples=bench.examples(),
        query=query, query_fields=parse_qsl(query), most_name=MOST_NAME,
        piece=pack_lift(tables) if tables else "",
        unit_links=[(u, "/lift?" + query_of(tables, replace(look, units=u))) for u in ("us", "si")],
        base=typed.get("base", pack_lift(tables) if tables else ""),
        weighed=_is_weighed_by_file(tables or _base(typed)),
        wanted_sling=wanted_of(tables or _base(typed), look, units),
        text=lift_text(tables, as_json=False) if tables else "", hand=_hand_over(bench, tables, look, shown),
        faults=told, wanted=_wanted(unsaid, look),
        wrong={one.id for one in told},
    )  # fmt: skip


def _is_weighed_by_file(tables: Mapping[str, Any]) -> bool:
    """Whether the weight need not be said: the lift file has parts, or what the load is made of."""
    load = tables.get("load")
    return isinstance(load, Mapping) and bool({"parts", "material", "density", "mesh"} & set(load))


def _base(typed: Mapping[str, str]) -> Mapping[str, Any]:
    """The lift that a form was filled from; nothing where its link is damaged."""
    try:
        return unpack_lift(typed["base"]) if typed.get("base") else {}
    except InputFault:
        return {}


@dataclass(frozen=True, slots=True, kw_only=True)
class _Hand:
    """Handing a lift to the shop: to whom, and the mail that does it."""

    shop: str
    contact: str
    mail: str


def _hand_over(bench: Bench, tables: Mapping[str, Any], look: Look, shown: Shown) -> _Hand | None:
    """A mail to the shop with the link that shows all; None where there is no answer, or nobody to ask."""
    to = bench.hands_to() if shown.view is not None and not shown.so_far else None
    if to is None or shown.view is None:
        return None
    words, title, view = read_catalogue(look.language), str(tables.get("title", "")), shown.view
    offer = f"&offer={view.shown + 1}" if view.shown else ""  # the one that is drawn is the one handed over
    figures = {
        "title": title or words.word("desk", "untitled"),
        "link": f"{look.origin}/lift?{query_of(tables, look)}{offer}",
        "short": (view.headline or view.in_short).partition(BESIDE)[0],
    }
    subject, body = (words.fill("desk-papers", key, **figures) for key in ("hand-subject", "hand-body"))
    mail = f"mailto:{quote(to[1], safe='@')}?subject={quote(subject)}&body={quote(body)}"
    return _Hand(shop=to[0], contact=to[1], mail=mail)


def _wanted(unsaid: Sequence[Fault], look: Look) -> dict[str, str]:
    """The fields that are still to be said: each one's element and its name."""
    fields = (replace(one, field=_first_field(one.field) or one.field) for one in unsaid)
    order = [one.path for one in FIELDS]
    told = [one for one in told_of_lift(fields, look) if one.id]
    told.sort(key=lambda one: order.index(one.id) if one.id in order else len(order))
    return {one.id: one.name for one in told}


def _is_unsaid(path: str, typed: Mapping[str, str]) -> bool:
    """Whether a fault is that nothing was said where something must be, so that nobody typed it wrong."""
    mine = [text for name, text in typed.items() if name == path or name.startswith(f"{path}.")]
    return bool(_first_field(path)) and not any(text.strip() for text in mine)


def _first_field(path: str) -> str:
    """The field of a path, or the first below it: of `hook`, the room above."""
    return field_id(path) or next((f.path for f in FIELDS if path and f.path.startswith(f"{path}.")), "")


def sketch_part(typed: Mapping[str, str], look: Look) -> HTMLResponse:
    """The sketch alone, of what stands in the form now."""
    units = sketch_units(typed, look.units)
    drawn = sketch_of(typed, typed_rows([], typed), units, look.language)
    return HTMLResponse(render("sketch.html", look, sketch=lambda: drawn, sketch_units=units))


def _say(catalogue: Any, section: str, key: str, **figures: str) -> str:
    said: str = _both(catalogue.fill(section, key, **figures))
    return said


def _hint(catalogue: Any, path: str, units: str | None) -> str:
    """What a field's hint says, with figures in the units that the page shows."""
    metric = units == "si" and path in catalogue.sections["desk-hints-si"]
    return _say(catalogue, "desk-hints-si" if metric else "desk-hints", path)


def _both(text: str) -> str:
    """A sentence as markup; the English beside it, where it has one, smaller and marked as English."""
    own, _, english = hold_figures(text).partition(BESIDE)
    if not english:
        return own  # escaped by the template
    return Markup('{} <span class="beside" lang="en">{}</span>').format(own, english)


def _shown_word(look: Look, name: str) -> Markup:
    """A small drawing in the page itself, where it has the page's face; an image has the machine's."""
    from slingwright.draw import explain_drawing

    return Markup(explain_drawing(name, look.language))


def _to(look: Look, address: str, **changed: str) -> str:
    return link_to(address, look, **changed)
