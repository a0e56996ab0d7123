"""The mutation tool makes the changes it says, one at a time, and its score is honest."""

from __future__ import annotations

import argparse
import ast
from pathlib import Path

import pytest

from tools import mutate
from tools.mutants import apply_mutant, find_mutants

SOURCE = '''"""Docstring, left alone."""
from math import floor
__all__ = ["one-two"]
def f(a: int, b: "str" = 3) -> int:
    """Also left alone."""
    if a < b and not a:
        return a + 2 * b
    x = "a-code"
    y = "Words for people."
    raise ValueError(y)
def g(v):
    v.append(1)  # mutate: same, nobody looks
    return [abs(n) for n in v if n] or min(v)
'''


def texts() -> list[str]:
    return [mutant.text for mutant in find_mutants(SOURCE)]


def test_every_kind_of_change_is_found() -> None:
    found = texts()
    for change in (
        "a < b  ->  LtE", "a < b  ->  GtE", "a < b and (not a)  ->  or", "not a  ->  without its sign or not",
        "a + 2 * b  ->  Sub", "2 * b  ->  Div", "3  ->  4", "return a + 2 * b  ->  return None",
        "'a-code'  ->  'a-codex'", "raise ValueError(y)  ->  nothing", "abs(n)  ->  without abs",
        "min(v)  ->  max",
    ):  # fmt: skip
        assert change in found
    assert any(text.endswith("without its if") for text in found)
    assert any(text.endswith("if not") for text in found)


def test_what_is_left_alone() -> None:
    found = "\n".join(texts())
    for never in ("one-two", "Docstring", "left alone", "Words for people", "'str'", "v.append"):
        assert never not in found.replace("Words for people.  ->", "")


def test_each_mutant_changes_just_its_own_place() -> None:
    unchanged = ast.unparse(ast.parse(SOURCE))
    changed = [ast.unparse(apply_mutant(SOURCE, mutant)) for mutant in find_mutants(SOURCE)]
    assert unchanged not in changed
    for text in changed:
        pairs = zip(unchanged.splitlines(), text.splitlines(), strict=True)
        assert sum(old != new for old, new in pairs) == 1


