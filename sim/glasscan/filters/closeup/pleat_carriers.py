"""Points that drift through one unit of a pleat row: dirty channel, deposit and medium, clean channel.

In the channels the velocity is linear between the faces of a cell: free of divergence, with no part across a
wall; through deposit and medium the oil goes straight across with the flux of its piece (superficial
velocity). A point that leaves through one mouth starts again at the other.
"""

from __future__ import annotations

from functools import partial

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.carriers import DIRTY_OIL, FILTERED_OIL
from glasscan.filters.closeup.pleat_row import ChannelField, PleatFrame
from glasscan.filters.substeps import STEP_CELLS, let_pass
from glasscan.flow.grid import Floats

MOST_STEPS = 16  # sub-steps in one call


class PleatCarriers:
    """Points in the unit, y from the middle of the dirty channel.

    Args:
        frame: fields of the start.
        count: how many points.
        seed: of the places where they start.

    Attributes:
        positions_m: (count, 2) of (x, y), m, between channels as solved (stepped walls).
        kind: (count,) DIRTY_OIL or FILTERED_OIL.
        copy: (count,) random whole numbers: in which of the drawn copies of the unit a point is shown.
    """

    def __init__(self, frame: PleatFrame, count: int, seed: int = 0) -> None:
        self._random = np.random.default_rng(seed)
        length, unit = float(frame.x_edges_m[-1]), frame.unit_m
        self.positions_m = self._random.random((count, 2)) * np.array([length, unit])
        self.copy = self._random.integers(0, 1 << 16, count)
        self.kind = np.full(count, DIRTY_OIL)
        self._sort(frame)

    def step(self, frame: PleatFrame, dt_s: float) -> None:
        """Move every point for a time, s."""
        let_pass(dt_s, len(self.kind), partial(self._advance, frame), MOST_STEPS)
        self._sort(frame)

    def _advance(self, frame: PleatFrame, which: NDArray[np.int64], left: Floats) -> Floats:
        at = self.positions_m[which]
        velocity = velocity_at(frame, at)
        cell = np.array([frame.x_edges_m[1], frame.at_rest_m[0] / 12])
        dt = np.minimum(left, (STEP_CELLS * cell / np.maximum(np.abs(velocity), 1e-12)).min(axis=1))
        half = at + velocity * (dt / 2)[:, None]
        moved = at + velocity_at(frame, half) * dt[:, None]
        moved[:, 1] = frame.unit_m - np.abs(frame.unit_m - np.abs(moved[:, 1]))
        self.positions_m[which] = moved
        length = float(frame.x_edges_m[-1])
        gone = which[np.abs(moved[:, 0] - length / 2) >= length / 2 * (1 - 1e-9)]
        if len(gone):
            self._enter(frame, gone)
        return np.asarray(dt)

    def _enter(self, frame: PleatFrame, which: NDArray[np.int64]) -> None:
        """Put points at the mouth where oil comes in, spread as it does."""
        back = frame.flow_m2_s < 0
        field = frame.clean if back else frame.dirty
        share = np.abs(np.nan_to_num(field.u_m_s[-1 if back else 0])) * np.diff(field.y_edges_m)
        share = share / share.sum() if share.sum() > 0 else np.full(len(share), 1 / len(share))
        row = self._random.choice(len(share), size=len(which), p=share)
        y = field.y_edges_m[row] + self._random.random(len(which)) * np.diff(field.y_edges_m)[row]
        y = np.minimum(y, 0.999 * field.gap_m[-1 if back else 0])
        x = (0.1 + 0.9 * self._random.random(len(which))) * frame.x_edges_m[1]
        ends = (frame.x_edges_m[-1] - x, frame.unit_m - y) if back else (x, y)
        self.positions_m[which] = np.stack(ends, axis=1)

    def _sort(self, frame: PleatFrame) -> None:
        """Kind by place: filtered once past the middle of the medium."""
        surface = frame.surfaces(self.positions_m[:, 0])
        past = self.positions_m[:, 1] > (surface[1] + surface[2]) / 2
        self.kind = np.where(past, FILTERED_OIL, DIRTY_OIL)

    def drawn_m(self, frame: PleatFrame) -> Floats:
        """(count, 2) places stretched from the stepped walls as solved to the smooth ones as drawn."""
        x, y = self.positions_m.T
        dirty, clean = gaps_at(frame, x)
        cake, _, far = frame.surfaces(x)
        unit = frame.unit_m
        inside = cake + (y - dirty) / np.maximum(unit - clean - dirty, 1e-9) * (far - cake)
        out = np.where(y <= dirty, y / dirty * cake, inside)
        return np.stack(
            [x, np.where(y >= unit - clean, unit - (unit - y) / clean * (unit - far), out)], axis=1
        )


def gaps_at(frame: PleatFrame, x_m: Floats) -> tuple[Floats, Floats]:
    """Half widths as solved of the dirty and the clean channel at places along the depth, m."""
    count = len(frame.bend_m)
    piece = np.clip((x_m / frame.x_edges_m[-1] * count).astype(int), 0, count - 1)
    return frame.dirty.gap_m[piece], frame.clean.gap_m[piece]


def velocity_at(frame: PleatFrame, at: Floats) -> Floats:
    """Velocity (n, 2) at points (n, 2) of the unit, m/s."""
    x, y = at.T
    dirty, clean = gaps_at(frame, x)
    count = len(frame.bend_m)
    piece = np.clip((x / frame.x_edges_m[-1] * count).astype(int), 0, count - 1)
    out = np.stack([np.zeros(len(x)), frame.flow.flux_m_s[piece]], axis=1)
    low, high = y < dirty, y > frame.unit_m - clean
    out[low] = _in_channel(frame.x_edges_m, frame.dirty, x[low], y[low])
    out[high] = _in_channel(frame.x_edges_m, frame.clean, x[high], frame.unit_m - y[high]) * [1.0, -1.0]
    return out


def _in_channel(x_edges: Floats, field: ChannelField, x: Floats, y: Floats) -> Floats:
    """Velocity (n, 2) in a half channel, linear between the faces of each cell."""
    i = np.clip(np.searchsorted(x_edges, x, side="right") - 1, 0, len(x_edges) - 2)
    j = np.clip(np.searchsorted(field.y_edges_m, y, side="right") - 1, 0, len(field.y_edges_m) - 2)
    s = (x - x_edges[i]) / (x_edges[i + 1] - x_edges[i])
    t = (y - field.y_edges_m[j]) / (field.y_edges_m[j + 1] - field.y_edges_m[j])
    u = field.u_m_s[i, j] * (1 - s) + field.u_m_s[i + 1, j] * s
    v = field.v_m_s[i, j] * (1 - t) + field.v_m_s[i, j + 1] * t
    return np.stack([u, v], axis=1)
