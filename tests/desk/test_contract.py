"""The API held to its own description: schemathesis over the whole OpenAPI with all of its checks on."""

from __future__ import annotations

import atexit
import itertools
import shutil
import tempfile
from pathlib import Path
from typing import Any

import schemathesis
from hypothesis import HealthCheck, Phase, settings
from schemathesis import Case

from slingwright.desk.api.answers import XLSX
from slingwright.desk.app import create_app
from slingwright.usecases.settings import resolve_settings
from tests.desk.doors import DAY, EXAMPLES

# Everything else is on, as it comes. A schema cannot say that "9 ft" is a length and "9 blue" is none, nor
# that a pick point lies on its load: a body that is valid by its schema may be refused with 422 and its
# fields; the description says so of every operation. It is added to those expected; none is taken away.
CONFIG = schemathesis.Config.from_dict(
    {
        "seed": 1,
        "request-timeout": 120,  # the first cut plan compiles for a while
        "checks": {
            "positive_data_acceptance": {
                "expected-statuses": ["2xx", "3xx", "401", "403", "404", "409", "422", "429", "5xx"]
            },
        },
    }
)


@schemathesis.serializer("application/toml", XLSX)
def _as_it_is(_: Any, value: Any) -> bytes:
    """A text or bytes as they were made: neither is a form that schemathesis writes."""
    return value if isinstance(value, bytes) else str(value).encode(errors="replace")


def _app() -> Any:
    """The desk of a folder with the shop's files and two lifts; a search in it ends after a few looks."""
    folder = Path(tempfile.mkdtemp(prefix="contract-"))
    for name in ("shop", "stock", "rolls", "price_book", "order", "routing_day", "chiller", "hot_casting"):
        shutil.copy(EXAMPLES / f"{name}.toml", folder)
    app = create_app(resolve_settings({"shop": str(folder / "shop.toml")}, {}, folder), today=lambda: DAY)
    ticks = itertools.count()
    app.state.bench.clock = lambda: float(next(ticks))
    atexit.register(shutil.rmtree, folder)
    return app


SCHEMA: Any = schemathesis.openapi.from_asgi("/api/v1/openapi.json", _app(), config=CONFIG)


@SCHEMA.parametrize()
@settings(
    max_examples=8,
    derandomize=True,
    deadline=None,
    database=None,
    phases=[Phase.explicit, Phase.generate],
    suppress_health_check=list(HealthCheck),
)
def test_every_operation_is_as_it_is_described(case: Case) -> None:
    case.call_and_validate()
