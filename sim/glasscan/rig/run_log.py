"""What a finished run leaves behind: the trace, the events, why it ended and the ledger."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glasscan.rig.records import Event, Snapshot

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Ledger:
    """Books of volume and contaminant; the two errors close to 1e-9 at every step.

    Attributes:
        pumped_m3: oil the pump has delivered since the start, m3.
        returned_m3: oil that has run back to the sump (bearings, regulator, relief), m3.
        held_change_m3: growth of the oil held by filter and gallery, m3.
        leaked_m3: oil lost to the open air, m3.
        volume_error_rel: |pumped - returned - leaked - held| over the oil in the rig, dimensionless.
        dirt_start_kg, dirt_in_kg: (C,) contaminant present at the start, and let in since, kg.
        dirt_held_kg, dirt_suspended_kg: (C,) held by the element, and still in the oil, kg.
        dirt_scraped_kg, dirt_drained_kg: (C,) scraped off and still in the bowl; taken out by its drain, kg.
        dirt_leaked_kg: (C,) gone with the oil that leaked, kg.
        dirt_passed_kg: (C,) that went through or past the element, all passes counted, kg.
        mass_error_rel: largest of all classes' |start + in - held - suspended - scraped - drained -
            leaked| over start + in, dimensionless.
    """

    pumped_m3: float
    returned_m3: float
    held_change_m3: float
    leaked_m3: float
    volume_error_rel: float
    dirt_start_kg: Floats
    dirt_in_kg: Floats
    dirt_held_kg: Floats
    dirt_suspended_kg: Floats
    dirt_scraped_kg: Floats
    dirt_drained_kg: Floats
    dirt_leaked_kg: Floats
    dirt_passed_kg: Floats
    mass_error_rel: float


@dataclass(frozen=True)
class RunLog:
    """Outcome of a headless run.

    Attributes:
        seed: seed of the setup.
        times_s: (N,) moments of the trace, s.
        trace: column name -> (N,) values in the unit of `units`.
        units: column name -> unit, e.g. {"dp": "kPa"}.
        events: in order of time.
        ended: "completed", "stopped" (by the caller) or "failed".
        why: one sentence.
        unfiltered_m3: oil that has passed the bypass valve, m3.
        ledger: books at the end.
        final: snapshot at the end.
    """

    seed: int
    times_s: Floats
    trace: dict[str, Floats]
    units: dict[str, str]
    events: tuple[Event, ...]
    ended: Literal["completed", "stopped", "failed"]
    why: str
    unfiltered_m3: float
    ledger: Ledger
    final: Snapshot
