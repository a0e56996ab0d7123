"""The kernels as plain Python, whether or not numba compiles: their parts can be called and seen into."""

import importlib
import pkgutil

import numpy as np
import pytest

import slingwright.hang


@pytest.fixture(autouse=True)
def _uncompiled(monkeypatch):
    """Put each compiled kernel's own function in its place, wherever a module of the hang names it."""
    names = [found.name for found in pkgutil.iter_modules(slingwright.hang.__path__)]
    # all are there before the first is changed: one that came later would keep what it took, and a kernel's
    # own function that calls compiled parts, which have no door for Python, ends the process
    modules = [importlib.import_module(f"slingwright.hang.{name}") for name in names]
    for module in modules:
        for name, value in list(vars(module).items()):
            if hasattr(value, "py_func"):
                monkeypatch.setattr(module, name, value.py_func)
    # compiled they divide as NumPy's arrays do: by nothing is infinite, and looked at afterwards
    with np.errstate(all="ignore"):
        yield
