"""Where the oil of an axial section is: grid, regions, ways in and out, element, and the way past it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from glasscan.filters.passages import Duct, Seat
from glasscan.flow.grid import Grid
from glasscan.flow.shapes import Shape

NO_OIL, DIRTY, CLEAN, MEDIUM, THROAT = range(5)
PER_TURN = 2 * np.pi  # the (r, z) solver works per radian


@dataclass(frozen=True)
class Opening:
    """An axial way in or out: plane z, from r0 to r1, m; `inward` +1 where +z enters the chamber."""

    z: float
    r0: float
    r1: float
    inward: int


@dataclass(frozen=True)
class AxialLayout:
    """Where the oil is: grid, regions, ports.

    Attributes:
        grid: axisymmetric grid whose lines run along all straight walls.
        dirty: region of the dirty chamber.
        clean: region of the clean chamber for a valve lift, m.
        inlet, outlet: ways in and out.
        bands: (z0, z1) of each element segment, m.
        r_dirty, r_clean: radii of the two faces of the element, m.
        passage: the way past the element, or None.
    """

    grid: Grid
    dirty: Shape
    clean: Callable[[float], Shape]
    inlet: Opening
    outlet: Opening
    bands: tuple[tuple[float, float], ...]
    r_dirty: float
    r_clean: float
    passage: Seat | Duct | None
