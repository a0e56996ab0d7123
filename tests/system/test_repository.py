"""Nothing in the repository names one machine, a package registry's host, or what was never shipped."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]
GENERATED = re.compile(r"^(\.venv|\.git|\..*_cache|\.hypothesis|out|dist|build|mutants)$")
# put together here, so that this file itself does not hold them
FORBIDDEN = [
    "/" + "root/",
    "/" + "work/",
    "/" + "home/",
    "../" + "shared",
    "py" + "pi.org",
    "pythonhosted" + ".org",
    "registry." + "npmjs",
]


def texts() -> list[Path]:
    """Give every text file of the repository."""
    found = []
    for path in sorted(ROOT.rglob("*")):
        parts = path.relative_to(ROOT).parts
        if path.is_file() and not any(GENERATED.match(part) or part == "__pycache__" for part in parts):
            found.append(path)
    return found


@pytest.mark.parametrize("words", FORBIDDEN)
def test_no_file_names_a_machine_or_a_registry(words: str) -> None:
    guilty = [str(path.relative_to(ROOT)) for path in texts() if words.encode() in path.read_bytes()]
    assert guilty == []


def test_links_in_the_documents_lead_somewhere() -> None:
    pages = [path for path in texts() if path.suffix == ".md"]
    links = re.compile(r"\]\(([^)#:\s]+)(?:#[^)]*)?\)")
    broken = [
        f"{page.relative_to(ROOT)} -> {target}"
        for page in pages
        for target in links.findall(page.read_text("utf-8"))
        if not (page.parent / target).exists()
    ]
    assert broken == []
