"""Another morning for the same lesson: the air it has soaked in, the oil, its level, the load, a fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from glasscan.rig.setup import RigSetup

LEVEL_PCT = (40.0, 110.0)  # of the oil of the sound sump
LOAD_G = 30.0
NO_FAULT = ""


@dataclass(frozen=True)
class StartWith:
    """What a run starts with; None leaves it as the lesson has it.

    Attributes:
        air_c: air in which rig and oil have stood over night, degC.
        fluid: name of the oil.
        level: oil in the sump over what the rig's data name.
        dirt_kg: load of the element.
        fault: title of a fault at its gravest, or nothing.
    """

    air_c: float | None = None
    fluid: str | None = None
    level: float = 1.0
    dirt_kg: float | None = None
    fault: str = NO_FAULT

    def of(self, setup: RigSetup, faults: Callable[[str, RigSetup], RigSetup]) -> RigSetup:
        """The setup of such a run; `faults` puts a fault, by its title, into a setup."""
        from glasscan.learning.catalogue import load_fluid

        changed = setup
        if self.air_c is not None:
            changed = replace(changed, air_c=self.air_c, oil_c=None)
        if self.fluid is not None:
            changed = replace(changed, fluid=load_fluid(self.fluid))
        if self.dirt_kg is not None:
            changed = replace(changed, dirt_kg=self.dirt_kg)
        if self.level != 1.0:
            sump = changed.plant.sump
            less = sump.model_copy(update={"volume_l": sump.volume_l * self.level})
            changed = replace(changed, plant=changed.plant.model_copy(update={"sump": less}))
        return faults(self.fault, changed) if self.fault else changed

    @property
    def words(self) -> str:
        """What differs from the lesson as written, in a few words; empty where nothing does."""
        said = [
            f"soaked at {self.air_c:.0f} °C" if self.air_c is not None else "",
            self.fluid or "",
            f"oil at {100 * self.level:.0f} %" if self.level != 1.0 else "",
            f"{1e3 * self.dirt_kg:.0f} g of dirt" if self.dirt_kg is not None else "",
            self.fault.lower(),
        ]
        return ", ".join(word for word in said if word)
