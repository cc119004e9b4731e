"""Kinematic viscosity against temperature: the double-log law of ASTM D341.

The law is an empirical one in mm2/s and kelvin, so the functions of this module that state it keep those
units; `glasscan.laws.fluid` turns them into SI. Constants recalled from the standard (status: MEMORY); they
pass the standard's own round trip and agree with its older, longer low-viscosity term.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

Floats = NDArray[np.float64]

KELVIN = 273.15
NU_MIN_MM2_S = 0.21
NU_MAX_MM2_S = 2.0e7
"""Range of kinematic viscosity that the standard covers, mm2/s."""

_LOG_LOG_CEILING = 2.0
_NEWTON_STEPS = 60


@dataclass(frozen=True)
class ViscosityLaw:
    """The straight line `log10(log10 Z) = a - b log10(T)` of one oil.

    Attributes:
        a, b: constants of ASTM D341, logarithms base 10, T in K.
    """

    a: float
    b: float

    def nu_mm2_s(self, t_c: ArrayLike) -> Floats:
        """Kinematic viscosity at `t_c` (degC, any shape), mm2/s, clamped to what the standard covers.

        The clamp keeps a double exponential finite at temperatures far outside the two points.
        """
        return nu_from_z(np.minimum(np.maximum(self._z(t_c), _Z_MIN), _Z_MAX))

    def extrapolated_mm2_s(self, t_c: ArrayLike) -> Floats:
        """The bare law at `t_c` (degC, any shape), mm2/s, also beyond what the standard covers."""
        return nu_from_z(self._z(t_c))

    def temperature_c(self, nu_mm2_s: ArrayLike) -> Floats:
        """Temperature (degC) at which the oil has the viscosity `nu_mm2_s` (mm2/s, any shape)."""
        log_t = (self.a - np.log10(np.log10(z_from_nu(nu_mm2_s)))) / self.b
        return np.asarray(10.0**log_t - KELVIN)

    def _z(self, t_c: ArrayLike) -> Floats:
        loglog = self.a - self.b * np.log10(np.asarray(t_c, dtype=float) + KELVIN)
        return np.asarray(10.0 ** (10.0 ** np.minimum(loglog, _LOG_LOG_CEILING)))


def z_from_nu(nu_mm2_s: ArrayLike) -> Floats:
    """Z of ASTM D341 with the low-viscosity term, dimensionless.

    `Z = nu + 0.7 + exp(-1.47 - 1.84 nu - 0.51 nu^2)`, nu in mm2/s, any shape.
    """
    nu = np.asarray(nu_mm2_s, dtype=float)
    return np.asarray(nu + 0.7 + _low_term(nu))


def z_simple(nu_mm2_s: ArrayLike) -> Floats:
    """Z without the low-viscosity term, `nu + 0.7`: enough above 2 mm2/s; any shape."""
    return np.asarray(np.asarray(nu_mm2_s, dtype=float) + 0.7)


def z_older(nu_mm2_s: ArrayLike) -> Floats:
    """Z of older issues, `nu + 0.7 + C - D + E - F + G - H` (recalled; status: MEMORY); any shape.

    Within 0.5 % of the present term from 0.21 mm2/s up.
    """
    nu = np.asarray(nu_mm2_s, dtype=float)
    c, d = np.exp(-1.14883 - 2.65868 * nu), np.exp(-0.0038138 - 12.5645 * nu)
    e, f = np.exp(5.46491 - 37.6289 * nu), np.exp(13.0458 - 74.6851 * nu)
    g, h = np.exp(37.4619 - 192.643 * nu), np.exp(80.4945 - 400.468 * nu)
    return np.asarray(nu + 0.7 + c - d + e - f + g - h)


def saybolt_s(nu_mm2_s: ArrayLike, at_f: float = 100.0) -> Floats:
    """Saybolt universal seconds of a kinematic viscosity measured at `at_f`, degF; any shape.

    ASTM D2161 (recalled; status: MEMORY): `(1 + 6.1e-5 (t - 100)) (4.6324 nu + (1 + 0.03264 nu) 1e5/(3930.2 +
    262.7 nu + 23.97 nu^2 + 1.646 nu^3))`.
    """
    nu = np.asarray(nu_mm2_s, dtype=float)
    low = (1.0 + 0.03264 * nu) * 1e5 / (3930.2 + 262.7 * nu + 23.97 * nu**2 + 1.646 * nu**3)
    return np.asarray((1.0 + 6.1e-5 * (at_f - 100.0)) * (4.6324 * nu + low))


def nu_from_z(z: ArrayLike) -> Floats:
    """Viscosity (mm2/s) whose Z is `z` (any shape), to machine precision.

    Z(nu) is convex and rising and `z - 0.7` lies right of the root, so Newton's method walks down to it
    without overshoot. (The standard prints a cubic approximation; see `nu_from_z_printed`.)
    """
    z = np.asarray(z, dtype=float)
    nu = z - 0.7
    for _ in range(_NEWTON_STEPS):
        low = _low_term(nu)
        step = (nu + 0.7 + low - z) / (1.0 - (1.84 + 1.02 * nu) * low)
        nu = nu - step
        if np.all(np.abs(step) <= 4e-16 * np.abs(nu)):
            break
    return np.asarray(nu)


def nu_from_z_printed(z: ArrayLike) -> Floats:
    """The approximate inverse printed in ASTM D341 (kept to measure it against `nu_from_z`), mm2/s."""
    y = np.asarray(z, dtype=float) - 0.7
    return np.asarray(y - np.exp(-0.7487 - 3.295 * y + 0.6119 * y**2 - 0.3193 * y**3))


def law_through(cold: tuple[float, float], hot: tuple[float, float]) -> ViscosityLaw:
    """The D341 line through two measured points.

    Args:
        cold: (temperature degC, viscosity mm2/s) of the lower temperature.
        hot: the same of the higher temperature.

    Raises:
        ValueError: where points are out of order, outside the law, or the oil does not thin when hot.
    """
    (t1, nu1), (t2, nu2) = cold, hot
    _check_points(t1, nu1, t2, nu2)
    y1, y2 = (float(np.log10(np.log10(z_from_nu(nu)))) for nu in (nu1, nu2))
    x1, x2 = np.log10(t1 + KELVIN), np.log10(t2 + KELVIN)
    b = float((y1 - y2) / (x2 - x1))
    return ViscosityLaw(a=y1 + b * float(x1), b=b)


def kinematic_viscosity_mm2_s(kv40_mm2_s: float, kv100_mm2_s: float, t_c: ArrayLike) -> Floats:
    """Viscosity at `t_c` (degC) from the two usual points, 40 and 100 degC; all in mm2/s."""
    return law_through((40.0, kv40_mm2_s), (100.0, kv100_mm2_s)).nu_mm2_s(t_c)


def _low_term(nu: Floats) -> Floats:
    return np.asarray(np.exp(-1.47 - 1.84 * nu - 0.51 * nu**2))


_Z_MIN, _Z_MAX = z_from_nu(NU_MIN_MM2_S), z_from_nu(NU_MAX_MM2_S)


def _check_points(t1: float, nu1: float, t2: float, nu2: float) -> None:
    if not all(np.isfinite([t1, nu1, t2, nu2])):
        raise ValueError("a viscosity point needs finite numbers")
    if not -KELVIN < t1 < t2:
        raise ValueError(f"the first point must be the colder one, got {t1:g} and {t2:g} degC")
    if nu2 < NU_MIN_MM2_S or nu1 > NU_MAX_MM2_S:
        raise ValueError(f"the law holds from {NU_MIN_MM2_S:g} to {NU_MAX_MM2_S:g} mm2/s")
    if nu1 <= nu2:
        raise ValueError(f"oil thins when warmed: {nu1:g} mm2/s cold must exceed {nu2:g} mm2/s hot")
