"""The child that compiles beside: whether there is one, what it is asked, how long it is waited for."""

import ast
import os
import shutil
import subprocess
import sys
import time
from pathlib import Path
from types import SimpleNamespace

import pytest

from slingwright.hang import _beside, warm

HANG = Path(_beside.__file__).parent


class Child:
    """In a process's place: ends, or does not, and keeps what it was asked."""

    def __init__(self, ends):
        self.ends, self.asked = ends, []

    def wait(self, seconds=None):
        self.asked.append(("wait", seconds))
        if seconds is not None and not self.ends:
            raise subprocess.TimeoutExpired("child", seconds)

    def kill(self):
        self.asked.append(("kill", None))


@pytest.fixture(autouse=True)
def anew(monkeypatch):
    """As a process begins: no child, nothing waited for, two cores; the time is told."""
    for name in ("_begun", "_groups", "_ends"):
        monkeypatch.setattr(_beside, name, [])
    monkeypatch.setattr(_beside, "_cores", lambda: 2)
    clock = SimpleNamespace(now=1000.0)
    monkeypatch.setattr(_beside, "time", SimpleNamespace(monotonic=lambda: clock.now))
    return clock


@pytest.fixture
def started(monkeypatch):
    """What is started, with its options; it ends at once."""
    asked = []

    def start(words, **options):
        asked.append((words, options))
        return Child(ends=True)

    monkeypatch.setattr(subprocess, "Popen", start)
    return asked


def test_the_first_call_starts_one_child_that_says_nothing(started):
    _beside.begin("run_bodies")
    _beside.begin("look")
    ((words, options),) = started
    nowhere = subprocess.DEVNULL
    assert options == {"stdin": nowhere, "stdout": nowhere, "stderr": nowhere}
    assert words[:2] == [sys.executable, "-c"]
    assert _beside._ends == [1000.0 + 120.0]
    assert _beside._groups == ["general"]
    # its program looks for modules where this one does, and compiles the group
    program = ast.parse(words[2])
    (path,) = (n.value for n in program.body if isinstance(n, ast.Assign))
    assert ast.literal_eval(path) == sys.path
    told = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(sys.modules, "slingwright.hang._beside", SimpleNamespace(compile_beside=told.append))
        exec(compile(program, "child", "exec"), {})
    assert told == ["general"]


@pytest.mark.parametrize(
    ("first", "others"),
    [
        ("run_bodies", "general"), ("run_hook", "general"), ("look_hook", "general"),
        ("run_general", "hook"), ("look", "hook"),
    ],
)  # fmt: skip
def test_whoever_begins_has_the_larger_rest_compiled_beside(first, others, started):
    _beside.begin(first)
    assert _beside._groups == [others]
    assert not _beside.waits(first) or first == "look_hook"
    assert len(started) == 1


@pytest.mark.parametrize(
    ("group", "kernels"),
    [
        (_beside.HOOK, {"run_hook", "look_hook", "read_samples", "hold_samples"}),
        (_beside.GENERAL, {"look_hook", "run_general", "look"}),
    ],
)
def test_a_childs_kernels_alone_are_waited_for(group, kernels):
    """Every kernel that there is with a door for Python."""
    doors = set()
    for file in HANG.glob("_kernel*.py"):
        for node in ast.walk(ast.parse(file.read_text("utf-8"))):
            if isinstance(node, ast.FunctionDef):
                doors |= {node.name for d in node.decorator_list if ast.unparse(d) == "kernel"}
    assert doors >= kernels
    for name in doors:
        _beside._begun[:], _beside._groups[:] = [Child(ends=True)], [group]
        _beside._ends[:] = [1000.1]
        assert _beside.waits(name) == (name in kernels), name


@pytest.mark.parametrize(("cores", "starts"), [(1, 0), (2, 1), (3, 1)])
def test_one_core_compiles_alone(cores, starts, started, monkeypatch):
    monkeypatch.setattr(_beside, "_cores", lambda: cores)
    _beside.begin("look")
    assert len(started) == starts
    assert len(_beside._begun) == 1
    assert len(_beside._groups) == starts


