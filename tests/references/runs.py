"""Reference rows that only a run of the whole rig can answer."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.learning.catalogue import load_filter
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.contaminant.standin import gaps
from tests.rig.standin import network, plant, setup

Inputs = Mapping[str, Any]


def books(_id: str, _i: Inputs) -> float:
    """Contaminant of a run of the stacked-disc filter that is scraped and drained on the way."""
    dirty = plant(dirt__start_mg=500.0, dirt__wear_mg_h=5e4)
    rig = Rig(setup(network=gaps(), plant=dirty, oil_c=85.0, gallery_fill=1.0, rpm=1800.0))
    rig.step(20.0)
    rig.set("scraper_turns", 2.0)
    rig.advance_to(rig.handle_rests_s)
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
        stand = plant(indicator__fitted=True)
        rig = Rig(setup(network=filter_, plant=stand, oil_c=oil_c, air_c=oil_c, gallery_fill=1.0, rpm=900.0))
        rig.step(5.0)
        seen = rig.snapshot()
        assert seen.dp_pa > 1e3 * rig.setup.plant.indicator.trip_kpa
        popped.append(seen.indicator)
    return popped == [False, True]


def warned(_id: str, _i: Inputs) -> bool:
    """A warm element clogs: it is told before the valve opens, and the oil let past washes no dirt out."""
    slug = (Ramp(5.0, "add_dirt_g", 30),)
    stand = plant(indicator__fitted=True)
    rig = Rig(setup(timeline=slug, plant=stand, air_c=20.0, oil_c=85.0, gallery_fill=1.0, rpm=2400.0))
    held = 0.0
    while rig.snapshot().t_s < 120.0:
        rig.step(2.0)
        now = float(rig.snapshot().deposit_kg.sum())
        assert now >= held
        held = now
    when = {event.word: event.t_s for event in reversed(rig.events)}
    return when["indicator-pops"] < when["bypass-cracks"]


def outside_to_centre(_id: str, _i: Inputs) -> bool:
    """Through the shipped stack every gap carries oil inwards, and turning it past its blades clears the "
    "gaps."""
    section = build(FilterData(load_filter("disc-stack")))
    layout, network_ = section.layout, section.network
    inward = layout.r_dirty > layout.r_clean and layout.r_clean > 0.0
    rig = Rig(
        setup(network=gaps(), plant=plant(dirt__start_mg=500.0), oil_c=85.0, gallery_fill=1.0, rpm=1800.0)
    )
    rig.step(20.0)
    before = rig.snapshot().deposit_kg.sum()
    rig.set("scraper_turns", 2.0)
    rig.step(10.0)
    combed = rig.snapshot().deposit_kg.sum() < before
    return bool(inward and combed and network_.dirt_side.scraper is not None)
