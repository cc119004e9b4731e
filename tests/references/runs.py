"""Reference rows that only a run of the whole rig can answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from sim.plant.rig import Rig
from tests.plant.contaminant.standin import gaps
from tests.plant.standin import network, plant, setup

Inputs = Mapping[str, Any]


def books(_id: str, _i: Inputs) -> float:
    """Contaminant of a run of the stacked-disc filter that is scraped and drained on the way."""
    dirty = plant(dirt__start_mg=500.0, dirt__wear_mg_h=5e4)
    rig = Rig(setup(network=gaps(), plant=dirty, oil_c=85.0, gallery_fill=1.0, rpm=1800.0))
    rig.step(20.0)
    rig.set("scraper_turns", 2.0)
    rig.set("drain_bowl", 0.5)
    rig.step(20.0)
    return rig.ledger().mass_error_rel


def blocked(_id: str, _i: Inputs) -> bool:
    """Warm oil at cruise, the element lets nothing pass: the gallery gets what it got before."""
    flows = []
    for factor in (1.0, np.inf):
        filter_ = network(total_r=4.2e8 * factor)
        rig = Rig(setup(network=filter_, oil_c=85.0, gallery_fill=1.0, rpm=2400.0))
        rig.step(60.0)
        flows.append(rig.snapshot().bearings_m3s)
    return flows[1] > 0.95 * flows[0]


def lockout(_id: str, _i: Inputs) -> bool:
    """A cold drop past its trip leaves the indicator in; the same trip passed by warm oil pops it."""
    popped = []
    for oil_c in (-5.0, 85.0):
        filter_ = network(total_r=1e11, valve=None)
        rig = Rig(setup(network=filter_, oil_c=oil_c, air_c=oil_c, gallery_fill=1.0, rpm=900.0))
        rig.step(5.0)
        seen = rig.snapshot()
        assert seen.dp_pa > 1e3 * rig.setup.plant.indicator.trip_kpa
        popped.append(seen.indicator)
    return popped == [False, True]
