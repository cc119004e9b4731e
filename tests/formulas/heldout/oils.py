"""Oils: the double-log law solved by bisection, D2270 by the open library `chemicals`, printed tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from chemicals import viscosity_index
from scipy.optimize import brentq

from tests.formulas.heldout.case import Case

D341 = "ASTM D341 (recalled), inverted by bisection"
OILS = ((2.2, 0.95), (6.8, 2.0), (10, 2.7), (22, 4.3), (46, 6.8), (150, 14.7), (320, 24.1), (680, 37.6))
HYDRAULIC = ((-54, 2500, 40, 13.2), (-40, 600, 100, 4.9), (0, 120, 60, 9.0), (100, 4.9, -40, 600))
AT_C = (-54, -40, -20, -5, 0, 15, 40, 60, 85, 100, 121, 150)


def cases() -> Iterator[Case]:
    """Every check of this module."""
    yield from _viscosities()
    yield from _indices()
    yield from _densities()
    yield from _heat()
    yield from _saybolt()


def _z(nu: float) -> float:
    return nu + 0.7 + math.exp(-1.47 - 1.84 * nu - 0.51 * nu**2)


def _loglog(nu: float) -> float:
    return math.log10(math.log10(_z(nu)))


def _nu(points: tuple[float, float, float, float], at_c: float) -> float:
    t1, nu1, t2, nu2 = points
    share = math.log((at_c + 273.15) / (t1 + 273.15)) / math.log((t2 + 273.15) / (t1 + 273.15))
    wanted = _loglog(nu1) + share * (_loglog(nu2) - _loglog(nu1))
    return float(brentq(lambda nu: _loglog(nu) - wanted, 0.12, 1e12, xtol=1e-14, rtol=1e-14))


def _line(points: tuple[float, float, float, float]) -> tuple[float, float]:
    """A and B as a line fitted through the two points."""
    t1, nu1, t2, nu2 = points
    slope, offset = np.polyfit(np.log10([t1 + 273.15, t2 + 273.15]), [_loglog(nu1), _loglog(nu2)], 1)
    return float(offset), -float(slope)


def _density(rho15: float, at_c: float) -> float:
    grown = 0.6278 / rho15 * (at_c - 15)
    return rho15 * math.exp(-grown - 0.8 * grown**2)


def _viscosities() -> Iterator[Case]:
    for kv40, kv100 in OILS:
        for at_c in AT_C:
            nu = _nu((40, kv40, 100, kv100), at_c)
            given = {"kv40": kv40, "kv100": kv100, "at_c": at_c}
            yield Case("kinematic-viscosity", given, nu, D341)
            yield Case("dynamic-viscosity", given | {"rho15": 875}, 1e-6 * nu * _density(875, at_c), D341)
        back = {"kv40": kv40, "kv100": kv100, "nu": _nu((40, kv40, 100, kv100), 7.5)}
        a, b = _line((40, kv40, 100, kv100))
        yield Case("viscosity-constants", {"kv40": kv40, "kv100": kv100}, [a, b], D341)
        yield Case("viscosity-temperature", back, 7.5, D341)
        cold, hot = (_nu((40, kv40, 100, kv100), t) * _density(900, t) for t in (-10, 90))
        ratio = {"kv40": kv40, "kv100": kv100, "rho15": 900, "cold_c": -10, "hot_c": 90}
        yield Case("viscosity-ratio", ratio, cold / hot, D341)
    for points in HYDRAULIC:
        given = dict(zip(("t1_c", "nu1", "t2_c", "nu2"), points, strict=True))
        for at_c in (-54, -20, 20, 80, 110):
            yield Case("kinematic-viscosity-through", given | {"at_c": at_c}, _nu(points, at_c), D341)
        yield Case("viscosity-constants-through", given, list(_line(points)), D341)
        known = {"nu": _nu(points, 12.5)}
        yield Case("viscosity-temperature-through", given | known, 12.5, D341)
    for nu in (0.21, 0.25, 0.4, 0.8, 1.5, 3, 25, 1e4):
        yield Case("d341-z", {"nu": nu}, _z(nu), D341)
        yield Case("d341-nu", {"z": _z(nu)}, nu, D341)
        yield Case("d341-z", {"nu": nu, "form": "older"}, _z(nu), "both forms of D341 agree in 0.5 %", 0.005)
    for nu in (2.5, 40, 900):
        yield Case("d341-z", {"nu": nu, "form": "simple"}, _z(nu), "no low term above 2 mm2/s", 1e-3)
    yield from _dynamic_through()


def _dynamic_through() -> Iterator[Case]:
    """Spindle, machine and cylinder oil measured at 30, 60 and 100 degC (Stachowiak & Batchelor, FOUND)."""
    for mu30, mu60, mu100 in ((0.0186, 0.0063, 0.0024), (0.25, 0.0505, 0.0126), (0.81, 0.135, 0.0268)):
        points = {"t1_c": 30, "mu1_pa_s": mu30, "t2_c": 100, "mu2_pa_s": mu100, "rho15": 880}
        source = "Engineering Tribology, table 2.3 (measured)"
        yield Case("dynamic-viscosity-through", points | {"at_c": 60}, mu60, source, 0.06)
        linear = points | {"at_c": 60, "alpha_per_k": 0.0007}
        yield Case("dynamic-viscosity-through", linear, mu60, source, 0.06)
        yield Case("dynamic-viscosity-through", points | {"at_c": 100}, mu100, "a point is its own answer")


def _indices() -> Iterator[Case]:
    pairs = ((20, 4), (30, 5.6), (8, 2.05), (12.2, 3.3), (68, 8.73), (94, 11.1), (220, 18.8), (135, 14.6))
    thick = ((460, 31), (1000, 69.5), (1500, 75), (700, 90), (3000, 120), (60, 21), (400, 12), (500, 28.5))
    for kv40, kv100 in pairs + thick:
        index = viscosity_index(kv40 * 1e-6, kv100 * 1e-6)
        given, source = {"kv40": kv40, "kv100": kv100}, "chemicals.viscosity_index (D2270)"
        yield Case("viscosity-index", given, index, source, 1e-4)
        low, high = _basis(kv100)
        yield Case(
            "viscosity-index-basis", {"kv100": kv100}, [low, high], "from two indices of the library", 1e-3
        )
        yield Case("viscosity-index", given, round(float(index)), source, 0, "rounded")


def _basis(kv100: float) -> tuple[float, float]:
    """L and H read off the library: below index 100 the index falls evenly with the viscosity at 40 degC."""
    one, two = (viscosity_index(kv40 * 1e-6, kv100 * 1e-6) for kv40 in (1e4, 2e4))
    slope = (two - one) / 1e4
    return 1e4 - one / slope, 1e4 + (100 - one) / slope


def _densities() -> Iterator[Case]:
    source = "ASTM D1250 form (recalled), written out"
    for rho15 in (820, 865, 888, 915, 960):
        for at_c in (-54, -20, 10, 15, 38, 80, 150):
            yield Case("density", {"rho15": rho15, "at_c": at_c}, _density(rho15, at_c), source)
        yield Case("expansion", {"rho15": rho15}, 0.6278 / rho15, source)
    yield Case("density", {"rho15": 880, "at_c": -54}, True, "MPMS 11.1 from -50 degC", key="beyond")
    crude = {"rho15": 850, "k0": 613.9723, "k1": 0}
    yield Case("expansion", crude, 613.9723 / 850**2, "API MPMS 11.1 group of crude oils (recalled)")
    grown = 613.9723 / 850**2 * 45
    yield Case("density", crude | {"at_c": 60}, 850 * math.exp(-grown * (1 + 0.8 * grown)), source)
    given = {"rho15": 880, "at_c": 65, "alpha_per_k": 7e-4}
    yield Case("density", given, 880 * math.exp(-0.035 * 1.028), source)


def _heat() -> Iterator[Case]:
    """Cragoe in British units: (0.388 + 0.00045 t)/sqrt(s) Btu/lb degF, and 0.813/s (1 - 0.0003 (t - 32))."""
    for sg in (0.82, 0.87, 0.93):
        for at_c in (-20, 0, 25, 60, 120):
            at_f = 1.8 * at_c + 32
            cp = (0.388 + 0.00045 * at_f) / math.sqrt(sg) * 4186.8
            k = 0.813 / sg * (1 - 0.0003 * (at_f - 32)) * 0.1442279
            given = {"sg": sg, "at_c": at_c}
            yield Case("specific-heat", given, cp, "Cragoe in Btu (recalled)", 0.005)
            yield Case("conductivity", given, k, "Cragoe in Btu (recalled)", 0.005)
    for dp in (0, 250, 3000 * 6.894757):
        given = {"dp_kpa": dp, "rho": 860, "cp": 2000}
        yield Case("throttling-rise", given, dp * 1e3 / 860 / 2000, "energy balance")


def _saybolt() -> Iterator[Case]:
    """The usual table of conversion at 100 degF, SUS: mm2/s (handbooks, recalled)."""
    table = {35: 2.69, 40: 4.28, 50: 7.40, 70: 13.1, 100: 20.6, 150: 32.1, 200: 43.2, 300: 65.0, 1000: 216}
    for seconds, nu in table.items():
        yield Case("saybolt", {"nu": nu}, seconds, "handbook table of SUS (recalled)", 0.01)
    yield Case("saybolt", {"nu": 20.0}, 98.5, "D2161 table at 210 degF (recalled)", 0.01, "at_210f")
