"""Deposit on a filter medium: how it closes pores, builds a cake and sieves. SI units throughout."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


THROAT_SHARE = 2.0 / math.sqrt(3.0) - 1.0
"""Largest sphere that passes between three touching equal ones, over their diameter: 0.1547 (geometry)."""


LOOSE_PA = 10e3
"""Pressure that begins to press a soft cake together, Pa: a round figure, no source."""
MOST_FULL = 0.98
"""A wedge counts as full from this share on, so that a little area always stays."""


def open_share(blocking: ArrayLike, ratio: ArrayLike) -> Floats:
    """Share of the flow that still goes through uncovered pores, `e^-s R/R0`, dimensionless.

    Args:
        blocking: s as in `clogged_ratio`.
        ratio: resistance over the clean one, as `clogged_ratio` gives it.
    """
    return np.asarray(np.exp(-np.asarray(blocking)) * np.asarray(ratio))


def clogged_ratio(blocking: ArrayLike, cake: ArrayLike, first_grain: float) -> Floats:
    """Resistance of a clogging medium over its clean one, `1/(e^-s + (1 - e^-s)/(1 + b + c))`.

    Pores are covered one after the other (intermediate blocking, `s` = deposit over the deposit that covers
    them); a covered pore has a first grain of resistance `b` and a cake `c`, both over the clean medium's.
    Late in life this is Ruth's cake law. Source: combined pore blockage and cake filtration, Ho & Zydney 2000
    (recalled), with one mean cake instead of one for every age.

    Args:
        blocking: s, any shape.
        cake: c, same shape.
        first_grain: b.
    """
    s = np.asarray(blocking)
    covered = -np.expm1(-s)
    return np.asarray(1.0 / (np.exp(-s) + covered / (1.0 + first_grain + np.asarray(cake))))


def compressed(dp_pa: ArrayLike, index: float) -> Floats:
    """Specific resistance of a compressible cake over that of a loose one, `(1 + dp/pa)^n`, any shape.

    Source: the usual power law of cake filtration, n of 0.2 to 0.8 for soft solids (MEMORY); the loose cake's
    pressure of 10 kPa is a round figure.

    Args:
        dp_pa: pressure across the cake.
        index: n; 0 = a cake of hard grains.
    """
    return np.asarray((1.0 + np.maximum(np.asarray(dp_pa), 0.0) / LOOSE_PA) ** index)


@dataclass(frozen=True)
class PleatRoom:
    """Room between two panels on the dirty side: a wedge from its mouth to the fold.

    Attributes:
        mouth_m, tip_m: width at the mouth and at the fold.
    """

    mouth_m: float
    tip_m: float

    def filled(self, layer_m: ArrayLike) -> tuple[Floats, Floats]:
        """Share of the depth that the deposit has bridged from the fold, and thickness over the mean layer.

        The deposit lies evenly on what is still open; where two layers meet the fold is full and that area is
        lost: `u - (u - t)^2 / (2 (m - t)) = 2 v` for two layers `u` and a volume `v` per area of medium.

        Args:
            layer_m: volume of the wet deposit over the area of the whole medium, any shape.
        """
        volume, slope = np.asarray(layer_m, dtype=np.float64), self.mouth_m - self.tip_m
        over = np.clip(2.0 * volume - self.tip_m, 0.0, 0.5 * slope * MOST_FULL)
        y = slope - np.sqrt(slope * (slope - 2.0 * over))
        thick = np.where(over > 0.0, 0.5 * (self.tip_m + y), volume)
        return np.asarray(y / slope), np.asarray(
            np.divide(thick, volume, out=np.ones_like(thick), where=volume > 0.0)
        )


def sieved_share(size_m: ArrayLike, opening_m: ArrayLike, spread: float) -> Floats:
    """Share of irregular grains that an opening holds back: log-normal in size, one half at equal size.

    Args:
        size_m, opening_m: m, shapes that broadcast.
        spread: standard deviation of ln(size), dimensionless; 0 = every grain of that size.
    """
    from scipy.special import ndtr

    x = np.log(np.asarray(size_m) / np.asarray(opening_m))
    return np.asarray(ndtr(x / spread)) if spread > 0.0 else np.asarray((x >= 0.0).astype(np.float64))
