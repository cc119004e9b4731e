"""The rig under a case: what is running, warm, under pressure, off or new, and the minutes that work costs.

The state follows from the record of acts and tests alone. The engine is never run with a part off: whoever
starts it has it closed up first, and pays for that.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, Protocol

from glasscan.learning.cases.test_menu import Test

Element = Literal["old", "new", "cut"]
START_MIN, STOP_MIN, RELEASE_MIN, COOL_MIN, CLOSE_MIN = 5.0, 2.0, 3.0, 10.0, 15.0
"""Minutes: checks before a start and the run-up; stopping and making safe; letting the pressure out; cooling
until hands may touch it; closing up with seals, torque and wire (invented for training, believable)."""
FILTER_GROUPS = ("valve.", "element.", "start.", "seal.")
"""Changes of the fault data that a new filter with its seal cures."""


class Entry(Protocol):
    """What is needed of a line of the record."""

    @property
    def what(self) -> str:
        """Its kind."""

    @property
    def words(self) -> tuple[str, ...]:
        """Its words."""


@dataclass(frozen=True)
class CaseRig:
    """The rig as it stands.

    Attributes:
        running: the engine runs.
        trapped: pressure may stand in the filter.
        warm: it has run and not cooled.
        off: parts that are off or open.
        element: the old one, a new one, or the old one cut up.
        minutes: that acts and tests have cost so far.
    """

    running: bool = False
    trapped: bool = True
    warm: bool = False
    off: frozenset[str] = frozenset()
    element: Element = "old"
    minutes: float = 0.0

    @property
    def swapped(self) -> bool:
        """Another element is in it, or will be at the next start."""
        return self.element != "old"

    def closed(self) -> CaseRig:
        """Everything back in its place; an element that was cut up gives way to a new one."""
        if not self.off:
            return self
        element: Element = "new" if self.element == "cut" else self.element
        return replace(self, off=frozenset(), element=element, minutes=self.minutes + CLOSE_MIN)

    def acted(self, word: str) -> CaseRig:
        """After an act: "start", "stop" or "release"; closing up before a start is charged with it."""
        if word == "start":
            ready = self.closed()
            more = 0.0 if ready.running else START_MIN
            return replace(ready, running=True, trapped=True, warm=True, minutes=ready.minutes + more)
        if word == "stop":
            return replace(self, running=False, minutes=self.minutes + (STOP_MIN if self.running else 0.0))
        cost = (RELEASE_MIN if self.trapped else 0.0) + (COOL_MIN if self.warm else 0.0)
        return replace(self, trapped=False, warm=False, minutes=self.minutes + cost)

    def tested(self, test: Test) -> CaseRig:
        """After a test, with what it has taken off, changed, or run."""
        now = replace(self, minutes=self.minutes + test.cost_min)
        if test.takes and not (test.old_part and self.element == "new"):
            now = replace(now, off=now.off | {test.takes})
            now = replace(now, element="cut") if test.destroys and test.takes == "filter" else now
        if test.swaps:
            now = replace(now, off=now.off - {"filter"}, element="new")
        if test.runs:
            now = replace(now.closed(), running=False, trapped=True, warm=True)
        return now

    def reads_new(self, test: Test) -> bool:
        """Whether a test reads the new element: on a rig that has one, but for a part that was kept."""
        if test.old_part:
            return False
        return self.element == "new" or (self.element == "cut" and (test.runs or self.running))


def rig_step(rig: CaseRig, entry: Entry, menu: Mapping[str, Test]) -> CaseRig:
    """The rig after one more line of the record."""
    if entry.what == "act":
        return rig.acted(entry.words[0])
    if entry.what == "test" and entry.words[0] in menu:
        return rig.tested(menu[entry.words[0]])
    return rig


def rig_after(entries: Iterable[Entry], menu: Mapping[str, Test]) -> CaseRig:
    """The rig after a record."""
    rig = CaseRig()
    for entry in entries:
        rig = rig_step(rig, entry, menu)
    return rig


def least_minutes(tests: Sequence[Test]) -> float:
    """Minutes of some tests in an order, with the stops, releases and starts that they ask for."""
    rig = CaseRig()
    for test in tests:
        rig = _ready(rig, test).tested(test)
    return rig.minutes


def _ready(rig: CaseRig, test: Test) -> CaseRig:
    """The rig in the state that a test asks for."""
    if test.needs == "running":
        return rig if rig.running else rig.acted("start")
    if test.needs in ("stopped", "open") and rig.running:
        rig = rig.acted("stop")
    kept = test.old_part and rig.element == "new"
    return rig.acted("release") if test.needs == "open" and rig.trapped and not kept else rig


def cured(sets: Iterable[str]) -> bool:
    """Whether a new filter cures a fault with such changes."""
    names = tuple(sets)
    return bool(names) and all(name.startswith(FILTER_GROUPS) for name in names)
