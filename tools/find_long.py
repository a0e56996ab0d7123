"""Find files and functions that have grown too long to be read in one go; the checks call it.

A file of more than 400 lines fails (Python under `src`, `tests`, `tools`, `benchmarks`, and `do.py`);
so does a function under `src` of more than 60 lines, its docstring not counted: a long explanation
is no fault.
"""

from __future__ import annotations

import ast
import sys
from collections.abc import Iterator
from pathlib import Path

MOST_FILE_LINES = 400
MOST_FUNCTION_LINES = 60
FOLDERS = ("src", "tests", "tools", "benchmarks")


def function_lines(node: ast.FunctionDef | ast.AsyncFunctionDef) -> int:
    """Count a function's lines from its `def`, without its docstring."""
    whole = (node.end_lineno or node.lineno) - node.lineno + 1
    first = node.body[0]
    if ast.get_docstring(node, clean=False) is None:
        return whole
    return whole - ((first.end_lineno or first.lineno) - first.lineno + 1)


def find_long_functions(source: str) -> Iterator[tuple[int, str, int]]:
    """Give line, name and length of every function that is too long."""
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            lines = function_lines(node)
            if lines > MOST_FUNCTION_LINES:
                yield node.lineno, node.name, lines


def find_long(root: Path) -> list[str]:
    """Give one sentence for each file or function that is too long."""
    files = [path for folder in FOLDERS for path in sorted((root / folder).rglob("*.py"))]
    found = []
    for path in [root / "do.py", *files]:
        source, name = path.read_text("utf-8"), path.relative_to(root).as_posix()
        lines = source.count("\n")
        if lines > MOST_FILE_LINES:
            found.append(f"{name}: {lines} lines, the limit is {MOST_FILE_LINES}")
        if name.startswith("src/"):
            found += [
                f"{name}:{line}: {function}() has {length} lines, the limit is {MOST_FUNCTION_LINES}"
                for line, function, length in find_long_functions(source)
            ]
    return found


def main() -> int:
    """Print what is too long; exit status 1 if anything is."""
    found = find_long(Path(__file__).resolve().parent.parent)
    print("\n".join(found) if found else "No file and no function is too long.")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
