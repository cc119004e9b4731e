"""Flow through element, valve and a hole in the element: three equations, one solution.

As with two paths, the dissipation is a convex function of the flows. Newton's step is halved until the
dissipation less the power put in falls, so it cannot run away.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.rig.filter_flow import PathFlows
from glasscan.rig.network_flow import TwoPaths
from glasscan.rig.throttle import flow_m3s

Floats = NDArray[np.float64]
_CLOSE = 1e-12  # residual relative to the differential pressure
_ROUND = 1e-12  # rounding of the dissipation, relative
_MAX_STEPS, _MAX_CUTS = 60, 30


def split_three(
    dp_pa: float,
    paths: TwoPaths,
    mu: float,
    inertia: float,
    throat: float | None,
    hole: tuple[float, float],
) -> PathFlows:
    """Flows of the three paths.

    Args:
        dp_pa: inlet minus outlet, Pa.
        paths: condensed creeping resistances with the hole's path, 1/m3.
        mu: viscosity in the filter, Pa s.
        inertia: `c` of the common loss `c Q |Q|`, Pa s2/m6.
        throat: `a` of the inertial drop at the valve, or None where nothing can pass.
        hole: (a, b) of the hole.
    """
    linear, square = _laws(paths, mu, throat, hole)
    live = np.array([True, throat is not None, True])
    q = np.array([flow_m3s(dp_pa, inertia + square[i], linear[i, i]) for i in range(3)]) * live
    size = _CLOSE * abs(dp_pa)
    for _ in range(_MAX_STEPS):
        gap = _gap(q, dp_pa, linear, square, inertia) * live
        if np.abs(gap).max() <= size:
            break
        slope = linear + np.diag(2.0 * square * np.abs(q)) + 2.0 * inertia * abs(q.sum())
        step = np.zeros(3)
        step[live] = np.linalg.solve(slope[np.ix_(live, live)], gap[live])
        q = _down(q, step, dp_pa, linear, square, inertia)
    jet_pa = 0.0 if throat is None else throat * abs(float(q[1])) * float(q[1])
    drop = dp_pa if throat is None else mu * paths.vv * float(q[1]) + jet_pa
    return PathFlows(float(q[0]), float(q[1]), drop, jet_pa, float(q[2]))


def _laws(
    paths: TwoPaths, mu: float, throat: float | None, hole: tuple[float, float]
) -> tuple[Floats, Floats]:
    """Linear (3, 3) and square (3,) coefficients of the drops along the paths."""
    third = paths.hole
    if third is None:
        raise ValueError("paths: expected a filter condensed with its hole")
    rows = [
        [paths.ee, paths.ev, third.eh],
        [paths.ev, paths.vv, third.vh],
        [third.eh, third.vh, third.hh],
    ]
    return mu * np.array(rows) + np.diag([0.0, 0.0, hole[1]]), np.array([0.0, throat or 0.0, hole[0]])


def _gap(q: Floats, dp: float, linear: Floats, square: Floats, inertia: float) -> Floats:
    """Drop along each path less the pressure at hand, Pa: the gradient of `_energy`."""
    total = q.sum()
    return np.asarray(linear @ q + square * np.abs(q) * q + inertia * abs(total) * total - dp)


def _energy(q: Floats, dp: float, linear: Floats, square: Floats, inertia: float) -> float:
    """What the solution minimises, W."""
    total = q.sum()
    cubes = float(square @ np.abs(q) ** 3) + inertia * abs(total) ** 3
    return float(0.5 * q @ linear @ q + cubes / 3.0 - dp * total)


def _down(q: Floats, step: Floats, dp: float, linear: Floats, square: Floats, inertia: float) -> Floats:
    """The Newton step, halved until it leads downhill."""
    here = _energy(q, dp, linear, square, inertia)
    for _ in range(_MAX_CUTS):
        tried = q - step
        if _energy(tried, dp, linear, square, inertia) <= here + _ROUND * abs(here):
            return np.asarray(tried)
        step = 0.5 * step
    return np.asarray(q - step)
