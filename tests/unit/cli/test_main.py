"""The frame: exit status, where words go, and that no traceback is ever shown unasked."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from slingwright import __version__
from slingwright.cli import main
from slingwright.errors import fail


@pytest.fixture(autouse=True)
def nothing_set(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """No settings of the machine the tests run on."""
    monkeypatch.chdir(tmp_path)
    for variable in [key for key in os.environ if key.startswith("SLINGWRIGHT_")]:
        monkeypatch.delenv(variable)


def with_command(monkeypatch: pytest.MonkeyPatch, deed: object) -> None:
    """Put one command named `deed` on the command line."""

    def command(*, json: bool = False) -> int:
        del json
        assert callable(deed)
        return int(deed())

    command.__name__ = "deed"
    monkeypatch.setattr(main, "COMMANDS", (command,))


@pytest.mark.parametrize(
    ("line", "field", "problem"),
    [
        ("config --sed 4", "", "Unknown option: --sed. Did you mean --seed?"),
        ("config a b", "", "too many arguments: b"),
        ("config --seed", "--seed", "requires an argument"),
        ("confg", "", 'Did you mean "config"?'),
        ("--nope", "", "--nope"),
        ("config --json=perhaps", "--json", "perhaps"),
        ("config --shop nowhere.toml", "--shop", "no such file"),
        ("version --no-json", "", "--no-json"),
    ],
)
def test_a_wrong_command_line_is_exit_2_with_a_reason(
    capfd: pytest.CaptureFixture[str], line: str, field: str, problem: str
) -> None:
    assert main.run(line.split()) == 2
    seen = capfd.readouterr()
    told = seen.err or json.loads(seen.out)["problem"]  # `--json=perhaps` asks for a document, after all
    assert problem in told
    assert "Traceback" not in seen.err
    assert main.run([*line.split(), "--json"]) == 2
    document = json.loads(capfd.readouterr().out)
    assert document["field"] == field
    assert problem in document["problem"]


def test_config_shows_every_setting_with_its_origin(
    capfd: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    (tmp_path / "lifts").mkdir()
    (tmp_path / "lifts" / "slingwright.toml").write_text('rulebook = "en"\n')
    (tmp_path / "lifts" / "shop.toml").write_text("")
    assert main.run(["config", "lifts/pipe.toml", "--seed", "7"]) == 0
    lines = capfd.readouterr().out.splitlines()
    assert f"rulebook    en  (file {tmp_path / 'lifts' / 'slingwright.toml'})" in lines
    assert f"shop        {tmp_path / 'lifts' / 'shop.toml'}  (found)" in lines
    assert "seed        7  (option --seed)" in lines
    assert "units       not set  (default)" in lines
    assert main.run(["config", "lifts/pipe.toml", "--json"]) == 0
    document = json.loads(capfd.readouterr().out)
    assert document["schema"] == "slingwright/config/1"
    assert document["settings"]["rulebook"]["value"] == "en"
    assert document["settings"]["units"] == {"value": None, "source": "default", "place": None}


def test_version_says_the_version(capfd: pytest.CaptureFixture[str]) -> None:
    assert main.run(["version"]) == 0
    assert capfd.readouterr().out == f"slingwright {__version__}\n"
    assert main.run(["--version"]) == 0
    assert capfd.readouterr().out == f"{__version__}\n"
    assert main.run(["version", "--json"]) == 0
    assert json.loads(capfd.readouterr().out)["made_by"]["tool"] == f"slingwright {__version__}"


def test_a_commands_own_status_comes_through(monkeypatch: pytest.MonkeyPatch) -> None:
    with_command(monkeypatch, lambda: 1)
    assert main.run(["deed"]) == 1


def test_a_fault_inside_a_command_is_exit_2(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def deed() -> int:
        raise fail("load.weight", "must be above 0", "say 5 tonne")

    with_command(monkeypatch, deed)
    assert main.run(["deed"]) == 2
    assert capfd.readouterr().err == "load.weight: must be above 0\n    say 5 tonne\n"
    assert main.run(["deed", "--json"]) == 2
    seen = capfd.readouterr()
    assert json.loads(seen.out)["field"] == "load.weight"
    assert seen.err == ""


def test_our_own_bug_is_told_as_ours_and_no_figure_stands(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    with_command(monkeypatch, lambda: 1 // 0)
    assert main.run(["deed", "--json"]) == 70
    seen = capfd.readouterr()
    assert seen.out == ""
    assert "A fault of ours" in seen.err
    assert "ZeroDivisionError" in seen.err
    assert "Traceback" not in seen.err


def test_ctrl_c_stops_without_a_traceback(
    monkeypatch: pytest.MonkeyPatch, capfd: pytest.CaptureFixture[str]
) -> None:
    def deed() -> int:
        raise KeyboardInterrupt

    with_command(monkeypatch, deed)
    assert main.run(["deed"]) == 130
    assert capfd.readouterr().err == "Stopped.\n"


def slingwright(*arguments: str, **more: object) -> subprocess.CompletedProcess[str]:
    """Run the command line in a process of its own."""
    command = [sys.executable, "-m", "slingwright.cli.main", *arguments]
    return subprocess.run(command, text=True, encoding="utf-8", check=False, **more)  # type: ignore[call-overload, no-any-return]


def test_a_reader_that_goes_away_is_no_error() -> None:
    reading, writing = os.pipe()
    os.close(reading)
    with os.fdopen(writing, "w") as pipe:
        # buffered as usual: then the flush at exit is what would complain once more
        environment = {key: value for key, value in os.environ.items() if key != "PYTHONUNBUFFERED"}
        done = slingwright("config", "--json", stdout=pipe, stderr=subprocess.PIPE, env=environment)
    assert done.returncode == 141
    assert done.stderr == ""


def test_verbose_tells_a_bugs_traceback_on_stderr_only() -> None:
    program = (
        "from slingwright.cli import main\n"
        "def deed(*, verbose: bool = False) -> int: return 1 // 0\n"
        "main.COMMANDS = (deed,)\n"
        "raise SystemExit(main.run(['deed', '--verbose']))\n"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=False)
    assert done.returncode == 70
    assert done.stdout == ""
    assert "Traceback" in done.stderr


def test_a_terminal_of_few_letters_gets_escapes_not_a_crash(tmp_path: Path) -> None:
    (tmp_path / "löft").mkdir()
    (tmp_path / "löft" / "shop.toml").write_text("")
    environment = {**os.environ, "PYTHONIOENCODING": "ascii"}
    done = slingwright("config", "löft/pipe.toml", capture_output=True, env=environment)
    assert done.returncode == 0
    assert "l\\xf6ft" in done.stdout
