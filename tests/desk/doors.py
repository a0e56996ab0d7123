"""The desk's client and the command line, side by side, for tests that hold one to the other."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

from fastapi.testclient import TestClient
from httpx2 import Response

from slingwright.desk.app import create_app
from slingwright.usecases.settings import Settings, resolve_settings

EXAMPLES = Path(__file__).parents[2] / "examples" / "harrow_quay"
SHOP = EXAMPLES / "shop.toml"
DAY = date(2026, 1, 31)
JSON, TOML = "application/json", "application/toml"


def harrow_quay() -> Settings:
    return resolve_settings({"shop": str(SHOP)}, {}, EXAMPLES)


@contextmanager
def desk_client(**more: Any) -> Iterator[TestClient]:
    """A client of the example shop's desk, on a fixed day; a fault of ours is an answer of 500."""
    app = create_app(harrow_quay(), today=lambda: DAY, **more)
    app.state.bench.clock = lambda: 0.0  # no search is cut short, however busy the machine is
    with TestClient(app, raise_server_exceptions=False) as client:
        yield client


def send(client: TestClient, path: str, content: bytes, media: str = TOML) -> Response:
    return client.post(f"/api/v1{path}", content=content, headers={"content-type": media})


def send_parts(client: TestClient, path: str, **parts: tuple[str, bytes]) -> Response:
    return client.post(f"/api/v1{path}", files=list(parts.items()))
