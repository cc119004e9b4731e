"""The shear part of the dissipation: links along grid lines between faces, and to the walls that end them."""

from __future__ import annotations

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray

from glasscan.flow.faces import FaceNumbers, Ints
from glasscan.flow.grid import Floats, OpenFaces, Openings


def strip_widths(edges: Floats, periodic: bool) -> Floats:
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
    width = strip_widths(grid.x, grid.periodic_x)
    weight_x = width * grid.x if grid.axisymmetric else width
    period_y = float(grid.y[-1] - grid.y[0]) if grid.periodic_y else None
    keep = slice(0, nx) if grid.periodic_x else slice(0, nx + 1)
    a1, b1, w1 = _links(open_.across_x.lines(keep), across_x[keep], weight_x[keep], None, period_y)
    i, j = np.meshgrid(np.arange(nx), np.arange(ny + 1), indexing="ij")
    across_y = numbers.across_y(i, j).T
    flat = open_.across_y.turned()
    keep = slice(0, ny) if grid.periodic_y else slice(0, ny + 1)
    weight_y = strip_widths(grid.y, grid.periodic_y)
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
