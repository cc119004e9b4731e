"""How the resistance of a pleated element answers to the pressure across it: a table from the panel law.

The table is filled once for each element by `glasscan.laws.panels`, which the close-up uses too, and read by
the plant at every step.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.closeup.closeup_data import PaperData, pleats_file
from glasscan.filters.filter_data import ElementData
from glasscan.laws.panels import Row

Floats = NDArray[np.float64]
PIECES = 16  # of the depth of a pleat
LOADS_PA = np.array([0, 20, 40, 60, 80, 100, 125, 150, 200, 250, 300, 400, 600, 1000, 2000]) * 1e3
TIMES = np.array([1.0, 2.0, 4.0, 10.0, 30.0, 100.0])  # resistance of the loaded medium over the clean one


@dataclass(frozen=True)
class PanelLaw:
    """What the pressure across an element does to its resistance.

    Attributes:
        clean_r: (K,) resistance of the sound segments, 1/m3.
        ratio: (times, loads) resistance of a row of pleats bent by a load over that of one at rest.
        collapse_pa: differential pressure beyond which the pleats stay bent, Pa.
        tear_pa: differential pressure beyond which the medium parts, Pa.
        tear_m2_pa: opening for each Pa beyond that, m2/Pa.
    """

    clean_r: Floats
    ratio: Floats
    collapse_pa: float
    tear_pa: float
    tear_m2_pa: float

    def factor(self, bent_pa: Floats, segment_r: Floats) -> Floats:
        """(K,) resistance over that with the panels at rest.

        Args:
            bent_pa: (K,) load to which the panels have bent.
            segment_r: (K,) resistance with the panels at rest, 1/m3.
        """
        row, up = _place(np.log(TIMES), np.log(np.maximum(segment_r / self.clean_r, 1.0)))
        column, on = _place(LOADS_PA, bent_pa)
        low, high = (
            (1 - on) * self.ratio[k, column] + on * self.ratio[k, column + 1] for k in (row, row + 1)
        )
        return np.asarray((1 - up) * low + up * high)


def panel_law(element: ElementData, clean_r: Floats) -> PanelLaw:
    """The law of an element with the shipped stiffness and strength of its paper."""
    paper = pleats_file().paper
    sizes = (element.channel_m / 2, element.depth_m, element.medium_mm * 1e-3, element.permeability_m2)
    strength = paper.strength
    return PanelLaw(
        clean_r=clean_r,
        ratio=_table(sizes, paper),
        collapse_pa=strength.collapse_kpa * 1e3,
        tear_pa=strength.tear_kpa * 1e3,
        tear_m2_pa=strength.tear_mm2_kpa * 1e-9,
    )


@lru_cache(maxsize=16)
def _table(sizes: tuple[float, float, float, float], paper: PaperData) -> Floats:
    half_m, depth_m, medium_m, k_m2 = sizes
    least, stiffness = paper.least_channel_um * 1e-6, paper.rigidity_n_m(medium_m)
    row = Row.of(half_m, depth_m, medium_m / k_m2, least, stiffness, PIECES)
    return np.array([_ratios(row, float(times)) for times in TIMES])


def _ratios(row: Row, times: float) -> Floats:
    """(loads,) resistance over that at rest, never falling with the load."""
    rest = row.across_pa(np.zeros(PIECES), times, 1.0)[1]
    bend, found = None, []
    for load in LOADS_PA.tolist():
        bend, r = row.settled(times, load, bend)
        found.append(r / rest)
    return np.maximum.accumulate(found)


def _place(marks: Floats, values: Floats) -> tuple[NDArray[np.int64], Floats]:
    """Interval and share of the way through it of values among rising marks, held at the ends."""
    i = np.clip(np.searchsorted(marks, values, side="right") - 1, 0, len(marks) - 2)
    return i, np.clip((values - marks[i]) / (marks[i + 1] - marks[i]), 0.0, 1.0)
