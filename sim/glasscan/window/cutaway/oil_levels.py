"""How high the oil stands in the filter, from the volumes of the rig and the geometry of the section.

The dirty side holds the share of its volume that the rig says: its surface lies where that volume ends. The
clean side stands as high as the pressure at the outlet carries it, where the outlet is at its foot; where the
outlet is on top, oil that is in the centre stays there unless the dirty side has run out below it.

A spin-on that hangs dome down, or level, is drawn as ever: up on the engine is then down, or to the right, in
the picture, and a height is measured that way.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

import numpy as np

from glasscan.filters.hanging import below_plane
from glasscan.laws.drag import GRAVITY_M_S2
from glasscan.rig.records import Snapshot
from glasscan.window.contract import CLEAN, DIRTY, MEDIUM, THROAT, Array, Frame, Section

FULL = 0.9995  # a dirty side filled to this share holds no air that could be seen
ACROSS = 201  # heights at which the volume below is worked out, of a filter hung level
HELD = 0.995  # passages filled to this share hold the oil of the centre by themselves


@dataclass(frozen=True)
class Levels:
    """Heights of the surfaces, m; infinite where the place is full.

    Measured along the section's z; hung dome down along -z, hung level along x, to the right of the axis.
    """

    dirty_z: float = np.inf
    clean_z: float = np.inf
    hangs: str = "dome-up"

    @property
    def full(self) -> bool:
        """True where no air is to be drawn."""
        return bool(np.isinf(self.dirty_z) and np.isinf(self.clean_z))

    def dry(self, region: Array, z: Array, x: Array | float = 0.0) -> Array:
        """Which places lie in air, by region code, z and distance to the right of the axis, m."""
        up = {"dome-up": z, "dome-down": -np.asarray(z)}.get(self.hangs, x)
        dirty_side = (region == DIRTY) | (region == MEDIUM) | (region == THROAT)
        clean = region == CLEAN
        return np.asarray((dirty_side & (up > self.dirty_z)) | (clean & (up > self.clean_z)))


class OilLevels:
    """Levels of one section."""

    def __init__(self, section: Section, frame: Frame) -> None:
        self._section, self._region = section, np.asarray(frame.region)
        self.hangs: str = getattr(section, "hangs", "dome-up")
        ways = section.layout
        self.outlet_low = abs(ways.outlet.z - float(section.z_edges_m[0])) < abs(
            ways.outlet.z - float(section.z_edges_m[-1])
        )

    @cached_property
    def _by_height(self) -> dict[str, tuple[Array, Array]]:
        """Heights, rising, and the share of the volume below each, of both sides."""
        r, z = np.asarray(self._section.r_edges_m), np.asarray(self._section.z_edges_m)
        ring = np.pi * np.diff(r**2)[None, :] * np.diff(z)[:, None]
        sides = {"dirty": (DIRTY, MEDIUM), "clean": (CLEAN,)}
        found = {}
        for name, codes in sides.items():
            held = ring * np.isin(self._region, codes)
            if self.hangs == "level":
                found[name] = _across(r, held.sum(axis=0))
                continue
            share = np.concatenate([[0.0], np.cumsum(held.sum(axis=1))])
            share /= max(float(share[-1]), 1e-30)
            found[name] = (-z[::-1], 1.0 - share[::-1]) if self.hangs == "dome-down" else (z, share)
        return found

    def ends(self, side: str) -> tuple[float, float]:
        """Lowest and highest oil of a side, "dirty" or "clean", m."""
        z, share = self._by_height[side]
        first = int(np.searchsorted(share, 1e-12, side="right")) - 1
        return float(z[max(first, 0)]), float(z[int(np.argmax(share >= 1.0 - 1e-12))])

    def height(self, side: str, share: float) -> float:
        """Height below which a share of the volume of a side lies, m."""
        z, below = self._by_height[side]
        return float(np.interp(share, below, z))

    def of(self, s: Snapshot) -> Levels:
        """Levels of a moment."""
        fill = s.readings.get("can_fill", 1.0)
        dirty = np.inf if fill >= FULL else self.height("dirty", fill)
        return Levels(dirty, self._clean_z(s, dirty), self.hangs)

    def _clean_z(self, s: Snapshot, dirty_z: float) -> float:
        low, high = self.ends("clean")
        if self.hangs == "level":  # the outlet lies in the middle: what is above it runs into the passages
            return np.inf if s.gallery_fill >= HELD else dirty_z
        if not self.outlet_low or self.hangs == "dome-down":
            return dirty_z if dirty_z < high else np.inf
        carried = low + max(s.outlet_pa, 0.0) / (s.rho_kg_m3 * GRAVITY_M_S2)
        return np.inf if carried >= high or s.gallery_fill >= HELD else carried


def _across(r_edges_m: Array, rings: Array) -> tuple[Array, Array]:
    """Heights across a level axis, m, and the share of the rings' volume below each."""
    heights = np.linspace(-r_edges_m[-1], r_edges_m[-1], ACROSS)
    middle = 0.5 * (r_edges_m[1:] + r_edges_m[:-1])
    share = np.array([float((rings * below_plane(float(h), middle)).sum()) for h in heights])
    return heights, share / max(float(share[-1]), 1e-30)
