"""Level-set shapes in a plane: positive inside, zero on the edge, negative outside (lengths in m).

Shapes are functions of coordinate arrays; `union`, `cut` and `common` combine them. Only the zero line and
the sign matter to the solver, and values near the line should change linearly across it.
"""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Shape = Callable[[Floats, Floats], Floats]


def box(x0: float, x1: float, y0: float, y1: float) -> Shape:
    """Rectangle x0..x1 by y0..y1, m."""

    def level(x: Floats, y: Floats) -> Floats:
        return np.minimum(np.minimum(x - x0, x1 - x), np.minimum(y - y0, y1 - y))

    return level


def disc(cx: float, cy: float, radius: float) -> Shape:
    """Disc of a radius about (cx, cy), m."""

    def level(x: Floats, y: Floats) -> Floats:
        return np.asarray(radius - np.hypot(x - cx, y - cy))

    return level


def ellipse(cx: float, cy: float, semi_x: float, semi_y: float) -> Shape:
    """Ellipse with semi-axes along x and y, m; scaled so that the level is near a distance at its edge."""

    def level(x: Floats, y: Floats) -> Floats:
        u, v = (x - cx) / semi_x, (y - cy) / semi_y
        rho = np.hypot(u, v)
        slope = np.hypot(u / semi_x, v / semi_y) / np.maximum(rho, 1e-12)
        return np.asarray((1 - rho) / np.maximum(slope, 1e-12))

    return level


def below(x0: float, y0: float, x1: float, y1: float) -> Shape:
    """Half plane to the right of the direction (x0, y0) -> (x1, y1), m."""
    length = np.hypot(x1 - x0, y1 - y0)
    nx, ny = (y1 - y0) / length, -(x1 - x0) / length

    def level(x: Floats, y: Floats) -> Floats:
        return np.asarray((x - x0) * nx + (y - y0) * ny)

    return level


def union(*shapes: Shape) -> Shape:
    """Points in any of the shapes."""
    return lambda x, y: np.maximum.reduce([s(x, y) for s in shapes])


def common(*shapes: Shape) -> Shape:
    """Points in all of the shapes."""
    return lambda x, y: np.minimum.reduce([s(x, y) for s in shapes])


def cut(base: Shape, *holes: Shape) -> Shape:
    """Points of `base` in none of the holes."""
    return lambda x, y: np.minimum.reduce([base(x, y)] + [-h(x, y) for h in holes])
