"""The axial section of a filter: fields composed from solutions for unit flows.

The section is one (r, z) grid. Oil stands in the dirty chamber, the clean chamber, the element (oil goes
straight inwards through segment k with its flux q_k), and the throat of the bypass valve; see `levels` for
what is solved. The composed face velocities are free of divergence everywhere, so the moving carriers and
the gauges tell of the same flows.

Between two solved lifts the pressures of each side are interpolated with the weights of the plant's own table
(`path_table`), dirty oil relative to the inlet, clean oil relative to the outlet; what the throat takes then
follows the plant's law, so the picture and the gauges agree to rounding. Velocities are those of the nearest
solved lift, so no oil is drawn through the valve disc.
"""

from __future__ import annotations

import contextlib
import threading
from collections.abc import Callable, Sequence
from copy import copy
from dataclasses import dataclass, replace
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.hanging import Hangs, kept_share
from glasscan.filters.hole_picture import HoleDrawing, hole_of, unfiltered_m3s
from glasscan.filters.laminar_table import CREEPING_RE, LaminarTable, ProgramEndsError, outlet_re
from glasscan.filters.layout import CLEAN, DIRTY, MEDIUM, NO_OIL, PER_TURN, THROAT
from glasscan.filters.layout import AxialLayout as AxialLayout
from glasscan.filters.layout import Opening as Opening
from glasscan.filters.levels import Level, band_rows, cell_velocity, medium_columns
from glasscan.filters.named_parts import Part
from glasscan.filters.network import FilterNetwork
from glasscan.filters.wetwalls import cell_of
from glasscan.flow.faces import Port
from glasscan.flow.grid import Floats

__all__ = ["CLEAN", "DIRTY", "MEDIUM", "NO_OIL", "PER_TURN", "THROAT", "AxialLayout", "Opening", "Section"]

STILL_CREEPING_RE = 3.0  # of the outlet: creeping velocities are within some per cent up to here
Codes = NDArray[np.int8]
Floats32 = NDArray[np.float32]


class FlowState(Protocol):
    """What a section needs to know of the moment (SI units; a plant snapshot has all of it)."""

    inlet_pa: float
    outlet_pa: float
    mu_pa_s: float
    rho_kg_m3: float
    segment_m3s: Floats
    bypass_m3s: float
    lift_m: float


@dataclass(frozen=True)
class SectionFrame:
    """Fields of one moment on the section's cells, rows along z.

    Attributes:
        pressure_pa: (nz, nr) gauge pressure, Pa, NaN where there is no oil.
        u_r_m_s, u_z_m_s: (nz, nr) velocity at cell middles, m/s.
        region: (nz, nr) NO_OIL, DIRTY, CLEAN, MEDIUM or THROAT.
        face_velocity: (faces,) velocity of all faces (see `FaceNumbers`), m/s.
        level: number of the solved lift that is nearest.
    """

    pressure_pa: Floats32
    u_r_m_s: Floats32
    u_z_m_s: Floats32
    region: Codes
    face_velocity: Floats32
    level: int


@dataclass(frozen=True)
class SectionMotion:
    """Velocities of one moment at cell middles, (nz, nr), m/s."""

    u_r_m_s: Floats32
    u_z_m_s: Floats32


@dataclass(frozen=True)
class FlowLaw:
    """How a moment's velocities are drawn.

    Attributes:
        name: "creeping" or "laminar" (steady, with inertia).
        re: Reynolds number of the outlet.
        holds: whether the flow is truly so; False: the true flow differs, or is not steady.
    """

    name: str
    re: float
    holds: bool


