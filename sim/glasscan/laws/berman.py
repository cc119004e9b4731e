"""Plane channel with uniform suction or injection through both walls: Berman's similarity solution.

With eta = y/h and wall Reynolds number R = v_w h/nu (suction positive) the stream function obeys
`f''' + R (f'^2 - f f'') = k`, f(0) = f''(0) = 0, f(1) = 1, f'(1) = 0. Source: Berman 1953, J. Appl. Phys. 24.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_bvp

Floats = NDArray[np.float64]

R_MIN, R_MAX = -50.0, 12.0
"""Wall Reynolds numbers covered: above about 12.2 of suction the solution is no longer unique."""


@dataclass(frozen=True)
class BermanFlow:
    """Solution at one wall Reynolds number.

    Attributes:
        k: pressure constant of the similarity equation, dimensionless (-3 in creeping flow).
        centre: centre-line velocity over the mean velocity, f'(0) (1.5 in creeping flow).
    """

    k: float
    centre: float


def berman(r_wall: float) -> BermanFlow:
    """Solve the similarity equation by collocation at wall Reynolds number `r_wall` (suction positive).

    Raises:
        ValueError: outside R_MIN..R_MAX.
    """
    if not R_MIN <= r_wall <= R_MAX:
        raise ValueError(f"wall Reynolds number must lie in {R_MIN:g}..{R_MAX:g}, got {r_wall:g}")
    eta = np.linspace(0.0, 1.0, 41)
    shape, k = _creeping(eta), np.array([-3.0])
    for r in _path(r_wall):
        eta, shape, k = _solve(r, eta, shape, k)
    return BermanFlow(k=float(k[0]), centre=float(shape[1, 0]))


def porous_wall_drop_pa(
    u0_m_s: float,
    wall_speed_m_s: float,
    half_height_m: float,
    x_m: float,
    mu_pa_s: float,
    rho_kg_m3: float = 0.0,
) -> float:
    """Pressure drop from the inlet to `x_m` along a channel with uniform wall suction, Pa.

    `-(mu k/h^2)(u0 x - v_w x^2/(2 h))`, k from the similarity solution; `rho_kg_m3 = 0` is creeping flow.
    """
    r_wall = rho_kg_m3 * wall_speed_m_s * half_height_m / mu_pa_s
    path = u0_m_s * x_m - wall_speed_m_s * x_m**2 / (2.0 * half_height_m)
    return -mu_pa_s * berman(r_wall).k / half_height_m**2 * path


def _creeping(eta: Floats) -> Floats:
    return np.array([0.5 * (3.0 * eta - eta**3), 1.5 * (1.0 - eta**2), -3.0 * eta])


def _path(r_wall: float) -> Floats:
    """Steps from creeping flow to `r_wall`, so that Newton's method always starts near the root."""
    count = int(np.ceil(abs(r_wall) / 2.5)) + 1
    return np.linspace(0.0, r_wall, count)[1:] if r_wall else np.zeros(1)


def _solve(r: float, eta: Floats, shape: Floats, k: Floats) -> tuple[Floats, Floats, Floats]:
    def slope(_eta: Floats, y: Floats, p: Floats) -> Floats:
        return np.array([y[1], y[2], p[0] - r * (y[1] ** 2 - y[0] * y[2])])

    def ends(a: Floats, b: Floats, _p: Floats) -> Floats:
        return np.array([a[0], a[2], b[0] - 1.0, b[1]])

    found = solve_bvp(slope, ends, eta, shape, p=k, tol=1e-9, max_nodes=20000)
    if not found.success:
        raise ValueError(f"no solution found at wall Reynolds number {r:g}: {found.message}")
    return found.x, found.y, found.p
