"""The command line for system tests, in a folder of its own and without settings."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from tests.system.command import Command


@pytest.fixture
def command(tmp_path: Path, capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Command:
    """The command line, with no settings of the machine the tests run on."""
    monkeypatch.chdir(tmp_path)
    for variable in [key for key in os.environ if key.startswith("SLINGWRIGHT_")]:
        monkeypatch.delenv(variable)
    return Command(capfd, monkeypatch)