class Section:
    """Composed fields of a filter's axial section.

    Args:
        layout: where the oil is.
        network: what the plant uses of the same solutions.
        levels: the solutions at each lift, shut first.
        parts: named parts for drawing.
    """

    def __init__(
        self, layout: AxialLayout, network: FilterNetwork, levels: Sequence[Level], parts: tuple[Part, ...]
    ) -> None:
        self.layout, self.network, self.parts = layout, network, parts
        self.grid = layout.grid
        self.levels = tuple(levels)
        self.lifts = np.array([level.lift_m for level in levels])
        self._solving = threading.Lock()
        self.laminar: LaminarTable | None = None
        self.laminar_source: Callable[[], LaminarTable] | None = None
        self._rows, self._columns = band_rows(layout), medium_columns(layout)
        self._medium_share = self._share_through_medium()
        self._through = [self._share_through_throat(level) for level in levels]
        self.hangs: Hangs = "dome-up"

    def hung(self, hangs: Hangs) -> Section:
        """The same filter hung in another way: what runs out of it at rest changes, the flow does not."""
        other = copy(self)
        region = self.levels[0].region
        kept = kept_share(hangs, region, self.r_edges_m, self.z_edges_m, self.layout.inlet)
        other.hangs, other.network = hangs, replace(self.network, kept=kept)
        return other

    @property
    def r_edges_m(self) -> Floats:
        """Cell edges along r, m."""
        return self.grid.x

    @property
    def z_edges_m(self) -> Floats:
        """Cell edges along z, m."""
        return self.grid.y

    def prepare_laminar(self) -> None:
        """Have the table of laminar flow at hand, read or solved; without it the picture is creeping flow."""
        with self._solving:
            if self.laminar is None and self.laminar_source is not None:
                self.laminar = self.laminar_source()

    def prepare_laminar_beside(self) -> None:
        """The same in a thread of its own, for a window that must not wait."""
        threading.Thread(target=self._prepare_unless_over, name="laminar table").start()

    def _prepare_unless_over(self) -> None:
        with contextlib.suppress(ProgramEndsError):
            self.prepare_laminar()

    def flow_law(self, state: FlowState) -> FlowLaw:
        """By which law the velocities of a moment are drawn, and the Reynolds number of the outlet."""
        flow = float(np.sum(state.segment_m3s)) + unfiltered_m3s(state)
        re = outlet_re(self.layout.outlet, flow, state.mu_pa_s / state.rho_kg_m3)
        if re <= CREEPING_RE or self.laminar is None or self._nearest(state.lift_m) > 0:
            return FlowLaw("creeping", re, re <= STILL_CREEPING_RE)
        return FlowLaw("laminar", re, re <= self.laminar.highest_re)

    def inlet_port(self) -> Port:
        """The way in as a port of the grid: which faces, and the share of the flow through each."""
        return self.layout.inlet.port("inlet", self.grid)

    def weights(self, lift_m: float) -> list[tuple[int, float]]:
        """Solved lifts and weights that make up a lift (those of `PathTable.between`)."""
        if len(self.levels) == 1:
            return [(0, 1.0)]
        j, w = self.network.paths.place(lift_m)
        return [(n, v) for n, v in ((j, 1 - w), (j + 1, w)) if v > 0.0]

    def region(self, lift_m: float) -> Codes:
        """(nr, nz) kind of place of every cell at the solved lift nearest to a lift."""
        return self.levels[self._nearest(lift_m)].region

    def _nearest(self, lift_m: float) -> int:
        return max(self.weights(lift_m), key=lambda p: p[1])[0]

    def frame(self, state: FlowState) -> SectionFrame:
        """Fields for the flows and pressures of a moment."""
        flows = self._flows(state)
        nearest = self._nearest(state.lift_m)
        velocity, region = self._velocity(state, flows, nearest)
        u_r, u_z = cell_velocity(self.grid, velocity)
        pressure = self._pressure(state, flows, nearest)
        return SectionFrame(pressure.T, u_r.T, u_z.T, region.T, velocity, nearest)

    def motion(self, state: FlowState) -> SectionMotion:
        """The velocities of a frame alone, for those who need no pressures."""
        velocity, _ = self._velocity(state, self._flows(state), self._nearest(state.lift_m))
        u_r, u_z = cell_velocity(self.grid, velocity)
        return SectionMotion(u_r.T, u_z.T)

    def _velocity(self, state: FlowState, flows: Floats32, nearest: int) -> tuple[Floats32, Codes]:
        """(faces,) velocities and (nr, nz) kinds of place, with the oil through a hole in its place."""
        level, hole = self.levels[nearest], hole_of(state)
        velocity = flows @ level.velocity
        law = self.flow_law(state)
        if law.name == "laminar" and self.laminar is not None:
            through = float(flows[:-1].sum())
            velocity += np.float32(through) * self.laminar.at(law.re * through / float(flows.sum()))
        if hole is None:
            return velocity, level.region
        drawing = HoleDrawing(self.grid, self._columns, self._rows[hole.segment])
        drawing.redraw(velocity, float(state.segment_m3s[hole.segment]), hole.flow_m3s)
        return velocity, drawing.codes(level.region)

    def same_motion(self, one: FlowState, other: FlowState, share: float) -> bool:
        """True where the flows of two moments differ by no more than a share of the whole flow."""
        if self._nearest(one.lift_m) != self._nearest(other.lift_m):
            return False
        a, b = self._flows(one), self._flows(other)
        return float(np.abs(a - b).max()) <= share * float(np.abs(a).sum())

    def port_pressures(self, state: FlowState) -> tuple[Floats, Floats]:
        """Pressures before and behind the element, Pa gauge: (inlet, segments) and (outlet, segments)."""
        flows = self._through_chambers(state)
        at_inlet, at_outlet = self._ends(state)
        parts = self.weights(state.lift_m)
        dirty = sum(w * (self.levels[n].at_dirty @ flows) for n, w in parts)
        clean = sum(w * (self.levels[n].at_clean @ flows) for n, w in parts)
        mu = state.mu_pa_s
        return np.append(at_inlet, at_inlet + mu * dirty), np.append(at_outlet, at_outlet + mu * clean)

    def _ends(self, state: FlowState) -> tuple[float, float]:
        """Pressures just inside inlet and outlet, Pa gauge."""
        whole = float(np.sum(state.segment_m3s) + unfiltered_m3s(state))
        network, rho = self.network, state.rho_kg_m3
        at_inlet = state.inlet_pa - network.loss_pa("inlet", whole, rho)
        return at_inlet, state.outlet_pa + network.loss_pa("outlet", whole, rho)

    def _flows(self, state: FlowState) -> Floats32:
        return np.asarray(self._through_chambers(state), np.float32)

    def _through_chambers(self, state: FlowState) -> Floats:
        """(K+1,) flows of segments and valve; a hole uses the ports of its segment."""
        flows, hole = np.append(np.asarray(state.segment_m3s, float), state.bypass_m3s), hole_of(state)
        if hole is not None:
            flows[hole.segment] += hole.flow_m3s
        return flows

    def _pressure(self, state: FlowState, flows: Floats32, nearest: int) -> Floats32:
        """(nr, nz) pressure, Pa gauge: each side by its own end, medium and throat between what they join."""
        level, mu = self.levels[nearest], np.float32(state.mu_pa_s)
        at_inlet, at_outlet = (np.float32(v) for v in self._ends(state))
        here = flows @ level.pressure
        for other, weight in self.weights(state.lift_m):
            if other != nearest:
                there = flows @ self.levels[other].pressure
                both = (self.levels[other].region == level.region).ravel()
                here += np.where(both, np.float32(weight) * (there - here), np.float32(0.0))
        out = (here * mu).reshape(self.grid.shape)
        throat = level.region == THROAT
        if (
            throat.any()
        ):  # relative to the inlet in the solution; blended so that it ends at the clean side's level
            behind = out[throat] + np.float32(level.drops @ flows) * mu + at_outlet
            share = self._through[nearest]
            out[throat] = (1 - share) * (out[throat] + at_inlet) + share * behind
        out += np.where(
            level.region == DIRTY, at_inlet, np.where(level.region == CLEAN, at_outlet, np.float32(0))
        )
        self._fill_medium(out, state)
        out[level.region == NO_OIL] = np.nan
        return np.asarray(out, np.float32)

    def _fill_medium(self, out: Floats32, state: FlowState) -> None:
        dirty, clean = self.port_pressures(state)
        i0, i1 = self._columns
        for k, (j0, j1) in enumerate(self._rows):
            drop = clean[k + 1] + (dirty[k + 1] - clean[k + 1]) * self._medium_share
            out[i0:i1, j0:j1] = drop[:, None]

    def _share_through_medium(self) -> Floats32:
        i0, i1 = self._columns
        r = self.grid.xc[i0:i1]
        a, b = self.layout.r_clean, self.layout.r_dirty
        return np.asarray(np.log(r / a) / np.log(b / a), np.float32)

    def _share_through_throat(self, level: Level) -> Floats32:
        """How much of the drop along the valve's path lies before each cell of the throat, 0..1."""
        throat = level.region == THROAT
        if level.drops[-1] <= 0.0:  # a passage of the head, or a valve that is shut
            return np.full(int(throat.sum()), 0.5, np.float32)
        before = -level.pressure[-1].reshape(self.grid.shape)[throat] / level.drops[-1]
        return np.asarray(np.clip(before, 0.0, 1.0), np.float32)

    def open_share(self, frame: SectionFrame) -> Floats32:
        """(faces,) open part of each face: face velocity times it is flux over the whole face."""
        return self.levels[frame.level].walls.open_share

    def is_cut(self, frame: SectionFrame) -> NDArray[np.bool_]:
        """(nr, nz) cells that a slanting or curved wall cuts."""
        return self.levels[frame.level].walls.cut

    def wall_level(self, at: Floats, frame: SectionFrame) -> tuple[Floats, Floats]:
        """Level of the chambers at points (n, 2): positive in oil, m, and its slope (n, 2)."""
        return self.levels[frame.level].walls.level(at)

    def in_oil(self, at: Floats, lift_m: float = 0.0) -> NDArray[np.bool_]:
        """Which points (n, 2) lie in oil: in a cell that holds oil and not behind a wall that cuts it."""
        nearest = self._nearest(lift_m)
        i, j = cell_of(self.grid, at)
        return np.asarray(
            (self.levels[nearest].region[i, j] != NO_OIL) & ~self.levels[nearest].walls.behind(at)
        )
