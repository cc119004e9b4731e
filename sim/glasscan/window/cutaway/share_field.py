"""How much of the oil in the clean side has passed no media: carried along the solved flow, cell by cell.

First-order upwind: each cell takes the mean of what flows into it. One sweep carries it on by one cell, so
the picture follows the flow within some frames. The scheme blurs streams on their way, which stands for the
mixing that the model does not solve.
"""

from __future__ import annotations

from typing import Any

import numpy as np

from glasscan.window.contract import CLEAN, DIRTY, THROAT, Array, Frame, Section

SWEEPS = 12  # in a frame that is one of many
SETTLED = 600  # for a picture that stands alone
STILL_M3S = 1e-12


class ShareField:
    """The unfiltered share of every cell, (nz, nr): 1 on the dirty side and in the valve, 0 in the media."""

    def __init__(self, section: Section) -> None:
        self.section: Any = section
        self.known = hasattr(section, "grid") and hasattr(section, "open_share")
        self._share: Array | None = None

    def look(self, frame: Frame, sweeps: int = SWEEPS) -> Array:
        """The share after some sweeps along a frame's flow, (nz, nr)."""
        region = np.asarray(frame.region).T
        fixed = np.where((region == DIRTY) | (region == THROAT), 1.0, 0.0)
        if not self.known:
            return np.asarray(fixed.T)
        if self._share is None or self._share.shape != region.shape:
            self._share, sweeps = fixed.copy(), SETTLED
        free = region == CLEAN
        inflow, whole = self._inflow(frame)
        moving = free & (whole > STILL_M3S)
        share = np.where(free, self._share, fixed)
        for _ in range(sweeps):
            carried = _carried(share, inflow)
            share = np.where(moving, carried / np.maximum(whole, STILL_M3S), share)
        self._share = share
        return np.asarray(share.T)

    def _inflow(self, frame: Any) -> tuple[tuple[Array, ...], Array]:
        """Flow into each cell through its four faces (inner, outer, lower, upper) and their sum, m3/s."""
        grid = self.section.grid
        nx, ny = grid.shape
        flux = frame.face_velocity * self.section.open_share(frame)
        across = flux[: (nx + 1) * ny].reshape(nx + 1, ny) * (
            2 * np.pi * grid.x[:, None] * np.diff(grid.y)[None]
        )
        along = flux[(nx + 1) * ny :].reshape(nx, ny + 1) * (np.pi * np.diff(grid.x**2)[:, None])
        faces = (
            np.maximum(across[:-1], 0.0), np.maximum(-across[1:], 0.0),
            np.maximum(along[:, :-1], 0.0), np.maximum(-along[:, 1:], 0.0),
        )  # fmt: skip
        return faces, np.asarray(sum(faces))


def _carried(share: Array, inflow: tuple[Array, ...]) -> Array:
    """What the four neighbours bring into each cell."""
    inner, outer, lower, upper = inflow
    brought = np.zeros_like(share)
    brought[1:] += inner[1:] * share[:-1]
    brought[:-1] += outer[:-1] * share[1:]
    brought[:, 1:] += lower[:, 1:] * share[:, :-1]
    brought[:, :-1] += upper[:, :-1] * share[:, 1:]
    return brought
