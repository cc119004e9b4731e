"""A fine map of solid and oil: how far the next wall is, and where no body can be."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, label

from glasscan.debris.scene import Scene
from glasscan.filters.named_parts import Outline
from glasscan.filters.section import NO_OIL

Floats = NDArray[np.float64]
Mask = NDArray[np.bool_]
CELL_M = 2e-4  # of the map
DEEP_M = 3e-4  # inside a solid: a middle of a body found deeper than this is set back
LEAST_REACH_M = 3e-4  # a body may always go this far in one sub-step: less than half of the thinnest wall


class Walls:
    """Map of a scene on square cells.

    Attributes:
        free: (2, nr, nz) oil for a body that the media stop, in the right and the left half of the picture.
        distance_m: (2, nr, nz) from the middle of an oil cell to the nearest solid, medium or moving part.
    """

    def __init__(self, scene: Scene) -> None:
        self.scene = scene
        self._r = np.arange(0.0, scene.r_edges_m[-1] + CELL_M, CELL_M) + CELL_M / 2
        self._z0 = float(scene.z_edges_m[0])
        self._z = np.arange(self._z0, scene.z_edges_m[-1] + CELL_M, CELL_M) + CELL_M / 2
        solid = self._covered([w.outline for w in scene.walls])
        media = self._covered(list(scene.media))
        right = self._with_oil(~(solid | media))
        left = right & ~self._covered([w.outline for w in scene.left_walls])
        self.free = np.stack([right, left])
        swept = self._swept()
        self.distance_m = self._both(lambda free: np.maximum(0.0, _inside_m(free & ~swept) - CELL_M / 2))
        self._deep = self._both(lambda free: _inside_m(~free) > DEEP_M)
        self._deep_small = self._both(lambda free: _inside_m(~(free | media & ~solid)) > DEEP_M)

    def _both(self, map_of: Callable[[Mask], NDArray[Any]]) -> NDArray[Any]:
        """A map for each half of the picture; they are one where both halves are alike."""
        right = map_of(self.free[0])
        alike = not self.scene.left_walls
        return np.stack([right, right if alike else map_of(self.free[1])])

    def reach_m(self, at: Floats, left: Mask) -> Floats:
        """(n,) how far bodies at points (n, 2) may go in one sub-step without passing a wall, m."""
        i, j = self._cells(at)
        return np.maximum(LEAST_REACH_M, 0.9 * self.distance_m[left.astype(np.int64), i, j])

    def misplaced(self, at: Floats, small: Mask, left: Mask) -> Mask:
        """(n,) bodies whose middle is deep in a solid or beyond the map; `small` ones pass the media."""
        i, j = self._cells(at)
        half = left.astype(np.int64)
        deep = np.where(small, self._deep_small[half, i, j], self._deep[half, i, j])
        beyond = (at[:, 0] > self._r[-1]) | (at[:, 1] > self._z[-1]) | (at[:, 1] < self._z0 - CELL_M)
        return np.asarray(deep | beyond)

    def codes(self, at: Floats) -> NDArray[np.int8]:
        """(n,) kind of place of points (n, 2), see `glasscan.filters.section`."""
        scene = self.scene
        i = np.clip(np.searchsorted(scene.r_edges_m, at[:, 0]) - 1, 0, scene.region.shape[0] - 1)
        j = np.clip(np.searchsorted(scene.z_edges_m, at[:, 1]) - 1, 0, scene.region.shape[1] - 1)
        return np.asarray(scene.region[i, j])

    def spots(
        self, box: tuple[float, float, float, float], clearance_m: float, code: int | None, left: bool
    ) -> Floats:
        """(m, 2) middles of oil cells in a box (r0, r1, z0, z1), clear of walls, of one kind of place."""
        r0, r1, z0, z1 = box
        inside = (self._r >= r0)[:, None] & (self._r <= r1)[:, None] & (self._z >= z0) & (self._z <= z1)
        half = int(left)
        i, j = np.nonzero(inside & self.free[half] & (self.distance_m[half] >= clearance_m))
        at = np.stack([self._r[i], self._z[j]], axis=1)
        return at if code is None else at[self.codes(at) == code]

    def _cells(self, at: Floats) -> tuple[NDArray[np.int64], NDArray[np.int64]]:
        i = np.clip((np.abs(at[:, 0]) / CELL_M).astype(np.int64), 0, len(self._r) - 1)
        j = np.clip(((at[:, 1] - self._z0) / CELL_M).astype(np.int64), 0, len(self._z) - 1)
        return i, j

    def _covered(self, outlines: list[Outline]) -> Mask:
        mask = np.zeros((len(self._r), len(self._z)), dtype=np.bool_)
        r, z = np.meshgrid(self._r, self._z, indexing="ij")
        for outline in outlines:
            mask |= inside_outline(outline, r, z)
        return mask

    def _with_oil(self, open_: Mask) -> Mask:
        """The connected open places that are mostly oil in the section; the air round the filter is not."""
        names, count = _labels(open_)
        r, z = np.meshgrid(self._r, self._z, indexing="ij")
        oil = self.codes(np.stack([r.ravel(), z.ravel()], axis=1)).reshape(r.shape) != NO_OIL
        cells = np.bincount(names.ravel(), minlength=count + 1)
        wet = np.bincount(names[oil], minlength=count + 1)
        keep = wet > cells / 2
        keep[0] = False
        return np.asarray(keep[names])

    def _swept(self) -> Mask:
        """Where the valve is, shut and wide open."""
        scene, way = self.scene, np.array(self.scene.way)
        return self._covered([m + way * lift for m in scene.movers for lift in (0.0, scene.max_lift_m)])


def inside_outline(outline: Outline, r: Floats, z: Floats) -> Mask:
    """Which points lie inside a closed polygon (even-odd rule)."""
    inside = np.zeros(r.shape, dtype=np.bool_)
    for (r0, z0), (r1, z1) in zip(outline, np.roll(outline, -1, axis=0), strict=True):
        if z0 == z1:
            continue
        spans = (z0 > z) != (z1 > z)
        inside ^= spans & (r < r0 + (z - z0) * (r1 - r0) / (z1 - z0))
    return inside


def _inside_m(mask: Mask) -> Floats:
    """Distance of the cells of a mask from its outside, m."""
    return np.asarray(distance_transform_edt(mask, sampling=CELL_M), dtype=float)


def _labels(mask: Mask) -> tuple[NDArray[np.int32], int]:
    found: Any = label(mask)
    return found[0], int(found[1])
