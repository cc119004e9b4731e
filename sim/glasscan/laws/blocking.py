"""Clogging laws of Hermia: how the flow of a filter falls as dirty oil passes, `d2t/dV2 = k (dt/dV)^n`.

Complete blocking n = 2, standard n = 3/2, intermediate n = 1, cake n = 0. Source: Hermia 1982, Trans. IChemE
60 (recalled; closed forms checked by integration). One dimensionless blocking `s = k J0^(1-n) V` rules all of
them: at constant pressure the flow falls to `J/J0 = g(s)`, at constant rate the pressure rises to `1/g(s)`.
"""

from __future__ import annotations

import math

EXPONENTS: dict[str, float] = {"complete": 2.0, "standard": 1.5, "intermediate": 1.0, "cake": 0.0}


def exponent(law: str) -> float:
    """Hermia's n of a named law.

    Raises:
        ValueError: where the law is unknown.
    """
    if law not in EXPONENTS:
        raise ValueError(f"no blocking law {law!r} (known: {', '.join(EXPONENTS)})")
    return EXPONENTS[law]


def blocking_number(law: str, j0: float, k: float, volume: float) -> float:
    """`s = k J0^(1-n) V`, dimensionless; J0 in m3/s or m3/(m2 s) with V to match, k in Hermia's units.

    Raises:
        ValueError: where the law is unknown or the first flow is not above zero.
    """
    if not j0 > 0.0:
        raise ValueError(f"the first flow must be above zero, got {j0:g}")
    return k * volume * math.pow(j0, 1.0 - exponent(law))


def flux_ratio(law: str, s: float) -> float:
    """`J/J0` after a blocking `s`: 1-s, (1-s/2)^2, exp(-s), 1/(1+s); zero once a law is blocked for good."""
    n = exponent(law)
    if n == 1.0:
        return math.exp(-s)
    base = 1.0 - (n - 1.0) * s
    return math.pow(base, 1.0 / (n - 1.0)) if base > 0.0 else 0.0


def pressure_ratio(law: str, s: float) -> float:
    """Constant rate: `dp/dp0` after a blocking `s`; infinite once a law is blocked for good."""
    ratio = flux_ratio(law, s)
    return 1.0 / ratio if ratio > 0.0 else math.inf


def volume_passed(law: str, j0: float, k: float, t_s: float) -> float:
    """Constant pressure: volume passed up to `t_s`, in the unit of `j0` times seconds."""
    rate = blocking_number(law, j0, k, 1.0)
    if rate == 0.0:
        return j0 * t_s
    tau = rate * j0 * t_s
    return _blocking_at(exponent(law), tau) / rate


def flux_at(law: str, j0: float, k: float, t_s: float) -> float:
    """Constant pressure: flow at `t_s`, in the unit of `j0`."""
    return j0 * _flux_at(exponent(law), blocking_number(law, j0, k, 1.0) * j0 * t_s)


def _flux_at(n: float, tau: float) -> float:
    """`g(s(tau))` worked out straight from the time, so that a nearly blocked filter keeps its digits."""
    if n == 2.0:
        return math.exp(-tau)
    return math.pow(1.0 + (2.0 - n) * tau, -1.0 / (2.0 - n))


def _blocking_at(n: float, tau: float) -> float:
    """Solution of `ds/dtau = g(s)`, s(0) = 0, for the four exponents."""
    if n == 2.0:
        return -math.expm1(-tau)
    if n == 1.0:
        return math.log1p(tau)
    power = (n - 1.0) / (n - 2.0)
    return -math.expm1(power * math.log1p((2.0 - n) * tau)) / (n - 1.0)
