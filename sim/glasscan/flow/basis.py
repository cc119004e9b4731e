"""Exact superposition: one Stokes solution for each port, summed with the fluxes of the moment."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from glasscan.flow.grid import Floats
from glasscan.flow.stokes import Chamber


@dataclass(frozen=True)
class Basis:
    """Solutions of a chamber with unit flux in at port k and out at port 0, k = 1..n-1, per unit viscosity.

    Attributes:
        chamber: the chamber.
        velocity: (n-1, faces), m/s for 1 m2/s (planar) or 1 m3/s per radian.
        pressure: (n-1, cells) over mu, relative to the mean normal stress at port 0; NaN outside the fluid.
        matrix: (n, n) port resistances over mu relative to port 0: `p_k - p_0 = mu * matrix[k] @ flows`.
    """

    chamber: Chamber
    velocity: Floats
    pressure: Floats
    matrix: Floats

    def fields(self, flows: Floats) -> tuple[Floats, Floats]:
        """Face velocities and cell pressures over mu for fluxes INTO the chamber through each port, (n,)."""
        q = np.asarray(flows, float)[1:]
        return q @ self.velocity, q @ self.pressure


def solve_basis(chamber: Chamber) -> Basis:
    """Solve a chamber for one unit flux at a time, all with the one factorisation, which is then let go."""
    n = len(chamber.ports)
    velocities, pressures, matrix = [], [], np.zeros((n, n))
    for k in range(1, n):
        flows = np.zeros(n)
        flows[k], flows[0] = 1.0, -1.0
        flow = chamber.solve(chamber.port_velocity(flows))
        stress = chamber.port_pressures(flow)
        velocities.append(flow.velocity)
        pressures.append(flow.pressure - stress[0])
        matrix[:, k] = stress - stress[0]
    chamber.let_go()
    return Basis(chamber, np.array(velocities), np.array(pressures), matrix)
