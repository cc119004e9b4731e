"""The flow field of one frame against back-substitution with kept factors and against copying its bytes."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import yaml
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.filters.levels import posed_at
from glasscan.filters.section import Section
from glasscan.paths import asset

from tests.bench.table import Row, best_of


def shipped(name: str, fineness: float = 1.0) -> Section:
    """A shipped filter, solved."""
    data = yaml.safe_load(asset("filters", f"{name}.yaml").read_text())
    return build(FilterData.model_validate(data), fineness=fineness)


def state(section: Section) -> SimpleNamespace:
    """Some moment of a filter."""
    k = section.network.segments
    return SimpleNamespace(
        inlet_pa=4.5e5,
        outlet_pa=4e5,
        mu_pa_s=0.1,
        rho_kg_m3=870.0,
        segment_m3s=np.full(k, 2e-4 / k),
        bypass_m3s=5e-5,
        lift_m=8e-4,
    )


def measure() -> list[Row]:
    """Rows for each filter and, for growth, finer grids of the spin-on can."""
    rows = []
    for name in ("can-full-flow", "cartridge-bowl", "disc-stack"):
        rows += _rows(name, shipped(name))
    rows.append(_growth())
    return rows


def _rows(name: str, section: Section) -> list[Row]:
    moment = state(section)
    level = section.levels[section._nearest(moment.lift_m)]
    flows = section._flows(moment)
    superposed = best_of(lambda: (flows @ level.velocity, flows @ level.pressure))
    posed = posed_at(section.layout, level.lift_m)
    kept = best_of(lambda: [c.solve(c.port_velocity(unit @ flows)) for c, unit in posed])
    copied = best_of(lambda: (level.velocity.copy(), level.pressure.copy()))
    frame = best_of(lambda: section.frame(moment))
    unknowns = sum(len(chamber.free) + len(chamber.cells) for chamber, _ in posed)
    return [
        Row(f"{name}: superposed field, {unknowns} unknowns", superposed, "kept factors, one solve", kept,
            kept / superposed, ">= 8"),
        Row(f"{name}: superposed field", superposed, "copy of bytes", copied, superposed / copied, "<= 3"),
        Row(f"{name}: whole frame of fields", frame, "kept factors, one solve", kept, kept / frame, ">= 2"),
    ]  # fmt: skip


def _growth() -> Row:
    """Exponent of the frame's cost against the number of cells."""
    sizes, times = [], []
    for fineness in (0.7, 1.0, 1.5):
        section = shipped("can-full-flow", fineness)
        moment = state(section)
        sizes.append(section.grid.shape[0] * section.grid.shape[1])
        times.append(best_of(lambda s=section, m=moment: s.frame(m)))
    slope = float(np.polyfit(np.log(sizes), np.log(times), 1)[0])
    return Row("frame of fields: exponent against cells", times[-1], "linear", times[0], slope, "about 1")
