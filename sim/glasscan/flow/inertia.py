"""Steady laminar flow: the chamber's Stokes system with the inertia of the oil.

Around every face lies a control volume that reaches to the middles of its two cells. What flows from one
control volume to the next is half the flux of two faces, so each keeps its volume exactly, cut cells
included. With the mean of both velocities carried between them, convection is a skew-symmetric matrix C(u):
it makes no kinetic energy and needs no rule for walls. Solved is `A u - D^T p + lambda C(u) u = 0` with the
ports of the chamber held, for a flow of 1 m3/s per radian; lambda is the true flow over the kinematic
viscosity. Newton's method, continued in lambda.

Method: central differences on the staggered grid of Harlow & Welch 1965; symmetry-preserving form of
Verstappen & Veldman 2003 (J. Comput. Phys. 187, 343), from memory.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from scipy.sparse.linalg import SuperLU, splu

from glasscan.flow.faces import Ints
from glasscan.flow.grid import Floats
from glasscan.flow.stokes import Chamber, Flow

CLOSE = 1e-9  # of the largest velocity: Newton stops when a step is smaller
MOST_STEPS = 25
SLOW = 0.35  # a step that shrinks less than this asks for fresh factors


class NotSteadyError(Exception):
    """Newton's method found no steady flow at this lambda."""


@dataclass(frozen=True)
class Convection:
    """Pairs of neighbouring control volumes and the two faces whose halved fluxes flow between them.

    Attributes:
        chamber: the chamber.
        one, other: (pairs,) faces whose control volumes touch; the flux counts from one to the other.
        first, second: (pairs,) faces that carry it.
    """

    chamber: Chamber
    one: Ints
    other: Ints
    first: Ints
    second: Ints

    @classmethod
    def of(cls, chamber: Chamber) -> Convection:
        """Pairs along and across the faces of a chamber without periodic edges."""
        grid, numbers = chamber.grid, chamber.numbers
        nx, ny = grid.shape
        i, j = (v.ravel() for v in np.meshgrid(np.arange(nx), np.arange(ny), indexing="ij"))
        west, east = numbers.across_x(i, j), numbers.across_x(i + 1, j)
        south, north = numbers.across_y(i, j), numbers.across_y(i, j + 1)
        i, j = (v.ravel() for v in np.meshgrid(np.arange(1, nx), np.arange(ny - 1), indexing="ij"))
        up = (numbers.across_x(i, j), numbers.across_x(i, j + 1))
        up_by = (numbers.across_y(i - 1, j + 1), numbers.across_y(i, j + 1))
        i, j = (v.ravel() for v in np.meshgrid(np.arange(nx - 1), np.arange(1, ny), indexing="ij"))
        out = (numbers.across_y(i, j), numbers.across_y(i + 1, j))
        out_by = (numbers.across_x(i + 1, j - 1), numbers.across_x(i + 1, j))
        one, other = (
            np.concatenate([west, south, up[0], out[0]]),
            np.concatenate([east, north, up[1], out[1]]),
        )
        first = np.concatenate([west, south, up_by[0], out_by[0]])
        second = np.concatenate([east, north, up_by[1], out_by[1]])
        touched = np.zeros(numbers.total, dtype=np.bool_)
        touched[chamber.free] = True
        for port in chamber.ports:
            touched[port.faces] = True
        keep = touched[one] & touched[other]
        return cls(chamber, one[keep], other[keep], first[keep], second[keep])

    def carried(self, velocity: Floats) -> Floats:
        """(faces,) C(u) u."""
        half = self._half_flux(velocity)
        out = np.bincount(self.one, half * velocity[self.other], len(velocity))
        return np.asarray(out - np.bincount(self.other, half * velocity[self.one], len(velocity)))

    def slope(self, velocity: Floats) -> sp.csr_matrix:
        """Derivative of C(u) u by u, (faces, faces)."""
        half, n = self._half_flux(velocity), len(velocity)
        measure = self.chamber.measure / 4
        by_first, by_second = measure[self.first], measure[self.second]
        u_one, u_other = velocity[self.one], velocity[self.other]
        rows = (self.one, self.other, self.one, self.one, self.other, self.other)
        columns = (self.other, self.one, self.first, self.second, self.first, self.second)
        values = (half, -half, by_first * u_other, by_second * u_other, -by_first * u_one, -by_second * u_one)
        return sp.csr_matrix(
            (np.concatenate(values), (np.concatenate(rows), np.concatenate(columns))), shape=(n, n)
        )

    def _half_flux(self, velocity: Floats) -> Floats:
        flux = self.chamber.measure * velocity
        return np.asarray((flux[self.first] + flux[self.second]) / 4)


