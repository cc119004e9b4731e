"""Laminar flow in the section: its cost in a frame, and its error against Newton's method begun anew.

Even segments: the table between two knots. Uneven: creeping flow of the segments plus the inertia of the even
one. Errors are of the velocity over both chambers, root of the mean square by volume.
"""

from __future__ import annotations

import time

import numpy as np
from glasscan.filters.laminar_table import LaminarTable, fresh_flow, outlet_re
from glasscan.filters.layout import PER_TURN
from glasscan.filters.levels import posed_at
from glasscan.filters.section import Section

from tests.bench.bench_field import shipped
from tests.bench.table import Row, best_of

RES = (45.0, 180.0, 420.0, 850.0)  # between the knots of the table
UNEVEN = 0.2  # flow of the segments: the lowest so much less, the highest so much more than the mean


def measure() -> list[Row]:
    """One row of time, and one of the errors for each Reynolds number."""
    section = shipped("can-full-flow")
    section.prepare_laminar()
    assert section.laminar is not None
    table = section.laminar
    looked_up = best_of(lambda: table.at(333.0))
    rows = [Row("laminar table, one frame", looked_up, "0.5 ms", 5e-4, 5e-4 / looked_up, ">= 1")]
    return rows + [_row(section, table, re) for re in RES if re <= table.highest_re]


def errors(section: Section, table: LaminarTable, re: float) -> tuple[float, float]:
    """Error of the velocity for even segments and for segments uneven by a fifth."""
    k = len(section.layout.bands)
    per_re = 1.0 / (PER_TURN * outlet_re(section.layout.outlet, 1.0, 1.0))
    even, slope = np.full(k, 1 / k), np.linspace(1 - UNEVEN, 1 + UNEVEN, k) / k
    one, other = (_error(section, table, np.append(q, 0.0), re, per_re) for q in (even, slope))
    return one, other


def _row(section: Section, table: LaminarTable, re: float) -> Row:
    begun = time.process_time()
    even, uneven = errors(section, table, re)
    spent = time.process_time() - begun
    told = f"even {100 * even:.2g} % (aim 2), uneven by a fifth {100 * uneven:.2g} % (aim 5)"
    return Row(f"laminar table, Re {re:g}", best_of(lambda: table.at(re)), f"Newton anew: {told}", spent / 2,
               even / 0.02, "<= 1")  # fmt: skip


def _error(section: Section, table: LaminarTable, q: np.ndarray, re: float, per_re: float) -> float:
    off = size = 0.0
    for chamber, unit in posed_at(section.layout, 0.0):
        steps = tuple(re * per_re * share for share in (0.05, 0.15, 0.35, 0.65, 1.0))
        fresh = fresh_flow(chamber, unit @ q, steps)
        creeping = chamber.solve(chamber.port_velocity(unit @ q)).velocity
        mine = np.where(fresh != 0.0, creeping + PER_TURN * table.at(re).astype(float), 0.0)
        weight = chamber.face_volumes()
        off += float(weight @ (mine - fresh) ** 2)
        size += float(weight @ fresh**2)
    return float(np.sqrt(off / size))