def repository(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> mutate.Subject:
    """A package of one function with one test that looks at half of it."""
    (tmp_path / "src" / "slingwright" / "toy").mkdir(parents=True)
    (tmp_path / "src" / "slingwright" / "toy" / "__init__.py").write_text("")
    (tmp_path / "src" / "slingwright" / "toy" / "half.py").write_text(
        "def pick(a, b):\n    return a if a > 0 else b + 1\n"
    )
    (tmp_path / "tests").mkdir()
    (tmp_path / "tests" / "test_half.py").write_text("def test_it():\n    assert True\n")
    monkeypatch.setattr(mutate, "ROOT", tmp_path)
    return mutate.Subject("src/slingwright/toy", (mutate.Group(("*.py",), ("tests",)),))


def test_jobs_results_and_score(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    subject = repository(tmp_path, monkeypatch)
    jobs = list(mutate.find_jobs(subject, None))
    assert [job.mutant.text.split("  ->  ")[1] for job in jobs] == [
        "return None",
        "GtE",
        "LtE",
        "1",
        "Sub",
        "2",
    ]
    assert list(mutate.find_jobs(subject, "other.py")) == []
    # a status per job, as pytest gives it: noticed is anything but 0; the unchanged source runs twice first
    statuses = iter([0, 0, 1, 0, mutate.TIMED_OUT, 1, 1, 1])
    monkeypatch.setattr(mutate, "run_tests", lambda *_: next(statuses))
    options = argparse.Namespace(jobs=1, minutes=1.0)
    path = tmp_path / "mutants" / "toy.jsonl"
    results = mutate.run(subject, jobs, path, options)
    assert mutate.report(jobs, results) == pytest.approx(5 / 6)
    out = capsys.readouterr().out
    assert "half.py:2: a > 0  ->  GtE" in out
    assert "half.py: 83.3% of 6 (all), 1 by time" in out
    assert "83.3% noticed; 6 run of 6 mutants" in out
    # what was not noticed is known for these tests alone
    assert len(mutate.read_results(path, subject)) == 6
    (tmp_path / "tests" / "test_half.py").write_text("def test_it():\n    assert 1\n")
    assert len(mutate.read_results(path, subject)) == 5


def test_a_sampled_file_counts_by_all_its_mutants(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Two of six of one file, one of them noticed; all four of the other: (0.5 * 6 + 1.0 * 4) / 10."""
    subject = repository(tmp_path, monkeypatch)
    other = tmp_path / "src" / "slingwright" / "toy" / "other.py"
    other.write_text("def f(a):\n    return a + 1 > 2\n")
    jobs = list(mutate.find_jobs(subject, None))
    half = [job for job in jobs if job.file != other]
    rest = [job for job in jobs if job.file == other]
    drawn = mutate.draw_jobs(jobs, 2, 0)
    assert len(drawn) == 4
    assert drawn == mutate.draw_jobs(list(jobs), 2, 0)
    # a larger sample holds the smaller one
    assert set(drawn) < set(mutate.draw_jobs(jobs, 3, 0))
    assert sorted(j.key for j in mutate.draw_jobs(jobs, None, 0)) == sorted(j.key for j in jobs)
    results = {half[0].key: 0, half[1].key: 1} | {job.key: 1 for job in rest}
    share = (0.5 * len(half) + len(rest)) / len(jobs)
    assert mutate.report(jobs, results) == pytest.approx(share)
    out = capsys.readouterr().out
    assert "half.py: 50.0% of 2 (a sample of the 6)" in out
    assert f"other.py: 100.0% of {len(rest)} (all)" in out


def test_each_file_is_tried_by_its_own_groups_tests(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    subject = repository(tmp_path, monkeypatch)
    other = tmp_path / "src" / "slingwright" / "toy" / "other.py"
    other.write_text("def f(a):\n    return a\n")
    (tmp_path / "tests" / "test_other.py").write_text("def test_it():\n    assert True\n")
    first = mutate.Group(("other.*",), ("tests/test_other.py::test_it",), patience_s=33.0)
    second = mutate.Group(("*.py",), ("tests/test_half.py",))
    subject = mutate.Subject(subject.source, (first, second))
    asked = []

    def run_tests(group: mutate.Group, file: Path | None, _mutant: object, seconds: float) -> int:
        asked.append((group, file and file.name, seconds))
        return 0

    monkeypatch.setattr(mutate, "run_tests", run_tests)
    path = tmp_path / "mutants" / "toy.jsonl"
    jobs = list(mutate.find_jobs(subject, None))
    mutate.run(subject, jobs, path, argparse.Namespace(jobs=1, minutes=1.0))
    assert {(group, file) for group, file, _ in asked if file} == {(first, "other.py"), (second, "half.py")}
    assert [seconds for _, file, seconds in asked if file == "other.py"] == [33.0]
    # a change of one group's tests forgets that group's survivors alone
    (tmp_path / "tests" / "test_other.py").write_text("def test_it():\n    assert 1\n")
    assert len(mutate.read_results(path, subject)) == len(jobs) - 1
    # but for the score it is not noticed until it has been run again
    assert mutate.read_results(path, subject, old=True) == {job.key: 0 for job in jobs}


def test_tests_that_fail_unchanged_stop_it(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    subject = repository(tmp_path, monkeypatch)
    monkeypatch.setattr(mutate, "run_tests", lambda *_: 1)
    jobs = list(mutate.find_jobs(subject, None))
    with pytest.raises(SystemExit):
        mutate.run(subject, jobs, tmp_path / "x" / "y.jsonl", argparse.Namespace(jobs=1, minutes=1.0))
