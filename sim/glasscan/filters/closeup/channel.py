"""One half of a pleat channel with stepped walls, solved: open at one end, shut at the other.

The channel is symmetric about its middle plane (y = 0), where the rim of the grid is a plane of symmetry. Its
wall stands at another height over each of K pieces of the depth; through every piece of wall goes one port.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from glasscan.filters.patches import edges_through, line
from glasscan.flow.basis import Basis, solve_basis
from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid, openings
from glasscan.flow.shapes import Shape, box, union
from glasscan.flow.stokes import Chamber

COLUMNS = 3  # cells along one piece
ROWS = 12  # cells across a clean half channel
NARROW_ROWS = 6  # cells across the narrowest place
BIG = 1.0  # m
KEPT = 32  # solved channels kept, about 1 MB each: a picture needs two, two side by side four


def snapped(gaps_m: Floats, half_m: float) -> tuple[int, ...]:
    """Gaps in half cells of the grid of a channel whose clean half width is `half_m`, at least one each."""
    return tuple(np.maximum(np.rint(gaps_m / _lattice(half_m)), 1).astype(int).tolist())


def gaps_of(steps: Sequence[int], half_m: float) -> Floats:
    """Gaps (K,), m, that a channel is solved with."""
    return np.array(steps) * _lattice(half_m)


def _lattice(half_m: float) -> float:
    return half_m / ROWS / 2


@lru_cache(maxsize=KEPT)
def solved_channel(steps: tuple[int, ...], half_m: float, length_m: float, mouth_at_end: bool) -> Basis:
    """Basis of a half channel: port 0 is the mouth, port k the wall of piece k.

    Args:
        steps: height of the wall over each piece, half cells (see `snapped`).
        half_m: half width of the clean channel, m.
        length_m: depth of the pleat, m.
        mouth_at_end: the mouth is at x = length instead of x = 0.
    """
    gaps = gaps_of(steps, half_m)
    edges = np.linspace(0.0, length_m, len(gaps) + 1)
    grid = _grid(gaps, edges, half_m)
    ports = [_mouth(grid, float(gaps[-1 if mouth_at_end else 0]), mouth_at_end)]
    ports += [_wall(grid, k, float(edges[k]), float(edges[k + 1]), float(g)) for k, g in enumerate(gaps)]
    # past the mouth the channel goes on, so that its faces are open and joined to the plane of symmetry
    walls = edges.copy()
    walls[-1 if mouth_at_end else 0] += BIG if mouth_at_end else -BIG
    return solve_basis(Chamber(openings(grid, _region(gaps, walls)), tuple(ports)))


def _grid(gaps: Floats, edges: Floats, half_m: float) -> Grid:
    x = edges_through([(float(e), float(edges[1]) / COLUMNS) for e in edges[:-1]], float(edges[-1]))
    cell, least = half_m / ROWS, float(gaps.min())
    lines = sorted(set(gaps.tolist()))
    marks = [(0.0, min(cell, least / NARROW_ROWS)), *((g, cell) for g in lines[:-1])]
    return Grid(x, edges_through(marks, lines[-1]))


def _region(gaps: Floats, edges: Floats) -> Shape:
    pieces = [box(a, b, -BIG, g) for a, b, g in _runs(gaps.tolist(), edges.tolist())]
    return union(*pieces) if len(pieces) > 1 else pieces[0]


def _runs(gaps: list[float], edges: list[float]) -> list[tuple[float, float, float]]:
    """Boxes (x0, x1, gap): for every height all runs of pieces at least as wide, so that none has a seam."""
    found = []
    for height in sorted(set(gaps)):
        start = None
        for k, gap in enumerate([*gaps, -1.0]):
            if gap >= height and start is None:
                start = k
            elif gap < height and start is not None:
                found.append((edges[start], edges[k], height))
                start = None
    return found


def _mouth(grid: Grid, gap: float, at_end: bool) -> Port:
    j = np.arange(line(grid.y, gap))
    share = (gap**2 - grid.yc[j] ** 2) * np.diff(grid.y)[j]
    faces = FaceNumbers(grid).across_x(grid.shape[0] if at_end else 0, j)
    return Port("mouth", faces, share / share.sum(), np.full(len(j), -1.0 if at_end else 1.0), developed=True)


def _wall(grid: Grid, k: int, x0: float, x1: float, gap: float) -> Port:
    i = np.arange(line(grid.x, x0), line(grid.x, x1))
    share = np.diff(grid.x)[i]
    faces = FaceNumbers(grid).across_y(i, line(grid.y, gap))
    return Port(f"piece {k + 1}", faces, share / share.sum(), np.full(len(i), -1.0))
