"""One failing check does not hide the others, and the last line says what failed."""

from __future__ import annotations

import sys

import pytest

from tools import check


def test_the_tests_run_last_so_that_their_summary_ends_the_output() -> None:
    assert list(check.checks())[-1] == "tests"
    assert set(check.checks()) - {"browser tests"} == {
        "statics, compiled once", "cut planner, compiled once",
        "lint", "format", "length of files and functions", "import floors", "types", "tests",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("found", "ci", "tested"),
    [(None, "", False), (None, "true", True), ("/chromium", "", True), ("/chromium", "true", True)],
)
def test_only_at_home_may_a_browser_be_missing(
    monkeypatch: pytest.MonkeyPatch, found: str | None, ci: str, tested: bool
) -> None:
    """In CI the browser tests run without one too, and fail."""
    monkeypatch.setattr(check, "find_browser", lambda: found)
    monkeypatch.setenv("CI", ci)
    assert ("browser tests" in check.checks()) is tested
    assert "--ignore=tests/browser" in check.checks()["tests"]


@pytest.mark.parametrize(("cores", "workers"), [(None, []), (1, []), (2, ["-n", "2"]), (64, ["-n", "4"])])
def test_one_worker_a_core_up_to_four(
    monkeypatch: pytest.MonkeyPatch, cores: int | None, workers: list[str]
) -> None:
    monkeypatch.setattr(check.os, "cpu_count", lambda: cores)
    assert check.pytest_command("tests")[3:] == ["tests", *workers]


def test_every_check_runs_and_failures_are_named(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def command(status: int) -> list[str]:
        return [sys.executable, "-c", f"print('ran'); raise SystemExit({status})"]

    monkeypatch.setattr(
        check, "checks", lambda: {"lint": command(1), "types": command(0), "tests": command(5)}
    )
    assert check.main() == 1
    said = capfd.readouterr().out
    assert said.count("ran") == 3
    assert said.splitlines()[-1] == "FAILED: lint, tests"
    monkeypatch.setattr(check, "checks", lambda: {"tests": command(0)})
    monkeypatch.setattr(check, "find_browser", lambda: None)
    assert check.main() == 0
    assert capfd.readouterr().out.splitlines()[-1].startswith("Browser: no Chromium found here")
    monkeypatch.setattr(check, "find_browser", lambda: "/chromium")
    assert check.main() == 0
    assert "Browser" not in capfd.readouterr().out
