"""What can be opened: the shipped scenarios by filter, read in the background."""

from __future__ import annotations

import threading
from dataclasses import dataclass, field

from glasscan.content import BadInput
from glasscan.window import gc_policy

HIGHEST = 3  # level


@dataclass(frozen=True)
class LessonEntry:
    """One lesson: id, title, first lines, level 1..3, time in s, filter, own or not, place in its course."""

    scenario: str
    title: str
    about: str
    level: int
    end_s: float
    filter: str
    own: bool = False
    place: int | None = None

    @property
    def meta(self) -> str:
        """Level and length in words."""
        minutes = self.end_s / 60
        length = f"{minutes / 60:.0f} h" if minutes >= 120 else f"{max(minutes, 1):.0f} min"
        return f"{'your own, ' if self.own else ''}level {self.level}, {length}"


@dataclass
class LessonIndex:
    """Filters with their titles, and scenarios as they are found; `bad` counts files with mistakes."""

    filters: dict[str, str] = field(default_factory=dict)
    entries: list[LessonEntry] = field(default_factory=list)
    bad: int = 0
    ready: bool = False

    def of(self, filter_name: str) -> list[LessonEntry]:
        """Scenarios of a filter: own ones, then as taught; none before all are read, for rows would jump."""
        if not self.ready:
            return []
        mine = [e for e in list(self.entries) if e.filter == filter_name]
        return sorted(mine, key=_rank)


def _rank(entry: LessonEntry) -> tuple[bool, bool, int, int, str]:
    return not entry.own, entry.place is None, entry.place or 0, entry.level, entry.title


def fill(shelf: LessonIndex) -> None:
    """Read filters and scenarios; a file with mistakes is counted and left out."""
    from glasscan.learning.catalogue import load_filter, names, own_lessons, scenario_names
    from glasscan.learning.course import taught_order
    from glasscan.learning.scenario_loading import load_scenario

    places = taught_order()

    for name in names("filters"):
        try:
            shelf.filters[name] = str(getattr(load_filter(name), "title", name))
        except BadInput:
            shelf.bad += 1
    own = own_lessons()
    for name in dict.fromkeys((*scenario_names(), *own)):
        try:
            s = load_scenario(name)
        except BadInput:
            shelf.bad += 1
            continue
        needed_s = 60.0 * s.minutes if s.minutes else s.end_s
        shelf.entries.append(
            LessonEntry(
                s.scenario, s.title, s.about, s.level, needed_s, s.filter, name in own, places.get(name)
            )
        )
    shelf.ready = True


def filled_beside() -> LessonIndex:
    """A shelf that fills while the first screen is up; then the code of the lessons is read in."""
    shelf = LessonIndex()
    threading.Thread(target=_fill_and_warm_up, args=(shelf,), daemon=True).start()
    return shelf


def _fill_and_warm_up(shelf: LessonIndex) -> None:
    fill(shelf)
    gc_policy.read_in()
