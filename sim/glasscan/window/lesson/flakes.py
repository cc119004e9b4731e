"""Scraped cake as flakes on its way from the comb to the bowl: a function of the run so far, nothing more.

A flake is born whenever the blades have taken off its mass. It sinks in the lee of the blade post, where the
oil hardly moves, at its own terminal speed, in the time of the rig: it is not slowed as the marks of the oil
are.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import numpy as np

from glasscan.rig.records import Snapshot
from glasscan.window.contract import Array, Section

if TYPE_CHECKING:
    from glasscan.window.cutaway.heap import SludgeBed

FLAKE_KG = 5e-5  # scraped cake that one drawn flake stands for
SIZE_M = (
    1.2e-3,
    2.5e-3,
)  # longest side of the drawn ones: the upper part of what the catalogue gives for cake
FLAT = 0.3  # thickness over the longest side, as in the catalogue
BESIDE_M = (6e-4, 3e-3)  # they fall between the edge of the discs and so far beyond the post
SPIN_RAD_S = 1.5  # fastest slow roll of a sinking flake; to the eye only
CORNERS = 7
DRAINED = "bowl-drained"


@dataclass(frozen=True)
class Flakes:
    """What is drawn of the falling cake: corners (n, k, 2) in (r, z), m, and its mass, kg."""

    outlines: Array
    falling_kg: float


NO_FLAKES = Flakes(np.zeros((0, CORNERS, 2)), 0.0)


class FallingCake:
    """The flakes of one session.

    Args:
        section: solved section of a filter with a scraper.
        seed: of sizes, shapes and places.
    """

    def __init__(self, section: Any, seed: int = 0) -> None:
        from glasscan.debris.debris_data import catalogue

        self._section, self._seed = section, seed
        self._cake = catalogue().material(catalogue().kind("cake-flake"))
        self._sinks = 1.0 - section.network.dirt_side.scraper.loose_share
        post = np.vstack([np.asarray(o) for p in section.parts if p.key == "blade-post" for o in p.outlines])
        self._r = section.layout.r_dirty + BESIDE_M[0], float(post[:, 0].max()) + BESIDE_M[1]
        self._z = section.layout.bands[0][0], section.layout.bands[-1][1]
        self._born_s: list[float] = []
        self._pace: list[float] = []
        self._last = (0.0, 0.0)
        self._bed: SludgeBed | None = None
        self._heap: tuple[int, tuple[Array, Array]] | None = None

    def look(self, s: Snapshot) -> None:
        """Take in a moment of the run: flakes are born as the blades have gone on."""
        if s.t_s <= self._last[0]:
            return  # a moment that has been seen before
        cake_kg = s.readings.get("combed_kg", 0.0) * self._sinks
        there = int(cake_kg / FLAKE_KG)
        (t0, m0), new = self._last, np.arange(len(self._born_s), there)
        if len(new):
            share = np.clip(((new + 1) * FLAKE_KG - m0) / max(cake_kg - m0, 1e-12), 0.0, 1.0)
            self._born_s += (t0 + share * (s.t_s - t0)).tolist()
            self._pace += self._sinking_m_s(new, s).tolist()
        self._last = s.t_s, cake_kg

    def cut(self, s: Snapshot) -> None:
        """Forget the births after a moment: the run will be another one from there."""
        keep = bisect_right(self._born_s, s.t_s)
        del self._born_s[keep:], self._pace[keep:]
        self._last = s.t_s, s.readings.get("combed_kg", 0.0) * self._sinks

    def _sinking_m_s(self, which: Array, s: Snapshot) -> Array:
        """Terminal speed of some flakes in the oil of a moment, m/s."""
        from glasscan.debris.settling import plate_factor, settling_m_s

        size = self._drawn(which)[:, 0]
        sphere = size * (1.5 * FLAT) ** (1 / 3)  # of the volume of a disc
        density = np.full(len(which), self._cake.density_kg_m3)
        factor = np.full(len(which), plate_factor(1 / FLAT))
        return np.asarray(settling_m_s(sphere, density, factor, s.rho_kg_m3, s.mu_pa_s))

    def _drawn(self, which: Array) -> Array:
        """(n, 5) size, m, place r and z, m, first turn, rad, and roll, rad/s, of flakes by number."""
        low = np.array([SIZE_M[0], self._r[0], self._z[0], 0.0, -SPIN_RAD_S])
        high = np.array([SIZE_M[1], self._r[1], self._z[1], 2 * np.pi, SPIN_RAD_S])
        even = np.modf((np.asarray(which)[:, None] + 1 + self._seed) * GOLDEN)[0]
        return np.asarray(low + even * (high - low))

    def now(self, s: Snapshot, since_s: float = 0.0) -> Flakes:
        """The flakes that fall at a moment; what fell before the bowl was drained at `since_s` is gone.

        Call `look` with that moment first.
        """
        born = bisect_right(self._born_s, s.t_s)
        rest = max(s.readings.get("combed_kg", 0.0) * self._sinks - born * FLAKE_KG, 0.0)
        first = bisect_right(self._born_s, since_s)
        if first >= born:
            return Flakes(NO_FLAKES.outlines, rest)
        which = np.arange(first, born)
        size, r, z, turn, roll = self._drawn(which).T
        age = s.t_s - np.array(self._born_s[first:born])
        at = np.stack([r, z - age * np.array(self._pace[first:born])], axis=1)
        falling = at[:, 1] > np.interp(r, *self._surface(s.readings.get("sludge_m3", 0.0)))
        outlines = _outlines(which[falling], size[falling], at[falling], (turn + roll * age)[falling])
        return Flakes(outlines, rest + FLAKE_KG * int(falling.sum()))

    def _surface(self, volume_m3: float) -> tuple[Array, Array]:
        """Radii and heights of the heap's surface for about a volume, m."""
        from glasscan.window.cutaway.heap import SludgeBed

        if self._bed is None:
            self._bed = SludgeBed(self._section)
        key = round(volume_m3 * 1e7)
        if self._heap is None or self._heap[0] != key:
            self._heap = key, self._bed.surface(key * 1e-7)
        return self._heap[1]


GOLDEN = np.array([0.6180339887, 0.7548776662, 0.5698402910, 0.8191725134, 0.6710436067])
"""Steps of low-discrepancy sequences (powers of 1/golden ratio and its kin): flakes never fall in clumps."""


def _outlines(which: Array, size: Array, at: Array, turn: Array) -> Array:
    """(n, CORNERS, 2) ragged thin plates in (r, z), m."""
    angle = 2 * np.pi * np.arange(CORNERS) / CORNERS
    ragged = 0.8 + 0.2 * np.cos(3.1 * which[:, None] + 2.3 * np.arange(CORNERS)[None, :])
    x = ragged * np.cos(angle) * size[:, None] / 2
    y = ragged * np.sin(angle) * size[:, None] * FLAT / 2 * 1.6
    c, s = np.cos(turn)[:, None], np.sin(turn)[:, None]
    return np.stack([at[:, :1] + c * x - s * y, at[:, 1:] + s * x + c * y], axis=2)


def falling_cake(section: Section, seed: int) -> FallingCake | None:
    """The flakes of a filter; None where it has no scraper or its section is not solved."""
    network = getattr(section, "network", None)
    has = network is not None and network.dirt_side.scraper is not None
    return FallingCake(section, seed) if has else None
