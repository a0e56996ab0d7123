"""Kernels that only other kernels call are compiled as parts: described to the compiler, not made into code.

numba makes machine code of every function it meets, and again of all that is linked into each of its callers;
with kernels that call each other five deep most of that work is thrown away. A part is handed on as it was
described and is optimised and made into code once, inside the kernels that have a door for Python.

This leans on numba's inside (its documented `pipeline_class`, and its code library). A numba that has changed
there compiles the parts in full, as any function: slower at the first solve, the same figures.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from numba.core import codegen, compiler

__all__ = ["PART"]

_NEEDED = ("_optimize_final_module", "_finalize_final_module", "_finalized")


class _Library(codegen.JITCodeLibrary):
    """A function's description for linking, without machine code."""

    @property
    def codegen(self) -> _NoPlaceForPython:
        return _NoPlaceForPython(self._codegen)

    def get_pointer_to_function(self, name: str) -> int:
        """No code, no address (it is finalized when a caller links it)."""
        return 0

    def _optimize_final_module(self) -> None:
        """Left to the caller's."""

    def _finalize_final_module(self) -> None:
        self._finalized = True


class _NoPlaceForPython:
    """The code generator, except that there is no loaded code in which to note Python's objects."""

    def __init__(self, real: Any) -> None:
        self._real = real

    def __getattr__(self, name: str) -> Any:
        return getattr(self._real, name)

    def set_env(self, env_name: str, env: Any) -> None:
        """Nothing to note."""


class _Compiler(compiler.Compiler):
    """numba's own passes, into a library of a part."""

    def compile_extra(self, func: Callable[..., Any]) -> Any:
        self.state.library = _Library(self.state.targetctx.codegen(), func.__qualname__)
        return super().compile_extra(func)  # type: ignore[no-untyped-call]


def _options() -> dict[str, Any]:
    """What to ask of `numba.njit` for a part."""
    options: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    if all(hasattr(codegen.JITCodeLibrary, name) for name in _NEEDED):
        options["pipeline_class"] = _Compiler
    return options


PART = _options()
