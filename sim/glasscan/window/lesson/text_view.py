"""The window in words: the same parts, readings and events as text, for a screen reader or a log."""

from __future__ import annotations

import sys
from collections.abc import Sequence

from glasscan.rig.records import Event
from glasscan.signals import event_words
from glasscan.ui.display_units import MILLIMETRE, UnitSystem, clock
from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.contract import Section
from glasscan.window.lesson.all_readings import rows_of
from glasscan.window.lesson.comparison import ComparisonRun, verdict
from glasscan.window.lesson.gauges import readings
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.pace_words import state_words
from glasscan.window.lesson.valve_state import OPEN_M
from glasscan.window.lesson.why import chain
from glasscan.window.questions.answer_sheet import AnswerSheet


def event_line(event: Event, units: UnitSystem) -> str:
    """One event in words."""
    p, t = units.pressure, units.temperature
    at = f"{p.text(event.dp_pa)} {p.sign} differential, oil {t.text(event.oil_c)} {t.sign}"
    return f"{clock(event.t_s)}: {event_words(event.word)}, {at}"


def part_lines(section: Section) -> list[str]:
    """Every named part from the top of the picture to its foot."""
    named = sorted((p for p in section.parts if p.name), key=lambda p: -p.label_at[1])
    return [
        f"  {p.name} ({p.material}{', moves with the valve' if p.lifts else ''}): {p.about}" for p in named
    ]


def reading_lines(session: LessonSession, units: UnitSystem) -> list[str]:
    """Every gauge of the window, and the valve."""
    s, p = session.snapshot, units.pressure
    rows = [f"  Across the filter (differential): {p.text(s.dp_pa)} {p.sign}"]
    rows += [f"  {r.name}: {r.value} {r.unit}" for r in readings(s, units, 1e6, session.facts.rpm_max)]
    if s.valve is not None:
        state = "shut" if s.lift_m <= OPEN_M else f"open, lift {MILLIMETRE.text(s.lift_m)} mm"
        rows.append(f"  Bypass valve: {state}")
        rows.append(
            f"  Oil past the element so far: {units.volume.text(s.unfiltered_m3)} {units.volume.sign}"
        )
    rows += [f"  {name}: {value}" for name, value in rows_of(s, units)]
    rows += [f"  Debris: {n} × {kind.replace('-', ' ')}" for kind, n in session.loose.by_kind().items()]
    return rows


def beside_lines(rivalry: ComparisonRun, units: UnitSystem) -> list[str]:
    """The filter shown beside it, as read under its picture; nothing where there is none."""
    if rivalry.rival is None:
        return []
    return [f"Beside it, {rivalry.name}:", *(f"  {line}" for line in verdict(rivalry.rival.snapshot, units))]


def question_lines(prompts: AnswerSheet | None) -> list[str]:
    """The question that is open, and what there is to choose from."""
    if prompts is None:
        return []
    card = prompts.card
    parts = [f"  {letter.upper()}: {name}" for letter, _, name in card.parts]
    lines = [f"  {i}: {text}" for i, (_, text) in enumerate(prompts.choices(), 1)]
    result = prompts.now.result
    return [
        f"Question: {card.text}",
        *lines,
        *parts,
        *([f"  Right: {result.key}. {result.reason}"] if result else []),
    ]


def whole_view(session: LessonSession, units: UnitSystem, also: Sequence[str] = ()) -> str:
    """Title, moment, readings, why the valve stands where it stands, what else is open, events and parts."""
    facts = session.facts
    links = chain(session.snapshot, units, facts.marks, rig_numbers(session))
    lines = [
        f"{facts.title}, {clock(session.snapshot.t_s)}, {state_words(session)}",
        "Readings:",
        *reading_lines(session, units),
        "Why the valve stands so:",
        *[f"  {link.head} {link.number}: {link.text}" for link in links],
        *also,
        "Events:",
        *([f"  {event_line(e, units)}" for e in session.events] or ["  none yet"]),
        "Parts, from the top down:",
        *part_lines(session.section),
    ]
    return "\n".join(lines)


class Voice:
    """Says the whole view once, then every new event, on the standard output."""

    def __init__(self) -> None:
        self.on = False
        self._told = 0

    def toggle(self, session: LessonSession, units: UnitSystem, also: Sequence[str] = ()) -> None:
        """Begin with the whole view, or stop."""
        self.on = not self.on
        if self.on:
            self._told = len(session.events)
            say(whole_view(session, units, also))

    def follow(self, events: Sequence[Event], units: UnitSystem) -> None:
        """Say the events that are new; after a rewind they are told again as they come again."""
        if not self.on:
            return
        for event in events[self._told :]:
            say(event_line(event, units))
        self._told = len(events)


def say(text: str) -> None:
    """Write to the standard output, if there is one."""
    try:
        print(text, flush=True)
    except (OSError, ValueError, AttributeError):
        sys.stdout = None
