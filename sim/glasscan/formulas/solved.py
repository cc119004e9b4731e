"""Figures worked out by the project's own two-dimensional flow solver."""

from __future__ import annotations

import math
from collections.abc import Callable

from glasscan.flow.model_problems import brinkman_channel_ratio, cylinder_array_drag, pleat_pair_drop
from glasscan.formulas.registry import Input, figure, positive
from glasscan.laws.pleats import pair_drop_pa, wide_pair_drop_pa

_CELLS = Input("cells", low=8, high=512, default=128, whole=True)
_SOLVER = (
    "Stokes solver on a staggered grid with cut cells, extrapolated at second order from cells/2 and cells; "
    "`at_cells` as solved, `error_bar` of the value"
)
_FEWEST = 8


def refined(solve: Callable[[int], float], cells: int) -> dict[str, float]:
    """What a solver tends to on finer grids: solved at `cells`, half and a quarter of them.

    Returns:
        `value` (also `extrapolated`) by Richardson's extrapolation at second order, `at_cells` as solved, and
        `error_bar`: a third of what the last halving moved the extrapolated value (of the correction, where
        a quarter of the cells would be too few), a fifth of the correction at least: the order is second at
        walls that cut cells and higher elsewhere. Exact solutions lie within it.
    """
    fine, half = solve(cells), solve(cells // 2)
    best = _without_spacing(fine, half, cells / (cells // 2))
    quarter = cells // 4
    before = _without_spacing(half, solve(quarter), (cells // 2) / quarter) if quarter >= _FEWEST else fine
    bar = max(abs(best - before) / 3.0, abs(best - fine) / 5.0)
    return {"value": best, "extrapolated": best, "at_cells": fine, "error_bar": bar}


def _without_spacing(fine: float, coarse: float, ratio: float) -> float:
    return fine + (fine - coarse) / (ratio**2 - 1.0)


@figure(
    "cylinder-array",
    Input("solid_fraction", low=1e-9, high=0.78),
    _CELLS,
    unit="-",
    method="F/(mu U) of a square array of cylinders, U the superficial velocity; `k_over_l2`, `k_over_a2` "
    f"permeability over the squares of the spacing and of the radius; {_SOLVER}",
    source="compare Sangani & Acrivos 1982, Table 1",
)
def cylinder_array(solid_fraction: float, cells: int) -> dict[str, float]:
    """Drag of the array and the permeability that goes with it."""
    found = refined(lambda n: cylinder_array_drag(solid_fraction, n), cells)
    permeability = 1.0 / found["value"]
    return {
        **found,
        "k_over_l2": permeability,
        "k_over_a2": permeability * math.pi / solid_fraction,
    }


@figure(
    "brinkman-channel",
    Input("lam", low=1e-4, high=1e3),
    _CELLS,
    unit="-",
    method=f"mean velocity over Darcy velocity, lam = half height / sqrt(k); {_SOLVER}",
    source="exact: 1 - tanh(lam)/lam",
)
def brinkman_channel(lam: float, cells: int) -> dict[str, float]:
    """Mean velocity of the filled channel over that of the medium alone."""
    return refined(lambda n: brinkman_channel_ratio(lam, n), cells)


@figure(
    "pleat-pair",
    Input("spacing_mm", "mm", low=1e-3, high=100),
    Input("length_mm", "mm", low=0.01, high=1000),
    Input("medium_mm", "mm", low=1e-3, high=100),
    Input("permeability_m2", "m2", low=1e-20, high=1e-6),
    positive("mu_pa_s", "Pa.s"),
    Input("flow_m2_s", "m2/s"),
    Input("cells", low=4, high=48, default=16, whole=True),
    unit="Pa",
    method=f"two-dimensional channels and a medium that lets oil across (Darcy), between the mouths; "
    f"{_SOLVER}; "
    "`closed_form_pa` for thin channels (s kk small), `wide_pa` the same to second order in `s_kk`; "
    "`brinkman_pa`: oil in the medium is dragged along too",
    source="closed form: Poiseuille channels and a Darcy wall, mu Q Rm kk coth(kk L/2)/4 + 6 mu Q L/s^3, kk "
    "= sqrt(48/(s^3 Rm)); wide: lubrication expansion, re-derived",
)
def pleat_pair(
    spacing_mm: float,
    length_mm: float,
    medium_mm: float,
    permeability_m2: float,
    mu_pa_s: float,
    flow_m2_s: float,
    cells: int,
) -> dict[str, float]:
    """Drop of one pleat pair by the two-dimensional solver and by the closed forms."""
    spacing, length, medium = spacing_mm * 1e-3, length_mm * 1e-3, medium_mm * 1e-3
    size = (spacing, length, medium, permeability_m2)
    scale, wall = mu_pa_s * flow_m2_s, medium / permeability_m2
    solved = {key: scale * drop for key, drop in refined(lambda n: pleat_pair_drop(*size, n), cells).items()}
    dragged = refined(lambda n: pleat_pair_drop(*size, n, slip=True), cells)
    return {
        **solved,
        "error_bar": abs(solved["error_bar"]),
        "closed_form_pa": pair_drop_pa(spacing, length, wall, mu_pa_s, flow_m2_s),
        "wide_pa": wide_pair_drop_pa(spacing, length, wall, mu_pa_s, flow_m2_s),
        "s_kk": math.sqrt(48.0 / (spacing * wall)),
        "brinkman_pa": scale * dragged["value"],
    }
