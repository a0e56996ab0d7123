"""Compiled code on disk: read-only places, damaged files and a second process."""

import os
import shutil
import subprocess
import sys
import time
from pathlib import Path

import numba

import slingwright

SOLVE = """
import logging, sys, time
sys.modules["scipy"] = None  # a test tool only: the product must run without it
logging.basicConfig(level=logging.WARNING, stream=sys.stderr)
t = time.process_time()
from slingwright.hang.problem import Body, Path, Point, Problem
from slingwright.hang.solve import solve
legs = tuple(
    Path(name=str(x), points=(Point("world", (0.0, 0.0, 3.0)), Point("load", (x, 0.0, 0.0))),
         length_m=3.0, rated_n=2e4, strain_at_rated=0.03)
    for x in (-1.0, 1.0)
)
load = Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.0, -0.5))
hang = solve(Problem(bodies=(load,), paths=legs))
from slingwright.hang._jit import compiled_kernels
took = round(time.process_time() - t, 3)
print([p.tension_n for p in hang.paths], compiled_kernels(), took)
"""


WARM = """
import logging, sys
logging.basicConfig(level=logging.WARNING, stream=sys.stderr)
from slingwright.hang.warm import warm
warm()
from slingwright.hang._jit import compiled_kernels
print(0.0, compiled_kernels(), 0.0)
"""


def _run(package_home, script=SOLVE):
    out = subprocess.run(
        [sys.executable, "-B", "-c", script], capture_output=True, text=True, timeout=240, check=False,
        cwd=package_home, env={**os.environ, "PYTHONPATH": str(package_home)},
    )  # fmt: skip
    assert out.returncode == 0, out.stderr
    tension, kernels, seconds = out.stdout.rsplit(maxsplit=2)
    return tension, int(kernels), float(seconds), out.stderr


def _copy(tmp_path):
    """The package alone, without any compiled code."""
    home = tmp_path / "home"
    source = Path(slingwright.__file__).parent
    keep = shutil.ignore_patterns("__pycache__")
    (home / "slingwright").mkdir(parents=True)
    shutil.copy(source / "__init__.py", home / "slingwright")
    shutil.copy(source / "errors.py", home / "slingwright")
    shutil.copytree(source / "hang", home / "slingwright" / "hang", ignore=keep)
    return home


def test_code_is_kept_and_damaged_code_is_made_anew(tmp_path):
    """One story, since each compiling takes seconds: both processes, a fresh one, a damaged file."""
    home = _copy(tmp_path)
    _, compiled, _, log = _run(home, WARM)
    assert compiled == 5
    assert "compiling the statics" in log  # nobody waits without being told
    kept = home / "slingwright" / "hang" / "__pycache__"
    assert len(list(kept.glob("*.nbc"))) == 8  # three of them a second process's
    first, compiled, seconds, log = _run(home)
    assert (compiled, log) == (0, "")
    assert seconds < 5.0  # half a second on a quiet machine (docs/reference/hang-speed.md)
    for file in kept.glob("*look_hook*.nbc"):
        file.write_bytes(file.read_bytes()[:100])
    again, compiled, _, log = _run(home)
    assert (again, compiled) == (first, 1)
    assert "cannot be read" in log


def test_a_changed_kernel_is_compiled_anew(tmp_path, monkeypatch):
    """numba looks at a function's own file alone; ours at all kernels, as one holds the code of another."""
    from slingwright.hang import _jit

    before = _jit._fingerprint()
    home = _copy(tmp_path) / "slingwright" / "hang"
    monkeypatch.setattr(_jit, "__file__", str(home / "_jit.py"))
    monkeypatch.setattr(_jit, "_kernels_text", [])
    assert _jit._fingerprint() == before
    (home / "_kernel_angle.py").write_text((home / "_kernel_angle.py").read_text() + "\n# changed\n")
    monkeypatch.setattr(_jit, "_kernels_text", [])
    assert _jit._fingerprint() != before


def test_no_folder_to_write_to_is_slower_but_no_error(monkeypatch, caplog):
    from slingwright.hang import _jit

    real = numba.njit

    def refuse(*args, **options):
        if options.get("cache"):
            raise RuntimeError("cannot cache function: no locator available")
        return real(*args, **options)

    monkeypatch.setattr(numba, "njit", refuse)
    monkeypatch.setattr(_jit, "_said", [])

    @_jit.kernel
    def twice(x):
        return 2.0 * x

    @_jit.kernel
    def thrice(x):
        return 3.0 * x

    assert (twice(2.0), thrice(2.0)) == (4.0, 6.0)
    assert len([r for r in caplog.records if "no writable folder" in r.message]) == 1  # said once


def test_a_full_disk_is_no_error(monkeypatch, caplog):
    from slingwright.hang import _jit

    class Full:
        _cache_file = type("File", (), {"_source_stamp": 0})()

        def save_overload(self, sig, data):
            raise OSError(28, "No space left on device")

        def load_overload(self, sig, target_context):
            return None

    monkeypatch.setattr(_jit, "_said", [])
    cache = _jit._ForgivingCache(Full(), "look")
    cache.save_overload(None, None)
    assert cache.load_overload(None, None) is None
    assert "cannot be kept" in caplog.text


def test_importing_the_package_compiles_nothing():
    t = time.process_time()
    out = subprocess.run(
        [sys.executable, "-c", "import sys, slingwright.hang; print('numba' in sys.modules)"],
        capture_output=True, text=True, check=True,
    )  # fmt: skip
    assert out.stdout.strip() == "False"
    assert time.process_time() - t < 5.0
