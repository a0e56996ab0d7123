"""Mutation test of a package: small faults in its source, and whether its tests notice each.

    python -m tools.mutate rulebook            # all of it; what is known already is not run again
    python -m tools.mutate check --minutes 10 --jobs 2
    python -m tools.mutate hang --only solve.py --sample 200
    python -m tools.mutate rulebook --report   # score and survivors of what was run

Each mutant runs in a process forked from one that has the libraries loaded, with the changed module put in by
the importer: no file is touched. Results are kept under `mutants/` by the hash of the source; what was not
noticed is run again when the tests have changed, what was noticed stays so (`--fresh` forgets it all).
"""

from __future__ import annotations

import argparse
import hashlib
import importlib
import importlib.machinery
import json
import os
import random
import signal
import sys
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from tools.mutants import Mutant, apply_mutant, find_mutants

ROOT = Path(__file__).resolve().parents[1]
KEPT = ROOT / "mutants"
TIMED_OUT = 124


@dataclass(frozen=True, slots=True)
class Subject:
    """What is mutated, and the tests that should notice. `environment` is set for every run."""

    source: str
    tests: tuple[str, ...]
    environment: tuple[tuple[str, str], ...] = ()


SUBJECTS = {
    "units": Subject("src/slingwright/units", ("tests/unit/units", "tests/property/test_units.py")),
    "rulebook": Subject("src/slingwright/rulebook", ("tests/unit/rulebook",)),
    "check": Subject("src/slingwright/check", ("tests/unit/check",)),
    # compiled kernels would be taken from numba's cache, unchanged: they run uncompiled here
    "hang": Subject(
        "src/slingwright/hang",
        ("tests/unit/hang", "tests/published/test_hang_cases.py"),
        (("NUMBA_DISABLE_JIT", "1"),),
    ),
}


@dataclass(frozen=True, slots=True)
class Job:
    """One mutant of one file, and where its result is kept."""

    file: Path
    mutant: Mutant
    key: str

    @property
    def text(self) -> str:
        """Return what a person reads: file, line, change."""
        return f"{self.file.relative_to(ROOT)}:{self.mutant.line}: {self.mutant.text}"


def hash_tests(subject: Subject) -> str:
    digest = hashlib.sha256()
    for name in subject.tests:
        path = ROOT / name
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def find_jobs(subject: Subject, only: str | None) -> Iterator[Job]:
    for file in sorted((ROOT / subject.source).rglob("*.py")):
        if only and file.name != only:
            continue
        source = file.read_text("utf-8")
        digest = hashlib.sha256(source.encode()).hexdigest()[:16]
        for mutant in find_mutants(source):
            yield Job(file, mutant, f"{file.relative_to(ROOT)} {digest} {mutant.key}")


def preload() -> None:
    """Load the libraries once; the package under test is loaded afresh in every child."""
    for library in ("hypothesis", "numpy", "pytest"):
        importlib.import_module(library)


def run_tests(subject: Subject, file: Path | None, mutant: Mutant | None, seconds: float) -> int:
    """Run the tests in a child process with the one change; return pytest's status (0: not noticed)."""
    child = os.fork()
    if child == 0:
        _be_child(subject, file, mutant)
    end = time.monotonic() + seconds
    pause = 0.01
    while time.monotonic() < end:
        done, status = os.waitpid(child, os.WNOHANG)
        if done:
            return os.waitstatus_to_exitcode(status)
        time.sleep(pause)
        pause = min(pause * 1.5, 0.2)
    os.kill(child, signal.SIGKILL)
    os.waitpid(child, 0)
    return TIMED_OUT


def _be_child(subject: Subject, file: Path | None, mutant: Mutant | None) -> None:
    status = 3
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.environ.update(dict(subject.environment))
        if file is not None and mutant is not None:
            _put_in(file, mutant)
        status = _pytest(subject)
    finally:
        os._exit(status)


