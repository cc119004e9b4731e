"""Held-out values of thrust, walls, covers and bolts: the differential equations behind the closed forms."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from scipy.integrate import quad, solve_bvp

from tests.formulas.heldout.case import Case

POISSON = 0.3
TENSILE_M8_MM2, TENSILE_M6_MM2 = 36.6, 20.1
"""Stress areas of M8 x 1.25 and M6 x 1 as handbooks print them, after ISO 898-1 (MEMORY)."""


def cases() -> Iterator[Case]:
    """Thrust, wall, cover and bolts."""
    for kpa, mm in ((350, 76), (20684, 70), (10342, 101.6)):
        force = quad(lambda r, kpa=kpa: kpa * 1e3 * 2 * math.pi * r, 0, mm / 2e3)[0]
        yield Case("end-thrust", {"pressure_kpa": kpa, "across_mm": mm}, force, "pressure summed over rings")
    for kpa, inner, wall in ((20684, 40, 5), (10342, 35, 1), (700, 20, 20)):
        given = {"pressure_kpa": kpa, "inner_radius_mm": inner, "wall_mm": wall}
        yield Case("wall-stress", given, _hoop_mpa(kpa, inner, wall), "Lame's equation by solve_bvp", 1e-5)
    for rim in ("clamped", "laid"):
        given = {"pressure_kpa": 10342, "radius_mm": 40, "thick_mm": 12, "rim": rim}
        yield Case("cover-stress", given, _plate_mpa(10342, 40, 12, rim), "plate equation by solve_bvp", 1e-3)
    for kpa, across, bolt, pitch, area in (
        (10342, 90, 8, 1.25, TENSILE_M8_MM2), (20684, 80, 8, 1.25, TENSILE_M8_MM2),
        (400, 90, 6, 1, TENSILE_M6_MM2),
    ):  # fmt: skip
        thrust = 1.5 * kpa * 1e-3 * math.pi * across**2 / 4
        number = math.ceil(thrust / (0.7 * 580 * area))
        given = {"pressure_kpa": kpa, "across_mm": across, "bolt_mm": bolt, "pitch_mm": pitch}
        yield Case("bolt-count", given, number, "printed stress areas of ISO 898-1 (MEMORY)", 0)


def _hoop_mpa(kpa: float, inner: float, wall: float) -> float:
    """Radial displacement u of a ring in plane stress: `u'' + u'/r - u/r^2 = 0`, pressure inside only."""
    e = 1e5

    def slopes(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], y[0] / r**2 - y[1] / r])

    def radial(y: np.ndarray, r: float) -> float:
        return float(e / (1 - POISSON**2) * (y[1] + POISSON * y[0] / r))

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([radial(a, inner) + kpa * 1e-3, radial(b, inner + wall)])

    r = np.linspace(inner, inner + wall, 201)
    found = solve_bvp(slopes, ends, r, np.zeros((2, r.size)), tol=1e-9)
    u, du = found.sol(inner)
    return float(e / (1 - POISSON**2) * (u / inner + POISSON * du))


def _plate_mpa(kpa: float, radius: float, thick: float, rim: str) -> float:
    """Slope f of a round plate: `D (f'' + f'/r - f/r^2) = -q r/2`; largest bending stress."""
    stiffness = 1e5 * thick**3 / 12 / (1 - POISSON**2)

    def slopes(r: np.ndarray, y: np.ndarray) -> np.ndarray:
        return np.vstack([y[1], -kpa * 1e-3 * r / 2 / stiffness + y[0] / r**2 - y[1] / r])

    def ends(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        return np.array([a[0] - a[1] * r[0], b[0] if rim == "clamped" else b[1] + POISSON * b[0] / radius])

    r = np.linspace(radius * 1e-3, radius, 401)
    found = solve_bvp(slopes, ends, r, np.zeros((2, r.size)), tol=1e-9, max_nodes=20000)
    moments = [
        stiffness * (found.sol(at)[1] + POISSON * found.sol(at)[0] / at) for at in (radius * 1e-2, radius)
    ]
    return float(6 * max(abs(m) for m in moments) / thick**2)
