"""Headless run of a setup from start to end."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

import numpy as np

from glasscan.rig.recorder import Recorder
from glasscan.rig.rig import RigFailedError
from glasscan.rig.run_log import RunLog
from glasscan.rig.setup import RigSetup
from glasscan.rig.trace import UNITS

Progress = Callable[[float, float], bool | None]
ROWS = 6000  # about as many rows as a trace gets
_STEPS_S = (0.05, 0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 30.0, 60.0, 300.0, 900.0, 3600.0)


def row_step_s(end_s: float) -> float:
    """Model time between two rows of the trace, a round number, s."""
    return next((step for step in _STEPS_S if end_s / step <= ROWS), end_s / ROWS)


def run(setup: RigSetup, for_s: float | None = None, progress: Progress | None = None) -> RunLog:
    """Run a rig without a screen.

    Args:
        setup: what to run.
        for_s: length, s; None = the setup's `end_s`.
        progress: called with (t_s, end_s) at every row; returning False stops the run.

    Returns:
        The log; `ended` says how and `why` says why. A model that cannot go on is a log, not an exception.

    Raises:
        ValueError: the timeline moves a control that does not exist, or to a value out of range.
    """
    end_s = setup.end_s if for_s is None else for_s
    dt_s = row_step_s(end_s)
    recorder = Recorder(setup, keep_every=1_000_000_000, trace_every_s=0.0)
    rows = 0
    while recorder.t_s < end_s:
        if progress is not None and progress(recorder.t_s, end_s) is False:
            return _log(recorder, "stopped", f"stopped by the user at {recorder.t_s:.3f} s")
        rows += 1
        try:
            recorder.step(min(rows * dt_s, end_s) - recorder.t_s)
        except RigFailedError as error:
            return _log(recorder, "failed", str(error))
    return _log(recorder, "completed", f"reached {end_s:g} s")


def _log(recorder: Recorder, ended: Literal["completed", "stopped", "failed"], why: str) -> RunLog:
    rig = recorder.rig
    final = rig.snapshot()
    columns = recorder.trace.columns()
    return RunLog(
        seed=rig.setup.seed,
        times_s=np.array(recorder.trace.times_s),
        trace=columns,
        units=dict(UNITS),
        events=rig.events,
        ended=ended,
        why=why,
        unfiltered_m3=final.unfiltered_m3,
        ledger=rig.ledger(),
        final=final,
    )
