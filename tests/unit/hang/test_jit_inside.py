"""The compiler's one place from inside: what is asked of numba, and what is said when a disk fails."""

import hashlib
import importlib
import sys
from pathlib import Path
from types import SimpleNamespace

import numba
import pytest

from slingwright.hang import _beside, _jit, _jit_part


class Asked:
    """In numba's place: keeps the options of each compiling; fails where it is told to."""

    def __init__(self, monkeypatch, fails=None):
        self.options, self.fails = [], fails
        monkeypatch.setattr(numba, "njit", self)
        monkeypatch.setattr(_jit, "_said", [])
        monkeypatch.setattr(_jit, "_kernels", [])

    def __call__(self, **options):
        self.options.append(options)
        if self.fails and options.get("cache"):
            raise self.fails
        stats = SimpleNamespace(cache_misses={"a": 1, "b": 2})
        return lambda function: SimpleNamespace(
            _cache=SimpleNamespace(_cache_file=SimpleNamespace(_source_stamp=7)), of=function, stats=stats
        )


def _nothing():
    """A function to compile."""


def test_what_is_asked_of_the_compiler(monkeypatch):
    """No `parallel`, no other freedom: the figures' bits hang on it."""
    asked = Asked(monkeypatch)
    compiled = _jit.kernel(_nothing)
    assert asked.options == [{"cache": True, "nogil": True, "error_model": "numpy"}]
    assert compiled.of is _nothing
    assert isinstance(compiled._cache, _jit._ForgivingCache)
    assert compiled._cache._cache_file._source_stamp == (7, _jit._fingerprint())
    assert _jit._kernels == [compiled]
    assert _jit.compiled_kernels() == 3
    _jit.kernel(_nothing)
    assert _jit.compiled_kernels() == 6


@pytest.mark.parametrize(
    ("way", "more"),
    [
        (_jit.inner_kernel, {}),
        (_jit.taken_in_kernel, {"inline": "always"}),
        (_jit.lane_kernel, {"fastmath": {"contract"}}),
    ],
)
def test_what_is_asked_for_a_part(monkeypatch, way, more):
    """Nothing of its own on disk, nor counted: the kernels that hold it are."""
    asked = Asked(monkeypatch)
    assert way(_nothing).of is _nothing
    part = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True, "pipeline_class": _jit_part._Compiler}
    assert asked.options == [{"nogil": True, "error_model": "numpy", **part, **more}]
    assert _jit._kernels == []


@pytest.mark.parametrize("fault", [RuntimeError("no locator"), PermissionError("read-only")])
def test_no_folder_is_told_and_compiled_without(monkeypatch, caplog, fault):
    asked = Asked(monkeypatch, fault)
    compiled = _jit.kernel(_nothing)
    assert [o.get("cache", False) for o in asked.options] == [True, False]
    assert asked.options[1] == {k: v for k, v in asked.options[0].items() if k != "cache"}
    assert _jit._kernels == [compiled]
    _jit.kernel(_nothing)
    (record,) = caplog.records  # said once
    assert record.getMessage() == (
        f"no writable folder for compiled code ({fault}): solving goes on, compiling anew in each process"
    )
    assert (record.name, record.levelname) == ("slingwright.hang", "WARNING")


def test_numbas_own_switch_turns_compiling_off(monkeypatch):
    asked = Asked(monkeypatch)
    monkeypatch.setattr(numba.config, "DISABLE_JIT", 1, raising=False)
    for way in (_jit.kernel, _jit.inner_kernel, _jit.taken_in_kernel, _jit.lane_kernel):
        assert way(_nothing) is _nothing
    assert asked.options == []
    assert _jit.compiled_kernels() == 0
    monkeypatch.delattr(numba.config, "DISABLE_JIT")
    assert _jit.kernel(_nothing) is not _nothing  # no switch is no


class Inner:
    """A cache of numba's, whose disk does what it is told."""

    def __init__(self, load=None, save=None):
        self._cache_file = SimpleNamespace(_source_stamp=3)
        self.load, self.save, self.asked = load, save, []
        self.other = "numba's"

    def load_overload(self, sig, target_context):
        self.asked.append((sig, target_context))
        if isinstance(self.load, Exception):
            raise self.load
        return self.load

    def save_overload(self, sig, data):
        self.asked.append((sig, data))
        if self.save:
            raise self.save


