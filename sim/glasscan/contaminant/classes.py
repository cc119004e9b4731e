"""Size classes of the contaminant, um(c) as in ISO 11171, and what a mass in a class stands for.

Within a class the mass is taken as spread evenly over the logarithm of the size. Grains count as spheres.
"""

from __future__ import annotations

from functools import lru_cache
from math import pi
from typing import Literal

import numpy as np
from numpy.typing import NDArray

from glasscan.laws.dust import DUSTS

Floats = NDArray[np.float64]
DustName = Literal["a1", "a2", "a3", "a4", "legacy-fine", "legacy-coarse"]

EDGES_UM = (1.0, 4.0, 6.0, 14.0, 21.0, 38.0, 70.0, 150.0, 400.0)
"""Edges of the classes; 4, 6, 14, 21, 38 and 70 um(c) are the counting sizes of ISO 4406 and AS4059."""
CLASSES = len(EDGES_UM) - 1
COUNTED_UM = (4, 6, 14)
_POINTS = 6  # sizes inside a class at which a law of size is averaged

_EDGES_M = np.array(EDGES_UM) * 1e-6
_LOW, _HIGH = _EDGES_M[:-1], _EDGES_M[1:]
_SPAN = np.log(_HIGH / _LOW)

SIZE_M: Floats = np.sqrt(_LOW * _HIGH)
"""(C,) middle size of each class, m."""
PER_SIZE_1_M: Floats = (1.0 / _LOW - 1.0 / _HIGH) / _SPAN
"""(C,) mean of 1/d over the mass of each class, 1/m: surface per volume is six times that."""
_PER_CUBE = (_LOW**-3 - _HIGH**-3) / (3.0 * _SPAN)
SOLID_KG_M3 = 2650.0
"""Quartz, the solid of the ISO 12103-1 test dusts (handbook value, recalled)."""


def sizes_inside_m() -> Floats:
    """(C, P) sizes inside each class that carry equal shares of its mass, m."""
    middles = (np.arange(_POINTS) + 0.5) / _POINTS
    return np.asarray(_LOW[:, None] * np.exp(_SPAN[:, None] * middles))


@lru_cache(maxsize=16)
def dust_shares(name: str) -> tuple[float, ...]:
    """Share of a test dust's mass in each class, (C,), sum 1; what lies outside goes to the end classes.

    The dusts are tabled in um of the standards that made them and are read as um(c) without conversion.
    """
    finer = DUSTS[name].finer_pct(np.array(EDGES_UM)) / 100.0
    finer[0], finer[-1] = 0.0, 1.0
    return tuple(np.diff(finer).tolist())


def counts_per_ml(mass_kg_m3: Floats, above_um: float) -> float:
    """Particles above an edge of the classes in a millilitre of oil.

    Args:
        mass_kg_m3: (C,) mass of each class in the oil.
        above_um: one of `EDGES_UM`.
    """
    first = EDGES_UM.index(float(above_um))
    each = mass_kg_m3[first:] * _PER_CUBE[first:] * (6.0 / (pi * SOLID_KG_M3))
    return float(each.sum()) * 1e-6
