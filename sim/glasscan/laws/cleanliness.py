"""Cleanliness codes: ISO 4406, NAS 1638 and SAE AS4059, and the two size scales. Counts as named."""

from __future__ import annotations

import bisect
import itertools
from collections.abc import Mapping, Sequence

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

# fmt: off
ISO4406_UPPER_PER_ML = (
    0.01, 0.02, 0.04, 0.08, 0.16, 0.32, 0.64, 1.3, 2.5, 5.0, 10.0, 20.0, 40.0, 80.0, 160.0, 320.0, 640.0,
    1300.0, 2500.0, 5000.0, 10000.0, 20000.0, 40000.0, 80000.0, 160000.0, 320000.0, 640000.0,
    1300000.0, 2500000.0,
)
"""Upper limit, inclusive, of codes 0 to 28, particles per mL. Source: ISO 4406 (FOUND in reproductions)."""
ISO4406_OVER = 29
"""What this model calls a count beyond the last limit ("above 28")."""
ISO4406_SIZES_UM_C = (4, 6, 14)

NAS1638_PER_100ML: dict[str, tuple[int, int, int, int, int]] = {
    "00": (125, 22, 4, 1, 0),
    "0": (250, 44, 8, 2, 0),
    "1": (500, 89, 16, 3, 1),
    "2": (1000, 178, 32, 6, 1),
    "3": (2000, 356, 63, 11, 2),
    "4": (4000, 712, 126, 22, 4),
    "5": (8000, 1425, 253, 45, 8),
    "6": (16000, 2850, 506, 90, 16),
    "7": (32000, 5700, 1012, 180, 32),
    "8": (64000, 11400, 2025, 360, 64),
    "9": (128000, 22800, 4050, 720, 128),
    "10": (256000, 45600, 8100, 1440, 256),
    "11": (512000, 91200, 16200, 2880, 512),
    "12": (1024000, 182400, 32400, 5760, 1024),
}
"""Most particles per 100 mL of 5-15, 15-25, 25-50, 50-100 and over 100 um, by class.

Source: NAS 1638 (FOUND in public texts).
"""
AS4059_A_PER_100ML = {
    "000": 195, "00": 390, "0": 780, "1": 1560, "2": 3120, "3": 6250, "4": 12500, "5": 25000, "6": 50000,
    "7": 100000, "8": 200000, "9": 400000, "10": 800000, "11": 1600000, "12": 3200000,
}
"""Size A limits, above 4 um(c), by class (recalled; status: MEMORY)."""
AS4059_000_PER_100ML = (76, 14, 3, 1, 0)
"""Sizes B to F of class 000, which NAS 1638 does not know (recalled; status: MEMORY)."""

SIZE_MAP_UM = (1.0, 2.0, 3.0, 5.0, 7.0, 10.0, 15.0, 20.0, 25.0, 30.0, 40.0)
SIZE_MAP_UM_C = (4.2, 4.6, 5.1, 6.4, 7.7, 9.8, 13.6, 17.5, 21.2, 24.9, 31.7)
"""Old optical sizes (ISO 4402) and the ISO 11171 sizes that take their place (annex; status: MEMORY)."""
# fmt: on


def iso4406_code(per_ml: float) -> int:
    """Code number of a count per mL; a limit belongs to its own code; 29 stands for "above 28".

    Raises:
        ValueError: where the count is negative or not a number.
    """
    if not per_ml >= 0.0:
        raise ValueError(f"a count is zero or more, got {per_ml:g} per mL")
    return bisect.bisect_left(ISO4406_UPPER_PER_ML, per_ml)


def iso4406(per_ml: tuple[float | None, float, float]) -> str:
    """Three-number code for the counts above 4, 6 and 14 um(c), e.g. "19/16/10"; ">28" beyond the table.

    A count that was not made (by microscope the first) is a dash: "-/16/10".
    """
    return "/".join("-" if count is None else _code_text(iso4406_code(count)) for count in per_ml)


def _code_text(code: int) -> str:
    return str(code) if code < ISO4406_OVER else ">28"


def iso4406_range_per_ml(code: int) -> tuple[float, float]:
    """Counts (over, up to and including) that a code number stands for, per mL."""
    if not 0 <= code < ISO4406_OVER:
        raise ValueError(f"codes run from 0 to 28, got {code}")
    return (ISO4406_UPPER_PER_ML[code - 1] if code else 0.0), ISO4406_UPPER_PER_ML[code]


