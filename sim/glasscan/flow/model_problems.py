"""Whole flow problems with known answers, solved by the project's own solver."""

from __future__ import annotations

import numpy as np
from scipy.optimize import brentq

from glasscan.flow.faces import Port
from glasscan.flow.grid import Floats, Grid, openings
from glasscan.flow.shapes import Shape, box, disc
from glasscan.flow.stokes import Chamber, Flow

BIG = 1e3  # farther than any wall of these cases
GATHERED = 1 / 3  # share of the grid lines that lie in a throat or round a thin cylinder
STANDS_STILL = 1e6  # resistance along a medium that lets oil only across, over that across


def _pushed_along_x(chamber: Chamber) -> Flow:
    """Flow under a unit mean pressure gradient along x (over mu)."""
    force = np.zeros(chamber.numbers.total)
    force[: chamber.numbers.n_x] = 1.0
    return chamber.solve(force=force)


def _flux_through_first_line(chamber: Chamber, flow: Flow) -> float:
    ny = chamber.grid.shape[1]
    return float(flow.flux[:ny].sum())


def cylinder_array_drag(solid_fraction: float, cells: int) -> float:
    """Drag F/(mu U) per unit length of a square array of cylinders across a creeping stream.

    The periodic cell is a unit square under a unit mean pressure gradient, so F/(mu U) is one over the mean
    velocity. Compare Sangani & Acrivos 1982 (Int. J. Multiphase Flow 8, 193), Table 1. The grid lines draw
    together at what is small: the throat between cylinders that nearly touch, where almost all of the drop is
    lost, or a cylinder that is thin.

    Args:
        solid_fraction: share of the cell filled by the cylinder, 0..0.78.
        cells: grid cells along a side.
    """
    radius = float(np.sqrt(solid_fraction / np.pi))
    gap = 1 - 2 * radius
    # lines gather in the middle of the cell: there lies the throat, about as long as written, or the cylinder
    thin = 2 * radius < GATHERED
    across, along = (2 * radius, 2 * radius) if thin else (gap, 2 * float(np.sqrt(radius * gap)))
    grid = Grid(_gathered(cells, along), _gathered(cells, across), periodic_x=True, periodic_y=True)
    level = _cylinder_rows(radius, (0.5,) if thin else (0.0, 1.0))
    chamber = Chamber(openings(grid, level))
    return 1 / _flux_through_first_line(chamber, _pushed_along_x(chamber))


def _cylinder_rows(radius: float, heights: tuple[float, ...]) -> Shape:
    """The fluid round cylinders at x = 0.5 and the heights given."""
    rows = [disc(0.5, height, radius) for height in heights]
    return lambda x, y: -np.max([row(x, y) for row in rows], axis=0)


def _gathered(cells: int, share: float) -> Floats:
    """Grid lines over 0..1, a third of the cells in the middle `share` of it, (cells+1,).

    Equal cells where the share is a third or more.
    """
    even = np.linspace(-1.0, 1.0, cells + 1)
    if share >= 0.999 * GATHERED:
        return (1 + even) / 2
    pull = brentq(lambda b: np.sinh(b * GATHERED) / np.sinh(b) - share, 1e-3, 100.0)
    return np.asarray((1 + np.sinh(pull * even) / np.sinh(pull)) / 2)


def _gathered_at_walls(cells: int, layer: float) -> Floats:
    """Grid lines over 0..2, of which a third lie within `layer` of each wall (equal where it is thick)."""
    even = np.linspace(-1.0, 1.0, cells + 1)
    if layer >= 0.999 * (1 - GATHERED):
        return 1 + even
    pull = brentq(lambda b: 1 - np.tanh(b * GATHERED) / np.tanh(b) - layer, 1e-3, 60.0)
    return np.asarray(1 + np.tanh(pull * even) / np.tanh(pull))


def brinkman_channel_ratio(lam: float, cells: int) -> float:
    """Mean velocity over Darcy velocity in a channel filled with a porous medium (exact: 1 - tanh(l)/l).

    Args:
        lam: half height over the square root of permeability.
        cells: grid cells across the channel.
    """
    grid = Grid(np.linspace(0.0, 8.0 / cells, 5), _gathered_at_walls(cells, 3.0 / lam), periodic_x=True)
    chamber = Chamber(openings(grid, box(-BIG, BIG, 0.0, 2.0)), drag=lam**2)
    mean = _flux_through_first_line(chamber, _pushed_along_x(chamber)) / 2.0
    return mean * lam**2


