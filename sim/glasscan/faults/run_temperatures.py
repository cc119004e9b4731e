"""Temperatures of a run at a held speed: the rig's own heat balance with the flows of a settled point."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from glasscan.faults.as_rig import moment_of, parts_of
from glasscan.faults.settled import Settled
from glasscan.faults.steady_state import SteadyState
from glasscan.rig import heat_balance
from glasscan.rig import state_index as at

Floats = NDArray[np.float64]
RUN_S, STEP_S = 1200.0, 60.0
"""Twenty minutes of running, and the step of the implicit Euler method that follows them, s."""
BUMP_K = 0.01
LUMPS = slice(at.T_SUMP, at.T_BLOCK + 1)


def after_running(bench: SteadyState, settled: Settled, start_c: float, air_c: float) -> dict[int, float]:
    """Temperatures after twenty minutes, degC, by place in `glasscan.rig.state_index`.

    The flows are held at those of the settled point; temperatures follow the rig's heat balance.

    Args:
        bench: the rig, its speed.
        settled: its flows.
        start_c: everything at the start, degC.
        air_c: ambient air, degC.
    """
    parts, now = parts_of(bench), moment_of(bench, settled)
    y = [0.0] * at.SIZE

    def rate(t_c: Floats) -> Floats:
        y[LUMPS] = t_c.tolist()
        return np.array(heat_balance.rates(parts, y, now, bench.rpm, air_c))

    t_c = _run(rate, np.full(at.T_BLOCK - at.T_SUMP + 1, start_c))
    return dict(zip(range(at.T_SUMP, at.T_BLOCK + 1), t_c.tolist(), strict=True))


def _run(rate: Callable[[Floats], Floats], t_c: Floats) -> Floats:
    """Linearly implicit Euler steps."""
    for _ in range(round(RUN_S / STEP_S)):
        here = rate(t_c)
        jac = np.stack([(rate(t_c + bump) - here) / BUMP_K for bump in BUMP_K * np.eye(len(t_c))], axis=1)
        t_c = t_c + np.linalg.solve(np.eye(len(t_c)) / STEP_S - jac, here)
    return t_c
