"""What a particle counter would show before and behind the filter, and the code for it."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import COUNTED_UM, counts_per_ml
from glasscan.contaminant.stocks import OilFlow, Stocks
from glasscan.laws.cleanliness import iso4406

Floats = NDArray[np.float64]


def upstream_kg_m3(stocks: Stocks, flow: OilFlow) -> Floats:
    """(C,) mass in the oil before the element, loose dirt of the bowl included."""
    moving = float(np.maximum(flow.segments, 0.0).sum()) + max(flow.past, 0.0)
    stirred = stocks.loose / flow.bowl_m3 if moving > 0.0 else np.zeros_like(stocks.loose)
    return np.asarray(stocks.suspended / flow.oil_m3 + stirred)


def downstream_kg_m3(stocks: Stocks, flow: OilFlow, caught: Floats) -> Floats:
    """(C,) mass in the oil behind the filter, where the streams through and past the element have met."""
    inward, past = np.maximum(flow.segments, 0.0), max(flow.past, 0.0)
    whole = float(inward.sum()) + past
    if whole <= 0.0:
        return np.zeros(len(caught))
    return np.asarray(upstream_kg_m3(stocks, flow) * (1.0 - caught @ inward / whole))


def counter_readings(stocks: Stocks, flow: OilFlow, caught: Floats) -> dict[str, float]:
    """Counts per mL above 4, 6 and 14 um(c) up- and downstream, by name: `up_4um_per_ml` and so on."""
    up, down = upstream_kg_m3(stocks, flow), downstream_kg_m3(stocks, flow, caught)
    sides = (("up", up), ("down", down))
    return {f"{side}_{um}um_per_ml": counts_per_ml(mass, um) for side, mass in sides for um in COUNTED_UM}


def cleanliness_code(readings: Mapping[str, float], side: str = "up") -> str:
    """ISO 4406 code of a snapshot's readings.

    Args:
        readings: `Snapshot.readings`.
        side: "up" or "down".
    """
    first, second, third = (readings[f"{side}_{um}um_per_ml"] for um in COUNTED_UM)
    return iso4406((first, second, third))
