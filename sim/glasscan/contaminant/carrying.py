"""From the rig's flows to those that carry dirt, and what holds the oil back when the pump stands."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.contaminant_state import sink_m_s
from glasscan.contaminant.stocks import OilFlow
from glasscan.filters.element_capture import DirtSide
from glasscan.rig import state_index as at
from glasscan.rig.algebraic import Moment, Parts, evaluate
from glasscan.rig.plant_data import PlantData

Floats = NDArray[np.float64]
_MM3 = 1e-9
_LEAST_OIL_M3 = 1e-6  # a sump run dry still has this: no division by nought


def flow_now(parts: Parts, y: Floats, rpm: float) -> OilFlow:
    """The flows of this moment."""
    m = evaluate(parts, y.tolist(), rpm)
    return flow_of(parts, m, m.flows.element_m3s, m.unfiltered)


def mean_flow(parts: Parts, before: Floats, after: Floats, h: float) -> OilFlow:
    """Mean flows of a step, from the volumes it has booked; shares as at its end.

    Args:
        parts: of the step.
        before, after: states.
        h: length of the step, s.
    """
    m = evaluate(parts, after.tolist(), 0.0)
    element, past, leak = ((after - before)[[at.FILTERED, at.UNFILTERED, at.LEAKED]] / h).tolist()
    return flow_of(parts, m, element, past, leak)


def flow_of(
    parts: Parts, m: Moment, element_m3s: float, past_m3s: float, leak_m3s: float | None = None
) -> OilFlow:
    """The flows that carry dirt, at a moment's temperature, lift and split between valve and hole."""
    hole = m.paths.hole
    part = m.flows.hole_m3s / m.unfiltered if hole is not None and m.unfiltered > 0.0 else 0.0
    segments = m.paths.share @ np.array([element_m3s, (1.0 - part) * past_m3s])
    return OilFlow(
        segments=segments if hole is None else segments + hole.share * (part * past_m3s),
        past=past_m3s,
        oil_m3=max(m.sump_m3, _LEAST_OIL_M3),
        bowl_m3=parts.can_m3,
        sink_m_s=sink_m_s(m.mu_filter, m.rho),
        leak=m.leak if leak_m3s is None else leak_m3s,
    )


def drain_m3(plant: PlantData, side: DirtSide) -> float:
    """Leak of the way back to the sump at rest, `q = leak dp/mu`, m3: diaphragm and pump in a row."""
    pump = plant.pump.slip_mm3 * _MM3
    own = side.antidrain.leak_m3 if side.antidrain else np.inf
    given = plant.housing.antidrain_leak_mm3
    diaphragm = own if given is None or side.antidrain is None else given * _MM3
    if plant.housing.drop_kpa == 0.0 or pump == 0.0 or diaphragm == 0.0:
        return 0.0
    return float(1.0 / (1.0 / pump + 1.0 / diaphragm))
