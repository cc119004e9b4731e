"""Figures of oil that does not flow as a plain liquid: gel near the pour point, polymers under shear."""

from __future__ import annotations

from glasscan.formulas.registry import Input, figure, positive
from glasscan.laws import cold_oil

CARREAU = "form of P. J. Carreau, Trans. Soc. Rheol. 16 (1972) 99 (MEMORY)"
GEL = "35 Pa by ASTM D4684 (MEMORY); its place at the pour point and its slope are round figures of our own"


@figure(
    "sheared-viscosity",
    positive("mu_pa_s", "Pa.s"),
    Input("shear_1_s", "1/s", low=0.0),
    Input("base_share", low=0.0, high=1.0, open_low=True),
    positive("knee_stress_pa", "Pa"),
    unit="Pa.s",
    method="mu (b + (1 - b)/sqrt(1 + (mu rate/s)^2)): b the base oil's share, s the polymers' knee",
    source=CARREAU,
)
def _sheared(mu_pa_s: float, shear_1_s: float, base_share: float, knee_stress_pa: float) -> float:
    return cold_oil.sheared_pa_s(mu_pa_s, shear_1_s, base_share, knee_stress_pa)


@figure(
    "yield-stress",
    Input("at_c", "degC", low=-100.0, high=200.0),
    Input("pour_c", "degC", low=-100.0, high=100.0),
    unit="Pa",
    method="35 Pa at the pour point, half of it for every 3 K above, less a thirty-second part of 35 Pa: "
    "none from 15 K on",
    source=GEL,
)
def _yield(at_c: float, pour_c: float) -> float:
    return cold_oil.yield_pa(at_c, pour_c)


@figure(
    "yield-drop",
    Input("yield_pa", "Pa", low=0.0),
    Input("length_over_width", low=0.0),
    Input("shape", choices=("pipe", "slit"), default="pipe"),
    unit="Pa",
    method="pressure that sets gelled oil moving: 4 tau L/D in a pipe, 2 tau L/h between plates",
    source="balance of forces on the plug",
)
def _yield_drop(yield_pa: float, length_over_width: float, shape: str) -> float:
    law = cold_oil.yield_drop_pa if shape == "pipe" else cold_oil.yield_drop_slit_pa
    return law(yield_pa, length_over_width)
