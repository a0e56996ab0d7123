"""Parts of kernels, with the real compiler: no machine code of their own, the same figures inside one."""

import numba
import numpy as np
import pytest
from numba.core import codegen

from slingwright.hang import _jit, _jit_part


def _hypot(x, y):
    return np.sqrt(x * x + y * y)


def _of(part):
    @numba.njit(error_model="numpy")
    def outer(x, y, z):
        return part(part(x, y), z)

    return outer


@pytest.fixture
def added(monkeypatch):
    """The names of what is handed to the loader, which makes machine code of it."""
    names = []
    real = codegen.JITCPUCodegen._add_module

    def add(self, module):
        names.append(module.name)
        return real(self, module)

    monkeypatch.setattr(codegen.JITCPUCodegen, "_add_module", add)
    return names


def test_a_part_becomes_code_inside_its_kernel_alone(added):
    part = _jit.inner_kernel(_hypot)
    assert _of(part)(2.0, 3.0, 6.0) == 7.0
    assert not [n for n in added if "_hypot" in n]
    (library,) = (r.library for r in part.overloads.values())
    assert library.get_pointer_to_function("anything") == 0
    # what is handed on was not optimised before: its caller's optimiser does that once
    assert "define" in str(library._get_module_for_linking())


def test_a_compiler_with_another_inside_compiles_parts_in_full(monkeypatch, added):
    monkeypatch.setattr(_jit_part, "_NEEDED", (*_jit_part._NEEDED, "_of_tomorrow"))
    options = _jit_part._options()
    assert options == {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    assert _of(numba.njit(**options)(_hypot))(2.0, 3.0, 6.0) == 7.0
    assert [n for n in added if "_hypot" in n]


def test_the_code_generator_is_numbas_but_for_the_place_of_objects():
    class Real:
        name = "numba's"

        def set_env(self, env_name, env):
            raise AssertionError

    seen = _jit_part._NoPlaceForPython(Real())
    assert seen.name == "numba's"
    seen.set_env("a", None)