class LaminarSolver:
    """Steady flows of one chamber for one set of port flows, by rising lambda.

    Args:
        chamber: the chamber.
        flows: (ports,) flow into each port, 1 m3/s per radian in all.
    """

    def __init__(self, chamber: Chamber, flows: Floats) -> None:
        self.chamber, self.convection = chamber, Convection.of(chamber)
        self._k, self._d = chamber.blocks()
        self._scale = float(abs(self._k).max() / max(abs(self._d).max(), 1e-300))
        self._held = chamber.port_velocity(flows)
        start = chamber.solve(self._held)
        self.known: list[tuple[float, Flow]] = [(0.0, start)]
        self._factors: SuperLU | None = None

    def at(self, strength: float) -> Flow:
        """The steady flow at a lambda larger than the last one, 1/m.

        Raises:
            NotSteadyError: there is none, or it is too far from the last.
        """
        velocity, pressure = self._guess(strength)
        before, fresh = np.inf, False
        self._factors = None
        for _ in range(MOST_STEPS):
            if self._factors is None:
                self._factors, fresh = self._factored(velocity, strength), True
            du, dp = self._step(velocity, pressure, strength)
            size = float(np.abs(du).max() / np.abs(velocity).max())
            if not size < 10.0:
                raise NotSteadyError(f"no steady flow found at lambda = {strength:g}")
            velocity, pressure = velocity.copy(), pressure + dp
            velocity[self.chamber.free] += du
            if size < CLOSE:
                return self._keep(strength, velocity, pressure)
            if not fresh and size > SLOW * before:
                self._factors = None
            before, fresh = size, False
        raise NotSteadyError(f"no steady flow found at lambda = {strength:g}")

    def _guess(self, strength: float) -> tuple[Floats, Floats]:
        """The line through the last two flows, in ln(1 + lambda)."""
        cells = self.chamber.cells
        (s1, one), (s2, two) = (self.known * 2)[-2:]
        along = 0.0 if s1 == s2 else np.log((1 + strength) / (1 + s2)) / np.log((1 + s2) / (1 + s1))
        along = min(along, 1.0)
        velocity = two.velocity + along * (two.velocity - one.velocity)
        return velocity, (two.pressure + along * (two.pressure - one.pressure))[cells]

    def _factored(self, velocity: Floats, strength: float) -> SuperLU:
        free = self.chamber.free
        k = self._k + strength * self.convection.slope(velocity)[free][:, free]
        d = self._scale * self._d[1:]
        return splu(sp.bmat([[k, -d.T], [-d, None]], format="csc"), permc_spec="COLAMD")

    def _step(self, velocity: Floats, pressure: Floats, strength: float) -> tuple[Floats, Floats]:
        """Newton's step with the factors at hand: velocity of free faces, pressure of cells."""
        assert self._factors is not None
        chamber, n = self.chamber, len(self.chamber.free)
        force = chamber.viscous(velocity) + strength * self.convection.carried(velocity)
        momentum = force[chamber.free] - self._d.T @ pressure
        balance = (chamber.div @ velocity)[chamber.cells]
        right = np.concatenate([-momentum, self._scale * balance[1:]])
        found = self._factors.solve(right)
        return found[:n], np.concatenate([[0.0], self._scale * found[n:]])

    def _keep(self, strength: float, velocity: Floats, pressure: Floats) -> Flow:
        full = np.full(self.chamber.open.volume.size, np.nan)
        full[self.chamber.cells] = pressure
        flow = Flow(velocity, velocity * self.chamber.measure, full)
        self.known.append((strength, flow))
        return flow
