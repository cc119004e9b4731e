"""The axial section of a filter: two chambers of creeping flow joined by the element and the valve.

The section is one (r, z) grid. Four kinds of place hold oil: the dirty chamber, the clean chamber, the
element (oil goes straight inwards through segment k with its flux q_k), and the throat of the bypass valve
(see `passages`). The composed face velocities are free of divergence everywhere, so the moving carriers and
the gauges tell of the same flows.

The clean chamber is solved at several valve lifts. Between two of them the pressure field and the port
matrix are interpolated linearly with the same weight, so the picture and the gauges agree to rounding;
velocities are those of the nearest solved lift, so no oil is drawn through the valve disc.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.named_parts import Part
from glasscan.filters.network import FilterNetwork
from glasscan.filters.passages import Duct, Seat, add_straight_inward
from glasscan.filters.patches import axial_port, line, radial_port
from glasscan.filters.wetwalls import WetWalls, cell_of
from glasscan.flow.basis import Basis, solve_basis
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid, openings
from glasscan.flow.shapes import Shape, union
from glasscan.flow.stokes import Chamber

Codes = NDArray[np.int8]
Floats32 = NDArray[np.float32]
NO_OIL, DIRTY, CLEAN, MEDIUM, THROAT = range(5)
PER_TURN = 2 * np.pi  # the (r, z) solver works per radian


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
class Opening:
    """An axial way in or out: plane z, from r0 to r1, m; `inward` +1 where +z enters the chamber."""

    z: float
    r0: float
    r1: float
    inward: int


@dataclass(frozen=True)
class AxialLayout:
    """Where the oil is: grid, regions, ports.

    Attributes:
        grid: axisymmetric grid whose lines run along all straight walls.
        dirty: region of the dirty chamber.
        clean: region of the clean chamber for a valve lift, m.
        inlet, outlet: ways in and out.
        bands: (z0, z1) of each element segment, m.
        r_dirty, r_clean: radii of the two faces of the element, m.
        passage: the way past the element, or None.
    """

    grid: Grid
    dirty: Shape
    clean: Callable[[float], Shape]
    inlet: Opening
    outlet: Opening
    bands: tuple[tuple[float, float], ...]
    r_dirty: float
    r_clean: float
    passage: Seat | Duct | None


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


def solve_chambers(layout: AxialLayout) -> tuple[Basis, list[Basis]]:
    """Basis of the dirty chamber and of the clean chamber at each lift."""
    grid, passage = layout.grid, layout.passage
    bands = list(enumerate(layout.bands, 1))
    dirty_ports = [_opening_port("inlet", grid, layout.inlet)]
    dirty_ports += [radial_port(f"segment {k}", grid, layout.r_dirty, *band, 1) for k, band in bands]
    dirty_ports += [passage.dirty_port(grid)] if passage else []
    dirty = solve_basis(Chamber(openings(grid, layout.dirty), tuple(dirty_ports)))
    clean = []
    for lift in passage.lifts if passage else (0.0,):
        ports = [_opening_port("outlet", grid, layout.outlet)]
        ports += [radial_port(f"segment {k}", grid, layout.r_clean, *band, -1) for k, band in bands]
        ports += [passage.clean_port(grid, lift)] if passage else []
        clean.append(solve_basis(Chamber(openings(grid, layout.clean(lift)), tuple(ports))))
    return dirty, clean


def _opening_port(name: str, grid: Grid, way: Opening) -> Port:
    return axial_port(name, grid, way.z, way.r0, way.r1, way.inward, developed=True)


def valve_push(layout: AxialLayout, clean: list[Basis], poppet_m: float, thick_m: float) -> Floats:
    """Force on a flat valve disc beyond `seat area x throat drop`, per mu and clean-port flow, (L, K+2).

    Opening positive: pressure of the curtain on the seat bore, of the gap on the land, less the pressure on
    the back of the disc, each the mean of the solved pressure next to that face, 1/m.
    """
    seat, grid = layout.passage, layout.grid
    if not isinstance(seat, Seat):
        return np.zeros((0, 0))
    i_seat, i_rim = line(grid.x, seat.radius), line(grid.x, poppet_m)
    ring = np.pi * np.diff(grid.x**2)
    rows = []
    for lift, basis in zip(seat.lifts, clean, strict=True):
        under, over = line(grid.y, seat.z - lift - thick_m) - 1, line(grid.y, seat.z - lift)
        pressure = basis.pressure.reshape(-1, *grid.shape)
        land = pressure[:, i_seat:i_rim, over] @ ring[i_seat:i_rim]
        back = pressure[:, :i_rim, under] @ ring[:i_rim]
        bore = basis.matrix[-1, 1:] * np.pi * seat.radius**2
        rows.append(np.concatenate([[0.0], (bore + land - back) / PER_TURN]))
    return np.array(rows)


class Section:
    """Composed fields of a filter's axial section.

    Args:
        layout: where the oil is.
        network: what the plant uses of the same solutions (see `can.build`).
        dirty, clean: the solved chambers.
        parts: named parts for drawing.
    """

    def __init__(
        self,
        layout: AxialLayout,
        network: FilterNetwork,
        dirty: Basis,
        clean: list[Basis],
        parts: tuple[Part, ...],
    ) -> None:
        self.layout, self.network, self.parts = layout, network, parts
        self.grid = layout.grid
        self.dirty, self.clean = dirty, clean
        levels = range(len(clean))
        self.lifts = np.array(layout.passage.lifts if layout.passage else (0.0,))
        self._rows = [(line(self.grid.y, a), line(self.grid.y, b)) for a, b in layout.bands]
        self._region = [self._codes(level) for level in levels]
        self._velocity = [self._composed_velocity(level) for level in levels]
        self._pressure = [self._composed_pressure(level) for level in levels]
        self._dirty_cells = self._region[0] == DIRTY
        self._medium_share = self._share_through_medium()
        chambers = [(dirty.chamber, basis.chamber) for basis in clean]
        shapes = [union(layout.dirty, layout.clean(float(lift))) for lift in self.lifts]
        self._walls = [WetWalls.of(self.grid, c, s) for c, s in zip(chambers, shapes, strict=True)]

    @property
    def r_edges_m(self) -> Floats:
        """Cell edges along r, m."""
        return self.grid.x

    @property
    def z_edges_m(self) -> Floats:
        """Cell edges along z, m."""
        return self.grid.y

    def weights(self, lift_m: float) -> list[tuple[int, float]]:
        """Solved lifts and weights that make up a lift (the same as `FilterNetwork.clean_at`)."""
        lifts = self.lifts
        if lift_m <= lifts[0] or len(lifts) == 1:
            return [(0, 1.0)]
        if lift_m >= lifts[-1]:
            return [(len(lifts) - 1, 1.0)]
        j = int(np.searchsorted(lifts, lift_m)) - 1
        w = float((lift_m - lifts[j]) / (lifts[j + 1] - lifts[j]))
        return [(j, 1 - w), (j + 1, w)]

    def region(self, lift_m: float) -> Codes:
        """(nr, nz) kind of place of every cell at the solved lift nearest to a lift."""
        return self._region[self._nearest(lift_m)]

    def _nearest(self, lift_m: float) -> int:
        return max(self.weights(lift_m), key=lambda p: p[1])[0]

    def frame(self, state: FlowState) -> SectionFrame:
        """Fields for the flows and pressures of a moment."""
        flows = self._flows(state)
        parts = self.weights(state.lift_m)
        pressure = sum(w * (flows @ self._pressure[level]) for level, w in parts)
        nearest = self._nearest(state.lift_m)
        region = self._region[nearest]
        pressure_pa = self._with_levels(np.asarray(pressure) * np.float32(state.mu_pa_s), state, region)
        velocity = flows @ self._velocity[nearest]
        u_r, u_z = self._cell_velocity(velocity)
        return SectionFrame(pressure_pa.T, u_r.T, u_z.T, region.T, velocity, nearest)

    def motion(self, state: FlowState) -> SectionMotion:
        """The velocities of a frame alone, for those who need no pressures."""
        velocity = self._flows(state) @ self._velocity[self._nearest(state.lift_m)]
        u_r, u_z = self._cell_velocity(velocity)
        return SectionMotion(u_r.T, u_z.T)

    def same_motion(self, one: FlowState, other: FlowState, share: float) -> bool:
        """True where the flows of two moments differ by no more than a share of the whole flow."""
        if self._nearest(one.lift_m) != self._nearest(other.lift_m):
            return False
        a, b = self._flows(one), self._flows(other)
        return float(np.abs(a - b).max()) <= share * float(np.abs(a).sum())

    def port_pressures(self, state: FlowState) -> tuple[Floats, Floats]:
        """Pressures at the ports of the dirty and of the clean chamber, Pa gauge, in the network's order."""
        q = np.asarray(state.segment_m3s, float)
        valve = [state.bypass_m3s] if self.layout.passage else []
        dirty_in = np.concatenate([[q.sum() + sum(valve)], -q, np.negative(valve)])
        clean_in = np.concatenate([[-q.sum() - sum(valve)], q, valve])
        network = self.network
        whole = float(q.sum() + sum(valve))
        at_inlet = state.inlet_pa - network.loss_pa("inlet", whole, state.rho_kg_m3)
        at_outlet = state.outlet_pa + network.loss_pa("outlet", whole, state.rho_kg_m3)
        dirty = at_inlet + state.mu_pa_s * network.dirty @ dirty_in
        clean = at_outlet + state.mu_pa_s * network.clean_at(state.lift_m) @ clean_in
        return dirty, clean

    def _flows(self, state: FlowState) -> Floats32:
        q = np.asarray(state.segment_m3s, np.float32)
        return np.append(q, np.float32(state.bypass_m3s)) if self.layout.passage else q

    def _with_levels(self, pressure: Floats32, state: FlowState, region: Codes) -> Floats32:
        """Add each chamber's level, fill medium and throat between the faces they join."""
        dirty, clean = self.port_pressures(state)
        out = pressure.reshape(self.grid.shape)
        out = out + np.where(region == DIRTY, np.float32(dirty[0]), np.float32(clean[0]))
        share = self._medium_share
        for k, (j0, j1) in enumerate(self._rows):
            i0, i1 = self._medium_columns()
            drop = clean[k + 1] + (dirty[k + 1] - clean[k + 1]) * share
            out[i0:i1, j0:j1] = drop[:, None]
        if self.layout.passage is not None:
            out[region == THROAT] = (dirty[-1] + clean[-1]) / 2
        out[region == NO_OIL] = np.nan
        return np.asarray(out, np.float32)

    def _share_through_medium(self) -> Floats32:
        i0, i1 = self._medium_columns()
        r = self.grid.xc[i0:i1]
        a, b = self.layout.r_clean, self.layout.r_dirty
        return np.asarray(np.log(r / a) / np.log(b / a), np.float32)

    def _medium_columns(self) -> tuple[int, int]:
        return line(self.grid.x, self.layout.r_clean), line(self.grid.x, self.layout.r_dirty)

    def _codes(self, level: int) -> Codes:
        code = np.zeros(self.grid.shape, dtype=np.int8)
        code.ravel()[self.dirty.chamber.cells] = DIRTY
        code.ravel()[self.clean[level].chamber.cells] = CLEAN
        i0, i1 = self._medium_columns()
        for j0, j1 in self._rows:
            code[i0:i1, j0:j1] = MEDIUM
        if self.layout.passage is not None:
            code[self.layout.passage.cells(self.grid, level)] = THROAT
        return code

    def _composed_velocity(self, level: int) -> Floats32:
        """(flows, faces) velocity of every face for 1 m3/s through each segment, then through the valve."""
        dirty, clean = self.dirty, self.clean[level]
        out = (clean.velocity - dirty.velocity) / PER_TURN
        columns = slice(*self._medium_columns())
        for k, rows in enumerate(self._rows):
            add_straight_inward(out[k], self.grid, columns, slice(*rows))
        if self.layout.passage is not None:
            self.layout.passage.add_velocity(out[-1], self.grid, level)
        return np.asarray(out, np.float32)

    def _composed_pressure(self, level: int) -> Floats32:
        """(flows, cells) pressure over mu relative to the inlet (dirty) or the outlet (clean), else 0."""
        out = np.nan_to_num(self.clean[level].pressure) - np.nan_to_num(self.dirty.pressure)
        return np.asarray(out / PER_TURN, np.float32)

    def _cell_velocity(self, velocity: Floats32) -> tuple[Floats32, Floats32]:
        nx, ny = self.grid.shape
        n_x = FaceNumbers(self.grid).n_x
        across_r = velocity[:n_x].reshape(nx + 1, ny)
        across_z = velocity[n_x:].reshape(nx, ny + 1)
        u_r, u_z = (across_r[1:] + across_r[:-1]) / 2, (across_z[:, 1:] + across_z[:, :-1]) / 2
        return np.asarray(u_r, np.float32), np.asarray(u_z, np.float32)

    def open_share(self, frame: SectionFrame) -> Floats32:
        """(faces,) open part of each face: face velocity times it is flux over the whole face."""
        return self._walls[frame.level].open_share

    def is_cut(self, frame: SectionFrame) -> NDArray[np.bool_]:
        """(nr, nz) cells that a slanting or curved wall cuts."""
        return self._walls[frame.level].cut

    def wall_level(self, at: Floats, frame: SectionFrame) -> tuple[Floats, Floats]:
        """Level of the chambers at points (n, 2): positive in oil, m, and its slope (n, 2)."""
        return self._walls[frame.level].level(at)

    def in_oil(self, at: Floats, lift_m: float = 0.0) -> NDArray[np.bool_]:
        """Which points (n, 2) lie in oil: in a cell that holds oil and not behind a wall that cuts it."""
        nearest = self._nearest(lift_m)
        i, j = cell_of(self.grid, at)
        return np.asarray((self._region[nearest][i, j] != NO_OIL) & ~self._walls[nearest].behind(at))