def test_cores_are_those_this_process_may_use(monkeypatch):
    monkeypatch.undo()  # the real one
    monkeypatch.setattr(os, "sched_getaffinity", lambda _: {1, 4, 6}, raising=False)
    monkeypatch.setattr(os, "cpu_count", lambda: 8)
    assert _beside._cores() == 3
    monkeypatch.setattr(os, "sched_getaffinity", {0: {5}, 1: {1, 2}}.__getitem__)
    assert _beside._cores() == 1  # this process: number 0
    monkeypatch.delattr(os, "sched_getaffinity")
    assert _beside._cores() == 8
    monkeypatch.setattr(os, "cpu_count", lambda: None)
    assert _beside._cores() == 1


def test_nobody_is_waited_for_before_a_child_is_there():
    assert _beside.waits("look") is False
    _beside._begun[:] = [None]
    assert _beside.waits("look") is False
    _beside._begun[:], _beside._groups[:] = [Child(ends=True)], ["general"]
    assert _beside.waits("look") is False  # it has been waited for
    assert _beside._begun[0].asked == []


def test_a_child_is_waited_for_till_it_ends_and_looked_for_once_more(anew):
    child = Child(ends=False)
    _beside._begun[:], _beside._groups[:], _beside._ends[:] = [child], ["general"], [1000.0 + 120.0]
    for _ in range(3):
        anew.now += 39.0
        assert _beside.waits("look") is True
    assert child.asked == [("wait", 0.1)] * 3
    child.ends = True
    assert _beside.waits("look") is True
    assert _beside.waits("look") is False
    assert child.asked == [("wait", 0.1)] * 4


@pytest.mark.parametrize("late", [120.0, 130.0])
def test_a_child_that_takes_too_long_is_ended(anew, late):
    child = Child(ends=False)
    _beside._begun[:], _beside._groups[:], _beside._ends[:] = [child], ["hook"], [1000.0 + 120.0]
    anew.now += late
    assert _beside.waits("run_hook") is True
    assert child.asked == [("wait", 0.1), ("kill", None), ("wait", None)]
    assert _beside.waits("run_hook") is False


@pytest.mark.parametrize(
    ("group", "steps"),
    [("hook", ["warm_hook"]), ("general", ["compile_margins", "warm_general"])],
)
def test_what_the_child_does(group, steps, monkeypatch):
    done = []
    for name in warm.__all__:
        monkeypatch.setattr(warm, name, lambda name=name: done.append(name))
    _beside.compile_beside(group)
    assert done == steps
    assert _beside._begun == [None]  # it starts none of its own


@pytest.mark.parametrize("executable", ["false", "no/such/program"])
def test_a_child_that_fails_is_no_error(executable, monkeypatch, caplog):
    """A real one, that ends at once or cannot be started."""
    monkeypatch.setattr(sys, "executable", shutil.which(executable) or executable)
    monkeypatch.setattr(_beside, "time", time)
    caplog.set_level("INFO", "slingwright.hang")
    _beside.begin("run_hook")
    assert _beside._groups == ["general"]
    assert not _beside.waits("run_hook")  # not the child's
    assert not _beside.waits("run_bodies")
    assert _beside.waits("look_hook") == (executable == "false")  # it ends: whoever asked looks again, once
    for _ in range(600):
        if not _beside.waits("look_hook"):
            break
    assert not _beside.waits("look")
    assert [r.levelname for r in caplog.records] == ([] if executable == "false" else ["INFO"])


def test_a_child_that_does_not_end_is_ended(monkeypatch):
    """A real one."""
    monkeypatch.setattr(_beside, "time", time)
    with subprocess.Popen([sys.executable, "-c", "import time; time.sleep(600)"]) as child:
        try:
            _beside._begun[:], _beside._groups[:] = [child], ["general"]
            _beside._ends[:] = [time.monotonic() + 0.3]
            asked = 0
            while _beside.waits("look"):
                asked += 1
            assert 1 < asked < 600
            assert child.poll() is not None
        finally:
            child.kill()
