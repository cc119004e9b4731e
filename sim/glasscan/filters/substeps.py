"""Points that each take their own sub-steps through a time that is the same for all."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from glasscan.flow.grid import Floats

STEP_CELLS = 0.8  # of its cell: the farthest a point may go in one sub-step
Advance = Callable[[NDArray[np.int64], Floats], Floats]


def let_pass(dt_s: float | Floats, count: int, advance: Advance, most_steps: int) -> Floats:
    """Let a time, s, pass for `count` points; one for all, or one for each.

    `advance(which, left_s)` moves some points by one sub-step and returns the time each took, s. After
    `most_steps` the quickest points lag rather than the picture; the time each has left, s, is returned.
    """
    left_s = np.array(np.broadcast_to(dt_s, count), dtype=float)
    for _ in range(most_steps):
        moving = np.flatnonzero(left_s > 0)
        if len(moving) == 0:
            break
        left_s[moving] -= advance(moving, left_s[moving])
    return np.asarray(np.maximum(left_s, 0.0))
