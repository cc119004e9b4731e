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

from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import SuperLU, splu

from glasscan.flow.faces import FaceNumbers, Ints, Port, divergence, face_measures, with_ports
from glasscan.flow.grid import Floats, Openings
from glasscan.flow.shear import shear_rows, strip_widths


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
        rows = sp.vstack([scale @ div_x, scale @ div_y, shear_rows(self.open, self._port_share())]).tocsr()
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
        wx = np.repeat(strip_widths(self.grid.x, self.grid.periodic_x)[:, None], ny, axis=1)
        wy = np.repeat(strip_widths(self.grid.y, self.grid.periodic_y)[None, :], nx, axis=0)
        return np.asarray(self.measure * np.concatenate([wx.ravel(), wy.ravel()]))

    def _factors(self) -> SuperLU:
        if self._lu is None:
            self._lu = self._factored()
        return self._lu

    def _factored(self) -> SuperLU:
        k, d = self.blocks()
        # the constant pressure is free: hold one cell at zero (its flux balance follows from all the others)
        d_held = d[1:]
        # scale pressure so that both blocks have entries of one size (better pivots)
        self._scale = float(abs(k).max() / max(abs(d).max(), 1e-300))
        system = sp.bmat([[k, -self._scale * d_held.T], [-self._scale * d_held, None]], format="csc")
        return splu(system, permc_spec="COLAMD")

    def blocks(self) -> tuple[sp.csr_matrix, sp.csr_matrix]:
        """Viscous matrix of the free faces and flux balance of the cells by them."""
        return self._viscous[self.free][:, self.free], self.div[self.cells][:, self.free]

    def viscous(self, velocity: Floats) -> Floats:
        """(faces,) viscous force over mu."""
        return np.asarray(self._viscous @ velocity)

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
