"""Test dusts: share of the volume finer than a size. Sizes in um, shares in %, as the standards print."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Dust:
    """One grade.

    Attributes:
        title: name for people.
        um: (N,) rising sizes, um.
        low, high: (N,) limits of the share finer than each size, %.
        source: where the table comes from.
        status: FOUND or MEMORY.
    """

    title: str
    um: tuple[float, ...]
    low: tuple[float, ...]
    high: tuple[float, ...]
    source: str
    status: str

    @property
    def mid(self) -> Floats:
        """Middle of the limits, (N,), %."""
        return np.asarray((np.array(self.low) + np.array(self.high)) / 2.0)

    def finer_pct(self, um: ArrayLike, column: ArrayLike | None = None) -> Floats:
        """Share finer than `um` (any shape), linear in ln(size) between the middles of the limits, %.

        Below the first size the share falls linearly to zero with the size itself. `column` takes other
        shares than the middles, such as `low` or `high`.
        """
        sizes, mid = np.asarray(um, dtype=float), self.mid if column is None else np.asarray(column)
        inside = np.interp(np.log(np.maximum(sizes, self.um[0])), np.log(self.um), mid)
        return np.asarray(np.where(sizes < self.um[0], mid[0] * sizes / self.um[0], inside))

    def size_um(self, finer_pct: float) -> float:
        """Size below which the share `finer_pct` lies, um; 50 gives the median."""
        mid = self.mid
        if finer_pct < mid[0]:
            return float(self.um[0] * finer_pct / mid[0])
        return float(np.exp(np.interp(finer_pct, mid, np.log(self.um))))


def _from_bands(edges: tuple[float, ...], shares: tuple[float, ...], **words: str) -> Dust:
    finer = tuple(float(x) for x in np.cumsum(shares))
    return Dust(um=edges, low=finer, high=finer, **words)


_1997 = (1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 20.0, 40.0, 80.0, 120.0)

DUSTS: dict[str, Dust] = {
    "a1": Dust(
        "ISO 12103-1 A1 ultrafine",
        (0.97, 1.38, 2.75, 5.5, 11.0, 22.0),
        (3.0, 7.0, 23.0, 65.0, 95.5, 100.0),
        (5.0, 10.0, 27.0, 69.0, 97.5, 100.0),
        "ISO 12103-1 table as reproduced by a test laboratory",
        "FOUND",
    ),
    "a2": Dust(
        "ISO 12103-1 A2 fine (1997)",
        _1997,
        (2.5, 10.5, 18.5, 25.5, 31.0, 41.0, 50.0, 70.0, 88.0, 99.5, 100.0),
        (3.5, 12.5, 22.0, 29.5, 36.0, 46.0, 54.0, 74.0, 91.0, 100.0, 100.0),
        "ISO 12103-1:1997, recalled",
        "MEMORY",
    ),
    "a3": Dust(
        "ISO 12103-1 A3 medium (1997)",
        _1997,
        (1.0, 4.0, 7.5, 10.5, 15.0, 28.0, 40.0, 65.0, 84.0, 99.0, 100.0),
        (2.0, 5.5, 9.5, 13.0, 19.0, 33.0, 45.0, 69.0, 88.0, 100.0, 100.0),
        "ISO 12103-1:1997, recalled",
        "MEMORY",
    ),
    "a4": Dust(
        "ISO 12103-1 A4 coarse (1997)",
        (1.0, 2.0, 3.0, 4.0, 5.0, 7.0, 10.0, 20.0, 40.0, 80.0, 120.0, 180.0),
        (0.6, 2.2, 4.2, 6.2, 8.0, 12.0, 17.0, 32.0, 57.0, 87.5, 97.0, 99.5),
        (1.0, 3.7, 6.0, 8.2, 10.5, 14.5, 22.0, 36.0, 61.0, 89.5, 98.0, 100.0),
        "ISO 12103-1:1997, recalled",
        "MEMORY",
    ),
    "legacy-fine": _from_bands(
        (5.0, 10.0, 20.0, 40.0, 80.0),
        (39.0, 18.0, 16.0, 18.0, 9.0),
        title="legacy fine test dust",
        source="legacy air-cleaner test dust specification, public dust-history page",
        status="FOUND",
    ),
    "legacy-coarse": _from_bands(
        (5.0, 10.0, 20.0, 40.0, 80.0, 200.0),
        (12.0, 12.0, 14.0, 23.0, 30.0, 9.0),
        title="legacy coarse test dust",
        source="same page for the first four bands; the last two recalled",
        status="MEMORY",
    ),
}
