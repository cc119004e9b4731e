"""Flow inwards through the gap between two flat rings, in the plane of the gap (Hele-Shaw, lubrication).

`div(h^3/(12 mu) grad p) = 0` on a polar grid, finite volumes; exact logarithms along r between cells, so
plain radial flow is met to rounding. Walls in the gap (arms of the separator, the blade) shut part of a
cell: they narrow it, and what is wholly shut carries nothing. Each sector is fed at the rim through a
resistance of its own, its deposit. All per unit viscosity; creeping flow, inertia left out.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import scipy.sparse as sp
from numpy.typing import NDArray
from scipy.sparse.linalg import spsolve

from glasscan.flow.grid import Floats

LEAST_OPEN = 1e-3  # of a cell: less counts as shut


@dataclass(frozen=True)
class Ring:
    """Polar grid of a gap.

    Attributes:
        r_edges_m: (nr+1,) rising radii.
        sectors: number of equal sectors.
        gap_m: height of the gap.
    """

    r_edges_m: Floats
    sectors: int
    gap_m: float

    @property
    def step_rad(self) -> float:
        """Angle of one sector, rad."""
        return 2 * np.pi / self.sectors

    @property
    def r_mid_m(self) -> Floats:
        """(nr,) middles of the cells (geometric, where plain radial flow has the mean pressure), m."""
        return np.asarray(np.sqrt(self.r_edges_m[1:] * self.r_edges_m[:-1]), dtype=np.float64)

    @property
    def angles_rad(self) -> Floats:
        """(sectors,) middles of the sectors."""
        return np.asarray((np.arange(self.sectors) + 0.5) * self.step_rad, dtype=np.float64)


@dataclass(frozen=True)
class GapFlow:
    """Solution for 1 m3/s inwards, over the viscosity; pressures over that at the hole.

    Attributes:
        resistance_1_m3: outer pressure over viscosity and flow.
        pressure: (sectors, nr), 1/m3, NaN where a wall fills the gap.
        inward: (sectors, nr+1) flow across each ring line of a sector, m3/s.
        around: (sectors, nr) flow from each sector into the next (rising angle), m3/s.
    """

    resistance_1_m3: float
    pressure: Floats
    inward: Floats
    around: Floats


def solve_gap(ring: Ring, open_share: Floats, rim_1_m3: Floats) -> GapFlow:
    """Solve the gap for a uniform pressure outside and another in the hole.

    Args:
        ring: the grid.
        open_share: (sectors, nr) open part of each cell, 0..1.
        rim_1_m3: (sectors,) resistance of each sector's deposit over viscosity, for its whole width; infinite
            where the rim is shut.

    Raises:
        ValueError: nothing can pass.
    """
    share = np.where(open_share < LEAST_OPEN, 0.0, open_share)
    radial, rim, hole, around = _conductances(ring, share, rim_1_m3)
    n, nr = share.shape
    number = np.arange(n * nr).reshape(n, nr)
    links = [
        (number[:, :-1].ravel(), number[:, 1:].ravel(), radial.ravel()),
        (number.ravel(), np.roll(number, -1, axis=0).ravel(), around.ravel()),
    ]
    a, b, g = (np.concatenate(parts) for parts in zip(*links, strict=True))
    own = np.zeros(n * nr)
    own[number[:, 0]] += hole
    own[number[:, -1]] += rim
    wet = _wet(n * nr, (a, b, g), own > 0)
    laplace = sp.csr_matrix(
        (np.r_[g, g, -g, -g], (np.r_[a, b, a, b], np.r_[a, b, b, a])), shape=(n * nr,) * 2
    )
    push = np.zeros(n * nr)
    push[number[:, -1]] = rim
    p = np.full(n * nr, np.nan)
    p[wet] = spsolve((laplace + sp.diags(own)).tocsc()[wet][:, wet], push[wet])
    return _flows(p.reshape(n, nr), (radial, rim, hole, around))


def _conductances(ring: Ring, share: Floats, rim_1_m3: Floats) -> tuple[Floats, Floats, Floats, Floats]:
    """Between cells along r, from outside, to the hole, and to the next sector, all times viscosity, m3."""
    unit = ring.gap_m**3 / 12
    edges, mid = ring.r_edges_m, ring.r_mid_m
    width = unit * ring.step_rad
    inner, outer = width / np.log(mid / edges[:-1]), width / np.log(edges[1:] / mid)
    radial = _series(outer[:-1] * share[:, :-1], inner[1:] * share[:, 1:])
    half_out = outer[-1] * share[:, -1]
    with np.errstate(divide="ignore"):
        rim = np.where(half_out > 0, 1 / (1 / half_out + rim_1_m3), 0.0)
    span = unit * np.log(edges[1:] / edges[:-1]) / ring.step_rad
    ahead = np.roll(share, -1, axis=0)
    around = span * np.where((share > 0) & (ahead > 0), np.minimum(share, ahead), 0.0)
    return radial, rim, inner[0] * share[:, 0], around


def _series(a: Floats, b: Floats) -> Floats:
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where((a > 0) & (b > 0), a * b / (a + b), 0.0)


def _wet(count: int, links: tuple[Floats, Floats, Floats], fixed: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Cells joined to outside or hole: the pressure of the others is no one's."""
    a, b, g = links
    joined = sp.csr_matrix((np.ones(int((g > 0).sum())), (a[g > 0], b[g > 0])), shape=(count, count))
    label = sp.csgraph.connected_components(joined, directed=False)[1]
    return np.asarray(np.flatnonzero(np.isin(label, np.unique(label[fixed]))), np.int64)


def _flows(p: Floats, conductances: tuple[Floats, Floats, Floats, Floats]) -> GapFlow:
    """Flows for a unit pressure outside, scaled to a unit flow."""
    radial, rim, hole, around = conductances
    q = np.nan_to_num(p)
    parts = (hole * q[:, 0])[:, None], radial * (q[:, 1:] - q[:, :-1]), (rim * (1 - q[:, -1]))[:, None]
    inward = np.concatenate(parts, axis=1)
    total = float(inward[:, -1].sum())
    if not total > 0:
        raise ValueError("nothing can pass: the whole gap is shut")
    turning = around * (q - np.roll(q, -1, axis=0))
    return GapFlow(1 / total, p / total, inward / total, turning / total)
