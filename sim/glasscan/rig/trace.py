"""Columns of the trace: name, unit and how each is taken from a snapshot."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glasscan.rig.records import Snapshot

Floats = NDArray[np.float64]
_KPA, _L_MIN, _MM, _L, _MG = 1e-3, 6e4, 1e3, 1e3, 1e6

COLUMNS: tuple[tuple[str, str, Callable[[Snapshot], float]], ...] = (
    ("rpm", "rev/min", lambda s: s.rpm),
    ("air", "degC", lambda s: s.air_c),
    ("sump_oil", "degC", lambda s: s.sump_c),
    ("filter_oil", "degC", lambda s: s.filter_c),
    ("gallery_oil", "degC", lambda s: s.gallery_c),
    ("viscosity", "mm2/s", lambda s: s.nu_m2_s * 1e6),
    ("inlet", "kPa", lambda s: s.inlet_pa * _KPA),
    ("outlet", "kPa", lambda s: s.outlet_pa * _KPA),
    ("dp", "kPa", lambda s: s.dp_pa * _KPA),
    ("gauge", "kPa", lambda s: s.gauge_pa * _KPA),
    ("pump_flow", "L/min", lambda s: s.pump_m3s * _L_MIN),
    ("element_flow", "L/min", lambda s: s.element_m3s * _L_MIN),
    ("bypass_flow", "L/min", lambda s: s.bypass_m3s * _L_MIN),
    ("regulator_flow", "L/min", lambda s: s.regulator_m3s * _L_MIN),
    ("bearing_flow", "L/min", lambda s: s.bearings_m3s * _L_MIN),
    ("lift", "mm", lambda s: s.lift_m * _MM),
    ("gallery_fill", "1", lambda s: s.gallery_fill),
    ("unfiltered", "L", lambda s: s.unfiltered_m3 * _L),
    ("deposit", "mg", lambda s: float(s.deposit_kg.sum()) * _MG),
    ("suspended", "mg", lambda s: s.readings.get("suspended_kg", 0.0) * _MG),
    ("sludge", "mg", lambda s: s.readings.get("sludge_kg", 0.0) * _MG),
    ("indicator", "1", lambda s: float(s.indicator)),
    ("leaked", "L", lambda s: s.readings.get("leaked_m3", 0.0) * _L),
)
UNITS = {name: unit for name, unit, _ in COLUMNS}


@dataclass
class Trace:
    """A growing trace: one row for each snapshot taken."""

    times_s: list[float] = field(default_factory=list)
    rows: list[tuple[float, ...]] = field(default_factory=list)

    def take(self, snapshot: Snapshot) -> None:
        """Add a row."""
        self.times_s.append(snapshot.t_s)
        self.rows.append(tuple(float(get(snapshot)) for _, _, get in COLUMNS))

    def cut(self, t_s: float) -> None:
        """Forget every row after a moment."""
        while self.times_s and self.times_s[-1] > t_s:
            self.times_s.pop()
            self.rows.pop()

    def columns(self) -> dict[str, Floats]:
        """Column name -> (N,) values, in the unit of `UNITS`."""
        table = np.array(self.rows, dtype=np.float64).reshape(-1, len(COLUMNS))
        return {name: table[:, i] for i, (name, _, _) in enumerate(COLUMNS)}
