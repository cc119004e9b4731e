"""The element of one filter made ready: share caught and resistance of each segment for what it holds."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import CLASSES, PER_SIZE_1_M, SIZE_M, sizes_inside_m
from glasscan.filters.element_capture import Catcher
from glasscan.filters.network import FilterNetwork
from glasscan.laws.capture import interception_efficiency
from glasscan.laws.deposit import THROAT_SHARE, clogged_ratio, compressed, open_share, sieved_share
from glasscan.laws.media import cake_resistance_m_kg
from glasscan.rig.network_flow import BLOCKED_R, blocked_to_finite

Floats = NDArray[np.float64]
_SHAPE_PHI = 0.1  # solid fraction in the interception law: it cancels, for only the law's shape is used


class Element:
    """Laws of one element.

    Args:
        network: the filter: clean resistance and area of its segments.
        catcher: how it catches and clogs.
    """

    __slots__ = ("_alpha_d2", "_scraper", "area_m2", "catcher", "passing", "r")

    def __init__(self, network: FilterNetwork, catcher: Catcher) -> None:
        self.catcher = catcher
        self._scraper = network.dirt_side.scraper
        self.area_m2 = network.segment_area_m2
        self.r = blocked_to_finite(network.segment_r)
        self.passing = np.broadcast_to(clean_passing(catcher), (CLASSES, network.segments))
        self._alpha_d2 = cake_resistance_m_kg(catcher.porosity, 1.0, catcher.solid_kg_m3)

    def caught(self, held_kg: Floats) -> Floats:
        """Share of each class caught in one pass by each segment, (C, K), 0..1.

        Args:
            held_kg: (C, K) what the segments hold.
        """
        load = held_kg.sum(axis=0)
        if not load.any():
            return np.asarray(1.0 - self.passing)
        blocking, ratio = self._clogged(held_kg, load)
        throat = THROAT_SHARE * mean_size_m(held_kg, load)
        past_cake = 1.0 - sieved_share(SIZE_M[:, None], throat, self.catcher.spread)
        free = np.minimum(open_share(blocking, ratio), 1.0)
        return np.asarray(1.0 - self.passing * (free + (1.0 - free) * past_cake))

    def grain_m(self, held_kg: Floats, load_kg: Floats) -> Floats:
        """(K,) grain of the deposit with its surface per volume (Sauter mean), m; 1 m where there is none."""
        surface = PER_SIZE_1_M @ held_kg
        return np.divide(load_kg, surface, out=np.ones_like(load_kg), where=surface > 0.0)

    def resistance(
        self, held_kg: Floats, sludge_kg: Floats | None = None, across_pa: Floats | float = 0.0
    ) -> Floats:
        """(K,) resistance of the segments with their deposit, and behind sludge where it reaches them, 1/m3.

        Args:
            held_kg: (C, K) what the segments hold.
            sludge_kg: (C,) settled in the bowl, or None.
            across_pa: (K,) pressure across each segment, which presses a soft cake together.
        """
        load = held_kg.sum(axis=0)
        if not load.any():
            return self._behind_sludge(self.r, sludge_kg)
        r = np.asarray(np.minimum(self.r * self._clogged(held_kg, load, across_pa)[1], BLOCKED_R))
        return self._behind_sludge(r, sludge_kg)

    def _behind_sludge(self, r: Floats, sludge_kg: Floats | None) -> Floats:
        """Gaps below the level of the sludge draw through it; the one at the level in part."""
        if self._scraper is None or sludge_kg is None or not sludge_kg.any():
            return r
        deep, _ = self._scraper.covered(float(sludge_kg.sum()))
        part = np.clip(deep * len(r) - np.arange(len(r)), 0.0, 1.0)
        return np.asarray(1.0 / ((1.0 - part) / r + part / (r + self._scraper.bed_1_m3))) if deep else r

    def _clogged(
        self, held_kg: Floats, load_kg: Floats, across_pa: Floats | float = 0.0
    ) -> tuple[Floats, Floats]:
        """Blocking and resistance over the clean one of each segment, (K,) both.

        Where folds are full their area is lost, and the rest carries a thicker layer.
        """
        c = self.catcher
        alpha = self._alpha_d2 / self.grain_m(held_kg, load_kg) ** 2
        load = load_kg / self.area_m2
        lost: Floats | float = 0.0
        if c.room is not None:
            lost, thicker = c.room.filled(load / (c.solid_kg_m3 * c.bulk_solids))
            load = load * thicker
        blocking = load / c.block_kg_m2
        if c.squeeze > 0.0:
            alpha = alpha * compressed(across_pa, c.squeeze)
        ratio = clogged_ratio(blocking, alpha * load / (self.r * self.area_m2), c.first_grain)
        return blocking, ratio / (1.0 - lost)


def mean_size_m(held_kg: Floats, load_kg: Floats) -> Floats:
    """(K,) mean size of the deposit by mass on a log scale, m; 1 m where there is none."""
    sums = np.log(SIZE_M) @ held_kg
    return np.exp(np.divide(sums, load_kg, out=np.zeros_like(load_kg), where=load_kg > 0.0))


def clean_passing(catcher: Catcher) -> Floats:
    """(C, K) or (C, 1) share of each class that passes the clean element, averaged over the class."""
    sizes = sizes_inside_m()
    through = passing(catcher, sizes[:, :, None], catcher.opening_m)
    return np.asarray(through.mean(axis=1))


def passing(catcher: Catcher, size_m: Floats, opening_m: Floats) -> Floats:
    """Share of a size that passes the clean element: interception by fibres and sieving by pores or gaps.

    Interception follows the single-fibre law, `ln beta` in proportion to the single-fibre efficiency; its
    strength is set so that both together give the rated beta at the rated size.
    """
    sieve = 1.0 - sieved_share(size_m, opening_m, catcher.spread)
    if catcher.fibre_m is None:
        return np.asarray(sieve)
    at_rating = 1.0 - sieved_share(catcher.rating_m, np.median(opening_m), catcher.spread)
    strength = np.log(max(float(catcher.beta * at_rating), 1.0)) / _touch(catcher.rating_m / catcher.fibre_m)
    return np.asarray(sieve * np.exp(-strength * _touch(np.asarray(size_m) / catcher.fibre_m)))


def _touch(ratio: Floats | float) -> Floats:
    """Single-fibre interception at a particle-to-fibre ratio, any shape."""
    return np.asarray(np.vectorize(interception_efficiency)(_SHAPE_PHI, ratio))


def rated_beta(catcher: Catcher, size_um: float) -> float:
    """Filtration ratio of the clean element at a size, for particles of just that size."""
    return float(1.0 / passing(catcher, np.array([size_um * 1e-6]), catcher.opening_m[:1])[0])
