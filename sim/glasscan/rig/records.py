"""The one record that passes from the engine to everything that looks at it."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Event:
    """Something the model did, noticed by its own state crossing a mark.

    Attributes:
        t_s: when, s from the start of the run.
        word: e.g. "bypass-cracks", "bypass-full", "bypass-seats", "gallery-full".
        dp_pa: differential pressure across the filter then, Pa.
        oil_c: temperature of the oil in the filter then, degC.
    """

    t_s: float
    word: str
    dp_pa: float
    oil_c: float


@dataclass(frozen=True)
class ValveForces:
    """Forces on the bypass valve, N, opening positive: pressure, spring, flow, friction; and the seat's."""

    pressure_n: float
    spring_n: float
    flow_n: float
    friction_n: float
    seat_n: float


@dataclass(frozen=True)
class Snapshot:
    """State of the rig at one moment, SI units, as the window, the recorder and the prompts see it.

    Pressures are gauge (above the ambient air) unless the name says `dp` (differential).

    Attributes:
        t_s: model time, s.
        rpm: shaft speed, rev/min.
        air_c, sump_c, filter_c, gallery_c: temperatures of air, sump oil, filter oil, gallery oil, degC.
        mu_pa_s, nu_m2_s, rho_kg_m3: of the oil in the filter.
        inlet_pa, outlet_pa: pressures at the filter's two ports, true, Pa gauge.
        dp_pa: inlet minus outlet, Pa.
        gauge_pa: what the gallery gauge shows (lag, error), Pa gauge.
        gallery_pa: true pressure in the gallery, Pa gauge.
        pump_m3s, element_m3s, bypass_m3s, regulator_m3s, bearings_m3s: volume flows, m3/s.
        segment_m3s: (K,) flow through each element segment, dirty to clean, m3/s.
        lift_m: lift of the bypass valve, m.
        valve: forces on it, or None where the filter has none.
        gallery_fill: filled fraction of the gallery, 0..1.
        unfiltered_m3: oil that has passed the valve since the start of the run, m3.
        filtered_m3: oil that has passed the element since the start of the run, m3.
        deposit_kg: (K,) dirt held by each segment, kg.
        regulator_lift_m: lift of the pressure regulator, m.
        regulator_before: True where the regulator sits before the filter.
        indicator: True where the differential-pressure indicator has popped.
        readings: further gauge readings by name, SI units.
        rim: (sectors,) load of each sector of a disc's rim over their mean, in the frame of the disc; none
            where there is no scraper.
    """

    t_s: float
    rpm: float
    air_c: float
    sump_c: float
    filter_c: float
    gallery_c: float
    mu_pa_s: float
    nu_m2_s: float
    rho_kg_m3: float
    inlet_pa: float
    outlet_pa: float
    dp_pa: float
    gauge_pa: float
    gallery_pa: float
    pump_m3s: float
    element_m3s: float
    bypass_m3s: float
    regulator_m3s: float
    bearings_m3s: float
    segment_m3s: Floats
    lift_m: float
    valve: ValveForces | None
    gallery_fill: float
    unfiltered_m3: float
    filtered_m3: float
    deposit_kg: Floats
    regulator_lift_m: float
    regulator_before: bool
    indicator: bool
    readings: dict[str, float] = field(default_factory=dict)
    rim: Floats = field(default_factory=lambda: np.ones(0))