def _put_in(file: Path, mutant: Mutant) -> None:
    """Have the importer compile the changed tree in the place of the file."""
    tree = apply_mutant(file.read_text("utf-8"), mutant)
    code = compile(tree, str(file), "exec")
    original = importlib.machinery.SourceFileLoader.get_code

    def get_code(self: Any, fullname: str) -> Any:
        return code if self.get_filename(fullname) == str(file) else original(self, fullname)

    importlib.machinery.SourceFileLoader.get_code = get_code  # type: ignore[method-assign]


def _pytest(subject: Subject) -> int:
    import hypothesis
    import pytest

    hypothesis.settings.register_profile(
        "mutate", phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate], database=None
    )
    hypothesis.settings.load_profile("mutate")
    sys.path[:0] = [str(ROOT)]
    arguments = ["-x", "-q", "--no-header", "-o", "addopts=", "-p", "no:cacheprovider", "-p", "no:xdist"]
    # the libraries were loaded before pytest could look at them: no matter
    arguments += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    return int(pytest.main([*arguments, "--hypothesis-seed=0", *subject.tests]))


def read_results(path: Path, tests: str) -> dict[str, int]:
    """Read what is known: every mutant noticed, and those that these very tests did not notice."""
    if not path.is_file():
        return {}
    lines = [json.loads(line) for line in path.read_text("utf-8").splitlines() if line]
    return {key: status for key, status, by in lines if status != 0 or by == tests}


def report(jobs: list[Job], results: dict[str, int]) -> float:
    """Print score and survivors; return the score [1]."""
    run = [job for job in jobs if job.key in results]
    survivors = [job for job in run if results[job.key] == 0]
    for text in sorted(job.text for job in survivors):
        print(text)
    late = sum(results[job.key] == TIMED_OUT for job in run)
    noticed = len(run) - len(survivors)
    score = noticed / len(run) if run else 0.0
    print(f"{noticed} of {len(run)} noticed ({score:.1%}), {late} of them by time; {len(jobs)} in all")
    return score


def run(subject: Subject, jobs: list[Job], path: Path, options: argparse.Namespace) -> dict[str, int]:
    tests = hash_tests(subject)
    results = read_results(path, tests)
    preload()
    began = time.monotonic()
    status = run_tests(subject, None, None, 600.0)
    if status != 0:
        print(f"the tests do not pass on the unchanged source (pytest status {status})")
        raise SystemExit(1)
    each = time.monotonic() - began
    limit = max(10.0, 5 * each)
    print(f"tests take {each:.1f} s; {sum(job.key not in results for job in jobs)} mutants to run")
    path.parent.mkdir(exist_ok=True)
    with path.open("a", encoding="utf-8") as out, ThreadPoolExecutor(options.jobs) as pool:

        def one(job: Job) -> None:
            if job.key in results or time.monotonic() - began > options.minutes * 60:
                return
            results[job.key] = run_tests(subject, job.file, job.mutant, limit)
            out.write(json.dumps([job.key, results[job.key], tests]) + "\n")
            out.flush()

        list(pool.map(one, jobs))
    return results


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("subject", choices=sorted(SUBJECTS))
    parser.add_argument("--only", help="one file of the package, by name")
    parser.add_argument("--sample", type=int, help="so many mutants, drawn with --seed")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--least", type=float, default=0.9, help="fail below this score")
    parser.add_argument("--fresh", action="store_true", help="forget earlier results")
    parser.add_argument("--report", action="store_true", help="run nothing")
    options = parser.parse_args(arguments)
    subject = SUBJECTS[options.subject]
    jobs = list(find_jobs(subject, options.only))
    # shuffled, so that a run cut short is a fair sample
    random.Random(options.seed).shuffle(jobs)
    jobs = jobs[: options.sample or len(jobs)]
    path = KEPT / f"{options.subject}.jsonl"
    if options.fresh:
        path.unlink(missing_ok=True)
    known = read_results(path, hash_tests(subject)) if options.report else None
    results = run(subject, jobs, path, options) if known is None else known
    return int(report(jobs, results) < options.least)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
