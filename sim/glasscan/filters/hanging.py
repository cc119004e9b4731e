"""How a filter hangs on its engine, and how much of its dirty side cannot run out that way at rest.

Oil at rest leaves the dirty side by its way in, and only what stands above the lowest edge of that: oil does
not run upwards. A spin-on is drawn dome up, as the section lies; a bowl hangs under its head.
"""

from __future__ import annotations

from typing import Literal, get_args

import numpy as np

from glasscan.filters.layout import DIRTY, MEDIUM, Opening, Way
from glasscan.flow.grid import Floats

Hangs = Literal["dome-up", "dome-down", "level"]
HANGS: tuple[Hangs, ...] = get_args(Hangs)


def below_plane(height_m: float, r_m: Floats) -> Floats:
    """Share of each ring about a level axis that lies below a level plane; the axis is at height 0, m."""
    return np.asarray(1.0 - np.arccos(np.clip(height_m / np.maximum(r_m, 1e-9), -1.0, 1.0)) / np.pi)


def kept_share(hangs: Hangs, region: np.ndarray, r_edges_m: Floats, z_edges_m: Floats, inlet: Way) -> float:
    """Share of the dirty side and its medium that lies below the lowest edge of the way in, 0..1.

    Args:
        hangs: how the filter hangs; the section's +z is up for "dome-up".
        region: (nr, nz) kind of place of each cell.
        r_edges_m, z_edges_m: edges of the cells, m.
        inlet: way into the dirty side.
    """
    ring = (
        np.pi
        * np.diff(r_edges_m**2)[:, None]
        * np.diff(z_edges_m)[None, :]
        * np.isin(region, (DIRTY, MEDIUM))
    )
    r, z = (0.5 * (edges[1:] + edges[:-1]) for edges in (r_edges_m, z_edges_m))
    low, high = (inlet.z, inlet.z) if isinstance(inlet, Opening) else (inlet.z0, inlet.z1)
    if hangs == "level":
        kept = (ring * below_plane(-inlet.r1, r)[:, None]).sum()
    else:
        kept = ring[:, z < low].sum() if hangs == "dome-up" else ring[:, z > high].sum()
    return float(kept / ring.sum())
