"""The pins are in step, the wheel holds what the package needs, and both build with the same tool."""

from __future__ import annotations

import re
import subprocess
import sys
import tomllib
import zipfile
from importlib.metadata import version
from pathlib import Path

import pytest
from packaging.requirements import Requirement
from packaging.utils import canonicalize_name

ROOT = Path(__file__).resolve().parents[2]
PROJECT = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
PINS = [Requirement(line) for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines()]
ASKED = [
    Requirement(text)
    for text in (
        *PROJECT["project"]["dependencies"],
        *(text for extra in PROJECT["project"]["optional-dependencies"].values() for text in extra),
    )
]


@pytest.mark.parametrize("asked", ASKED, ids=lambda asked: asked.name)
def test_every_dependency_is_pinned_to_a_version_it_allows(asked: Requirement) -> None:
    pins = [pin for pin in PINS if canonicalize_name(pin.name) == canonicalize_name(asked.name)]
    assert pins, f"{asked.name} is not in constraints.txt; CONTRIBUTING.md says how it is made"
    for pin in pins:
        (exact,) = pin.specifier
        assert exact.operator == "=="
        assert asked.specifier.contains(exact.version)


def test_what_is_tested_here_is_what_is_pinned() -> None:
    for pin in PINS:
        if pin.marker is None or pin.marker.evaluate():
            (exact,) = pin.specifier
            assert version(pin.name) == exact.version, f"{pin.name}: run do.py test"


def test_constraints_hold_pins_and_no_host_or_path() -> None:
    for line in (ROOT / "constraints.txt").read_text("utf-8").splitlines():
        marker = r"[a-z_]+ [<>=!]+ '[A-Za-z0-9.*]+'"
        assert re.fullmatch(rf"[a-z0-9-]+==[0-9a-z.]+( ; {marker}( and {marker})*)?", line), line


def test_the_builder_is_pinned_exactly_and_the_same_for_the_tests() -> None:
    (builder,) = PROJECT["build-system"]["requires"]
    assert builder in PROJECT["project"]["optional-dependencies"]["test"]
    assert builder.startswith("hatchling==")


def test_the_wheel_holds_every_file_of_the_package(tmp_path: Path) -> None:
    subprocess.run(
        [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(tmp_path)],
        cwd=ROOT,
        check=True,
        capture_output=True,
    )
    (wheel,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as archive:
        held = set(archive.namelist())
        package = ROOT / "src" / "slingwright"
        needed = {
            f"slingwright/{path.relative_to(package).as_posix()}"
            for path in package.rglob("*")
            if path.is_file() and "__pycache__" not in path.parts
        }
        assert needed - held == set()
        (licence,) = [name for name in held if name.endswith("licenses/LICENSE")]
        assert b"Apache License" in archive.read(licence)
        archive.extractall(tmp_path / "installed")
    program = "from slingwright.cli.main import run; raise SystemExit(run(['version']))"
    done = subprocess.run(
        [sys.executable, "-c", program],
        cwd=tmp_path / "installed",
        capture_output=True,
        text=True,
        check=True,
    )
    assert done.stdout.startswith("slingwright ")
