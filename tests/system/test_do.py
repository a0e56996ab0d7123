"""do.py on machines that are in the way: too old a Python, no pip, no network; and what it skips when set up.

That it works on a bare machine is shown by the CI itself, which starts from a bare clone with do.py.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

import do


@pytest.fixture
def bare(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Let do.py work on a bare folder that holds the project's pins and table, and nothing else."""
    for name in ("pyproject.toml", "constraints.txt"):
        (tmp_path / name).write_bytes((do.ROOT / name).read_bytes())
    monkeypatch.setattr(do, "ROOT", tmp_path)
    monkeypatch.setattr(do, "VENV", tmp_path / ".venv")
    monkeypatch.setattr(do, "SCRIPTS", tmp_path / ".venv" / "bin")
    monkeypatch.setattr(do, "STAMP", tmp_path / ".venv" / "slingwright-setup.json")
    monkeypatch.setattr(do, "OUT", tmp_path / "out")
    return tmp_path


def fake_program(path: Path, body: str) -> str:
    """Write a little Python program that can be called by its path."""
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(f"#!{sys.executable}\nimport sys\n{body}\n")
    path.chmod(0o755)
    return str(path)


def test_too_old_a_python_is_told_which_is_needed() -> None:
    program = (
        "import runpy, sys\n"
        "sys.version_info = (3, 9, 2)\n"
        "sys.argv = ['do.py', 'demo']\n"
        f"runpy.run_path({str(do.ROOT / 'do.py')!r}, run_name='__main__')\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 1
    assert done.stderr.startswith("Slingwright needs Python 3.11 or newer; this is 3.9 (")
    assert "Traceback" not in done.stderr


def test_do_py_holds_to_what_an_older_python_can_read_before_it_is_turned_away() -> None:
    import ast

    tree = ast.parse((do.ROOT / "do.py").read_text("utf-8"), feature_version=(3, 7))
    imported = {alias.name for node in tree.body if isinstance(node, ast.Import) for alias in node.names}
    assert imported <= sys.stdlib_module_names
    assert "tomllib" not in imported, "new in 3.11: it must be imported late"


@pytest.mark.parametrize("arguments", [[], ["tset"], ["demo", "now"]])
def test_a_wrong_call_prints_the_usage(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> None:
    assert do.main(arguments) == 2
    assert capsys.readouterr().err.startswith("usage: python3 do.py demo | test")
    assert do.main(["--help"]) == 0


def test_a_machine_without_pip_is_told_how_to_get_it(
    bare: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setattr(do, "outside_pip", lambda: None)

    def no_ensurepip(self: object, folder: object) -> None:
        raise subprocess.CalledProcessError(1, ["ensurepip"])

    monkeypatch.setattr(do.venv.EnvBuilder, "create", no_ensurepip)
    assert do.main(["test"]) == 3
    assert "apt-get install python3-pip" in capsys.readouterr().err
    assert not (bare / ".venv" / "slingwright-setup.json").exists()


@pytest.mark.parametrize(
    ("words", "told"),
    [
        ("NewConnectionError: Failed to establish a new connection: [Errno -2]", "no way to the network"),
        ("Temporary failure in name resolution", "no way to the network"),
        ("ERROR: No matching distribution found for numba==0.0", "its own words are above"),
    ],
)
def test_a_pip_that_gives_up_is_explained_and_nothing_looks_finished(
    bare: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], words: str, told: str
) -> None:
    pip = fake_program(bare / "pip", f"sys.stderr.write({words!r}); sys.exit(1)")
    monkeypatch.setattr(do, "make_venv", lambda: [pip])
    (bare / ".venv").mkdir()
    (bare / ".venv" / "slingwright-setup.json").write_text(json.dumps({"digest": "older", "tests": True}))
    assert do.main(["demo"]) == 3
    seen = capsys.readouterr().err
    assert words in seen
    assert told in seen
    assert not (bare / ".venv" / "slingwright-setup.json").exists()


def test_set_up_once_and_again_only_when_pins_or_tools_are_missing(
    bare: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    log = bare / "log"
    pip = fake_program(bare / "pip", f"open({str(log)!r}, 'a').write(sys.argv[-1] + ' ')")
    fake_program(bare / ".venv" / "bin" / "python", "")
    monkeypatch.setattr(do, "make_venv", lambda: [pip])
    do.install(with_tests=False)
    do.install(with_tests=False)
    assert log.read_text().split() == ["."]
    do.install(with_tests=True)
    do.install(with_tests=False)  # the test set-up holds all the demo needs
    assert log.read_text().split() == [".", ".[test]"]
    with (bare / "constraints.txt").open("a") as pins:
        pins.write("another==1\n")
    do.install(with_tests=True)
    assert log.read_text().split() == [".", ".[test]", ".[test]"]


def test_a_broken_environment_is_made_anew(bare: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    fake_program(bare / ".venv" / "bin" / "python", "sys.exit(1)")
    (bare / ".venv" / "left-over").write_text("")
    monkeypatch.setattr(do, "outside_pip", lambda: ["pip"])
    assert do.make_venv() == ["pip"]
    assert do.venv_works()
    assert not (bare / ".venv" / "left-over").exists()


def test_child_processes_are_not_led_out_of_the_environment(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PYTHONPATH", "elsewhere")
    monkeypatch.setenv("PIP_USER", "1")
    environment = do.child_environment()
    assert "PYTHONPATH" not in environment
    assert environment["PIP_USER"] == "0"
    assert environment["PATH"] == os.environ["PATH"]


def demo_with(bare: Path, monkeypatch: pytest.MonkeyPatch, body: str) -> int:
    """Run the demo with a command line of our own in Slingwright's place."""
    monkeypatch.setattr(do, "install", lambda *, with_tests: None)
    fake_program(bare / ".venv" / "bin" / "slingwright", body)
    return do.main(["demo"])


def test_the_demo_says_where_its_papers_are(
    bare: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    body = (
        "for option in ('--sheet', '--drawing'): open(sys.argv[sys.argv.index(option) + 1], 'w').write('x')"
    )
    assert demo_with(bare, monkeypatch, body) == 0
    said = capfd.readouterr().out
    assert str(bare / "out" / "chiller.pdf") in said
    assert str(bare / "out" / "chiller.svg") in said


def test_the_demo_never_names_papers_of_an_earlier_run(
    bare: Path, monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    (bare / "out").mkdir()
    (bare / "out" / "chiller.pdf").write_text("old")
    assert demo_with(bare, monkeypatch, "") == 1
    assert "wrote no chiller.pdf and no chiller.svg" in capfd.readouterr().out
    assert demo_with(bare, monkeypatch, "sys.exit(2)") == 2
