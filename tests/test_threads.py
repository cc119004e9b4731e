"""Linear algebra keeps to one thread in every way of starting, unless the user has said otherwise.

Threads are counted by the operating system (the folder `task` of a process, proc(5)).
"""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest

TOP = Path(__file__).parents[1]
SCRIPT = (
    "import glasscan, numpy, os; a = numpy.ones((900, 900)); a @ a; print(len(os.listdir('/proc/self/task')))"
)


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="counts threads as Linux tells them")
@pytest.mark.skipif((os.cpu_count() or 1) < 2, reason="one processor has one thread anyway")
@pytest.mark.parametrize(("wish", "threads"), [(None, 1), ("2", 2)])
def test_threads_of_a_product_of_matrices(wish: str | None, threads: int) -> None:
    """Two threads wait for each other where the machine has something else to do."""
    env = {name: value for name, value in os.environ.items() if not name.endswith("NUM_THREADS")}
    env |= {"OMP_NUM_THREADS": wish} if wish else {}
    done = subprocess.run(
        [sys.executable, "-c", SCRIPT], cwd=TOP, env=env, capture_output=True, text=True, check=True
    )
    assert int(done.stdout) == threads
