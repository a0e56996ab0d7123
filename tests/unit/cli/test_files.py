"""Reading within a limit; writing whole or not at all."""

from __future__ import annotations

import io
import os
import stat
import sys
from pathlib import Path

import pytest

from slingwright.cli.files import Paper, read_input, write_papers
from slingwright.errors import InputFault


def paper(path: Path, content: bytes = b"new", option: str = "--sheet") -> Paper:
    return Paper(option=option, path=path, content=content)


def test_reads_a_file_and_stdin(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "lift.toml").write_bytes(b"abc")
    assert read_input(str(tmp_path / "lift.toml"), most_bytes=3) == b"abc"
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(b"def")))
    assert read_input("-") == b"def"


@pytest.mark.parametrize("name", ["missing.toml", ".", "nul\0inside", "x" * 5000])
def test_what_cannot_be_read_is_a_fault_with_its_reason(tmp_path: Path, name: str) -> None:
    with pytest.raises(InputFault, match=r"cannot be read: ."):
        read_input(os.path.join(tmp_path, name))


def test_a_file_over_the_limit_is_refused(tmp_path: Path) -> None:
    (tmp_path / "big").write_bytes(b"x" * 11)
    with pytest.raises(InputFault, match="larger than 10 bytes"):
        read_input(str(tmp_path / "big"), most_bytes=10)


def test_papers_are_written_whole_and_replace_older_ones(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"a much older and longer paper")
    write_papers([paper(tmp_path / "a.pdf"), paper(tmp_path / "b.svg", b"drawn")])
    assert (tmp_path / "a.pdf").read_bytes() == b"new"
    assert (tmp_path / "b.svg").read_bytes() == b"drawn"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.pdf", "b.svg"]


def test_one_paper_that_cannot_be_written_leaves_every_place_as_it_was(tmp_path: Path) -> None:
    (tmp_path / "a.pdf").write_bytes(b"old")
    (tmp_path / "folder").mkdir()
    papers = [
        paper(tmp_path / "a.pdf"),
        paper(tmp_path / "none" / "b.svg", option="--drawing"),
        paper(tmp_path / "folder", option="--view"),
        paper(tmp_path / "nul\0", option="--odd"),
    ]
    with pytest.raises(InputFault) as caught:
        write_papers(papers)
    assert [fault.field for fault in caught.value.faults] == ["--drawing", "--view", "--odd"]
    assert "make the folder first" in caught.value.faults[0].hint
    assert (tmp_path / "a.pdf").read_bytes() == b"old"
    assert sorted(p.name for p in tmp_path.iterdir()) == ["a.pdf", "folder"]


def test_a_paper_may_be_read_by_those_whom_the_users_mask_lets(tmp_path: Path) -> None:
    old = os.umask(0o027)
    try:
        write_papers([paper(tmp_path / "a.pdf")])
    finally:
        assert os.umask(old) == 0o027
    assert stat.S_IMODE((tmp_path / "a.pdf").stat().st_mode) == 0o640
