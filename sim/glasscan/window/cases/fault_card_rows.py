"""The card of a fault as rows: how it comes, what it looks like, what to do; then the trainee's own words."""

from __future__ import annotations

from glasscan.faults.fault_data import Fault
from glasscan.ui.display_units import UnitSystem
from glasscan.window.cases.debrief_data import DebriefData, in_the_hand, telling_readings
from glasscan.window.cases.known_rows import FigureLine, Heading, KnownRow, Note

KEPT = "The fault is the one that was sealed when the case began."


def card_rows(told: DebriefData, units: UnitSystem, name: str) -> list[KnownRow]:
    """Rows of all that was wrong, and of what was written; `name` is that of the file the case is kept in."""
    rows = [row for k, fault in enumerate(told.ill) for row in _fault_rows(fault, k > 0)]
    readings = telling_readings(told, units)
    if readings:
        rows.append(Heading("In the readings, without reading error"))
        rows += [FigureLine(one) for one in readings]
    return [*rows, *_own_rows(told), *_seal_rows(told, name)]


def _fault_rows(fault: Fault, rule: bool) -> list[KnownRow]:
    rows: list[KnownRow] = [Heading(f"{fault.fault}  {fault.title}", rule=rule)]
    rows.append(Note(fault.mechanism, "ink", "title"))
    for title, text, colour in (
        ("In the hand", in_the_hand(fault), "ink"),
        ("What to do", fault.action, "ink"),
        ("What can hurt", fault.safety, "warn"),
    ):
        rows += [Heading(title), Note(text, colour, "title")] if text else []
    return rows


def _own_rows(told: DebriefData) -> list[KnownRow]:
    """What the trainee wrote."""
    rows: list[KnownRow] = []
    for what, title in (("action", "Your action"), ("log", "Your entry for the log")):
        for entry in told.case.entries:
            if entry.what == what:
                rows += [Heading(title), Note(entry.words[0], "ink")]
    return rows


def _seal_rows(told: DebriefData, name: str) -> list[KnownRow]:
    """Whether the case was what it had been sealed as, and where it lies."""
    kept = told.debrief.review.kept
    seal = KEPT if kept else "The seal does not fit."
    return [
        Heading("The seal"),
        Note(f"{seal} The case is kept as {name}." if name else seal, "soft" if kept else "warn"),
    ]
