"""Creeping (Stokes) flow on a staggered grid with cut cells, as one symmetric factored system.

Unknowns are the mean velocity over the open part of every face and the pressure of every open cell, so the
flux through a face is exact for any profile and the discrete divergence is the exact flux balance of a cell.
The viscous matrix is the second derivative of a discrete dissipation

    E = 1/2 sum_cells [(Du)^2 + (Dv)^2] / V  +  1/2 sum_links w (u_a - u_b)^2 / L

where Du, Dv are the parts of the flux balance made by the two velocity components (by Gauss' theorem the mean
normal gradient of a cut cell times its volume V), and links run along grid lines between the middles of open
face parts, or from a middle to the wall that ends the open part (no slip), with length L and strip width w.
The same form holds in the (r, z) plane with measures per radian: after integration by parts the radial normal
terms (du/dr)^2 + (u/r)^2 become ((1/r) d(ru)/dr)^2.

Because the system is the minimum of one quadratic form, port resistances come out symmetric and positive
semi-definite (the reciprocal theorem), to rounding. Everything is per unit viscosity: pressures times mu.

Method: own; the placing of unknowns follows the staggered grid of Harlow & Welch 1965 (Phys. Fluids 8, 2182).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import SuperLU, splu

from sim.physics.grid import Floats, Grid, OpenFaces, Openings

Ints = NDArray[np.int64]


@dataclass(frozen=True)
class Port:
    """A patch of faces through which fluid enters or leaves a chamber with a given profile.

    Attributes:
        name: for messages and tables.
        faces: (n,) face numbers (see `FaceNumbers`).
        share: (n,) share of the port's flux through each face, sum 1.
        inward: +1 where positive face velocity enters the chamber, else -1, (n,).
        developed: the profile continues a developed duct flow, so the shear along the port's own plane counts
            (half a strip of it); False for the face of a porous wall, where it has no meaning.
    """

    name: str
    faces: Ints
    share: Floats
    inward: Floats
    developed: bool = False


@dataclass(frozen=True)
class FaceNumbers:
    """Numbering of all faces of a grid: those across x first, then those across y, row-major."""

    grid: Grid

    @property
    def n_x(self) -> int:
        """How many faces lie across x."""
        nx, ny = self.grid.shape
        return (nx + 1) * ny

    @property
    def total(self) -> int:
        """How many faces there are."""
        nx, ny = self.grid.shape
        return self.n_x + nx * (ny + 1)

    def across_x(self, i: int | Ints, j: int | Ints) -> Ints:
        """Number of the face across x at node line i, row j."""
        return np.asarray(np.asarray(i) * self.grid.shape[1] + np.asarray(j), dtype=np.int64)

    def across_y(self, i: int | Ints, j: int | Ints) -> Ints:
        """Number of the face across y in column i, node line j."""
        return np.asarray(self.n_x + np.asarray(i) * (self.grid.shape[1] + 1) + np.asarray(j), dtype=np.int64)


def with_ports(open_: Openings, ports: tuple[Port, ...]) -> Openings:
    """Openings with the faces of ports, which lie on wall lines, opened over their whole length."""
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    ny = grid.shape[1]
    at = np.concatenate([p.faces for p in ports]) if ports else np.zeros(0, dtype=np.int64)
    on_x, on_y = at[at < numbers.n_x], at[at >= numbers.n_x] - numbers.n_x
    across_x = _opened(open_.across_x, on_x // ny, on_x % ny, grid.y, False)
    flat = open_.across_y.turned()
    axis = grid.axisymmetric and grid.x[0] == 0
    opened = _opened(flat, on_y % (ny + 1), on_y // (ny + 1), grid.x, axis)
    return replace(open_, across_x=across_x, across_y=opened.turned())


def _opened(faces: OpenFaces, line: Ints, place: Ints, edges: Floats, axis: bool) -> OpenFaces:
    """Faces (lines, places) with some opened from edge to edge; neighbours opened too are joined to them."""
    lo, hi = faces.lo.copy(), faces.hi.copy()
    joined_lo, joined_hi = faces.joined_lo.copy(), faces.joined_hi.copy()
    lo[line, place], hi[line, place] = edges[place], edges[place + 1]
    opened = np.zeros(lo.shape, dtype=np.bool_)
    opened[line, place] = True
    both = opened[:, :-1] & opened[:, 1:]
    joined_hi[:, :-1] |= both
    joined_lo[:, 1:] |= both
    if axis:  # a port that reaches the axis has no wall there
        joined_lo[:, 0] |= opened[:, 0]
    return OpenFaces(lo, hi, joined_lo, joined_hi)


def face_measures(open_: Openings) -> Floats:
    """Open measure of every face: m (planar) or m2 per radian (axisymmetric), (faces,)."""
    length_x, length_y = open_.across_x.length, open_.across_y.length
    if open_.grid.axisymmetric:
        length_x = length_x * open_.grid.x[:, None]
        length_y = length_y * open_.across_y.middle
    return np.concatenate([length_x.ravel(), length_y.ravel()])


def whole_measures(grid: Grid) -> Floats:
    """Measure of every face if it were open from edge to edge, (faces,)."""
    nx, ny = grid.shape
    across_x = np.repeat(np.diff(grid.y)[None, :], nx + 1, axis=0)
    across_y = np.repeat(np.diff(grid.x)[:, None], ny + 1, axis=1)
    if grid.axisymmetric:
        across_x = across_x * grid.x[:, None]
        across_y = across_y * grid.xc[:, None]
    return np.concatenate([across_x.ravel(), across_y.ravel()])


def divergence(open_: Openings, measures: Floats) -> tuple[sp.csr_matrix, sp.csr_matrix]:
    """Net outflow of every cell from velocities across x and across y, two matrices (cells, faces)."""
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    nx, ny = grid.shape
    i, j = np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij")
    cell = (i * ny + j).ravel()
    east = np.where(grid.periodic_x & (i == nx - 1), 0, i + 1)
    north = np.where(grid.periodic_y & (j == ny - 1), 0, j + 1)
    sides = (
        (numbers.across_x(east, j), numbers.across_x(i, j)),
        (numbers.across_y(i, north), numbers.across_y(i, j)),
    )
    out = []
    for plus, minus in sides:
        rows = np.concatenate([cell, cell])
        columns = np.concatenate([plus.ravel(), minus.ravel()])
        values = np.concatenate([measures[plus.ravel()], -measures[minus.ravel()]])
        out.append(sp.csr_matrix((values, (rows, columns)), shape=(nx * ny, numbers.total)))
    return out[0], out[1]


def _strip_widths(edges: Floats, periodic: bool) -> Floats:
    """Width of the strip that each grid line stands for, m."""
    gaps = np.diff(edges)
    widths = np.zeros(len(edges))
    widths[:-1] += gaps / 2
    widths[1:] += gaps / 2
    if periodic:
        widths[0] = widths[-1] = (gaps[0] + gaps[-1]) / 2
    return widths


def _links(
    faces: OpenFaces, numbers: Ints, weight: Floats, radius: Floats | None, period: float | None
) -> tuple[Ints, Ints, Floats]:
    """Links along lines of faces (lines, m): pairs of face numbers (b = -1 for a wall) and w/L of each.

    `weight` is the strip width of each line (with the radius of a line across r folded in); `radius` is not
    None where lines run outwards (the radius then enters); `period` is the length of a periodic line.
    """
    is_open = faces.length > 0
    middle = faces.middle
    first: list[Ints] = []
    second: list[Ints] = []
    values: list[Floats] = []

    def add(mask: NDArray[np.bool_], a: Ints, b: Ints, length: Floats, at: Floats) -> None:
        scale = np.broadcast_to(weight[:, None], mask.shape)[mask]
        if radius is not None:
            scale = scale * at[mask]
        first.append(a[mask])
        second.append(b[mask])
        values.append(scale / length[mask])

    joined = faces.joined_hi[:, :-1] & faces.joined_lo[:, 1:]
    span = middle[:, 1:] - middle[:, :-1]
    add(joined, numbers[:, :-1], numbers[:, 1:], span, (middle[:, 1:] + middle[:, :-1]) / 2)
    wall = np.full(numbers.shape, -1, dtype=np.int64)
    half = faces.length / 2
    at_lo, at_hi = is_open & ~faces.joined_lo, is_open & ~faces.joined_hi
    if period is not None:
        wrap = faces.joined_hi[:, -1:] & faces.joined_lo[:, :1]
        add(wrap, numbers[:, -1:], numbers[:, :1], middle[:, :1] + period - middle[:, -1:], middle[:, :1])
    add(at_lo, numbers, wall, half, (faces.lo + middle) / 2)
    add(at_hi, numbers, wall, half, (faces.hi + middle) / 2)
    return np.concatenate(first), np.concatenate(second), np.concatenate(values)


def shear_links(open_: Openings, port_share: Floats) -> sp.csr_matrix:
    """Rows sqrt(w/L) (u_a - u_b) of the shear part of the dissipation, (links, faces).

    `port_share` (faces,) is the share of the strip that counts for links along the plane of a port: 1 for
    faces of no port.
    """
    grid, numbers = open_.grid, FaceNumbers(open_.grid)
    nx, ny = grid.shape
    i, j = np.meshgrid(np.arange(nx + 1), np.arange(ny), indexing="ij")
    across_x = numbers.across_x(i, j)
    width = _strip_widths(grid.x, grid.periodic_x)
    weight_x = width * grid.x if grid.axisymmetric else width
    period_y = float(grid.y[-1] - grid.y[0]) if grid.periodic_y else None
    keep = slice(0, nx) if grid.periodic_x else slice(0, nx + 1)
    a1, b1, w1 = _links(open_.across_x.lines(keep), across_x[keep], weight_x[keep], None, period_y)
    i, j = np.meshgrid(np.arange(nx), np.arange(ny + 1), indexing="ij")
    across_y = numbers.across_y(i, j).T
    flat = open_.across_y.turned()
    keep = slice(0, ny) if grid.periodic_y else slice(0, ny + 1)
    weight_y = _strip_widths(grid.y, grid.periodic_y)
    period_x = float(grid.x[-1] - grid.x[0]) if grid.periodic_x else None
    radius = grid.x if grid.axisymmetric else None
    a2, b2, w2 = _links(flat.lines(keep), across_y[keep], weight_y[keep], radius, period_x)
    a, b, w = np.concatenate([a1, a2]), np.concatenate([b1, b2]), np.concatenate([w1, w2])
    w = w * np.where(b < 0, port_share[a], np.maximum(port_share[a], port_share[b]))
    a, b, w = a[w > 0], b[w > 0], np.sqrt(w[w > 0])
    rows = np.arange(len(a))
    inner = b >= 0
    return sp.csr_matrix(
        (
            np.concatenate([w, -w[inner]]),
            (np.concatenate([rows, rows[inner]]), np.concatenate([a, b[inner]])),
        ),
        shape=(len(a), numbers.total),
    )


@dataclass(frozen=True)
class Flow:
    """One solution per unit viscosity.

    Attributes:
        velocity: (faces,) mean velocity over the open part of each face, m/s.
        flux: (faces,) flux through each face, m2/s (planar) or m3/s per radian.
        pressure: (cells,) pressure over viscosity, 1/s, NaN where there is no fluid.
    """

    velocity: Floats
    flux: Floats
    pressure: Floats


class Chamber:
    """A region of fluid with ports, its Stokes system factored once.

    Args:
        open_: open parts of the grid.
        ports: patches with prescribed flux; the first is the reference for pressure.
        drag: (faces,) or scalar resistance to flow of a porous filling, 1/m2 (Brinkman's mu/k over mu), or 0.

    Raises:
        ValueError: a port lies on no fluid, or the ports are not joined by fluid.
    """

    def __init__(self, open_: Openings, ports: tuple[Port, ...] = (), drag: Floats | float = 0.0) -> None:
        self.open, self.ports, self.grid = with_ports(open_, ports), ports, open_.grid
        self.numbers = FaceNumbers(open_.grid)
        self.measure = face_measures(self.open)
        prescribed = np.zeros(self.numbers.total, dtype=np.bool_)
        for port in ports:
            prescribed[port.faces] = True
        self._shut_rims(prescribed)
        div_x, div_y = divergence(self.open, self.measure)
        self.div = (div_x + div_y).tocsr()
        self.cells = self._wet_cells()
        self.free = self._free_faces(prescribed)
        self._viscous = self._viscous_matrix(div_x, div_y, drag)
        self._lu: SuperLU | None = None
        self._factors()

    def _shut_rims(self, prescribed: NDArray[np.bool_]) -> None:
        """Nothing crosses the rim of the grid but through ports: an open rim is a plane of symmetry."""
        nx, ny = self.grid.shape
        rim = np.zeros(self.numbers.total, dtype=np.bool_)
        if not self.grid.periodic_x:
            rim[self.numbers.across_x(np.array([[0], [nx]]), np.arange(ny))] = True
        if not self.grid.periodic_y:
            rim[self.numbers.across_y(np.arange(nx)[:, None], np.array([0, ny]))] = True
        self.measure[rim & ~prescribed] = 0.0

    def _wet_cells(self) -> Ints:
        """Cells joined by open faces to the first port (or, without ports, to the largest piece)."""
        links = abs(self.div) @ abs(self.div).T
        _, label = connected_components(links, directed=False)
        has_face = np.asarray(abs(self.div).sum(axis=1)).ravel() > 0
        wet = has_face & (self.open.volume.ravel() > 0)
        if self.ports:
            touching = self.div[:, self.ports[0].faces].nonzero()[0]
            touching = touching[wet[touching]]
            if len(touching) == 0:
                raise ValueError(f"port {self.ports[0].name!r} lies on no fluid")
            chosen = label[touching[0]]
            for port in self.ports:
                cells = self.div[:, port.faces].nonzero()[0]
                if not np.any(wet[cells] & (label[cells] == chosen)):
                    raise ValueError(
                        f"port {port.name!r} is not joined to port {self.ports[0].name!r} by fluid"
                    )
        else:
            chosen = np.bincount(label[wet]).argmax()
        return np.flatnonzero(wet & (label == chosen))

    def _free_faces(self, prescribed: NDArray[np.bool_]) -> Ints:
        touched = np.zeros(self.numbers.total, dtype=np.bool_)
        touched[np.unique(self.div[self.cells].indices)] = True
        return np.flatnonzero(touched & (self.measure > 0) & ~prescribed)

    def _viscous_matrix(
        self, div_x: sp.csr_matrix, div_y: sp.csr_matrix, drag: Floats | float
    ) -> sp.csr_matrix:
        inverse = np.zeros(self.open.volume.size)
        inverse[self.cells] = 1 / np.sqrt(self.open.volume.ravel()[self.cells])
        scale = sp.diags(inverse)
        rows = sp.vstack([scale @ div_x, scale @ div_y, shear_links(self.open, self._port_share())]).tocsr()
        matrix = rows.T @ rows
        if np.any(np.asarray(drag) > 0):
            matrix = matrix + sp.diags(np.broadcast_to(drag, (self.numbers.total,)) * self.face_volumes())
        return matrix.tocsr()

    def _port_share(self) -> Floats:
        """Share of a strip on the chamber's side of each port face: none, half, or (at the rim) all."""
        share = np.ones(self.numbers.total)
        nx, ny = self.grid.shape
        for port in self.ports:
            i = np.where(port.faces < self.numbers.n_x, port.faces // ny, -1)
            j = np.where(port.faces < self.numbers.n_x, -1, (port.faces - self.numbers.n_x) % (ny + 1))
            rim = (i == 0) | (i == nx) | (j == 0) | (j == ny)
            share[port.faces] = np.where(rim, 1.0, 0.5) if port.developed else 0.0
        return share

    def face_volumes(self) -> Floats:
        """Volume of fluid that each face stands for, (faces,): open measure times strip width."""
        nx, ny = self.grid.shape
        wx = np.repeat(_strip_widths(self.grid.x, self.grid.periodic_x)[:, None], ny, axis=1)
        wy = np.repeat(_strip_widths(self.grid.y, self.grid.periodic_y)[None, :], nx, axis=0)
        return np.asarray(self.measure * np.concatenate([wx.ravel(), wy.ravel()]))

    def _factors(self) -> SuperLU:
        if self._lu is None:
            self._lu = self._factored()
        return self._lu

    def _factored(self) -> SuperLU:
        k = self._viscous[self.free][:, self.free]
        d = self.div[self.cells][:, self.free]
        # the constant pressure is free: hold one cell at zero (its flux balance follows from all the others)
        d_held = d[1:]
        # scale pressure so that both blocks have entries of one size (better pivots)
        self._scale = float(abs(k).max() / max(abs(d).max(), 1e-300))
        system = sp.bmat([[k, -self._scale * d_held.T], [-self._scale * d_held, None]], format="csc")
        return splu(system, permc_spec="COLAMD")

    def let_go(self) -> None:
        """Forget the factors, most of a chamber's memory; `solve` works them out again when asked."""
        self._lu = None

    def solve(self, prescribed_velocity: Floats | None = None, force: Floats | None = None) -> Flow:
        """Flow for port velocities (faces,), m/s, and body force per volume over mu (faces,), 1/(m s)."""
        velocity = np.zeros(self.numbers.total)
        rhs_u = np.zeros(len(self.free))
        rhs_p = np.zeros(len(self.cells))
        if prescribed_velocity is not None:
            velocity[:] = prescribed_velocity
            rhs_u -= self._viscous[self.free] @ velocity
            rhs_p += self.div[self.cells] @ velocity
        if force is not None:
            rhs_u += (force * self.face_volumes())[self.free]
        factors = self._factors()
        answer = factors.solve(np.concatenate([rhs_u, self._scale * rhs_p[1:]]))
        n = len(self.free)
        velocity[self.free] = answer[:n]
        pressure = np.full(self.open.volume.size, np.nan)
        pressure[self.cells[0]] = 0.0
        pressure[self.cells[1:]] = self._scale * answer[n:]
        return Flow(velocity, velocity * self.measure, pressure)

    def port_velocity(self, flows: Floats) -> Floats:
        """Face velocities (faces,) for fluxes INTO the chamber through each port, (ports,)."""
        velocity = np.zeros(self.numbers.total)
        for port, q in zip(self.ports, flows, strict=True):
            velocity[port.faces] += q * port.share * port.inward / self.measure[port.faces]
        return velocity

    def port_pressures(self, flow: Flow) -> Floats:
        """Mean normal stress over mu at each port (power divided by flux), (ports,), 1/s."""
        pressure = np.nan_to_num(flow.pressure)
        reaction = self._viscous @ flow.velocity - self.div.T @ pressure
        return np.array(
            [
                float(np.sum(reaction[p.faces] * p.share * p.inward / self.measure[p.faces]))
                for p in self.ports
            ]
        )

    def residual(self, flow: Flow, force: Floats | None = None) -> float:
        """Largest imbalance of momentum and volume, relative to the largest term of each."""
        pressure = np.nan_to_num(flow.pressure)
        momentum = (self._viscous @ flow.velocity - self.div.T @ pressure)[self.free]
        if force is not None:
            momentum = momentum - (force * self.face_volumes())[self.free]
        size = abs(self._viscous[self.free]) @ abs(flow.velocity) + abs(self.div.T)[self.free] @ abs(pressure)
        balance = (self.div @ flow.velocity)[self.cells]
        through = abs(self.div)[self.cells] @ abs(flow.velocity)
        return float(max(np.max(abs(momentum)) / size.max(), np.max(abs(balance)) / through.max()))
