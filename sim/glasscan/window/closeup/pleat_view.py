"""Where a row of pleats lies on the screen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.filters.closeup.pleat_row import PleatRow
from glasscan.window.contract import Array

BEFORE_M = 1.5e-3  # oil shown outside the outer folds
GAP_M = 0.5e-3  # from the inner folds to the centre tube
AFTER_M = 0.8e-3  # inside of the centre tube shown


@dataclass(frozen=True)
class PleatView:
    """Where the row lies: x = 0 at `zero_x`, the middle of a dirty channel at `middle_y`, px.

    Attributes:
        unit_px: distance from that middle to the next clean one, whole pixels.
        px_m: pixels per metre.
        area: where it is drawn.
    """

    zero_x: int
    middle_y: int
    unit_px: int
    px_m: float
    area: pygame.Rect

    def points(self, xy_m: Array, copy: Array) -> Array:
        """(n, 2) pixels of points of the unit, m, in copies 0, 1, ... of it counted from the middle out."""
        upward = np.where(copy % 2 == 0, 1, -1)
        number = copy // 2
        y = np.where(
            number % 2 == 0, number * self.unit_px + xy_m[:, 1] * self.px_m,
            (number + 1) * self.unit_px - xy_m[:, 1] * self.px_m,
        )  # fmt: skip
        return np.stack([self.zero_x + xy_m[:, 0] * self.px_m, self.middle_y - upward * y], axis=1)


def view(row: PleatRow, area: pygame.Rect) -> PleatView:
    """The row from outside its folds to inside the centre tube over the width of `area`."""
    core = row.element.core_mm * 1e-3
    whole = BEFORE_M + row.length_m + 2 * row.medium_m + GAP_M + core + AFTER_M
    unit_px = max(8, int(area.w / whole * row.unit_m))
    px_m = unit_px / row.unit_m
    spare = area.w - whole * px_m
    zero = area.x + spare / 2 + (BEFORE_M + row.medium_m) * px_m
    return PleatView(round(zero), area.centery, unit_px, px_m, area)
