"""Creeping flows with exact answers, each as a function of the number of cells: its relative error."""

from __future__ import annotations

import numpy as np
from glasscan.flow.basis import solve_basis
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Grid, openings
from glasscan.flow.model_problems import brinkman_channel_ratio, cylinder_array_drag
from glasscan.flow.shapes import box, cut, disc
from glasscan.flow.stokes import Chamber

BIG = 10.0


def _along_y(name, grid, line, inward, profile, first=0, last=None):
    """Port across a line of constant y with a developed profile of the coordinate x."""
    i = np.arange(first, grid.shape[0] if last is None else last)
    x = grid.xc[i]
    share = profile(x) * np.diff(grid.x)[i] * (x if grid.axisymmetric else 1)
    faces = FaceNumbers(grid).across_y(i, line)
    return Port(name, faces, share / share.sum(), np.full(len(i), float(inward)), developed=True)


def _duct(grid, profile):
    """Resistance over mu of a straight duct along y."""
    region = box(-BIG if grid.x[0] == 0 and grid.axisymmetric else grid.x[0], grid.x[-1], 0.0, grid.y[-1])
    ports = (_along_y("out", grid, grid.shape[1], -1, profile), _along_y("in", grid, 0, 1, profile))
    return solve_basis(Chamber(openings(grid, region), ports)).matrix[1, 1]


def plane_channel(cells):
    """Plane Poiseuille flow: dp/q = 12 mu L/h^3 (exact, textbook)."""
    h, length = 0.001, 0.002
    grid = Grid.uniform(cells, cells, h, length)
    return _duct(grid, lambda x: x * (h - x)) / (12 * length / h**3) - 1


def pipe(cells):
    """Hagen-Poiseuille: per radian dp/q = 16 mu L/R^4 (exact, textbook)."""
    radius, length = 0.005, 0.01
    grid = Grid.uniform(cells, 2 * cells, radius, length, axisymmetric=True)
    return _duct(grid, lambda r: radius**2 - r**2) / (16 * length / radius**4) - 1


def annulus(cells):
    """Axial flow in a concentric annulus (exact, textbook)."""
    ro, ri, length = 0.03, 0.02, 0.01
    grid = Grid(np.linspace(ri, ro, cells + 1), np.linspace(0, length, cells + 1), axisymmetric=True)
    exact = 16 * length / (ro**4 - ri**4 - (ro**2 - ri**2) ** 2 / np.log(ro / ri))
    profile = lambda r: ro**2 - r**2 + (ro**2 - ri**2) * np.log(r / ro) / np.log(ro / ri)  # noqa: E731
    return _duct(grid, profile) / exact - 1


def disc_gap(cells):
    """Radial flow between two discs: 6 mu Q ln(ro/ri)/(pi h^3) (lubrication form, exact when creeping)."""
    h, ri, ro = 0.001, 0.012, 0.02
    r, z = np.linspace(ri, ro, 8 * cells + 1), np.linspace(0, h, cells + 1)
    grid = Grid(r, z, axisymmetric=True)
    j = np.arange(cells)
    share = grid.yc * (h - grid.yc)
    share /= share.sum()
    numbers, ones = FaceNumbers(grid), np.ones(cells)
    ports = (
        Port("in", numbers.across_x(0, j), share, ones, developed=True),
        Port("out", numbers.across_x(8 * cells, j), share, -ones, developed=True),
    )
    matrix = solve_basis(Chamber(openings(grid, box(ri, ro, 0.0, h)), ports)).matrix
    return matrix[1, 1] / (12 * np.log(ro / ri) / h**3) - 1


def porous_wall_channel(cells):
    """Channel with uniform suction through both walls: dp = (3 mu/a^2)(U x - v x^2/(2 a)), a half height.

    Exact limit of the similarity solution of Berman 1953 (J. Appl. Phys. 24, 1232) for creeping flow.
    """
    a, length, outflow = 0.0005, 0.004, 0.4  # the outlet carries 0.4 of the inflow, the walls the rest
    ny, nx = cells, 4 * cells
    grid = Grid(np.linspace(0, length, nx + 1), np.linspace(0, 2 * a, ny + 1))
    numbers, i, j = FaceNumbers(grid), np.arange(nx), np.arange(ny)
    share = grid.yc * (2 * a - grid.yc)
    share, even, ones = share / share.sum(), np.full(nx, 1 / nx), np.ones(nx)
    ports = (
        Port("out", numbers.across_x(nx, j), share, -np.ones(ny), developed=True),
        Port("in", numbers.across_x(0, j), share, np.ones(ny), developed=True),
        Port("low wall", numbers.across_y(i, 0), even, ones),
        Port("high wall", numbers.across_y(i, ny), even, -ones),
    )
    basis = solve_basis(Chamber(openings(grid, box(0.0, length, 0.0, 2 * a)), ports))
    wall = (1 - outflow) / 2
    drop = basis.matrix[1] @ np.array([-outflow, 1.0, -wall, -wall])
    mean, suction = 1 / (2 * a), wall / length
    return drop / ((3 / a**2) * (mean * length - suction * length**2 / (2 * a))) - 1


def brinkman_channel(cells):
    """Channel filled with a porous medium, half height / sqrt(k) = 3 (exact: 1 - tanh(l)/l)."""
    return brinkman_channel_ratio(3.0, cells) / (1 - np.tanh(3.0) / 3.0) - 1


def stirred_ring(cells):
    """Fluid between two round cut-cell walls driven round by a unit azimuthal force.

    Exact: u = A r + B/r - r^2/3 with no slip at both radii; compared by the flux across one ray.
    """
    ri, ro = 0.21, 0.47
    grid = Grid.uniform(cells, cells, 1.0, 1.0)
    ring = cut(disc(0.5, 0.5, ro), disc(0.5, 0.5, ri))
    chamber = Chamber(openings(grid, ring))
    flow = chamber.solve(force=_round_force(grid))
    half = cells // 2  # the ray y = 0.5, x > 0.5: faces across y on the middle line
    flux = flow.flux[chamber.numbers.across_y(np.arange(half, cells), half)].sum()
    a, b = np.linalg.solve([[ri, 1 / ri], [ro, 1 / ro]], [ri**2 / 3, ro**2 / 3])
    exact = a * (ro**2 - ri**2) / 2 + b * np.log(ro / ri) - (ro**3 - ri**3) / 9
    return flux / exact - 1


def _round_force(grid):
    """(faces,) component across each face of a unit force around (0.5, 0.5)."""
    x, y = np.meshgrid(grid.x, grid.yc, indexing="ij")
    across_x = -(y - 0.5) / np.hypot(x - 0.5, y - 0.5)
    x, y = np.meshgrid(grid.xc, grid.y, indexing="ij")
    across_y = (x - 0.5) / np.hypot(x - 0.5, y - 0.5)
    return np.concatenate([across_x.ravel(), across_y.ravel()])


def cylinders(cells):
    """Square array of cylinders, solid fraction 0.3 (Sangani & Acrivos 1982, recomputed to 6 digits)."""
    return cylinder_array_drag(0.3, cells) / 102.881304 - 1


ALL = {
    f.__name__: f
    for f in (
        plane_channel,
        pipe,
        annulus,
        disc_gap,
        porous_wall_channel,
        brinkman_channel,
        stirred_ring,
        cylinders,
    )
}
