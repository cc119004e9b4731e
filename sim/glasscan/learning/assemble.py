"""From a scenario to all that a run needs."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from glasscan.learning.catalogue import load_filter, load_fluid, load_plant
from glasscan.learning.scenario_schema import Line, Scenario, SetFluid, SetPlant
from glasscan.units import to_si

if TYPE_CHECKING:
    from glasscan.filters.section import Section
    from glasscan.rig.plant_data import PlantData
    from glasscan.rig.setup import Ramp, RigSetup


def section(scenario: Scenario) -> Section:
    """Solve the section of the scenario's filter; it takes a moment, so keep it for window and run.

    Raises:
        BadInput: the data file of the filter is missing or bad.
    """
    from glasscan.filters.build import build
    from glasscan.filters.filter_data import FilterData

    solved = build(FilterData(load_filter(scenario.filter)))
    return solved if scenario.hangs is None else solved.hung(scenario.hangs)


def rig_setup(scenario: Scenario, solved: Section | None = None) -> RigSetup:
    """Build the setup of a run.

    Args:
        scenario: what to run.
        solved: section of its filter, where it has been solved already.

    Raises:
        BadInput: a data file it names is missing or bad.
    """
    from glasscan.rig.setup import RigSetup

    start = scenario.start
    sound = RigSetup(
        fluid=load_fluid(scenario.fluid),
        network=(solved or section(scenario)).network,
        plant=_filled(load_plant(scenario.plant.rig), start.sump_l),
        air_c=scenario.air_c,
        oil_c=start.oil_c,
        gallery_fill=start.gallery_fill,
        can_fill=start.can_fill,
        dirt_kg=to_si(start.dirt_g, "g"),
        regulator=scenario.plant.regulator,
        rpm=start.rpm,
        timeline=tuple(ramp(line) for line in scenario.timeline),
        end_s=scenario.end_s,
        seed=scenario.seed,
    )
    return with_faults(scenario, sound) if scenario.faults else sound


def _filled(plant: PlantData, sump_l: float | None) -> PlantData:
    """The plant with another quantity of oil in its sump, where one is told."""
    if sump_l is None:
        return plant
    return plant.model_copy(update={"sump": plant.sump.model_copy(update={"volume_l": sump_l})})


def with_faults(scenario: Scenario, sound: RigSetup) -> RigSetup:
    """The setup with the scenario's faults in it, and with those that are to come."""
    from glasscan.faults.apply import combined
    from glasscan.faults.fault_data import faults
    from glasscan.faults.scheduled_fault import ScheduledFault

    there = [(faults()[ill.fault], ill.severity) for ill in scenario.faults if not ill.comes]
    coming = tuple(
        ScheduledFault(faults()[ill.fault], ill.severity, ill.at_s, ill.over_s, ill.on_pulse)
        for ill in scenario.faults
        if ill.comes
    )
    return replace(combined(there, sound), coming=coming)


def ramp(line: Line) -> Ramp:
    """One line of the timeline as the rig takes it: an oil by its properties, the rest by value."""
    from glasscan.rig.setup import Ramp

    to = load_fluid(line.to) if isinstance(line, SetFluid) else line.to
    key = line.key if isinstance(line, SetPlant) else line.set
    return Ramp(line.at_s, key, to, getattr(line, "over_s", 0.0))
