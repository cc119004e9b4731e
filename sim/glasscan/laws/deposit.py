"""Deposit on a filter medium: how it closes pores, builds a cake and sieves. SI units throughout."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


THROAT_SHARE = 2.0 / math.sqrt(3.0) - 1.0
"""Largest sphere that passes between three touching equal ones, over their diameter: 0.1547 (geometry)."""


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


def sieved_share(size_m: ArrayLike, opening_m: ArrayLike, spread: float) -> Floats:
    """Share of irregular grains that an opening holds back: log-normal in size, one half at equal size.

    Args:
        size_m, opening_m: m, shapes that broadcast.
        spread: standard deviation of ln(size), dimensionless; 0 = every grain of that size.
    """
    from scipy.special import ndtr

    x = np.log(np.asarray(size_m) / np.asarray(opening_m))
    return np.asarray(ndtr(x / spread)) if spread > 0.0 else np.asarray((x >= 0.0).astype(np.float64))
