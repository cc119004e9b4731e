"""The card "start again with": its controls, over what is wished for the next start."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from glasscan.ui.slider import Slider
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.lesson.start_with import LEVEL_PCT, LOAD_G, NO_FAULT

if TYPE_CHECKING:
    from glasscan.window.lesson.lesson_session import LessonSession


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
