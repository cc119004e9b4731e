"""Filtration ratio and the reservoir that a filter keeps clean. SI units throughout."""

from __future__ import annotations

import math


def efficiency(beta: float) -> float:
    """Share caught, `1 - 1/beta` (definition of ISO 16889: beta = upstream over downstream count).

    Raises:
        ValueError: where beta is below 1.
    """
    if not beta >= 1.0:
        raise ValueError(f"beta is 1 (nothing caught) or more, got {beta:g}")
    return 1.0 - 1.0 / beta


def beta_from_efficiency(caught: float) -> float:
    """Filtration ratio of a filter that catches the share `caught`, 0 <= caught < 1."""
    if not 0.0 <= caught < 1.0:
        raise ValueError(f"the share caught lies from 0 up to, but not including, 1; got {caught:g}")
    return 1.0 / (1.0 - caught)


def time_constant_s(flow_m3s: float, volume_m3: float, beta: float) -> float:
    """Time constant of the reservoir, `V/(Q (1 - 1/beta))`, s; infinite where nothing is caught."""
    caught = efficiency(beta)
    return volume_m3 / (flow_m3s * caught) if caught > 0.0 else math.inf


def reservoir_kg_m3(
    flow_m3s: float, volume_m3: float, base_kg_m3: float, beta: float, t_s: float, start_kg_m3: float = 0.0
) -> float:
    """Concentration in a mixed reservoir under steady injection and constant beta, kg/m3.

    Solution of `V dC/dt = Q base - Q (1 - 1/beta) C`, with `base` the injected mass rate over the flow.
    """
    caught = efficiency(beta)
    turnovers = flow_m3s * t_s / volume_m3
    exponent = caught * turnovers
    growth = -math.expm1(-exponent) / caught if caught > 0.0 else turnovers
    return base_kg_m3 * growth + start_kg_m3 * math.exp(-exponent)


def settled_kg_m3(base_kg_m3: float, beta: float) -> float:
    """Concentration it tends to, `base/(1 - 1/beta)`, kg/m3; infinite where nothing is caught."""
    caught = efficiency(beta)
    return base_kg_m3 / caught if caught > 0.0 else math.inf


def turnovers_to_clean(beta: float, factor: float = 10.0) -> float:
    """Reservoir volumes through the filter that cut the dirt `factor` times, `ln(factor)/(1 - 1/beta)`."""
    caught = efficiency(beta)
    return math.log(factor) / caught if caught > 0.0 else math.inf
