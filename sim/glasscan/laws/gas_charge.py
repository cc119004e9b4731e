"""Gas in an accumulator: an ideal gas that takes heat from its wall with one time constant.

Compression without heat keeps `p V^gamma`; with all the time there is the gas stays at the wall's temperature
and keeps `p V` (Boyle). Between the two its heat content follows `d ln(p V^gamma)/dt = (T_wall/T - 1)/tau`.
The model with one thermal time constant is that of Otis and Pourmovahed for hydraulic accumulators (1985;
from memory).
Nitrogen near 10 MPa departs from the ideal gas by a few per cent; that is not in the law.
"""

from __future__ import annotations

from math import exp

GAMMA = 1.4  # nitrogen, two atoms in the molecule: 7/5


def gas_pa(fluid_m3: float, gas_m3: float, charge_pa: float, entropy: float = 0.0) -> float:
    """Absolute pressure of the gas, Pa.

    Args:
        fluid_m3: fluid that has pushed the gas together, 0 <= fluid < gas, m3.
        gas_m3: volume of the gas with no fluid in the accumulator, m3.
        charge_pa: its absolute pressure then, as warm as the wall, Pa.
        entropy: `ln(p V^gamma)` less its value as charged, dimensionless.
    """
    return float(charge_pa * exp(entropy) * (gas_m3 / (gas_m3 - fluid_m3)) ** GAMMA)


def fluid_m3(pressure_pa: float, gas_m3: float, charge_pa: float, entropy: float = 0.0) -> float:
    """Fluid in the accumulator at an absolute pressure, m3: inverse of `gas_pa`, none below the charge."""
    base_pa = charge_pa * exp(entropy)
    if pressure_pa <= base_pa:
        return 0.0
    return float(gas_m3 * (1.0 - (base_pa / pressure_pa) ** (1.0 / GAMMA)))


def fluid_slope(pressure_pa: float, gas_m3: float, charge_pa: float, entropy: float = 0.0) -> float:
    """What a rise of pressure above the charge adds to the fluid, m3/Pa."""
    base_pa = charge_pa * exp(entropy)
    return float(gas_m3 * (base_pa / pressure_pa) ** (1.0 / GAMMA) / (GAMMA * pressure_pa))


def warmth(fluid_m3: float, gas_m3: float, entropy: float) -> float:
    """Absolute temperature of the gas over that of its wall, dimensionless."""
    return float(exp(entropy) * (gas_m3 / (gas_m3 - fluid_m3)) ** (GAMMA - 1.0))
