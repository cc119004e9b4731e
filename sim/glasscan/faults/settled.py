"""One settled operating point of a rig."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Settled:
    """One settled operating point: Pa gauge, m3/s, m."""

    can_pa: float
    gallery_pa: float
    gauge_pa: float
    pump_m3s: float
    element_m3s: float
    unfiltered_m3s: float
    segment_m3s: Floats
    engine_m3s: float
    regulator_m3s: float
    leak_m3s: float
    lift_m: float

    @property
    def dp_pa(self) -> float:
        """Differential pressure across the filter, Pa."""
        return self.can_pa - self.gallery_pa

    @property
    def unfiltered_share(self) -> float:
        """Share of the filter's flow that has not been through the medium, 0..1."""
        whole = self.element_m3s + self.unfiltered_m3s
        return self.unfiltered_m3s / whole if whole > 0.0 else 0.0
