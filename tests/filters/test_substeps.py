"""Points that take their own sub-steps: every one passes the whole time, and no more.

No outside number: distance is speed times time.
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.filters.substeps import let_pass


def moved(speeds: np.ndarray, dt_s: float, most_steps: int, reach_m: float = 0.1) -> np.ndarray:
    """Distances, m, that points go at steady speeds when no sub-step may go farther than a reach."""
    at = np.zeros(len(speeds))

    def advance(which: np.ndarray, left_s: np.ndarray) -> np.ndarray:
        took = np.minimum(left_s, reach_m / speeds[which])
        at[which] += speeds[which] * took
        return took

    let_pass(dt_s, len(speeds), advance, most_steps)
    return at


def test_every_point_passes_the_whole_time():
    """Slow points in one sub-step, quick ones in many: each goes its speed times the time."""
    speeds = np.array([0.01, 0.3, 1.0, 2.9])
    assert moved(speeds, 0.5, 30) == pytest.approx(0.5 * speeds, rel=1e-12)


def test_the_quickest_lag_when_the_steps_run_out():
    """Three sub-steps of 0.1 m each are 0.3 m, however much time is left; the others are not held up."""
    assert moved(np.array([0.1, 50.0]), 0.5, 3) == pytest.approx([0.05, 0.3], rel=1e-12)


def test_no_time_moves_nothing():
    """Nothing is asked to move where no time passes."""
    assert moved(np.array([1.0]), 0.0, 5).tolist() == [0.0]
