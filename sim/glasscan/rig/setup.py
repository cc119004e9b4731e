"""What a run needs, whole and frozen: the rig's parts, the morning's state and the timeline."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    from glasscan.faults.scheduled_fault import ScheduledFault
    from glasscan.filters.network import FilterNetwork
    from glasscan.laws.fluid import Fluid
    from glasscan.rig.plant_data import PlantData

Place = Literal["before", "after"]


@dataclass(frozen=True)
class Ramp:
    """One line of the timeline: from `at_s` the control `key` moves to `to`, straight, in `over_s` seconds.

    Attributes:
        at_s: start, s.
        key: "rpm", "air_c" (these may ramp), or any key of `Rig.set` (these jump: `over_s` is not used).
        to: the value reached; a number for ramps.
        over_s: duration, s; 0 = at once.
    """

    at_s: float
    key: str
    to: object
    over_s: float = 0.0


@dataclass(frozen=True)
class RigSetup:
    """All a run needs.

    Attributes:
        fluid: the oil.
        network: the filter as resistances between ports.
        plant: numbers of the rig round it.
        air_c: ambient air, degC.
        oil_c: oil and metal at the start, degC; None = soaked to the air temperature.
        gallery_fill: filled fraction of the gallery at the start, 0..1.
        can_fill: filled fraction of the filter's dirty side at the start, 0..1 (1 = none drained back).
        dirt_kg: dirt already held by the element, shared by segment area, kg.
        sludge_kg: solids of the sludge at rest in the bowl of a filter with a scraper, kg.
        regulator: place of the pressure regulator, "before" or "after" the filter.
        rpm: shaft speed at the start, rev/min.
        timeline: ramps and jumps of the controls.
        end_s: length of the run, s.
        coming: faults that come while it runs.
        seed: kept with the run; the plant itself draws no random numbers.
    """

    fluid: Fluid
    network: FilterNetwork
    plant: PlantData
    air_c: float = 15.0
    oil_c: float | None = None
    gallery_fill: float = 0.0
    can_fill: float = 1.0
    dirt_kg: float = 0.0
    sludge_kg: float = 0.0
    regulator: Place = "after"
    rpm: float = 0.0
    timeline: tuple[Ramp, ...] = ()
    end_s: float = 60.0
    seed: int = 0
    coming: tuple[ScheduledFault, ...] = ()

    @property
    def start_c(self) -> float:
        """Temperature of everything at the start, degC."""
        return self.air_c if self.oil_c is None else self.oil_c
