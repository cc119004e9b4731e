"""Figures worked out by the project's own two-dimensional flow solver."""

from __future__ import annotations

from sim.figures.registry import Input, figure, positive
from sim.physics.cases import brinkman_channel_ratio, cylinder_array_drag, pleat_pair_drop
from sim.physics.pleats import pair_drop_pa

_CELLS = Input("cells", low=8, high=512, default=128, whole=True)
_SOLVER = "Stokes solver on a staggered grid with cut cells"


@figure(
    "cylinder-array",
    Input("solid_fraction", low=0.0, high=0.76, open_low=True),
    _CELLS,
    unit="-",
    method=f"F/(mu U) of a square array of cylinders; {_SOLVER}; `extrapolated` from cells and cells/2",
    source="compare Sangani & Acrivos 1982, Table 1",
)
def cylinder_array(solid_fraction: float, cells: int) -> dict[str, float]:
    """Drag at the grid asked for, and extrapolated to no spacing at second order."""
    value = cylinder_array_drag(solid_fraction, cells)
    coarse = cylinder_array_drag(solid_fraction, cells // 2)
    ratio = (cells / (cells // 2)) ** 2
    return {"value": value, "extrapolated": value + (value - coarse) / (ratio - 1)}


@figure(
    "brinkman-channel",
    positive("lam", high=1e3),
    _CELLS,
    unit="-",
    method=f"mean velocity over Darcy velocity, lam = half height / sqrt(k); {_SOLVER}",
    source="exact: 1 - tanh(lam)/lam",
)
def brinkman_channel(lam: float, cells: int) -> float:
    """Mean velocity of the filled channel over that of the medium alone."""
    return brinkman_channel_ratio(lam, cells)


@figure(
    "pleat-pair",
    positive("spacing_mm", "mm", high=100),
    positive("length_mm", "mm", high=1000),
    positive("medium_mm", "mm", high=100),
    positive("permeability_m2", "m2", high=1e-6),
    positive("mu_pa_s", "Pa.s"),
    Input("flow_m2_s", "m2/s"),
    Input("cells", low=4, high=48, default=16, whole=True),
    unit="Pa",
    method=f"two-dimensional channels and a medium that lets oil across (Darcy); {_SOLVER}; the closed"
    " form for thin channels beside it; `brinkman_pa`: oil in the medium is dragged along too",
    source="closed form: Poiseuille channels and a Darcy wall, mu Q Rm kk coth(kk L/2)/4 + 6 mu Q L/s^3",
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
    """Drop of one pleat pair by the two-dimensional solver and by the closed form."""
    spacing, length, medium = spacing_mm * 1e-3, length_mm * 1e-3, medium_mm * 1e-3
    solved = pleat_pair_drop(spacing, length, medium, permeability_m2, cells)
    dragged = pleat_pair_drop(spacing, length, medium, permeability_m2, cells, slip=True)
    closed = pair_drop_pa(spacing, length, medium / permeability_m2, mu_pa_s, flow_m2_s)
    scale = mu_pa_s * flow_m2_s
    return {"value": scale * solved, "closed_form_pa": closed, "brinkman_pa": scale * dragged}
