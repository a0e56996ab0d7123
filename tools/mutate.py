"""Mutation test of a package: small faults in its source, and whether its tests notice each.

    python -m tools.mutate rulebook                  # all of it; what is known already is not run again
    python -m tools.mutate check --minutes 10 --jobs 2
    python -m tools.mutate hang --sample 60          # so many mutants a file, drawn by --seed
    python -m tools.mutate hang --only solve.py
    python -m tools.mutate hang --report             # score and survivors of what was run

Each mutant runs in a process forked from one that has the libraries loaded, with the changed module put in by
the importer: no file is touched. Results are kept under `mutants/` by the hash of the source; what was not
noticed is run again when the tests have changed, what was noticed stays so (`--fresh` forgets it all).

A package's files stand in groups, each with the tests that concern it, cheapest first. A mutant whose tests
do not end is noticed by time; the limit is at least five times what the tests take without a mutant.
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
from collections import Counter
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from fnmatch import fnmatch
from pathlib import Path
from typing import Any, TextIO

from tools.mutants import Mutant, apply_mutant, find_mutants

ROOT = Path(__file__).resolve().parents[1]
KEPT = ROOT / "mutants"
TIMED_OUT = 124


@dataclass(frozen=True, slots=True)
class Group:
    """Some files of a package (patterns), the tests that should notice, cheapest first, what to set for them.

    `patience_s` is the least time that the tests of a mutant are given.
    """

    files: tuple[str, ...]
    tests: tuple[str, ...]
    environment: tuple[tuple[str, str], ...] = ()
    patience_s: float = 10.0

    def holds(self, file: Path) -> bool:
        """Tell whether a file is of this group."""
        return any(fnmatch(file.name, pattern) for pattern in self.files)


@dataclass(frozen=True, slots=True)
class Subject:
    """What is mutated: a folder, and its groups; a file is of the first that holds it."""

    source: str
    groups: tuple[Group, ...]


def _one(source: str, *tests: str) -> Subject:
    return Subject(source, (Group(("*.py",), tests),))


HANG = "tests/unit/hang"
CASES = "tests/published/test_hang_cases.py"


def _kernel_groups() -> tuple[Group, ...]:
    """The kernels uncompiled: as machine code they would be taken from numba's cache, unchanged."""
    hung = (
        f"{CASES}::test_case_is_met_within_its_own_tolerance",
        f"{CASES}::test_contract_example_gives_the_printed_figures",
    )
    parts = (
        (("_kernel_angle.py", "_kernel_dense.py"), ("algebra",), ()),
        (("_kernel_energy.py",), ("energy", "search"), hung),
        (("_kernel_batch.py",), ("batch", "hook"), hung),
        (("_kernel_bodies*.py",), ("bodies_step", "bodies_parts", "bodies"), ()),
        (("_kernel_screen.py",), ("screen",), ()),
        (("_kernel_held.py",), ("held",), ()),
        (("_kernel_tilted.py",), ("tilted",), ()),
        (("_kernel_hook.py",), ("hook", "batch"), hung),
        (("_kernel_search.py",), ("verdict", "search", "energy", "margins"), hung),
        (("_kernel_*margin.py",), ("general_margins", "margins"), ()),
    )
    return tuple(
        Group(
            files, (*(f"{HANG}/kernels/test_kernel_{name}.py" for name in own), *more),
            (("NUMBA_DISABLE_JIT", "1"),), 20.0,
        )
        for files, own, more in parts
    )  # fmt: skip