def pleat_pair_drop(
    spacing_m: float,
    length_m: float,
    medium_m: float,
    permeability_m2: float,
    cells: int,
    *,
    slip: bool = False,
) -> float:
    """Pressure drop over mu and flow of a pleat channel pair, 1/m2, in two dimensions.

    One inlet channel (open at x = 0) and one outlet channel (open at x = length), each `spacing` wide, with
    the medium between them, repeated across the pleats (periodic in y). dp = mu * flow * this.

    Args:
        spacing_m: width of a channel, m.
        length_m: depth of the pleat, m.
        medium_m: thickness of the medium, m.
        permeability_m2: of the medium, m2.
        cells: cells across one channel.
        slip: oil in the medium is dragged along the channels too (Brinkman's medium); otherwise the medium
            only lets it across (Darcy's wall), and the channels end at its faces.
    """
    grid, rows = _pleat_grid(spacing_m, length_m, medium_m, float(np.sqrt(permeability_m2)), cells)
    chamber_ports = (
        _channel_port("inlet", grid, 0, rows[0], +1.0),
        _channel_port("outlet", grid, grid.shape[0], rows[1], -1.0),
    )
    region = box(0.0, length_m, -BIG, BIG)
    chamber = Chamber(openings(grid, region), chamber_ports, _medium_drag(grid, rows, permeability_m2, slip))
    flow = chamber.solve(chamber.port_velocity(np.array([1.0, -1.0])))
    stress = chamber.port_pressures(flow)
    return float(stress[0] - stress[1])


def _pleat_grid(
    spacing: float, length: float, medium: float, skin: float, cells: int
) -> tuple[Grid, tuple[slice, slice]]:
    """Grid of one pair and the rows of its two channels.

    Inside the medium the flow along its surface dies out within about sqrt(k) (`skin`), so rows start that
    thin at each surface and grow inwards.
    """
    half = _growing(min(skin, spacing / cells / 64), medium / 8, medium / 2)
    channel = np.full(cells, spacing / cells)
    steps = np.concatenate([half[::-1], channel, half, half[::-1], channel, half])
    y = np.concatenate([[0.0], np.cumsum(steps)])
    n = len(half)
    first, second = slice(n, n + cells), slice(3 * n + cells, 3 * n + 2 * cells)
    # where the channels rule, the oil crosses the medium within a short length at either end
    crossing = float(np.sqrt(spacing**3 * medium / 48) / skin)
    end = _growing(min(4 * spacing / cells, crossing / 8, length / 48), length / 24, length / 2, 1.2)
    x = np.concatenate([[0.0], np.cumsum(np.concatenate([end, end[::-1]]))])
    return Grid(x, y, periodic_y=True), (first, second)


def _growing(first: float, largest: float, whole: float, ratio: float = 1.5) -> Floats:
    """Cell sizes that start near `first` and grow by `ratio` to `largest`, scaled to add up to `whole`, m.

    Raises:
        ValueError: no size above zero to start from.
    """
    if not first > 0.0:
        raise ValueError(f"a row of cells must start with a size above zero, got {first:g} m")
    rows = [first]
    while sum(rows) < whole:
        rows.append(min(rows[-1] * ratio, largest))
    return np.array(rows) * whole / sum(rows)


def _channel_port(name: str, grid: Grid, line: int, rows: slice, inward: float) -> Port:
    """Parabolic port over the rows of one channel."""
    j = np.arange(rows.start, rows.stop)
    y0, y1, yc = grid.y[rows.start], grid.y[rows.stop], grid.yc[rows]
    share = (yc - y0) * (y1 - yc)
    faces = np.asarray(line * grid.shape[1] + j, dtype=np.int64)
    return Port(name, faces, share / share.sum(), np.full(len(j), inward), developed=True)


def _medium_drag(grid: Grid, rows: tuple[slice, slice], permeability: float, slip: bool) -> Floats:
    """(faces,) resistance of the medium, 1/m2; a face between two rows feels the mean over its strip."""
    nx, ny = grid.shape
    cell = np.full(ny, 1 / permeability)
    for channel in rows:
        cell[channel] = 0.0
    height = np.diff(grid.y)
    below, above = np.roll(cell * height, 1), cell * height
    edge = (below + above) / (np.roll(height, 1) + height)
    edge = np.append(edge, edge[0])
    along = cell if slip else cell * STANDS_STILL
    return np.concatenate([np.tile(along, nx + 1), np.tile(edge, nx)])
