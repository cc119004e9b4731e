"""Oil properties as fast scalar look-ups, drawn once from the fluid's own laws."""

from __future__ import annotations

from functools import lru_cache
from math import exp
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    from glasscan.laws.fluid import Fluid

Floats = NDArray[np.float64]
COLDEST_C, HOTTEST_C, _STEP_C = -60.0, 200.0, 0.5


class OilTable:
    """Viscosity, density and heat capacity of a fluid at every half degree.

    Between the marks ln(mu) follows a cubic Hermite curve (relative error below 1e-8 for an SAE 50 oil),
    density and heat capacity a straight line. Outside -60..200 degC the end values hold.
    """

    __slots__ = ("cp", "fluid", "ln_mu", "rho", "slope", "yields")

    def __init__(self, fluid: Fluid) -> None:
        t_c = np.arange(COLDEST_C, HOTTEST_C + _STEP_C, _STEP_C)
        self.fluid = fluid
        ln_mu = np.log(fluid.mu_pa_s(t_c))
        self.ln_mu: list[float] = ln_mu.tolist()
        self.slope: list[float] = _slopes(ln_mu).tolist()
        self.rho: list[float] = np.asarray(fluid.rho_kg_m3(t_c)).tolist()
        self.yields: list[float] = [fluid.yield_pa(t) for t in t_c.tolist()]
        self.cp: list[float] = np.asarray(fluid.cp_j_kgk(t_c)).tolist()

    def _place(self, t_c: float) -> tuple[int, float]:
        s = (t_c - COLDEST_C) / _STEP_C
        top = len(self.ln_mu) - 1
        if not s > 0.0:
            return 0, 0.0
        if s >= top:
            return top - 1, 1.0
        j = int(s)
        return j, s - j

    def mu_pa_s(self, t_c: float) -> float:
        """Dynamic viscosity, Pa s."""
        j, w = self._place(t_c)
        y0, y1, m0, m1 = self.ln_mu[j], self.ln_mu[j + 1], self.slope[j], self.slope[j + 1]
        rise = y1 - y0
        return exp(y0 + w * (m0 + w * (3 * rise - 2 * m0 - m1 + w * (m0 + m1 - 2 * rise))))

    def sheared_pa_s(self, t_c: float, shear_1_s: float) -> float:
        """Dynamic viscosity at a rate of shear, Pa s."""
        return self.fluid.sheared_pa_s(self.mu_pa_s(t_c), shear_1_s)

    def yield_pa(self, t_c: float) -> float:
        """Stress below which oil that has stood does not move, Pa."""
        j, w = self._place(t_c)
        return self.yields[j] + w * (self.yields[j + 1] - self.yields[j])

    def rho_kg_m3(self, t_c: float) -> float:
        """Density, kg/m3."""
        j, w = self._place(t_c)
        return self.rho[j] + w * (self.rho[j + 1] - self.rho[j])

    def cp_j_kgk(self, t_c: float) -> float:
        """Specific heat, J/(kg K)."""
        j, w = self._place(t_c)
        return self.cp[j] + w * (self.cp[j + 1] - self.cp[j])


def _slopes(y: Floats) -> Floats:
    """Fourth-order slopes per step inside, second-order at the two ends."""
    m: Floats = np.gradient(y, edge_order=2)
    m[2:-2] = (y[:-4] - 8 * y[1:-3] + 8 * y[3:-1] - y[4:]) / 12
    return m


@lru_cache(maxsize=16)
def oil_table(fluid: Fluid) -> OilTable:
    """The table of a fluid, made once."""
    return OilTable(fluid)
