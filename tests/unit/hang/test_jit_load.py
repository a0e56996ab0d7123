"""The short way to load compiled code: what is asked of numba, and what becomes of the search for garbage."""

import contextlib
import gc

import numba
import pytest
from numba.core.runtime import nrt

from slingwright.hang import _jit_load


@pytest.fixture
def noted(monkeypatch):
    """Every call of these, in order, in place of the real ones."""
    told = []
    for name in ("disable", "enable", "freeze"):
        monkeypatch.setattr(gc, name, lambda name=name: told.append(name))
    monkeypatch.setattr(nrt.rtsys, "initialize", lambda target: told.append(f"runtime of {target}"))
    return told


class Cache:
    """One of numba's, which tells what it is asked."""

    def __init__(self, told, found="code"):
        self.told, self.found = told, found

    def load_overload(self, signature, target):
        self.told.append(f"as its authors wrote it: {signature} {target}")
        return self.found

    def _load_overload(self, signature, target):
        self.told.append(f"short: {signature} {target}")
        return self.found

    @contextlib.contextmanager
    def _guard_against_spurious_io_errors(self):
        self.told.append("guarded")
        yield


def test_code_is_loaded_without_readying_the_compiler():
    """The short way is for a numba on which it was tried; with a newer one, look again, then say so here."""
    assert numba.__version__.startswith(_jit_load._TRIED)


@pytest.mark.parametrize("found", ["code", None])
def test_the_short_way_readies_the_runtime_alone_with_no_search_for_garbage(noted, found):
    assert _jit_load.load(Cache(noted, found), "int", "cpu") == found
    assert noted == ["disable", "runtime of cpu", "guarded", "short: int cpu", "freeze", "enable"]


def test_another_numba_loads_as_its_authors_wrote_it(noted, monkeypatch):
    monkeypatch.setattr(_jit_load, "_TRIED", "none")
    assert _jit_load.load(Cache(noted), "int", "cpu") == "code"
    assert noted == ["as its authors wrote it: int cpu"]


@pytest.mark.parametrize(("collecting", "right"), [(True, ["disable", "freeze", "enable"]),
                                                   (False, ["disable", "freeze"])])  # fmt: skip
def test_garbage_is_searched_for_afterwards_as_before(noted, monkeypatch, collecting, right):
    monkeypatch.setattr(gc, "isenabled", lambda: collecting)
    with _jit_load.undisturbed():
        assert noted == ["disable"]
    assert noted == right


def test_after_a_fault_too(noted):
    with pytest.raises(ValueError, match="ours"), _jit_load.undisturbed():
        raise ValueError("ours")
    assert noted == ["disable", "enable"]


def test_the_real_search_for_garbage_is_on_again():
    with _jit_load.undisturbed():
        assert not gc.isenabled()
    assert gc.isenabled()
