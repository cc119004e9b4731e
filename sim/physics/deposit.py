"""Deposit on a filter medium: how it closes pores, builds a cake and itself catches dirt. SI units throughout."""

from __future__ import annotations

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]


def happel_flow_parameter(porosity: float) -> float:
    """Happel's porosity parameter `A_s = 2(1 - g^5)/(2 - 3g + 3g^5 - 2g^6)`, g = (1 - e)^(1/3), dimensionless.

    Source: Happel 1958 sphere-in-cell model as used by Rajagopalan & Tien 1976 (recalled).
    """
    g = np.cbrt(1.0 - porosity)
    return float(2.0 * (1.0 - g**5) / (2.0 - 3.0 * g + 3.0 * g**5 - 2.0 * g**6))


def bed_log_ratio(
    size_m: ArrayLike, grain_m: ArrayLike, load_kg_m2: ArrayLike, porosity: float, solid_kg_m3: float
) -> Floats:
    """ln(beta) of a bed of grains by interception, `1.5 eta w/(rho d)` with `eta = min(1, 1.5 A_s (x/d)^2)`.

    Single collectors in series, every touch sticks. Source: Yao, Habibian & O'Melia 1971; Rajagopalan & Tien
    1976 (recalled).

    Args:
        size_m: particle size x, m.
        grain_m: grain size d of the bed, m.
        load_kg_m2: dry mass on a unit of area, kg/m2.
        porosity: void share of the bed.
        solid_kg_m3: density of the grains, kg/m3.
    """
    ratio = np.asarray(size_m) / np.asarray(grain_m)
    eta = np.minimum(1.0, 1.5 * happel_flow_parameter(porosity) * ratio**2)
    return np.asarray(1.5 * eta * np.asarray(load_kg_m2) / (solid_kg_m3 * np.asarray(grain_m)))


def clogged_ratio(blocking: ArrayLike, cake: ArrayLike, first_grain: float) -> Floats:
    """Resistance of a clogging medium over its clean one, `1/(e^-s + (1 - e^-s)/(1 + b + c))`, dimensionless.

    Pores are covered one after the other (intermediate blocking, `s` = deposit over the deposit that covers
    them); a covered pore carries a first grain of resistance `b` and a cake `c`, both over the clean medium's.
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
    """Share of irregular grains that an opening holds back, 0..1: log-normal in size, one half at equal size.

    Args:
        size_m, opening_m: m, shapes that broadcast.
        spread: standard deviation of ln(size), dimensionless; 0 = every grain of that size.
    """
    from scipy.special import ndtr

    x = np.log(np.asarray(size_m) / np.asarray(opening_m))
    return np.asarray(ndtr(x / spread)) if spread > 0.0 else np.asarray((x >= 0.0).astype(np.float64))
