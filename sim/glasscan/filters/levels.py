"""Solutions of a section at each lift of the valve: fields for unit flows, and the paths the plant uses.

Where the valve stands on the axis, dirty side, throat and clean side of an open valve are ONE chamber: its
ports are inlet, outlet and the two faces of every segment, and nothing is joined by hand in the gap between
seat and disc. Shut, they are two chambers. A valve in a head lies out of the (r, z) plane: there both
chambers have a port at the ring-shaped passage, and the bore about the valve's own axis is solved by itself
(`headvalve`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.bore import BorePath
from glasscan.filters.layout import CLEAN, DIRTY, MEDIUM, PER_TURN, THROAT, AxialLayout
from glasscan.filters.passages import Duct, Seat, add_straight_inward
from glasscan.filters.patches import line, radial_port
from glasscan.filters.path_table import PathTable
from glasscan.filters.wetwalls import WetWalls
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid, openings
from glasscan.flow.shapes import Shape, union
from glasscan.flow.stokes import Chamber

Codes = NDArray[np.int8]
Floats32 = NDArray[np.float32]


@dataclass(frozen=True)
class Level:
    """The section with the valve at one lift, for 1 m3/s through each segment, then through the valve.

    Attributes:
        lift_m: the lift.
        region: (nr, nz) kind of place of each cell.
        velocity: (K+1, faces) face velocities, m/s.
        pressure: (K+1, cells) pressure over mu, relative to the inlet where the oil is dirty or in the
            throat, to the outlet where it is clean, 1/m3; else 0.
        drops: (K+1,) inlet less outlet along the valve's path, over mu, 1/m3 (0 where it is shut).
        at_dirty, at_clean: (K, K+1) mean pressures over mu on the two faces of each segment, relative to
            inlet and outlet, 1/m3.
        walls: where the walls stand.
    """

    lift_m: float
    region: Codes
    velocity: Floats32
    pressure: Floats32
    drops: Floats
    at_dirty: Floats
    at_clean: Floats
    walls: WetWalls


@dataclass(frozen=True)
class ChamberFlows:
    """A chamber, the flow into each of its ports for the unit flows, (ports, K+1), and what came out.

    Attributes:
        velocity: (K+1, faces) m/s for 1 m3/s per radian.
        pressure: (K+1, cells) over mu, relative to the first port; NaN where there is no fluid.
        stress: (ports, K+1) mean normal stress over mu, relative to the first port.
    """

    chamber: Chamber
    flows: Floats
    velocity: Floats
    pressure: Floats
    stress: Floats


def chambers_at(layout: AxialLayout, lift_m: float) -> list[ChamberFlows]:
    """The chambers at a lift, solved for every unit flow: one where they are joined, else two."""
    return [_solved(*posed) for posed in posed_at(layout, lift_m)]


def posed_at(layout: AxialLayout, lift_m: float) -> list[tuple[Chamber, Floats]]:
    """Chambers and the flows into their ports for the unit flows; the first port is inlet or outlet."""
    k = len(layout.bands)
    out_of, into = np.hstack([-np.eye(k), np.zeros((k, 1))]), np.hstack([np.eye(k), np.zeros((k, 1))])
    all_in, valve = np.ones((1, k + 1)), np.eye(k + 1)[k:]
    inlet, outlet = (w.port(n, layout.grid) for n, w in (("inlet", layout.inlet), ("outlet", layout.outlet)))
    dirty, clean = _segment_ports(layout, layout.r_dirty, 1), _segment_ports(layout, layout.r_clean, -1)
    passage = layout.passage
    if isinstance(passage, Seat) and lift_m > 0.0:
        whole = union(layout.dirty, layout.clean(lift_m), passage.throat(lift_m))
        return [
            (
                _chamber(layout, whole, [inlet, outlet, *dirty, *clean]),
                np.vstack([all_in, -all_in, out_of, into]),
            )
        ]
    if isinstance(passage, Duct):
        dirty, clean = [*dirty, passage.dirty_port(layout.grid)], [*clean, passage.clean_port(layout.grid)]
        out_of, into = np.vstack([out_of, -valve]), np.vstack([into, valve])
    else:  # nothing passes a valve that is shut
        all_in = all_in * np.append(np.ones(k), 0.0)
    return [
        (_chamber(layout, layout.dirty, [inlet, *dirty]), np.vstack([all_in, out_of])),
        (_chamber(layout, layout.clean(lift_m), [outlet, *clean]), np.vstack([-all_in, into])),
    ]


def _chamber(layout: AxialLayout, region: Shape, ports: Sequence[Port]) -> Chamber:
    return Chamber(openings(layout.grid, region), tuple(ports))


def _segment_ports(layout: AxialLayout, r: float, inward: int) -> list[Port]:
    bands = enumerate(layout.bands, 1)
    return [radial_port(f"segment {n}", layout.grid, r, *band, inward) for n, band in bands]


def _solved(chamber: Chamber, flows: Floats) -> ChamberFlows:
    velocity, pressure, stresses = [], [], []
    for column in flows.T:
        flow = chamber.solve(chamber.port_velocity(column))
        stress = chamber.port_pressures(flow)
        velocity.append(flow.velocity)
        pressure.append(flow.pressure - stress[0])
        stresses.append(stress - stress[0])
    chamber.let_go()
    return ChamberFlows(chamber, flows, np.array(velocity), np.array(pressure), np.array(stresses).T)


def volumes(layout: AxialLayout, shut: Level) -> tuple[float, float]:
    """Oil held by the dirty and by the clean side, m3."""
    chambers = [openings(layout.grid, region) for region in (layout.dirty, layout.clean(0.0))]
    held = [
        float(PER_TURN * chamber.volume[shut.region == code].sum())
        for code, chamber in zip((DIRTY, CLEAN), chambers, strict=True)
    ]
    return held[0], held[1]


def solve_levels(
    layout: AxialLayout, disc: tuple[float, float] | None = None
) -> tuple[list[Level], PathTable]:
    """Levels of a section and the paths of the plant.

    Args:
        layout: where the oil is.
        disc: radius and thickness of a flat valve disc on the axis, m.
    """
    lifts = layout.passage.lifts if isinstance(layout.passage, Seat) else ()
    levels: list[Level] = []
    parts: list[tuple[Floats, Floats]] = []
    for lift in (0.0, *lifts):
        solved = chambers_at(layout, lift)
        level = _level(layout, lift, solved)
        levels.append(level)
        parts.append((_dissipation(solved), _push(layout, lift, solved, disc)))
    return levels, _table(layout, np.array([0.0, *lifts]), parts)


def _dissipation(solved: list[ChamberFlows]) -> Floats:
    """(K+1, K+1) power over mu of the unit flows, 1/m3."""
    return np.asarray(sum(part.flows.T @ part.stress for part in solved) / PER_TURN)


def _table(layout: AxialLayout, lifts: Floats, parts: list[tuple[Floats, Floats]]) -> PathTable:
    whole, push = (np.array(v) for v in zip(*parts, strict=True))
    k = len(layout.bands)
    own, cross, valve_r = whole[:, :k, :k], whole[:, :k, k].copy(), whole[:, k, k].copy()
    area, segment = np.zeros(len(lifts)), push[:, :k].copy()
    if isinstance(layout.passage, Seat):
        valve_r[0] = np.inf
        area[1:] = push[1:, k] / valve_r[1:]
        cross[0], segment[0] = cross[1], segment[1]
        area[0] = np.pi * layout.passage.radius**2  # shut, it seals on the edge of the bore
    elif layout.passage is None:
        valve_r[:] = np.inf
    return PathTable(lifts, own, cross, valve_r, area, segment)


def with_bore(ring: PathTable, bore: BorePath) -> PathTable:
    """Paths of a filter whose valve lies in a bore of its head.

    Args:
        ring: paths with the passage open, at one lift.
        bore: the bore about the valve's own axis.
    """
    lifts = np.concatenate([[0.0], bore.lifts_m])
    n = len(lifts)
    valve_r = np.concatenate([[np.inf], ring.valve_r[0] + bore.r])
    area = np.concatenate([[bore.shut_m2], bore.push / valve_r[1:]])
    same = [np.repeat(table, n, axis=0) for table in (ring.own, ring.cross, ring.push_segment)]
    return PathTable(lifts, same[0], same[1], valve_r, area, same[2])


def _push(
    layout: AxialLayout, lift: float, solved: list[ChamberFlows], disc: tuple[float, float] | None
) -> Floats:
    """(K+1,) force on the disc per mu and unit flow, opening positive: the pressure integral, 1/m."""
    if not isinstance(layout.passage, Seat) or disc is None or len(solved) != 1:
        return np.zeros(len(layout.bands) + 1)
    grid, (rim, thick) = layout.grid, disc
    face = line(grid.y, layout.passage.z - lift)
    under, columns = line(grid.y, layout.passage.z - lift - thick) - 1, slice(0, line(grid.x, rim))
    ring = np.pi * np.diff(grid.x[: columns.stop + 1] ** 2)
    pressure = solved[0].pressure.reshape(-1, *grid.shape)
    at_face = _on_wall(pressure[:, columns, face], pressure[:, columns, face + 1], grid.y[face : face + 3])
    at_back = _on_wall(
        pressure[:, columns, under], pressure[:, columns, under - 1], grid.y[under + 1 : under - 2 : -1]
    )
    return np.asarray((at_face - at_back) @ ring / PER_TURN)


def _on_wall(near: Floats, next_: Floats, edges: Floats) -> Floats:
    """Pressure on a wall from the middles of the two cells beside it, linear."""
    first, second = abs(edges[1] - edges[0]) / 2, abs(edges[2] - edges[0]) / 2 + abs(edges[1] - edges[0]) / 2
    return np.asarray(near + (near - next_) * first / (second - first))


def _level(layout: AxialLayout, lift: float, solved: list[ChamberFlows]) -> Level:
    grid, k = layout.grid, len(layout.bands)
    region = _codes(layout, lift, solved)
    dirty, clean = solved[0], solved[-1]
    joined = len(solved) == 1
    drops = -clean.stress[1] if joined else np.zeros(k + 1)
    first = 2 if joined else 1
    at_dirty = dirty.stress[first : first + k]
    at_clean = clean.stress[first + k :] + drops if joined else clean.stress[1 : 1 + k]
    flat = region.ravel()
    pressure = np.where(
        flat == CLEAN, np.nan_to_num(clean.pressure) + drops[:, None], np.nan_to_num(dirty.pressure)
    )
    chambers = tuple(part.chamber for part in solved)
    shape = union(layout.dirty, layout.clean(lift))
    if joined and isinstance(layout.passage, Seat):
        shape = union(shape, layout.passage.throat(lift))
    return Level(
        lift,
        region,
        _velocity(layout, lift, solved),
        np.asarray(np.where(flat > 0, pressure, 0.0) / PER_TURN, np.float32),
        drops / PER_TURN,
        at_dirty / PER_TURN,
        at_clean / PER_TURN,
        WetWalls.of(grid, chambers, shape),
    )


def medium_columns(layout: AxialLayout) -> tuple[int, int]:
    """First and last grid line of the element along r."""
    return line(layout.grid.x, layout.r_clean), line(layout.grid.x, layout.r_dirty)


def band_rows(layout: AxialLayout) -> list[tuple[int, int]]:
    """First and last grid line of each segment along z."""
    return [(line(layout.grid.y, a), line(layout.grid.y, b)) for a, b in layout.bands]


def _codes(layout: AxialLayout, lift: float, solved: list[ChamberFlows]) -> Codes:
    grid, passage = layout.grid, layout.passage
    code = np.zeros(grid.shape, dtype=np.int8)
    if len(solved) == 1 and isinstance(passage, Seat):
        wet = np.zeros(grid.shape, dtype=np.bool_)
        wet.ravel()[solved[0].chamber.cells] = True
        above = (grid.yc > passage.z)[None, :] | (grid.xc > layout.r_clean)[:, None]
        code[wet] = np.where(above, DIRTY, CLEAN)[wet]
        block = passage.cells(grid, lift)
        code[block] = np.where(wet[block], THROAT, code[block])
    else:
        code.ravel()[solved[0].chamber.cells] = DIRTY
        code.ravel()[solved[1].chamber.cells] = CLEAN
    columns = slice(*medium_columns(layout))
    for rows in band_rows(layout):
        code[columns, slice(*rows)] = MEDIUM
    if isinstance(passage, Duct):
        code[passage.cells(grid)] = THROAT
    return code


def _velocity(layout: AxialLayout, _lift: float, solved: list[ChamberFlows]) -> Floats32:
    """(K+1, faces) velocity of every face, medium and passage of a head included."""
    out = np.asarray(sum(part.velocity for part in solved) / PER_TURN)
    columns = slice(*medium_columns(layout))
    for n, rows in enumerate(band_rows(layout)):
        add_straight_inward(out[n], layout.grid, columns, slice(*rows))
    if isinstance(layout.passage, Duct):
        layout.passage.add_velocity(out[-1], layout.grid)
    return np.asarray(out, np.float32)


def cell_velocity(grid: Grid, velocity: NDArray[np.floating]) -> tuple[Floats32, Floats32]:
    """Velocities at cell middles, two (nr, nz), from those of the faces."""
    nx, ny = grid.shape
    n_x = FaceNumbers(grid).n_x
    across_r = velocity[:n_x].reshape(nx + 1, ny)
    across_z = velocity[n_x:].reshape(nx, ny + 1)
    u_r, u_z = (across_r[1:] + across_r[:-1]) / 2, (across_z[:, 1:] + across_z[:, :-1]) / 2
    return np.asarray(u_r, np.float32), np.asarray(u_z, np.float32)
