"""How high the oil stands in the filter, from the volumes of the rig and the geometry of the section.

The dirty side holds the share of its volume that the rig says: its surface lies where that volume ends. The
clean side stands as high as the pressure at the outlet carries it, where the outlet is at its foot; where the
outlet is on top, oil that is in the centre stays there unless the dirty side has run out below it.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from glasscan.laws.drag import GRAVITY_M_S2
from glasscan.rig.records import Snapshot
from glasscan.window.contract import CLEAN, DIRTY, MEDIUM, THROAT, Array, Frame, Section

FULL = 0.9995  # a dirty side filled to this share holds no air that could be seen
HELD = 0.995  # passages filled to this share hold the oil of the centre by themselves


@dataclass(frozen=True)
class Levels:
    """Heights of the surfaces, m in the section's z; infinite where the place is full."""

    dirty_z: float = np.inf
    clean_z: float = np.inf

    @property
    def full(self) -> bool:
        """True where no air is to be drawn."""
        return bool(np.isinf(self.dirty_z) and np.isinf(self.clean_z))

    def dry(self, region: Array, z: Array) -> Array:
        """Which places lie in air, by region code and height, m."""
        dirty_side = (region == DIRTY) | (region == MEDIUM) | (region == THROAT)
        clean = region == CLEAN
        return np.asarray((dirty_side & (z > self.dirty_z)) | (clean & (z > self.clean_z)))


class OilLevels:
    """Levels of one section."""

    def __init__(self, section: Section, frame: Frame) -> None:
        self._section, self._region = section, np.asarray(frame.region)
        ways = section.layout
        self.outlet_low = abs(ways.outlet.z - float(section.z_edges_m[0])) < abs(
            ways.outlet.z - float(section.z_edges_m[-1])
        )

    @cached_property
    def _by_height(self) -> dict[str, tuple[Array, Array]]:
        """Upper edges of the rows and the share of the volume below each, of both sides."""
        r, z = np.asarray(self._section.r_edges_m), np.asarray(self._section.z_edges_m)
        ring = np.pi * np.diff(r**2)[None, :] * np.diff(z)[:, None]
        sides = {"dirty": (DIRTY, MEDIUM), "clean": (CLEAN,)}
        found = {}
        for name, codes in sides.items():
            rows = (ring * np.isin(self._region, codes)).sum(axis=1)
            share = np.concatenate([[0.0], np.cumsum(rows)])
            found[name] = z, share / max(float(share[-1]), 1e-30)
        return found

    def ends(self, side: str) -> tuple[float, float]:
        """Lowest and highest oil of a side, "dirty" or "clean", m."""
        z, share = self._by_height[side]
        first = int(np.searchsorted(share, 0.0, side="right")) - 1
        return float(z[max(first, 0)]), float(z[int(np.argmax(share >= 1.0 - 1e-12))])

    def height(self, side: str, share: float) -> float:
        """Height below which a share of the volume of a side lies, m."""
        z, below = self._by_height[side]
        return float(np.interp(share, below, z))

    def of(self, s: Snapshot) -> Levels:
        """Levels of a moment."""
        fill = s.readings.get("can_fill", 1.0)
        dirty = np.inf if fill >= FULL else self.height("dirty", fill)
        return Levels(dirty, self._clean_z(s, dirty))

    def _clean_z(self, s: Snapshot, dirty_z: float) -> float:
        low, high = self.ends("clean")
        if not self.outlet_low:
            return dirty_z if dirty_z < high else np.inf
        carried = low + max(s.outlet_pa, 0.0) / (s.rho_kg_m3 * GRAVITY_M_S2)
        return np.inf if carried >= high or s.gallery_fill >= HELD else carried
