"""The length check finds what is too long, and only that."""

from __future__ import annotations

from pathlib import Path

from tools.find_long import find_long


def function_of(lines: int, docstring_lines: int = 0) -> str:
    """Write a function of so many lines, its docstring apart."""
    docstring = ['    """What."""' if docstring_lines == 1 else '    """What.'] + ["    Why."] * (
        docstring_lines - 2
    )
    docstring = [*docstring, '    """'] if docstring_lines > 1 else docstring[:docstring_lines]
    return "\n".join(["def measured() -> None:", *docstring, *["    a = 1"] * (lines - 1)]) + "\n"


def repository(tmp_path: Path, source: str, folder: str = "src") -> Path:
    """Write a repository with one file."""
    (tmp_path / folder / "slingwright").mkdir(parents=True)
    (tmp_path / folder / "slingwright" / "one.py").write_text(source)
    (tmp_path / "do.py").write_text("")
    return tmp_path


def test_a_file_of_400_lines_passes_and_of_401_fails(tmp_path: Path) -> None:
    root = repository(tmp_path, "a = 1\n" * 400)
    assert find_long(root) == []
    (root / "src" / "slingwright" / "one.py").write_text("a = 1\n" * 401)
    assert find_long(root) == ["src/slingwright/one.py: 401 lines, the limit is 400"]


def test_a_function_of_60_lines_passes_and_of_61_fails_its_docstring_apart(tmp_path: Path) -> None:
    root = repository(tmp_path, function_of(60, docstring_lines=20))
    assert find_long(root) == []
    (root / "src" / "slingwright" / "one.py").write_text(function_of(61, docstring_lines=1))
    assert find_long(root) == ["src/slingwright/one.py:1: measured() has 61 lines, the limit is 60"]


def test_functions_of_tests_may_be_long(tmp_path: Path) -> None:
    assert find_long(repository(tmp_path, function_of(80), folder="tests")) == []
