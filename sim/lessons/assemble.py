"""From a scenario to all that a run needs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sim.lessons.catalogue import load_filter, load_fluid, load_plant
from sim.lessons.schema import Line, Scenario, SetFluid

if TYPE_CHECKING:
    from sim.plant.setup import Ramp, RigSetup

G_PER_KG = 1e3


def rig_setup(scenario: Scenario) -> RigSetup:
    """Build the setup of a run.

    Raises:
        BadInput: a data file it names is missing or bad.
    """
    from sim.filters.can import build
    from sim.plant.setup import RigSetup

    start = scenario.start
    return RigSetup(
        fluid=load_fluid(scenario.fluid),
        network=build(load_filter(scenario.filter)),
        plant=load_plant(scenario.plant.rig),
        air_c=scenario.air_c,
        oil_c=start.oil_c,
        gallery_fill=start.gallery_fill,
        can_fill=start.can_fill,
        dirt_kg=start.dirt_g / G_PER_KG,
        regulator=scenario.plant.regulator,
        rpm=start.rpm,
        timeline=tuple(ramp(line) for line in sorted(scenario.timeline, key=lambda line: line.at_s)),
        end_s=scenario.end_s,
        seed=scenario.seed,
    )


def ramp(line: Line) -> Ramp:
    """One line of the timeline as the rig takes it: an oil by its properties, the rest by value."""
    from sim.plant.setup import Ramp

    to = load_fluid(line.to) if isinstance(line, SetFluid) else line.to
    return Ramp(line.at_s, line.set, to, getattr(line, "over_s", 0.0))
