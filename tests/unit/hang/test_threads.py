"""Two threads inside the kernels at once, as a server has them, on a machine without OpenMP.

There numba falls to its `workqueue` layer, which aborts the process when two threads enter a parallel kernel
(own study). Ours are serial, so the layer must never matter.
"""

import os
import subprocess
import sys

PROGRAM = """
import threading
import numpy as np
from slingwright.hang.batch import Variations, solve_many
from slingwright.hang.problem import Body, Path, Point, Problem

legs = tuple(
    Path(name=str(x), points=(Point("world", (0.0, 0.0, 3.0)), Point("load", (x, 0.0, 0.0))), length_m=3.0,
         rated_n=2e4, strain_at_rated=0.03)
    for x in (-1.0, 1.0)
)
problem = Problem(bodies=(Body(name="load", weight_n=1e4, centre_of_gravity_m=(0.1, 0.0, -0.5)),), paths=legs)
lengths = Variations(length_m=np.random.default_rng(1).uniform(2.95, 3.05, (4000, 2)))
alone = solve_many(problem, lengths, threads=1).tension_n
start, told = threading.Barrier(2), []

def work():
    start.wait()
    told.extend(bool((solve_many(problem, lengths, threads=2).tension_n == alone).all()) for _ in range(20))

both = [threading.Thread(target=work) for _ in range(2)]
[t.start() for t in both]
[t.join() for t in both]
assert len(told) == 40 and all(told)
"""


def test_two_threads_at_once_without_openmp():
    environment = {**os.environ, "NUMBA_THREADING_LAYER": "workqueue"}
    ran = subprocess.run(
        [sys.executable, "-c", PROGRAM],
        env=environment,
        capture_output=True,
        text=True,
        timeout=240,
        check=False,
    )
    assert ran.returncode == 0, ran.stderr
