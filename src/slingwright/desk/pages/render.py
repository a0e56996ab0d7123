"""Templates filled: the lift page in each of its states, and what every page is given."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape
from markupsafe import Markup

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS, fields_of, pick_rows, typed_rows
from slingwright.desk.link import pack_lift
from slingwright.desk.pages.asked import link_to, query_of
from slingwright.desk.pages.faults import english, told_of_lift
from slingwright.desk.pages.sketch import sketch_of, sketch_units
from slingwright.usecases.lift_text import lift_text
from slingwright.words import BESIDE, languages, read_catalogue
from slingwright.words.learning import topic_of_field, topic_of_rule

__all__ = ["lift_page", "render", "sketch_part"]

_EXPLAINED_BY: Mapping[str, str] = {  # a field, and the small drawing that explains it
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
    "hitch": "hitches",
    "choke": "choke-angle",
    "angle_from_horizontal": "angle",
}
_ENVIRONMENT = Environment(
    loader=PackageLoader("slingwright.desk"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
)


def render(template: str, look: Look, **given: Any) -> str:
    """Fill a template.

    Every one is given `say` (a sentence of the catalogue), `both` (a sentence with its English beside it, the
    English told apart), `to` (a link of ours that shows the same way), `language`, `look` and `tongues` (of
    each language its code, its own name, and the link to this page in it).
    """
    said = partial(_say, read_catalogue(look.language))
    tongues = [
        (code, read_catalogue(code).name, link_to(look.here, replace(look, units=None), lang=code))
        for code in languages()
    ]
    return _ENVIRONMENT.get_template(template).render(
        say=said, both=_both, to=partial(_to, look), english=partial(english, look),
        explained_by=_EXPLAINED_BY,
        topic_of_field=topic_of_field, topic_of_rule=topic_of_rule,
        language=look.language, look=look, tongues=tongues, **given,
    )  # fmt: skip


def lift_page(
    bench: Bench,
    tables: Mapping[str, Any],
    look: Look,
    *,
    faults: Any,
    status: int = 200,
    view: Any = None,
    explained: bool = False,
    typed: Mapping[str, str] | None = None,
) -> HTMLResponse:
    """The one page in each of its states; what was `typed` stays in its fields."""
    values = fields_of(tables) | {k: v for k, v in (typed or {}).items() if not k.startswith("load.pick")}
    told = told_of_lift(faults, look)
    rows = typed_rows(pick_rows(tables), typed or {})
    units = sketch_units(values, look.units)
    html = render(
        "lift.html", look, fields=FIELDS, values=values,
        sketch=sketch_of(values, rows, units, look.language), sketch_units=units,
        rows=rows, several_hooks=isinstance(tables.get("hook"), list), view=view,
        explained=explained, examples=bench.examples(), query=query_of(tables, look) if tables else "",
        base=(typed or {}).get("base", pack_lift(tables) if tables else ""),
        text=lift_text(tables, as_json=False) if tables else "",
        faults=told, wrong={one.id for one in told},
    )  # fmt: skip
    return HTMLResponse(html, status_code=status)


def sketch_part(typed: Mapping[str, str], look: Look) -> HTMLResponse:
    """The sketch alone, of what stands in the form now."""
    units = sketch_units(typed, look.units)
    drawn = sketch_of(typed, typed_rows([], typed), units, look.language)
    return HTMLResponse(render("sketch.html", look, sketch=drawn, sketch_units=units))


def _say(catalogue: Any, section: str, key: str, **figures: str) -> str:
    said: str = _both(catalogue.fill(section, key, **figures))
    return said


def _both(text: str) -> str:
    """A sentence as markup; the English beside it, where it has one, smaller and marked as English."""
    own, _, english = text.partition(BESIDE)
    if not english:
        return text  # escaped by the template
    return Markup('{} <span class="beside" lang="en">{}</span>').format(own, english)


def _to(look: Look, address: str, **changed: str) -> str:
    return link_to(address, look, **changed)