@pytest.fixture
def quiet(monkeypatch):
    monkeypatch.setattr(_jit, "_said", [])
    monkeypatch.setattr(_jit, "_compiling", [])
    monkeypatch.setattr(_jit, "load", lambda cache, sig, target: cache.load_overload(sig, target))
    monkeypatch.setattr(_beside, "_begun", [None])  # no second process


@pytest.mark.usefixtures("quiet")
def test_what_the_disk_holds_is_given_as_it_is(caplog):
    inner = Inner(load="code")
    cache = _jit._ForgivingCache(inner, "look")
    assert cache.load_overload(1, 2) == "code"
    cache.save_overload(3, 4)
    assert inner.asked == [(1, 2), (3, 4)]
    assert cache.other == "numba's"
    assert inner._cache_file._source_stamp == (3, _jit._fingerprint())
    assert not caplog.records


@pytest.mark.usefixtures("quiet")
def test_compiling_is_told_once(caplog):
    for _ in range(2):
        assert _jit._ForgivingCache(Inner(), "look").load_overload(1, 2) is None
    assert [r.getMessage() for r in caplog.records] == [
        "compiling the statics, once after installing: some seconds"
    ]


@pytest.mark.usefixtures("quiet")
def test_what_the_second_process_compiled_is_looked_for_again(monkeypatch):
    begun, waited = [], []
    monkeypatch.setattr(_beside, "begin", begun.append)
    monkeypatch.setattr(_beside, "waits", lambda name: waited.append(name) or waited.count("look") == 1)
    mine, its = Inner(), Inner()
    assert _jit._ForgivingCache(mine, "run_hook").load_overload(1, 2) is None
    assert _jit._ForgivingCache(its, "look").load_overload(1, 2) is None
    assert (begun, waited) == (["run_hook"], ["run_hook", "look", "look"])
    assert (len(mine.asked), len(its.asked)) == (1, 2)


@pytest.mark.usefixtures("quiet")
def test_a_damaged_file_and_a_full_disk_are_told_once_each(caplog):
    cache = _jit._ForgivingCache(Inner(load=ValueError("bad"), save=OSError("full")), "look")
    for _ in range(2):
        assert cache.load_overload(1, 2) is None
        cache.save_overload(3, 4)
    goes_on = "solving goes on, compiling anew in each process"
    assert [r.getMessage() for r in caplog.records] == [
        f"compiled code on disk cannot be read (bad): {goes_on}",
        f"compiled code cannot be kept on disk (full): {goes_on}",
    ]
    with pytest.raises(ValueError, match="ours"):
        _jit._ForgivingCache(Inner(save=ValueError("ours")), "look").save_overload(1, 2)


def test_the_fingerprint_is_that_of_every_kernel_and_of_the_compilers_place(monkeypatch, tmp_path):
    for name in ("_kernel_b.py", "_kernel_a.py", "_jit.py", "_jit_part.py", "other.py", "_kernel_c.txt"):
        (tmp_path / name).write_text(name)
    monkeypatch.setattr(_jit, "__file__", str(tmp_path / "_jit.py"))
    monkeypatch.setattr(_jit, "_kernels_text", [])
    want = hashlib.sha256(b"_kernel_a.py_kernel_b.py_jit.py_jit_part.py").hexdigest()
    assert _jit._fingerprint() == want
    (tmp_path / "_kernel_a.py").write_text("changed")
    assert _jit._fingerprint() == want  # read once a process
    assert _jit._kernels_text == [want]


def test_a_function_compiles_is_kept_and_is_found_again(tmp_path, monkeypatch):
    """With the real compiler, on a function of its own in a folder of its own."""
    (tmp_path / "twice_of_a_number.py").write_text(
        "from slingwright.hang._jit import kernel\n\n\n"
        "@kernel\ndef twice(x):\n    return x / (x - x) if x > 5.0 else 2 * x\n"
    )
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.setattr(_jit, "_kernels", [])
    monkeypatch.setattr(sys, "dont_write_bytecode", True)
    monkeypatch.setattr(_beside, "_begun", [None])  # no second process
    for compiled in (1, 0):
        sys.modules.pop("twice_of_a_number", None)
        _jit._kernels.clear()
        module = importlib.import_module("twice_of_a_number")
        assert module.twice(2.0) == 4.0
        assert module.twice(6.0) == float("inf")  # divides as NumPy does
        assert _jit.compiled_kernels() == compiled
    assert list(Path(tmp_path / "__pycache__").glob("*.nbi"))