NAVY_PER_100ML: dict[str, tuple[int, int, int, int, int]] = {
    "0": (2700, 670, 93, 16, 1),
    "1": (4600, 1340, 210, 28, 3),
    "2": (9700, 2680, 380, 56, 5),
    "3": (24000, 5360, 780, 110, 11),
    "4": (32000, 10700, 1510, 225, 21),
    "5": (87000, 21400, 3130, 430, 41),
    "6": (128000, 42000, 6500, 1000, 92),
}
"""Navy classes of hydraulic fluid: most particles of 5-10, 10-25, 25-50, 50-100 and over 100 um (FOUND)."""
NEW_5606_PER_100ML = (10_000, 1_000, 150, 25, 5)
"""New fluid of MIL-PRF-5606H: most particles of 5-15, 15-25, 25-50, 50-100 and over 100 um (FOUND)."""


def nas1638_class(bands_per_100ml: tuple[float, ...]) -> str:
    """Smallest class whose five limits hold all counts; ">12" beyond the table."""
    return _smallest_class(NAS1638_PER_100ML, bands_per_100ml)


def navy_class(bands_per_100ml: tuple[float, ...]) -> str:
    """Smallest Navy class whose five limits hold all counts; ">6" beyond the table."""
    return _smallest_class(NAVY_PER_100ML, bands_per_100ml)


def as4059_class(above_per_100ml: tuple[float | None, ...]) -> str:
    """Smallest AS4059 class for the counts above sizes A to F; a count not made (None) is passed over."""
    limits = {name: as4059_per_100ml(name) for name in AS4059_A_PER_100ML}
    made = [place for place, count in enumerate(above_per_100ml) if count is not None]
    counts = tuple(count for count in above_per_100ml if count is not None)
    return _smallest_class({name: [row[i] for i in made] for name, row in limits.items()}, counts)


def _smallest_class(table: Mapping[str, Sequence[int]], counts: Sequence[float]) -> str:
    for name, limits in table.items():
        if all(count <= limit for count, limit in zip(counts, limits, strict=True)):
            return name
    return f">{list(table)[-1]}"


def as4059_cumulative_per_100ml(name: str) -> tuple[int, ...]:
    """Cumulative limits for sizes B to F of a class: running sums of the NAS 1638 bands from the large end.

    Raises:
        ValueError: where the class is unknown.
    """
    if name == "000":
        return AS4059_000_PER_100ML
    if name not in NAS1638_PER_100ML:
        raise ValueError(f"no class {name!r} (known: {', '.join(AS4059_A_PER_100ML)})")
    sums = itertools.accumulate(reversed(NAS1638_PER_100ML[name]))
    return tuple(reversed(tuple(sums)))


def as4059_per_100ml(name: str) -> tuple[int, ...]:
    """Cumulative limits for sizes A to F of a class, per 100 mL.

    Raises:
        ValueError: where the class is unknown.
    """
    return (AS4059_A_PER_100ML.get(name, 0), *as4059_cumulative_per_100ml(name))


def iso11171_um_c(um: ArrayLike) -> Floats:
    """Size on the ISO 11171 scale of an old optical size, um(c), linear between the entries of the map.

    Raises:
        ValueError: outside 1 to 40 um.
    """
    sizes = np.asarray(um, dtype=float)
    if np.any(~((sizes >= SIZE_MAP_UM[0]) & (sizes <= SIZE_MAP_UM[-1]))):
        raise ValueError(f"the map covers {SIZE_MAP_UM[0]:g} to {SIZE_MAP_UM[-1]:g} um")
    return np.asarray(np.interp(sizes, SIZE_MAP_UM, SIZE_MAP_UM_C))


def iso4402_um(um_c: ArrayLike) -> Floats:
    """Old optical size (ISO 4402) of a size on the ISO 11171 scale, um: the same map the other way round.

    Raises:
        ValueError: outside 4.2 to 31.7 um(c).
    """
    sizes = np.asarray(um_c, dtype=float)
    if np.any(~((sizes >= SIZE_MAP_UM_C[0]) & (sizes <= SIZE_MAP_UM_C[-1]))):
        raise ValueError(f"the map covers {SIZE_MAP_UM_C[0]:g} to {SIZE_MAP_UM_C[-1]:g} um(c)")
    return np.asarray(np.interp(sizes, SIZE_MAP_UM_C, SIZE_MAP_UM))
