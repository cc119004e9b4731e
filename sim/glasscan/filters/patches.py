"""Ports of a chamber laid on the lines of an (r, z) grid, and grids whose lines run along given walls."""

from __future__ import annotations

from itertools import pairwise

import numpy as np

from glasscan.flow.faces import FaceNumbers, Port
from glasscan.flow.grid import Floats, Grid


def edges_through(marks: list[tuple[float, float]], end: float) -> Floats:
    """Cell edges from the first mark to `end` that pass through every mark.

    Args:
        marks: (place, largest cell from there on), rising places, m.
        end: last edge, m.
    """
    places = [m[0] for m in marks] + [end]
    pieces = [
        np.linspace(a, b, max(1, int(np.ceil((b - a) / size - 1e-9))) + 1)[:-1]
        for (a, size), b in zip(marks, places[1:], strict=True)
    ]
    return np.concatenate([*pieces, [end]])


def edges_growing(lo: float, place: float, hi: float, first: float, largest: float, growth: float) -> Floats:
    """Cell edges from lo to hi, finest beside a place between them and growing away from it, m."""
    below = _growing(place - lo, first, largest, growth)
    above = _growing(hi - place, first, largest, growth)
    return np.concatenate([place - below[::-1], [place], place + above])


def marks_growing(
    place: float, towards: float, first: float, largest: float, growth: float = 2.0
) -> list[tuple[float, float]]:
    """Grid marks, one for each cell, that grow away from an edge up to another place, m or mm."""
    away = _growing(abs(towards - place), first, largest, growth)
    at = np.concatenate([[0.0], away]) * np.sign(towards - place) + place
    return [(float(min(a, b)), float(abs(b - a)) * (1 + 1e-9)) for a, b in pairwise(at)]


def _growing(whole: float, first: float, largest: float, growth: float) -> Floats:
    """Distances of edges from the start of a piece, scaled to end with it."""
    steps = [first]
    while sum(steps) < whole:
        steps.append(min(steps[-1] * growth, largest))
    return np.cumsum(steps) * (whole / sum(steps))


def merged_marks(marks: list[tuple[float, float]], fineness: float = 1.0) -> list[tuple[float, float]]:
    """Marks in rising order, one for each place (the finer cell wins), cells divided by `fineness`."""
    best: dict[float, float] = {}
    for place, size in marks:
        key = round(place, 9)
        best[key] = min(size / fineness, best.get(key, size))
    return sorted(best.items())


def line(edges: Floats, place: float) -> int:
    """Index of the grid line at a place, m.

    Raises:
        ValueError: no line runs there.
    """
    i = int(np.argmin(np.abs(edges - place)))
    if abs(edges[i] - place) > 1e-9:
        raise ValueError(f"no grid line at {place * 1e3:.4g} mm")
    return i


def axial_port(
    name: str, grid: Grid, z: float, r0: float, r1: float, inward: int, *, developed: bool
) -> Port:
    """Port across a plane z between radii r0 and r1, m; uniform, or developed (pipe or annulus) profile."""
    i = np.arange(line(grid.x, r0), line(grid.x, r1))
    r = grid.xc[i]
    share = r * np.diff(grid.x)[i]
    if developed:
        share = share * _axial_profile(r, r0, r1)
    faces = FaceNumbers(grid).across_y(i, line(grid.y, z))
    return Port(name, faces, share / share.sum(), np.full(len(i), float(inward)), developed)


def radial_port(name: str, grid: Grid, r: float, z0: float, z1: float, inward: int) -> Port:
    """Port through a cylinder of radius r between heights z0 and z1, m; uniform profile."""
    j = np.arange(line(grid.y, z0), line(grid.y, z1))
    share = np.diff(grid.y)[j]
    faces = FaceNumbers(grid).across_x(line(grid.x, r), j)
    return Port(name, faces, share / share.sum(), np.full(len(j), float(inward)))


def _axial_profile(r: Floats, r0: float, r1: float) -> Floats:
    """Shape of developed axial flow in a pipe (r0 = 0) or a concentric annulus."""
    if r0 == 0:
        return np.asarray(r1**2 - r**2)
    return np.asarray(r1**2 - r**2 + (r1**2 - r0**2) * np.log(r / r1) / np.log(r1 / r0))
