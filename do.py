#!/usr/bin/env python3
"""Set Slingwright up on a bare machine and run it: `python3 do.py demo`, `python3 do.py test`.

Standard library only. It makes its own `.venv` beside this file and puts the packages pinned in
`constraints.txt` there; nothing outside this folder is touched. Debian's `python3` has neither
`ensurepip` nor leave to install packages, but its pip may fill another environment: so the
environment is made without pip and filled from outside with `pip --python`.
"""

import hashlib
import json
import os
import subprocess
import sys
import time
import venv
from pathlib import Path

LEAST_PYTHON = (3, 11)

if sys.version_info < LEAST_PYTHON:  # before any line that an older Python would trip over
    sys.exit(
        f"Slingwright needs Python 3.11 or newer; this is {sys.version_info[0]}.{sys.version_info[1]}"
        f" ({sys.executable}).\nInstall a newer Python and call this script with it, for example: "
        "python3.11 do.py demo"
    )

ROOT = Path(__file__).resolve().parent
VENV = ROOT / ".venv"
SCRIPTS = VENV / ("Scripts" if os.name == "nt" else "bin")
STAMP = VENV / "slingwright-setup.json"
OUT = ROOT / "out"
NETWORK_WORDS = (
    "name resolution",
    "NameResolutionError",
    "Failed to establish a new connection",
    "Network is unreachable",
    "ConnectTimeoutError",
    "ProxyError",
    "getaddrinfo failed",
)
USAGE = """usage: python3 do.py demo | test

  demo   set up what is needed and run the main job on an example lift:
         the offers in the terminal, the lift sheet and the drawing in out/
  test   set up the test tools as well and run every check and test"""


class SetupError(Exception):
    """Something about this machine is in the way; the text says what and what to do."""


def say(text: str) -> None:
    """Tell the user what is happening, at once, before any child process speaks."""
    print(text, flush=True)


def child_environment() -> "dict[str, str]":
    """Give the environment for child processes, without what would lead them out of `.venv`."""
    dropped = {"PYTHONPATH", "PYTHONHOME", "PYTHONSTARTUP", "VIRTUAL_ENV"}
    kept = {key: value for key, value in os.environ.items() if key not in dropped}
    return {**kept, "PIP_USER": "0", "PIP_REQUIRE_VIRTUALENV": "0"}


def venv_python() -> Path:
    """Give the path of the environment's own Python."""
    return SCRIPTS / ("python.exe" if os.name == "nt" else "python")


def runs(command: "list[str]") -> bool:
    """Tell whether a command starts and ends well, in silence."""
    try:
        done = subprocess.run(
            command, stdin=subprocess.DEVNULL, capture_output=True, env=child_environment(), check=False
        )
    except OSError:
        return False
    return done.returncode == 0


def venv_works() -> bool:
    """Tell whether `.venv` holds a Python that runs and is new enough."""
    question = f"import sys; sys.exit(sys.version_info < {LEAST_PYTHON})"
    return venv_python().exists() and runs([str(venv_python()), "-c", question])


def outside_pip() -> "list[str] | None":
    """Find a pip that can fill another environment (pip 22.3 or newer), outside `.venv`.

    Inside an activated `.venv` this script runs on that very Python, which has no pip: then the
    Python it was made from is asked.
    """
    pythons = dict.fromkeys([sys.executable, getattr(sys, "_base_executable", sys.executable)])
    for python in pythons:
        if runs([python, "-m", "pip", "--python", python, "--version"]):
            return [python, "-m", "pip", "--python", str(venv_python())]
    return None


def make_venv() -> "list[str]":
    """Make `.venv` if it is missing or broken; return the pip command that fills it."""
    pip = outside_pip()
    if not venv_works():
        broken = VENV.exists()
        say(f"Making {'anew, for it does not run, ' if broken else ''}the environment {VENV} …")
        try:
            venv.EnvBuilder(with_pip=pip is None, clear=broken, symlinks=os.name != "nt").create(VENV)
        except (subprocess.CalledProcessError, OSError) as error:
            raise SetupError(no_environment(pip, error)) from error
    if pip is None:
        pip = [str(venv_python()), "-m", "pip"]
        if not runs([*pip, "--version"]):
            raise SetupError(no_environment(None, None))
    return pip


def no_environment(pip: "list[str] | None", error: "Exception | None") -> str:
    """Word the fault of an environment that cannot be made."""
    if pip is not None:
        return f"The environment {VENV} cannot be made: {error}. Is there room, and may you write here?"
    return (
        f"This Python ({sys.executable}) has no pip of 22.3 or newer and cannot make one for itself.\n"
        "Install it first: on Debian or Ubuntu `apt-get install python3-pip`, on Fedora `dnf install "
        "python3-pip`,\nelsewhere see your Python's own notes on pip; then call this script again."
    )


