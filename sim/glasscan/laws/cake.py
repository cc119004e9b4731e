"""Cake filtration after Ruth: time, fit of a run, constant rate, washing, drum. SI units throughout."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike


@dataclass(frozen=True)
class CakeRun:
    """Constants of a run at constant pressure, `t = Kp V^2/2 + B V`.

    Attributes:
        kp_s_m6: cake constant `mu c alpha/(A^2 dp)`, s/m6.
        b_s_m3: medium constant `mu Rm/(A dp)`, s/m3.
    """

    kp_s_m6: float
    b_s_m3: float

    def time_s(self, volume_m3: float) -> float:
        """Time to pass `volume_m3` of filtrate, s."""
        return self.kp_s_m6 * volume_m3**2 / 2.0 + self.b_s_m3 * volume_m3

    def volume_m3(self, t_s: float) -> float:
        """Filtrate passed at `t_s`, m3."""
        root = np.sqrt(self.b_s_m3**2 + 2.0 * self.kp_s_m6 * t_s)
        return float(2.0 * t_s / (self.b_s_m3 + root)) if t_s > 0.0 else 0.0

    def rate_m3s(self, volume_m3: float) -> float:
        """Flow when `volume_m3` has passed, m3/s."""
        return 1.0 / (self.kp_s_m6 * volume_m3 + self.b_s_m3)

    def wash_time_s(self, volume_m3: float, wash_m3: float, rate_share: float = 0.25) -> float:
        """Time to wash with `wash_m3` at a share of the final rate (a quarter in a frame press), s."""
        return wash_m3 / (rate_share * self.rate_m3s(volume_m3))

    def cake_resistance_m_kg(
        self, area_m2: float, dp_pa: float, solids_kg_m3: float, mu_pa_s: float
    ) -> float:
        """Specific cake resistance alpha, m/kg, from solids per filtrate volume."""
        return self.kp_s_m6 * area_m2**2 * dp_pa / (mu_pa_s * solids_kg_m3)

    def medium_resistance_1_m(self, area_m2: float, dp_pa: float, mu_pa_s: float) -> float:
        """Resistance of the medium Rm, 1/m."""
        return self.b_s_m3 * area_m2 * dp_pa / mu_pa_s


def fit_run(t_s: ArrayLike, volume_m3: ArrayLike) -> CakeRun:
    """Constants from a measured run: least squares of t/V against V (slope Kp/2, intercept B).

    Args:
        t_s, volume_m3: (N,) readings, N of 2 or more, all above zero.
    """
    t, v = np.asarray(t_s, dtype=float), np.asarray(volume_m3, dtype=float)
    slope, intercept = np.polyfit(v, t / v, 1)
    return CakeRun(kp_s_m6=float(2.0 * slope), b_s_m3=float(intercept))


def press_run(
    area_m2: float, dp_pa: float, solids_kg_m3: float, mu_pa_s: float, alpha_m_kg: float, medium_1_m: float
) -> CakeRun:
    """Constants of a filter from its cake and medium."""
    kp = mu_pa_s * solids_kg_m3 * alpha_m_kg / (area_m2**2 * dp_pa)
    return CakeRun(kp_s_m6=kp, b_s_m3=mu_pa_s * medium_1_m / (area_m2 * dp_pa))


def scaled_run(run: CakeRun, area_ratio: float) -> CakeRun:
    """The same cake and pressure on `area_ratio` times the area."""
    return CakeRun(run.kp_s_m6 / area_ratio**2, run.b_s_m3 / area_ratio)


def constant_rate_drop_pa(k1: float, k2: float, rate_m3s: float, t_s: float) -> float:
    """Constant rate: `dp = K1 q^2 t + K2 q`, Pa, in the units the constants were fitted in."""
    return k1 * rate_m3s**2 * t_s + k2 * rate_m3s


def constant_rate_constants(
    rate_m3s: float, first: tuple[float, float], second: tuple[float, float]
) -> tuple[float, float]:
    """(K1, K2) of the line above through two (time, drop) readings at one rate."""
    k1 = (second[1] - first[1]) / (second[0] - first[0]) / rate_m3s**2
    return k1, (first[1] - k1 * rate_m3s**2 * first[0]) / rate_m3s


def solids_per_filtrate_kg_m3(mass_fraction: float, wet_to_dry: float, rho_kg_m3: float) -> float:
    """Dry cake per filtrate volume, `rho x/(1 - m x)`, kg/m3, from a slurry and a wet-to-dry cake ratio."""
    return rho_kg_m3 * mass_fraction / (1.0 - wet_to_dry * mass_fraction)


def drum_area_m2(
    filtrate_m3s: float,
    dp_pa: float,
    alpha_m_kg: float,
    solids_kg_m3: float,
    mu_pa_s: float,
    cycle_s: float,
    submerged: float,
) -> float:
    """Rotary drum: area for a filtrate rate, `V/(A tc) = sqrt(2 f dp/(tc mu alpha c))`, m2.

    The resistance of the medium is neglected.
    """
    per_area = np.sqrt(2.0 * submerged * dp_pa / (cycle_s * mu_pa_s * alpha_m_kg * solids_kg_m3))
    return float(filtrate_m3s / per_area)
