"""Figures of the solved filters: drop, share past the element and push on the valve; velocity at a point."""

from __future__ import annotations

from functools import cache, lru_cache

import numpy as np
from numpy.typing import NDArray

from glasscan.content import load
from glasscan.filters.build import build, layout_of
from glasscan.filters.filter_data import FilterData
from glasscan.filters.laminar_table import fresh_flow, outlet_re
from glasscan.filters.layout import PER_TURN, AxialLayout
from glasscan.filters.levels import chambers_at, posed_at
from glasscan.filters.section import Section
from glasscan.flow.faces import FaceNumbers
from glasscan.flow.grid import Floats, Grid
from glasscan.flow.inertia import NotSteadyError
from glasscan.formulas.inputs import Input, word
from glasscan.formulas.reading import FigureError
from glasscan.formulas.registry import figure
from glasscan.paths import asset
from glasscan.rig.network_flow import Condenser, TwoPaths

MM = 1e-3
_FILTERS = word("filter", sorted(path.stem for path in asset("filters").glob("*.yaml")))
_LIFT = Input("lift_mm", "mm", low=0.0, high=100.0)
_LEAST_DRAWN_MM = (
    0.01  # the cells of the gap shrink with it; less than 1 part in 10^5 of the oil passes there
)
_SPLIT = "clean element, every segment alike, creeping flow"


@cache
def _solved(name: str) -> Section:
    return build(_data(name))


def _data(name: str) -> FilterData:
    return load(asset("filters", f"{name}.yaml"), FilterData)


def _lift_m(data: FilterData, lift_mm: float) -> float:
    most = data.root.valve.max_lift_mm
    if lift_mm > most:
        raise FigureError(f"lift_mm: expected 0 to {most:g} mm, the stop of this valve, got {lift_mm:g}")
    return lift_mm * MM


def _resolved(lift_mm: float) -> float:
    """The lift, if cells fine enough for its gap can be had in a second or two."""
    if 0.0 < lift_mm < _LEAST_DRAWN_MM:
        raise FigureError(f"lift_mm: expected 0 or at least {_LEAST_DRAWN_MM:g} mm, got {lift_mm:g}")
    return lift_mm


def _paths(name: str, lift_m: float) -> tuple[TwoPaths, Floats]:
    """Paths of the filter and the shares of 1 m3/s that element and valve take of creeping flow."""
    network = _solved(name).network
    paths = Condenser(network, network.segment_r).at(lift_m)
    if lift_m == 0.0:
        return paths, np.array([1.0, 0.0])
    past = (paths.ee - paths.ev) / (paths.ee - 2.0 * paths.ev + paths.vv)
    return paths, np.array([1.0 - past, past])


@figure(
    "filter-drop",
    _FILTERS,
    _LIFT,
    unit="1/m3",
    method="creeping flow of the whole filter with its bypass valve held at a lift: drop over viscosity and "
    "flow (`resistance_per_m3`), share of the flow past the element (`past_share`, 0..1), pressure integral "
    f"on the valve over viscosity and flow (`push_per_m`, N per Pa.s and m3/s); {_SPLIT}; a valve on the "
    "axis: dirty side, throat and clean side are one chamber; in a head: the bore about the valve's own axis",
    source="staggered-grid Stokes solver of the project; interpolated between solved lifts as the rig does",
)
def filter_drop(filter: str, lift_mm: float) -> dict[str, float]:
    """What the rig uses of a solved filter at a lift."""
    paths, flows = _paths(filter, _lift_m(_data(filter), lift_mm))
    resistance = float(paths.ee * flows[0] + paths.ev * flows[1])
    push = float(np.dot(paths.push, flows)) if lift_mm > 0.0 else _shut_push(filter, resistance, paths)
    return {
        "value": resistance,
        "resistance_per_m3": resistance,
        "past_share": float(flows[1]),
        "push_per_m": push,
    }


def _shut_push(name: str, resistance: float, paths: TwoPaths) -> float:
    """Shut: the drop left for the valve's path on the seat area, and what the segments' flow does."""
    table = _solved(name).network.paths
    return float((resistance - paths.ev) * table.push_area[0] + paths.push[0])


