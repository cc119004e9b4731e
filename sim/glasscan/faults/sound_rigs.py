"""The sound rig that faults are compared with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from glasscan.filters.network import FilterNetwork
from glasscan.rig.plant_data import PlantData
from glasscan.rig.setup import Place, RigSetup

if TYPE_CHECKING:
    from glasscan.laws.fluid import Fluid

TRIP_SHARE = 0.85
"""Where the differential indicator trips, as share of the bypass valve's cracking pressure (invented)."""

RESPONSE_S = 2.0
"""Damping of the indicator, s: the surge of a start is shorter (invented)."""

NIGHT_FILL = 0.35
"""Share of the passages that still holds oil after a night with a sound anti-drain valve (invented)."""


def sound(fluid: Fluid, network: FilterNetwork, plant: PlantData, regulator: Place) -> RigSetup:
    """The rig without a fault; its indicator is the one that belongs to the filter's bypass valve."""
    if network.valve is not None:
        trip = {"trip_kpa": TRIP_SHARE * network.valve.cracking_pa * 1e-3, "response_s": RESPONSE_S}
        plant = plant.model_copy(update={"indicator": plant.indicator.model_copy(update=trip)})
    return RigSetup(fluid, network, plant, air_c=-5.0, gallery_fill=NIGHT_FILL, regulator=regulator)
