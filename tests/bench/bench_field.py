"""The flow field of one frame against a direct solution of its equations and against copying its bytes."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import scipy.sparse as sp
import yaml
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.filters.section import Section
from glasscan.flow.stokes import Chamber
from glasscan.paths import asset
from scipy.sparse.linalg import splu

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


def direct(chamber: Chamber, flows: np.ndarray) -> np.ndarray:
    """Assemble, factor and solve a chamber's system afresh with scipy's splu."""
    fixed = chamber.port_velocity(flows)
    k, d = chamber._viscous[chamber.free], chamber.div[chamber.cells]
    held = d[1:, chamber.free]
    lu = splu(sp.bmat([[k[:, chamber.free], -held.T], [-held, None]], format="csc"), permc_spec="COLAMD")
    return lu.solve(np.concatenate([-(k @ fixed), (d @ fixed)[1:]]))


def measure() -> list[Row]:
    """Rows for the screw-on can and, for growth, finer grids of it."""
    rows = []
    for name in ("can-full-flow", "cartridge-bowl", "disc-stack"):
        section = shipped(name)
        rows += _rows(name, section)
    rows.append(_growth())
    return rows


def _rows(name: str, section: Section) -> list[Row]:
    moment = state(section)
    q, v = moment.segment_m3s, moment.bypass_m3s
    dirty = np.concatenate([[q.sum() + v], -q, [-v]])
    clean = -dirty
    superposed = best_of(lambda: _superpose(section, moment))
    solved = best_of(
        lambda: (direct(section.dirty.chamber, dirty), direct(section.clean[0].chamber, clean)), repeats=3
    )
    copied = best_of(lambda: (section._velocity[0].copy(), section._pressure[0].copy()))
    frame = best_of(lambda: section.frame(moment))
    unknowns = sum(len(b.chamber.free) + len(b.chamber.cells) for b in (section.dirty, section.clean[0]))
    return [
        Row(f"{name}: superposed field, {unknowns} unknowns", superposed, "splu afresh", solved,
            solved / superposed, ">= 100"),
        Row(f"{name}: superposed field", superposed, "copy of bytes", copied, superposed / copied, "<= 3"),
        Row(f"{name}: whole frame of fields", frame, "splu afresh", solved, solved / frame, ">= 100"),
    ]  # fmt: skip


def _superpose(section: Section, moment: SimpleNamespace) -> None:
    flows = section._flows(moment)
    _ = flows @ section._velocity[0]
    _ = flows @ section._pressure[0]


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