@figure(
    "filter-velocity",
    _FILTERS,
    _LIFT,
    Input("r_mm", "mm", low=0.0, high=1000.0),
    Input("z_mm", "mm", low=0.0, high=5000.0),
    Input("re", low=0.0, high=5000.0, default=0.0),
    unit="1/m2, 1/m2",
    method="velocity (u_r outwards, u_z upwards) at a point of the axial section over the whole flow through "
    "the filter, m/s per m3/s, solved with the valve at this very lift; `u_r_over_outlet` and "
    "`u_z_over_outlet`: "
    f"the same over the mean speed in the outlet; {_SPLIT}; linear between the faces of the grid; 0 where "
    "there is no oil; `re` above 0, valve shut: steady laminar flow, Reynolds number of the outlet",
    source="staggered-grid Stokes solver of the project",
)
def filter_velocity(filter: str, lift_mm: float, r_mm: float, z_mm: float, re: float) -> dict[str, object]:
    """Velocity at a point for a flow of 1 m3/s."""
    lift_m = _lift_m(_data(filter), _resolved(lift_mm))
    if re > 0.0 and lift_m > 0.0:
        raise FigureError(
            f"re: laminar flow is solved with the valve shut, lift_mm=0, got lift_mm={lift_mm:g}"
        )
    layout, velocity, past = _field(filter, lift_m, re)
    u_r, u_z = velocity_at(layout.grid, velocity, r_mm * MM, z_mm * MM)
    mean = 1.0 / layout.outlet.area_m2
    return {
        "values": [u_r, u_z],
        "u_r_over_outlet": u_r / mean,
        "u_z_over_outlet": u_z / mean,
        "past_share": past,
    }


@lru_cache(maxsize=8)
def _field(name: str, lift_m: float, re: float) -> tuple[AxialLayout, Floats, float]:
    """Layout, (faces,) velocities for 1 m3/s, share past the element: one solution for many points."""
    layout = layout_of(_data(name), lifts_m=(lift_m,) if lift_m > 0.0 else ())
    paths, flows = _paths(name, lift_m)
    each = np.append(paths.share @ flows, flows[1])
    velocity = _laminar(layout, each, re) if re > 0.0 else _creeping(layout, each, lift_m)
    return layout, velocity, float(flows[1])


def _creeping(layout: AxialLayout, flows: Floats, lift_m: float) -> Floats:
    """(faces,) creeping velocities for segment and valve flows, m/s."""
    found = [flows @ part.velocity for part in chambers_at(layout, lift_m)]
    return np.asarray(np.sum(found, axis=0) / PER_TURN)


def _laminar(layout: AxialLayout, flows: Floats, re: float) -> Floats:
    """(faces,) velocities of steady laminar flow at a Reynolds number of the outlet, solved anew, m/s."""
    strength = re / (PER_TURN * outlet_re(layout.outlet, 1.0, 1.0))
    steps = strength * np.geomspace(min(1.0, 3.0 / re), 1.0, 2 + int(2.5 * np.log10(max(re, 3.0) / 3.0)))
    try:
        found = [fresh_flow(chamber, unit @ flows, tuple(steps)) for chamber, unit in posed_at(layout, 0.0)]
    except NotSteadyError:
        raise FigureError(f"re: no steady laminar flow found at {re:g}") from None
    return np.asarray(np.sum(found, axis=0) / PER_TURN)


def velocity_at(grid: Grid, velocity: Floats, r: float, z: float) -> tuple[float, float]:
    """Velocity at a point, bilinear between the faces, m/s."""
    (nx, ny), n_x = grid.shape, FaceNumbers(grid).n_x
    across_r, across_z = velocity[:n_x].reshape(nx + 1, ny), velocity[n_x:].reshape(nx, ny + 1)
    return _bilinear(grid.x, grid.yc, across_r, r, z), _bilinear(grid.xc, grid.y, across_z, r, z)


def _bilinear(x: Floats, y: Floats, values: NDArray[np.float64], at_x: float, at_y: float) -> float:
    i = int(np.clip(np.searchsorted(x, at_x) - 1, 0, len(x) - 2))
    j = int(np.clip(np.searchsorted(y, at_y) - 1, 0, len(y) - 2))
    s = min(max((at_x - x[i]) / (x[i + 1] - x[i]), 0.0), 1.0)
    t = min(max((at_y - y[j]) / (y[j + 1] - y[j]), 0.0), 1.0)
    low = values[i, j] * (1 - s) + values[i + 1, j] * s
    high = values[i, j + 1] * (1 - s) + values[i + 1, j + 1] * s
    return float(low * (1 - t) + high * t)