def wanted_digest() -> str:
    """Digest what an installation depends on: the pins, the project's own table and the Python."""
    import tomllib  # only here: a Python that lacks it has been turned away above

    project = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))
    asked = json.dumps([project["build-system"], project["project"]], sort_keys=True)
    pins = (ROOT / "constraints.txt").read_text("utf-8")
    return hashlib.sha256("\0".join([asked, pins, sys.version, str(ROOT)]).encode()).hexdigest()


def is_installed(digest: str, *, with_tests: bool) -> bool:
    """Tell whether the stamp in `.venv` says that all this was installed already."""
    try:
        stamp = json.loads(STAMP.read_text("utf-8"))
    except (OSError, ValueError):
        return False
    return stamp.get("digest") == digest and (stamp.get("tests") is True or not with_tests)


def install(*, with_tests: bool) -> None:
    """Install Slingwright, editable, with its pinned packages, unless that was done already.

    Raises
    ------
    SetupError
        No pip, no network, or a package that will not install.
    """
    digest = wanted_digest()
    if venv_works() and is_installed(digest, with_tests=with_tests):
        say(f"The environment {VENV} is up to date.")
        return
    pip = make_venv()
    what = "Slingwright, its packages and the test tools" if with_tests else "Slingwright and its packages"
    say(f"Installing {what}, as pinned in constraints.txt (a minute or so; nothing leaves {VENV}) …")
    STAMP.unlink(missing_ok=True)  # a set-up that is cut short must not look finished
    started = time.monotonic()
    asked = ["install", "--no-input", "-qq", "--disable-pip-version-check", "--constraint"]
    target = ".[test]" if with_tests else "."
    done = subprocess.run(
        [*pip, *asked, str(ROOT / "constraints.txt"), "--editable", target],
        cwd=ROOT,
        stdin=subprocess.DEVNULL,
        stderr=subprocess.PIPE,
        text=True,
        errors="replace",
        env=child_environment(),
        check=False,
    )
    sys.stderr.write(done.stderr)
    if done.returncode != 0:
        raise SetupError(pip_failed(done.stderr))
    STAMP.write_text(json.dumps({"digest": digest, "tests": with_tests}), "utf-8")
    say(f"Set up in {time.monotonic() - started:.0f} s.")


def pip_failed(output: str) -> str:
    """Word the fault of a pip that gave up, its own words being on the screen already."""
    if any(words in output for words in NETWORK_WORDS):
        return (
            "pip cannot reach a package index: this machine has no way to the network, or needs a proxy.\n"
            "Connect it, or point pip at a mirror you have (pip's own settings apply), and call this again."
        )
    return (
        "pip could not install the pinned packages; its own words are above.\n"
        f"Python 3.11 is what they are tried on; this is {sys.version_info[0]}.{sys.version_info[1]}."
    )


def demo() -> int:
    """Run the main job on an example lift and say where its papers are."""
    install(with_tests=False)
    lift = Path("examples", "harrow_quay", "chiller.toml")
    sheet, drawing = OUT / "chiller.pdf", OUT / "chiller.svg"
    OUT.mkdir(exist_ok=True)
    for paper in (sheet, drawing):
        paper.unlink(missing_ok=True)  # what is named below was written now
    options = [str(lift), "--sheet", str(sheet), "--drawing", str(drawing)]
    say(f"\nslingwright choose {lift} --sheet out/chiller.pdf --drawing out/chiller.svg\n")
    command = [str(SCRIPTS / "slingwright"), "choose", *options]
    code = subprocess.call(command, cwd=ROOT, stdin=subprocess.DEVNULL, env=child_environment())
    if code != 0:
        say(f"\nThe demo did not end well (exit status {code}).")
        return code
    missing = [paper.name for paper in (sheet, drawing) if not paper.exists()]
    if missing:
        say(f"\nThe demo wrote no {' and no '.join(missing)}.")
        return 1
    say(f"\nThe lift sheet: {sheet}\nThe drawing:    {drawing}")
    return 0


def test() -> int:
    """Run every check and test, as the project's own CI does."""
    install(with_tests=True)
    command = [str(venv_python()), str(ROOT / "tools" / "check.py")]
    return subprocess.call(command, cwd=ROOT, stdin=subprocess.DEVNULL, env=child_environment())


def main(arguments: "list[str]") -> int:
    """Do what is asked; return the exit status (2 = asked wrongly, 3 = this machine is in the way)."""
    deeds = {"demo": demo, "test": test}
    if len(arguments) != 1 or arguments[0] not in deeds:
        asked_for_help = arguments in (["--help"], ["-h"], ["help"])
        print(USAGE, file=sys.stdout if asked_for_help else sys.stderr)
        return 0 if asked_for_help else 2
    try:
        return deeds[arguments[0]]()
    except SetupError as fault:
        print(f"\n{fault}", file=sys.stderr)
        return 3
    except KeyboardInterrupt:
        print("\nStopped.", file=sys.stderr)
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
