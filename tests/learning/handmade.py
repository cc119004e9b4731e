"""A run log made by hand: a valve that opens at 4 s, is fully open at 6 s and seats at 40 s."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from glasscan.rig.records import Event
from numpy.typing import NDArray

T_S = np.array([0.0, 2.0, 4.0, 6.0, 20.0, 40.0, 60.0])


def _trace() -> dict[str, NDArray[np.float64]]:
    return {
        "dp_kpa": np.array([0.0, 30.0, 83.0, 140.0, 110.0, 70.0, 50.0]),
        "inlet_kpa": np.array([0.0, 130.0, 283.0, 400.0, 380.0, 360.0, 350.0]),
        "outlet_kpa": np.array([0.0, 100.0, 200.0, 260.0, 270.0, 290.0, 300.0]),
        "lift_mm": np.array([0.0, 0.0, 0.5, 2.0, 1.0, 0.0, 0.0]),
        "filter_oil_c": np.array([-5.0, -5.0, -5.0, -4.0, 10.0, 45.0, 60.0]),
    }


@dataclass(frozen=True)
class HandLog:
    """Shape of a run log with nothing behind it."""

    times_s: NDArray[np.float64] = field(default_factory=lambda: T_S)
    trace: dict[str, NDArray[np.float64]] = field(default_factory=_trace)
    units: dict[str, str] = field(default_factory=dict)
    events: tuple[Event, ...] = (
        Event(4.0, "bypass-cracks", 83e3, -5.0),
        Event(6.0, "bypass-full", 140e3, -4.0),
        Event(8.0, "gallery-full", 120e3, -3.0),
        Event(40.0, "bypass-seats", 70e3, 45.0),
    )
    unfiltered_m3: float = 7.5e-3


def shut_log() -> HandLog:
    """A run in which the valve never moves."""
    log = HandLog(events=(Event(8.0, "gallery-full", 30e3, 60.0),), unfiltered_m3=0.0)
    log.trace["lift_mm"][:] = 0.0
    return log
