"""The pleats of the element in the running rig: bent by the pressure, bent for good, and torn.

Panels bend in the time that the oil between them needs to get out of the way, so their shape lags the
pressure a little and is renewed between two steps, as the deposit is. Up to the collapse pressure they spring
back.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import expm1

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.network import ElementHole, FilterNetwork
from glasscan.filters.panel_table import PanelLaw

Floats = NDArray[np.float64]
SQUEEZE_S = 0.2  # a clean channel holds some 20 mL and the element takes 0.1 L/s cold: order of magnitude
GROWTH = 0.05  # of any segment's resistance by bending in one step
RENEW = 1e-3  # change of the factor that makes the resistances be renewed: less does not show
SHORTEST_S = 1e-3  # a step is not cut shorter than this for the pleats
LEAST_TEAR_M2 = 1e-8


@dataclass(frozen=True, slots=True)
class Pleats:
    """Shape of the pleats.

    Attributes:
        bent_pa: (K,) load to which the panels have bent, Pa.
        set_pa: load whose shape they keep since a collapse, Pa; 0 where there was none.
        torn_m2: opening torn into the medium, m2.
        factor: (K,) resistance over that with panels at rest, as in use.
        across_pa: (K,) pressure across each segment at the beginning of the step, Pa.
    """

    bent_pa: Floats
    set_pa: float
    torn_m2: float
    factor: Floats
    across_pa: Floats

    @classmethod
    def at_rest(cls, segments: int) -> Pleats:
        """Straight pleats."""
        return cls(np.zeros(segments), 0.0, 0.0, np.ones(segments), np.zeros(segments))


def moved(law: PanelLaw | None, pleats: Pleats, h: float) -> Pleats:
    """The pleats after a time h, s, under the pressure across them; the factor in use stays."""
    if law is None:
        return pleats
    bent = pleats.bent_pa - expm1(-h / SQUEEZE_S) * (np.maximum(pleats.across_pa, 0.0) - pleats.bent_pa)
    peak = float(bent.max())
    held = max(pleats.set_pa, peak) if peak > law.collapse_pa else pleats.set_pa
    torn_m2 = max(pleats.torn_m2, (peak - law.tear_pa) * law.tear_m2_pa)
    return replace(pleats, bent_pa=bent, set_pa=held, torn_m2=torn_m2)


def broken(before: Pleats, after: Pleats) -> list[str]:
    """Words of the events between two shapes."""
    folded = before.set_pa == 0.0 < after.set_pa
    parted = before.torn_m2 < LEAST_TEAR_M2 <= after.torn_m2
    return ["element-collapses"] * folded + ["element-tears"] * parted


def factor_of(law: PanelLaw, pleats: Pleats, segment_r: Floats) -> Floats:
    """(K,) resistance over that with panels at rest, for resistances at rest, 1/m3."""
    return law.factor(np.maximum(pleats.bent_pa, pleats.set_pa), segment_r)


def look_ahead(law: PanelLaw, pleats: Pleats, segment_r: Floats, wanted_s: float) -> tuple[float, Floats]:
    """Longest step that does not bend the pleats too much, s, and the factor in its middle, (K,).

    Args:
        law: of the element.
        pleats: as they are.
        segment_r: (K,) resistances with panels at rest, 1/m3.
        wanted_s: step wanted.
    """
    h, now = wanted_s, factor_of(law, pleats, segment_r)
    while h > SHORTEST_S:
        after = factor_of(law, moved(law, pleats, h), segment_r)
        if float(np.abs(after / now - 1.0).max()) <= GROWTH:
            break
        h *= 0.5
    return h, factor_of(law, moved(law, pleats, 0.5 * h), segment_r)


def torn(network: FilterNetwork, pleats: Pleats) -> FilterNetwork:
    """The filter with what has been torn into its element."""
    if pleats.torn_m2 < LEAST_TEAR_M2:
        return network
    before = network.hole or ElementHole(network.segments // 2, 0.0)
    return replace(network, hole=replace(before, area_m2=before.area_m2 + pleats.torn_m2))