COMPILING_S = 60.0  # numba may have to, for arguments of a changed kind: that is no endless loop
SUBJECTS = {
    "units": _one("src/slingwright/units", "tests/unit/units", "tests/property/test_units.py"),
    "rulebook": _one("src/slingwright/rulebook", "tests/unit/rulebook"),
    "check": _one("src/slingwright/check", "tests/unit/check"),
    "cutting": Subject(
        "src/slingwright/make/cutting",
        (
            Group(("wishes.py", "tidy.py"), ("tests/unit/make/test_cut_wishes.py",), patience_s=COMPILING_S),
            Group(
                ("mixes.py", "packing.py"), ("tests/unit/make/test_cut_packing.py",), patience_s=COMPILING_S
            ),
            Group(
                ("*.py",),
                ("tests/unit/make/test_cut_solve.py", "tests/unit/make/test_cut_document.py"),
                patience_s=COMPILING_S,
            ),
        ),
    ),
    "hang": Subject(
        "src/slingwright/hang",
        (
            *_kernel_groups(),
            # in this process only: what another one compiles knows nothing of the mutant
            Group(
                ("_jit*.py",),
                tuple(f"{HANG}/test_jit_{name}.py" for name in ("inside", "part", "load")),
            ),
            Group(("_beside.py",), (f"{HANG}/test_beside.py",)),
            Group(("screen.py",), (f"{HANG}/test_screen.py", f"{HANG}/test_held.py"), patience_s=COMPILING_S),
            Group(("tilted.py",), (f"{HANG}/test_tilted.py",), patience_s=COMPILING_S),
            Group(("ranked.py",), (f"{HANG}/test_ranked.py", f"{HANG}/test_near.py"), patience_s=COMPILING_S),
            Group(
                ("batch.py",),
                tuple(f"{HANG}/test_{name}.py" for name in ("batch_parts", "near", "batch", "held")),
                patience_s=COMPILING_S,
            ),
            Group(
                ("_read.py", "_checks.py", "_limits.py", "document.py", "problem.py", "result.py"),
                (
                    f"{HANG}/test_read.py",
                    f"{HANG}/test_refusals.py",
                    f"{HANG}/test_document_keys.py",
                    f"{HANG}/test_document.py",
                ),
                patience_s=COMPILING_S,
            ),
            Group(
                ("_tally.py", "_draw.py", "spread.py"),
                (f"{HANG}/test_spread_parts.py", f"{HANG}/test_spread.py"),
                patience_s=COMPILING_S,
            ),
            Group(
                ("*.py",),
                (
                    f"{HANG}/test_answer.py",
                    "tests/published/test_hang_cases.py",
                    f"{HANG}/test_solve.py",
                    f"{HANG}/test_batch.py",
                ),
                patience_s=COMPILING_S,
            ),
        ),
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


def hash_tests(group: Group) -> str:
    digest = hashlib.sha256()
    for name in group.tests:
        path = ROOT / name.partition("::")[0]
        for file in sorted(path.rglob("*.py")) if path.is_dir() else [path]:
            digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def find_jobs(subject: Subject, only: str | None) -> Iterator[Job]:
    for file in sorted((ROOT / subject.source).rglob("*.py")):
        if only and not fnmatch(file.name, only):
            continue
        source = file.read_text("utf-8")
        digest = hashlib.sha256(source.encode()).hexdigest()[:16]
        for mutant in find_mutants(source):
            yield Job(file, mutant, f"{file.relative_to(ROOT)} {digest} {mutant.key}")


def draw_jobs(jobs: list[Job], sample: int | None, seed: int) -> list[Job]:
    """Draw so many jobs of each file (all, where there are fewer), in an order that is a fair sample too."""
    order = list(jobs)
    random.Random(seed).shuffle(order)
    drawn: Counter[Path] = Counter()
    kept = []
    for job in order:
        drawn[job.file] += 1
        if sample is None or drawn[job.file] <= sample:
            kept.append(job)
    return kept


def group_of(subject: Subject, file: Path) -> Group:
    return next(group for group in subject.groups if group.holds(file))


def preload() -> None:
    """Load the libraries once; the package under test is loaded afresh in every child."""
    for library in ("hypothesis", "numba", "numpy", "pytest"):
        importlib.import_module(library)


def run_tests(group: Group, file: Path | None, mutant: Mutant | None, seconds: float) -> int:
    """Run the tests in a child process with the one change; return pytest's status (0: not noticed)."""
    child = os.fork()
    if child == 0:
        _be_child(group, file, mutant)
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


def _be_child(group: Group, file: Path | None, mutant: Mutant | None) -> None:
    status = 3
    try:
        nowhere = os.open(os.devnull, os.O_RDWR)
        os.dup2(nowhere, 1)
        os.dup2(nowhere, 2)
        os.environ.update(dict(group.environment))
        # numba read its switches when it was loaded
        importlib.import_module("numba").config.reload_config()
        if file is not None and mutant is not None:
            _put_in(file, mutant)
        status = _pytest(group)
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


def _pytest(group: Group) -> int:
    import hypothesis
    import pytest

    hypothesis.settings.register_profile(
        "mutate", phases=[hypothesis.Phase.explicit, hypothesis.Phase.generate], database=None
    )
    hypothesis.settings.load_profile("mutate")
    sys.path[:0] = [str(ROOT)]
    arguments = ["-x", "-q", "--no-header", "-o", "addopts=", "-p", "no:cacheprovider"]
    # the other plugins are not needed, and looking for them takes longer than many a test
    os.environ["PYTEST_DISABLE_PLUGIN_AUTOLOAD"] = "1"
    arguments += ["-p", "_hypothesis_pytestplugin"]
    # the libraries were loaded before pytest could look at them: no matter
    arguments += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
    if dict(group.environment).get("NUMBA_DISABLE_JIT"):
        arguments += ["-W", "ignore::RuntimeWarning"]  # compiled, a division by nothing says nothing
    return int(pytest.main([*arguments, "--hypothesis-seed=0", *group.tests]))


def read_results(path: Path, subject: Subject, *, old: bool = False) -> dict[str, int]:
    """Read what is known: every mutant noticed, and those that their group's very tests did not notice.

    With `old` those too that earlier tests did not notice: without them a score after a change of tests would
    count what was noticed alone.
    """
    if not path.is_file():
        return {}
    tests = {group: hash_tests(group) for group in subject.groups}
    lines = [json.loads(line) for line in path.read_text("utf-8").splitlines() if line]
    known = {
        key: status
        for key, status, by in lines
        if status != 0 or by == tests[group_of(subject, Path(key.split()[0]))]
    }
    return {key: status for key, status, _ in lines if status == 0} | known if old else known


def report(jobs: list[Job], results: dict[str, int]) -> float:
    """Print survivors, the score of each file and of the whole; return the latter [1].

    Where a file's mutants were sampled, the whole counts each file's score by the number of its mutants.
    """
    for text in sorted(job.text for job in jobs if results.get(job.key) == 0):
        print(text)
    noticed_all, known_all = 0.0, 0
    for file in sorted({job.file for job in jobs}):
        of_file = [job for job in jobs if job.file == file]
        ran = [results[job.key] for job in of_file if job.key in results]
        if not ran:
            print(f"{file.name}: none of {len(of_file)} run")
            continue
        score = sum(status != 0 for status in ran) / len(ran)
        late = f", {ran.count(TIMED_OUT)} by time" if TIMED_OUT in ran else ""
        what = "all" if len(ran) == len(of_file) else f"a sample of the {len(of_file)}"
        print(f"{file.name}: {score:.1%} of {len(ran)} ({what}){late}")
        noticed_all += score * len(of_file)
        known_all += len(of_file)
    whole = noticed_all / known_all if known_all else 0.0
    run = sum(job.key in results for job in jobs)
    print(f"{whole:.1%} noticed; {run} run of {len(jobs)} mutants")
    return whole


def run(subject: Subject, jobs: list[Job], path: Path, options: argparse.Namespace) -> dict[str, int]:
    results = read_results(path, subject)
    preload()
    began = time.monotonic()
    path.parent.mkdir(exist_ok=True)
    for group in subject.groups:
        todo = [job for job in jobs if group_of(subject, job.file) is group and job.key not in results]
        if todo:
            with path.open("a", encoding="utf-8") as out:
                _run_group(group, todo, results, out, began + options.minutes * 60, options.jobs)
    return results


def _run_group(
    group: Group, todo: list[Job], results: dict[str, int], out: TextIO, end: float, jobs: int
) -> None:
    tests = hash_tests(group)
    each = 0.0
    for _ in range(2):  # the first may compile
        started = time.monotonic()
        status = run_tests(group, None, None, 600.0)
        if status != 0:
            print(f"the tests do not pass on the unchanged source (pytest status {status}): {group.tests}")
            raise SystemExit(1)
        each = time.monotonic() - started
    limit = max(group.patience_s, 5 * each)
    print(f"{' '.join(group.files)}: tests take {each:.1f} s; {len(todo)} mutants to run", flush=True)

    def one(job: Job) -> None:
        if time.monotonic() < end:
            results[job.key] = run_tests(group, job.file, job.mutant, limit)
            out.write(json.dumps([job.key, results[job.key], tests]) + "\n")
            out.flush()

    with ThreadPoolExecutor(jobs) as pool:
        list(pool.map(one, todo))


def main(arguments: list[str]) -> int:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("subject", choices=sorted(SUBJECTS))
    parser.add_argument("--only", help="files of the package, by name or pattern")
    parser.add_argument("--sample", type=int, help="so many mutants a file, drawn with --seed")
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--jobs", type=int, default=1)
    parser.add_argument("--minutes", type=float, default=60.0)
    parser.add_argument("--least", type=float, default=0.9, help="fail below this score")
    parser.add_argument("--fresh", action="store_true", help="forget earlier results")
    parser.add_argument("--report", action="store_true", help="run nothing")
    options = parser.parse_args(arguments)
    subject = SUBJECTS[options.subject]
    everything = list(find_jobs(subject, options.only))
    jobs = draw_jobs(everything, options.sample, options.seed)
    path = KEPT / f"{options.subject}.jsonl"
    if options.fresh:
        path.unlink(missing_ok=True)
    if not options.report:
        run(subject, jobs, path, options)
    results = read_results(path, subject, old=True)
    return int(report(everything, results) < options.least)


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
