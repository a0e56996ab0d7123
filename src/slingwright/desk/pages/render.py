"""Templates filled: the lift page in each of its states, and what every page is given."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from fastapi.responses import HTMLResponse
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from slingwright.desk.bench import Bench, Look
from slingwright.desk.form import FIELDS, field_id, fields_of, pick_rows, typed_rows
from slingwright.desk.link import pack_lift
from slingwright.desk.pages.asked import query_of
from slingwright.usecases.lift_text import lift_text
from slingwright.words import read_catalogue

__all__ = ["lift_page", "render"]

_ENVIRONMENT = Environment(
    loader=PackageLoader("slingwright.desk"),
    autoescape=select_autoescape(default=True),
    undefined=StrictUndefined,
)


def render(template: str, look: Look, **given: Any) -> str:
    """Fill a template; every one is given `say` (a sentence of the catalogue), `language` and `look`."""
    said = partial(_say, read_catalogue(look.language))
    return _ENVIRONMENT.get_template(template).render(say=said, language=look.language, look=look, **given)


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
    rows = typed_rows(pick_rows(tables), typed or {})
    html = render(
        "lift.html", look, fields=FIELDS, values=values,
        rows=rows, several_hooks=isinstance(tables.get("hook"), list), view=view,
        explained=explained, examples=bench.examples(), query=query_of(tables, look) if tables else "",
        base=(typed or {}).get("base", pack_lift(tables) if tables else ""),
        text=lift_text(tables, as_json=False) if tables else "",
        faults=[(fault, field_id(fault.field)) for fault in faults],
        wrong={field_id(fault.field) for fault in faults},
    )  # fmt: skip
    return HTMLResponse(html, status_code=status)


def _say(catalogue: Any, section: str, key: str, **figures: str) -> str:
    said: str = catalogue.fill(section, key, **figures)
    return said
