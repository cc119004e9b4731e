"""Another morning for the same lesson: the air it has soaked in, the oil, its level, the load, a fault."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from glasscan.ui.slider import Slider
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget

if TYPE_CHECKING:
    from glasscan.rig.setup import RigSetup
    from glasscan.window.lesson.lesson_session import LessonSession

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


class StartCard:
    """The card "start again with": what its controls show and what they ask for."""

    def __init__(self, session: LessonSession) -> None:
        self._session = session

    def put(self, **change: object) -> None:
        """Note a wish."""
        self._session.wanted = replace(self._session.wanted, **change)  # type: ignore[arg-type]

    def air_c(self) -> float:
        """Air wanted, or the present one, degC."""
        wanted = self._session.wanted.air_c
        return self._session.snapshot.air_c if wanted is None else wanted

    def load_kg(self) -> float:
        """Load wanted, or that of the lesson, kg."""
        wanted = self._session.wanted.dirt_kg
        return self._session.load_kg if wanted is None else wanted

    def oil(self) -> str:
        """Oil wanted, or the present one."""
        return self._session.wanted.fluid or self._session.engine.fluid

    def level_pct(self) -> float:
        """Oil in the sump wanted, % of what the rig's data name."""
        return 100 * self._session.wanted.level

    def fault(self) -> str:
        """Title of the fault wanted, or nothing."""
        return self._session.wanted.fault

    def widgets(self, desk: ViewOptions) -> list[Widget]:
        """Its controls, and the button that does it."""
        session, unit, facts = self._session, desk.units.temperature, self._session.facts
        low, high = (round(unit.shown(c)) for c in facts.air_c)
        found: list[Widget] = [
            Slider("soak", "Soaked at", low, high, 1, lambda: unit.shown(self.air_c()),
                   lambda v: self.put(air_c=unit.si(v)), unit.sign),
            Slider("level", "Oil in the sump", *LEVEL_PCT, 5, self.level_pct,
                   lambda v: self.put(level=v / 100), "%"),
            Slider("load", "Dirt held", 0, LOAD_G, 0.5, lambda: 1e3 * self.load_kg(),
                   lambda v: self.put(dirt_kg=v / 1e3), "g", decimals=1),
        ]  # fmt: skip
        if facts.fluids:
            found.append(
                Choice("start-oil", "Oil", list(facts.fluids), self.oil, lambda v: self.put(fluid=v),
                       lambda name: facts.fluids.get(name, name))
            )  # fmt: skip
        if session.faults:
            found.append(
                Choice("start-fault", "", [NO_FAULT, *session.faults], self.fault,
                       lambda v: self.put(fault=v), lambda title: title or "no other fault", wraps=True)
            )  # fmt: skip
        found.append(Button("start-again", "Start again with this", session.start_again))
        return found
