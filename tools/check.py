"""Run every check and test: the one list that `do.py test`, the CI and people all call.

Quick checks come first; the tests come last, so that their summary ends the output. One check that
fails does not hide the others; the exit status is 1 if any failed.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
MOST_WORKERS = 4  # more would only fight for the memory of the machines we know


def pytest_command(*what: str) -> list[str]:
    """Give the command for some tests: one worker a core, up to four, none at all on one core."""
    workers = min(os.cpu_count() or 1, MOST_WORKERS)
    return [sys.executable, "-m", "pytest", *what, *(["-n", str(workers)] if workers > 1 else [])]


def find_browser() -> str | None:
    """Where Chromium is, if it is here."""
    return shutil.which("chromium") or shutil.which("chromium-browser")


def checks() -> dict[str, list[str]]:
    """Give every check's name and command, in the order they run."""
    python = sys.executable
    # playwright's loop must not meet the other tests in one process
    browser = {"browser tests": pytest_command("tests/browser")}
    return {
        "lint": [python, "-m", "ruff", "check", "."],
        "format": [python, "-m", "ruff", "format", "--check", "."],
        "length of files and functions": [python, "tools/find_long.py"],
        "import floors": [str(Path(python).parent / "lint-imports"), "--no-logo"],
        "types": [python, "-m", "mypy"],
        # else each worker, and each worker's desk, would compile them beside the other's
        "statics, compiled once": [python, "-c", "from slingwright.hang.warm import warm; warm()"],
        "cut planner, compiled once": [python, "tools/compile_cuts.py"],
        **(browser if find_browser() or os.environ.get("CI") == "true" else {}),
        "tests": pytest_command("--ignore=tests/browser"),
    }


def main() -> int:
    """Run all checks; the last line says what failed, or what there was no test for."""
    failed = []
    for name, command in checks().items():
        print(f"--- {name}", flush=True)
        started = time.monotonic()
        code = subprocess.call(command, cwd=ROOT, stdin=subprocess.DEVNULL)
        if code != 0:
            failed.append(name)
        if name != "tests":
            print(f"    {'FAILED' if code else 'ok'}, {time.monotonic() - started:.1f} s", flush=True)
    if failed:
        print(f"FAILED: {', '.join(failed)}")
        return 1
    if not find_browser():
        print("Browser: no Chromium found here, so the browser tests were not run.")
    return 0


if __name__ == "__main__":
    sys.exit(main())
