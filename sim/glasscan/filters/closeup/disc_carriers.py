"""Points that drift inwards through the deposit and the gap of a disc face, in the frame of the disc."""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.carriers import DIRTY_OIL, FILTERED_OIL
from glasscan.filters.closeup.disc_face import DiscFrame
from glasscan.filters.substeps import STEP_CELLS, let_pass
from glasscan.flow.grid import Floats
from glasscan.laws.combing import TURN

MOST_STEPS = 16  # sub-steps in one call
START_M = 1.5e-3  # before the deposit, where the oil of the bowl converges on the rim
HAIR = 1e-3


class DiscCarriers:
    """Points in polar coordinates.

    Args:
        frame: fields of the start.
        count: how many points.
        seed: of the places where they start.

    Attributes:
        polar: (2, count) radius, m, and angle on the disc, rad.
        kind: (count,) DIRTY_OIL outside the rim, FILTERED_OIL inside.
    """

    def __init__(self, frame: DiscFrame, count: int, seed: int = 0) -> None:
        self._random = np.random.default_rng(seed)
        self.polar = np.zeros((2, count))
        self._enter(frame, np.arange(count))
        ri, ro = frame.ring.r_edges_m[[0, -1]]
        self.polar[0] = np.sqrt(self._random.uniform(ri**2, (ro + START_M) ** 2, count))
        self._enter(frame, np.flatnonzero(in_wall(frame, self.polar)))
        self._sort(frame)

    def step(self, frame: DiscFrame, dt_s: float) -> None:
        """Move every point for a time, s; what reaches hole or metal starts again outside."""
        let_pass(dt_s, len(self.kind), partial(self._advance, frame), MOST_STEPS)
        self._sort(frame)

    def _advance(self, frame: DiscFrame, which: NDArray[np.int64], left: Floats) -> Floats:
        ring, at = frame.ring, self.polar[:, which]
        speed = polar_velocity(frame, at)
        reach = np.array([[np.diff(ring.r_edges_m).min()], [ring.step_rad]]) * STEP_CELLS
        dt = np.minimum(left, (reach / np.maximum(np.abs(speed), 1e-12)).min(axis=0))
        moved = at + polar_velocity(frame, at + speed * dt / 2) * dt
        self.polar[0, which], self.polar[1, which] = moved[0], moved[1] % TURN
        out = (moved[0] <= ring.r_edges_m[0] * (1 + HAIR)) | (moved[0] > ring.r_edges_m[-1] + START_M)
        gone = which[out | in_wall(frame, moved)]
        if len(gone):
            self._enter(frame, gone)
        return np.asarray(dt)

    def _enter(self, frame: DiscFrame, which: NDArray[np.int64]) -> None:
        """Put points before the deposit (or in the hole, where oil runs back), spread as the oil enters."""
        ring = frame.ring
        back = frame.inward_m3s[:, 0].sum() < 0
        share = np.abs(frame.inward_m3s[:, 0 if back else -1])
        share = share / share.sum() if share.sum() > 0 else np.full(ring.sectors, 1 / ring.sectors)
        sector = self._random.choice(ring.sectors, size=len(which), p=share)
        self.polar[1, which] = (sector + self._random.random(len(which))) * ring.step_rad
        start = ring.r_edges_m[-1] + START_M * (0.89 + 0.1 * self._random.random(len(which)))
        self.polar[0, which] = ring.r_edges_m[0] * (1 + 2 * HAIR) if back else start

    def _sort(self, frame: DiscFrame) -> None:
        outside = self.polar[0] > frame.ring.r_edges_m[-1]
        self.kind = np.where(outside, DIRTY_OIL, FILTERED_OIL)

    def drawn_m(self, frame: DiscFrame) -> Floats:
        """(count, 2) places in the fixed frame (x right, y up), m."""
        angle = self.polar[1] + frame.turned_rad
        return np.stack([self.polar[0] * np.cos(angle), self.polar[0] * np.sin(angle)], axis=1)


def polar_velocity(frame: DiscFrame, at: Floats) -> Floats:
    """(2, n) speed along r, m/s, and of turning, rad/s: means over the gap's height at (2, n) points."""
    ring, (r, angle) = frame.ring, at
    edges = ring.r_edges_m
    i = np.clip(np.searchsorted(edges, r, side="right") - 1, 0, len(edges) - 2)
    k = (angle % TURN // ring.step_rad).astype(int) % ring.sectors
    t = np.clip((r - edges[i]) / (edges[i + 1] - edges[i]), 0.0, 1.0)
    inward = frame.inward_m3s[k, i] * (1 - t) + frame.inward_m3s[k, i + 1] * t
    s = angle % TURN / ring.step_rad - k
    around = frame.around_m3s[k - 1, i] * (1 - s) + frame.around_m3s[k, i] * s
    around = np.where(r > edges[-1], 0.0, around)
    width = np.maximum(frame.open_share[k, i], 0.05) * ring.step_rad * r
    across = (edges[i + 1] - edges[i]) * r
    return np.stack([-inward / (width * ring.gap_m), around / (across * ring.gap_m)])


def in_wall(frame: DiscFrame, at: Floats) -> NDArray[np.bool_]:
    """Which points (2, n) lie in a cell that is shut for the most part."""
    ring, (r, angle) = frame.ring, at
    edges = ring.r_edges_m
    i = np.clip(np.searchsorted(edges, r, side="right") - 1, 0, len(edges) - 2)
    k = (angle % TURN // ring.step_rad).astype(int) % ring.sectors
    return np.asarray((frame.open_share[k, i] < 0.5) & (r <= edges[-1]))
