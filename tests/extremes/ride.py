"""One key set in a running lesson, some seconds of frames after it, and what came of it."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, fields
from typing import Any, cast

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import numpy as np
import pygame
from glasscan.content import BadInput
from glasscan.filters.carriers import Carriers
from glasscan.filters.section import Section
from glasscan.learning.assemble import rig_setup
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.window.contract import EngineStoppedError
from glasscan.window.lesson.lesson_loading import RecordedRig, facts_of, open_session
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import SPEEDS, LessonSession

from tests.extremes.keys import Try

FRAME_S = 1 / 60
FRAMES, DRAWN = 36, 9  # frames after a key, at five times life speed: 3 s; how often one is drawn
BEFORE_S = 5.0  # into the lesson; by then oil flows
CLOSED = 1e-9
LONGEST_S = 30.0  # processor time after which a try counts as hanging
SIZE = (1280, 720)
FINE, REFUSED = "fine", "refused"


class HangsError(Exception):
    """It took longer than `LONGEST_S`."""


@dataclass(frozen=True)
class Told:
    """What came of one try: `word` is fine, refused, or what went wrong; the longest frame, s."""

    one: Try
    word: str
    frame_s: float = 0.0

    @property
    def lost(self) -> bool:
        """True where neither the run went on nor a clear line refused."""
        return self.word not in (FINE, REFUSED)


class Lesson:
    """A lesson in the window's own session, gone to a moment from which every key is tried."""

    def __init__(self, name: str) -> None:
        self.name, self.scenario = name, load_scenario(name)
        pygame.display.init()
        pygame.font.init()
        self.surface = pygame.display.set_mode(SIZE)
        self.opened = open_session(self.scenario, keys=False)
        self.session = self.opened.session
        self.section = cast("Section", self.session.section)
        self.network = self.section.network
        self.session.wall = time.process_time
        end = self.session.facts.end_s
        self.session.run_to(min(BEFORE_S, end / 3))
        if self.session.snapshot.rpm == 0.0:
            self.session.change("rpm", self.session.facts.top_rpm or 1000.0)
            self.session.run_to(min(2 * BEFORE_S, end / 2))
        self.base = self._rig(self.session).state

    @staticmethod
    def _rig(session: LessonSession) -> Any:
        return cast("RecordedRig", session.engine).rig

    def live(self, one: Try) -> Told:
        """The rig at its moment, one control moved, then frames."""
        session = self.session
        self.section.network = self.network
        session.start_again()
        self._rig(session).state = self.base

        def act() -> float:
            session.change(one.key, one.value)
            return self._ride(session)

        return self._told(one, act)

    def start(self, one: Try) -> Told:
        """The lesson with one key laid over its file, from its start."""

        def act() -> float:
            scenario = load_scenario(self.name, [f"{one.key}={one.value!r}"])
            return self._ride(self._session(scenario))

        return self._told(one, act)

    def _session(self, scenario: Scenario) -> LessonSession:
        setup = rig_setup(scenario, self.section)
        carriers = Carriers(self.section, 200, scenario.seed)
        facts = facts_of(scenario, self.section)
        session = LessonSession(facts, RecordedRig(setup), cast("Any", self.section), carriers)
        session.wall = time.process_time
        return session

    def _ride(self, session: LessonSession) -> float:
        """Frames as the window makes them; the longest in processor time, s."""
        screen, longest = Screen(session), 0.0
        session.speed_index, session.playing = SPEEDS.index(5.0), True
        for i in range(FRAMES):
            begun = time.process_time()
            screen.update(FRAME_S)
            if i % DRAWN == 0:
                screen.draw(self.surface, FRAME_S)
            if i:  # the first fills the caches of a new screen
                longest = max(longest, time.process_time() - begun)
            if session.trouble:
                raise EngineStoppedError(session.trouble)
        _sound(self._rig(session))
        return longest

    @staticmethod
    def _told(one: Try, act: Callable[[], float]) -> Told:
        try:
            with limited(LONGEST_S):
                return Told(one, FINE, act())
        except BadInput as bad:
            return Told(one, REFUSED if all(map(str.isprintable, bad.lines)) else f"BadInput: {bad}")
        except ValueError as line:
            clear = str(line).isprintable() and one.key in str(line)
            return Told(one, REFUSED if clear else f"ValueError: {line}")
        except Exception as fault:
            return Told(one, f"{type(fault).__name__}: {fault}")

    def close(self) -> None:
        """End what runs beside."""
        self.opened.close()


def _sound(rig: Any) -> None:
    """Finite, and both books closed."""
    books, seen = rig.ledger(), rig.snapshot()
    assert np.isfinite(rig.state.y).all(), "not finite"
    numbers = [value for f in fields(seen) if isinstance(value := getattr(seen, f.name), float | np.ndarray)]
    assert all(np.isfinite(n).all() for n in [*numbers, *seen.readings.values()]), "not finite"
    assert abs(books.volume_error_rel) < CLOSED, f"books of volume {books.volume_error_rel:.1e}"
    assert abs(books.mass_error_rel) < CLOSED, f"books of mass {books.mass_error_rel:.1e}"


def checked(lesson: str, one: Try) -> bool:
    """Whether `glasscan check` admits the value of a live key as a line of the lesson's timeline."""
    key = f"plant, key: {one.key}" if "." in one.key else one.key
    try:
        load_scenario(lesson, [f"timeline=[{{at_s: 0, set: {key}, to: {one.value!r}}}]", "vary=[]"])
    except BadInput:
        return False
    return True


@contextmanager
def limited(seconds: float) -> Iterator[None]:
    """Stop the body after so much processor time (main thread only).

    Raises:
        HangsError: it was stopped.
    """

    def stop(*_: object) -> None:
        raise HangsError(f"more than {seconds:g} s")

    before = signal.signal(signal.SIGVTALRM, stop)
    signal.setitimer(signal.ITIMER_VIRTUAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)
