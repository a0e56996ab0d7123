"""A mesh sent to the lift page becomes fields of a link; what is wrong with it is told, never guessed."""

from __future__ import annotations

from collections.abc import Iterator
from urllib.parse import parse_qs, urlsplit

import pytest
from fastapi.testclient import TestClient
from httpx2 import Response

from slingwright.desk.link import pack_lift, unpack_lift
from tests.desk.doors import EXAMPLES, desk_client

STL = (EXAMPLES / "barrier.stl").read_bytes()
HOOK = {"hook": {"headroom": "11 ft"}, "load": {"edge_radius": "3/4 in", "shape": "box", "length": "9 ft"}}


@pytest.fixture(scope="module")
def client() -> Iterator[TestClient]:
    with desk_client() as client:
        yield client


def send(client: TestClient, content: bytes, name: str = "barrier.stl", **said: str) -> Response:
    words = {f"mesh.{key}": value for key, value in said.items()}
    data = {"base": pack_lift(HOOK), **words}
    return client.post("/lift", data=data, files={"file": (name, content)}, follow_redirects=False)


def test_a_mesh_becomes_fields_of_the_link(client: TestClient) -> None:
    got = send(client, STL, unit="in", material="reinforced concrete")
    assert got.status_code == 303, got.text
    lift = unpack_lift(parse_qs(urlsplit(got.headers["location"]).query)["l"][0])
    load = lift["load"]
    assert (load["shape"], load["length"], load["width"], load["height"]) == (
        "hull",
        "144 in",
        "24 in",
        "32 in",
    )
    assert set(load["weight"]) == {"low", "high"}
    assert load["edge_radius"] == "3/4 in"
    assert lift["hook"] == HOOK["hook"]
    assert "mesh" not in load
    assert len(got.headers["location"]) < 8000  # what proxies pass on


def test_a_density_or_a_weight_does_as_well_as_a_material(client: TestClient) -> None:
    for said in ({"material": "150 lb/ft3"}, {"weight": "5500 lb"}):
        assert send(client, STL, unit="in", **said).status_code == 303, said


@pytest.mark.parametrize(
    ("content", "name", "said", "told"),
    [
        (STL, "a.stl", {}, "unit"),
        (STL, "a.stl", {"unit": "in", "material": "cheese"}, "density table"),
        (STL, "a.stl", {"unit": "in"}, "weight"),
        (STL[:-10], "a.stl", {"unit": "in", "weight": "1 lb"}, "cut short"),
        (b"", "a.obj", {"unit": "in", "weight": "1 lb"}, "is empty"),
        (b"v 0 0 0\n", "a.OBJ", {"unit": "in", "weight": "1 lb"}, "no surface"),
        (b"glTF", "a.glb", {"unit": "in", "weight": "1 lb"}, "not a GLB"),
        (STL, "../../a.stl", {"unit": "miles"}, "unit"),
    ],
)
def test_what_is_wrong_with_a_mesh_is_told(
    client: TestClient, content: bytes, name: str, said: dict[str, str], told: str
) -> None:
    got = send(client, content, name, **said)
    assert got.status_code == 422
    assert told in got.text
    assert "Traceback" not in got.text
