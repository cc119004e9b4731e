"""Whatever a presenter's note tells people to see is to be seen then: the drawn facts at that moment.

`note_promises.yaml` names the facts, as the drawing code takes them down (`Canvas.record`).
"""

from __future__ import annotations

import operator
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pygame
import pytest
import yaml
from glasscan.learning.scenario_loading import load_scenario
from glasscan.paths import scenario_folder
from glasscan.window.lesson.lesson_loading import open_session
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import LessonSession

SIZE = (1280, 720)
TABLE = yaml.safe_load((Path(__file__).parent / "note_promises.yaml").read_text(encoding="utf-8"))
TALK = "talk"
COMPARE: dict[str, Callable[[Any, Any], bool]] = {"<": operator.lt, ">": operator.gt, "==": operator.eq}
GROUPS = "\N{THIN SPACE}"  # between the thousands of a written number
LEAST_TALKED_OF = 80  # facts in the table; a note that only asks something promises none

NUMBERS = {
    "dp": "Across the filter",
    "inlet": "Inlet (gauge)",
    "outlet": "Outlet (gauge)",
    "oil": "Oil in the filter",
    "rpm": "Engine speed",
    "element": "Through element",
    "bypass": "Through bypass",
}
PLACES: dict[str, Callable[[dict[str, Any]], Any]] = {
    "dirty_mm": lambda d: d["oil_level_mm"]["dirty"],
    "clean_mm": lambda d: d["oil_level_mm"]["clean"],
    "gauge": lambda d: d["gauge"]["shown_kpa"],
    "gauge_green": lambda d: d["gauge"]["green"],
    "valve_own": lambda d: d["valve_own_kpa"],
    "lift": lambda d: d["valve_lift_mm"],
    "deposit": lambda d: sum(d["deposit_g_m2"]) / len(d["deposit_g_m2"]),
    "sump_level": lambda d: d["sump_level_share"],
    "regulator": lambda d: d["regulator"]["place"],
    "fault": lambda d: d["faults"][-1]["fault"],
    "button_out": lambda d: int(d["button_out"]),
}


def moments(name: str) -> list[str | int]:
    """The moments of a lesson's notes: an event, or whole seconds."""
    return [note.event or round(note.at_s) for note in load_scenario(name, []).notes]


class Pictures:
    """The drawn facts of one run of a lesson, at any moment of it, with the circuit in view."""

    def __init__(self, name: str) -> None:
        self.session: LessonSession = open_session(load_scenario(name, []), keys=False).session
        self.session.jump_to(self.session.facts.end_s)
        self.events = list(self.session.events)
        self.screen = Screen(self.session, predict=False)
        self.screen.desk.circuit = "strip"
        self._drawn: dict[str | int, dict[str, Any]] = {}

    def at(self, moment: str | int) -> dict[str, Any]:
        """Facts at a moment; of an event, just after it."""
        if moment not in self._drawn:
            self._go(moment)
            self._drawn[moment] = self.screen.draw(pygame.Surface(SIZE)).drawn
        return self._drawn[moment]

    def _go(self, moment: str | int) -> None:
        if isinstance(moment, int):
            self.session.rewind(float(moment))
            return
        came_s = next(e.t_s for e in self.events if e.word == moment)
        ahead_s = 0.1
        self.session.rewind(came_s)
        while self.session.snapshot.t_s < came_s:  # a step of a time lapse is long
            self.session.rewind(came_s + ahead_s)
            ahead_s *= 2

    def value(self, named: str, here: str | int) -> Any:
        """A number of a fact, such as `dp` or `dp@55`, or a plain number or word."""
        name, _, when = named.partition("@")
        there: str | int = here if not when else int(when) if when.isdigit() else when
        if name in NUMBERS:
            return float(self.at(there)["numbers"][NUMBERS[name]].replace(GROUPS, ""))
        if name in PLACES:
            return PLACES[name](self.at(there))
        if name in self.at(there):
            return self.at(there)[name]
        try:
            return float(name)
        except ValueError:
            return name


def test_every_note_of_every_lesson_is_in_the_table() -> None:
    """A new note asks for a line: what it promises, or that it only talks."""
    lessons = {path.stem for path in scenario_folder().glob("*.yaml")}
    assert lessons == set(TABLE)
    assert {name: set(moments(name)) for name in lessons} == {name: set(TABLE[name]) for name in lessons}
    assert sum(len(f) for held in TABLE.values() for f in held.values() if f != TALK) > LEAST_TALKED_OF


HELD = sorted(name for name in TABLE if any(facts != TALK for facts in TABLE[name].values()))


@pytest.mark.parametrize("name", HELD)
def test_what_the_notes_promise_is_drawn(name: str) -> None:
    """Every fact of the table holds in the picture of its moment."""
    pictures = Pictures(name)
    broken = []
    for moment, facts in TABLE[name].items():
        for fact in () if facts == TALK else facts:
            left, sign, right = fact.split()
            found, wanted = pictures.value(left, moment), pictures.value(right, moment)
            if not COMPARE[sign](found, wanted):
                broken.append(f"{moment}: {fact}: drawn {found} and {wanted}")
    assert not broken


def test_what_is_recorded_is_gone_through_again() -> None:
    """After a coarse way to the end and a rewind, a later moment is reached, not the first long step."""
    pictures = Pictures("warm-start")
    session = pictures.session
    session.rewind(0.0)
    session.jump_to(80.0)
    assert session.snapshot.t_s == pytest.approx(80.0, abs=1.0)
    session.rewind(0.0)
    session.run_to(80.0)
    assert session.snapshot.t_s == pytest.approx(80.0, abs=1.0)


def test_beside_it_the_can_with_its_dome_down_is_full() -> None:
    """B in the lesson of the missing valve: after the same night one is drawn empty, the other full."""
    session = open_session(load_scenario("anti-drain-or-not", []), keys=False).session
    session.jump_to(119990.0)
    rival = session.rivals["the filter hung dome down"]()
    rival.repeat(119990.0, session.moved, lambda _: None)
    high = {}
    for name, shown in (("up", session), ("down", rival)):
        drawn: Any = Screen(shown, predict=False).draw(pygame.Surface(SIZE)).drawn
        high[name] = drawn["oil_level_mm"]["dirty"]
        assert ("dome is down" in drawn["turned"]) == (name == "down")
    assert high["up"] < 1.0
    assert high["down"] > 100.0
