"""What is known of a case, as rows: the newest result first, what the flight line noted last."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from glasscan.faults.observables import Values
from glasscan.learning.cases.case_play import Case, CaseEntry
from glasscan.learning.cases.generate import ERRORS
from glasscan.learning.cases.test_menu import MeasuredReading, menu
from glasscan.ui.display_units import UnitSystem
from glasscan.window.cases.case_wording import listed, minutes, spoken
from glasscan.window.cases.closed_filter import OPENS
from glasscan.window.cases.dials import Dial, DialLine
from glasscan.window.cases.finding_spots import sign
from glasscan.window.cases.known_rows import FigureLine, Heading, KnownRow, Note, ScaleNote
from glasscan.window.cases.reading_texts import figure, unit_of

ACTED = {
    "start": "The engine was started.",
    "stop": "The engine was stopped.",
    "release": "The pressure was let out.",
}
GAUGED = {"gauge_cold_kpa": "cold start", "gauge_idle_kpa": "hot idle", "gauge_cruise_kpa": "hot cruise"}
NO_NUMBERS: Mapping[str, int] = {}
NOTED_ERRORS = 1.0  # the flight line reads the same gauge at every level
SCALES = (
    "Small scales: the sound rig in the middle, the reading as a dot, one end six reading errors away; "
    "a point at the end means farther."
)
HELPED = {
    "hint-1": "Hint asked: where to look.",
    "hint-2": "Hint asked: which principle.",
    "hint-3": "Hint asked: the worked step.",
    "look-alikes": "Help asked: which faults give this picture.",
}


def beside(case: Case) -> Values | None:
    """Observables of the sound rig: a mechanic always has the limits of the type."""
    return case.baseline


def known(case: Case, units: UnitSystem, numbers: Mapping[str, int] = NO_NUMBERS) -> list[KnownRow]:
    """Rows of the whole record, the newest first; `numbers` of parts of the open filter, see `spots`."""
    blocks: list[list[KnownRow]] = []
    held: Sequence[str] = ()
    for entry in case.entries:
        if entry.what == "hypothesis":
            held = entry.words
        block = list(_block(case, entry, held, units, numbers))
        if block:
            blocks.append(block)
    rows = [row for block in reversed(blocks) for row in block]
    return [*rows, *noted(case, units)]


def _block(
    case: Case, entry: CaseEntry, held: Sequence[str], units: UnitSystem, numbers: Mapping[str, int]
) -> Iterator[KnownRow]:
    word = entry.words[0]
    if entry.what == "act":
        yield Note(ACTED[word])
    elif entry.what == "help":
        price = f" Price {100 * entry.result[0]:g} %." if entry.result and entry.result[0] else ""
        yield Note(HELPED.get(word, "Help asked.") + price)
    elif entry.what == "test":
        test = case.menu[word]
        yield Heading(spoken(test.title), minutes(test.cost_min))
        yield Note(f"Held possible before: {listed(held)}")
        for reading, got in zip(test.reads, entry.result, strict=True):
            mark = sign(reading.what, numbers) if word in OPENS else ""
            yield FigureLine(figure(reading, got, units, ERRORS[case.level], beside(case)), mark)


def noted(case: Case, units: UnitSystem) -> list[KnownRow]:
    """What the flight line noted: gauges, then the rest."""
    pairs = list(zip(menu().complaint, case.noted, strict=True))
    gauges = [pair for pair in pairs if pair[0].what.startswith("gauge_")]
    rest = [pair for pair in pairs if pair not in gauges]
    rows: list[KnownRow] = [Heading("What the flight line noted, cockpit gauge")]
    rows.append(DialLine([_dial(case, reading, got, units) for reading, got in gauges]))
    rows += [FigureLine(figure(reading, got, units, NOTED_ERRORS, beside(case))) for reading, got in rest]
    if beside(case) is not None:
        rows.append(ScaleNote(SCALES))
    return rows


def _dial(case: Case, reading: MeasuredReading, got: float, units: UnitSystem) -> Dial:
    told = figure(reading, got, units, NOTED_ERRORS, beside(case))
    unit, turn = unit_of(reading, got, units)
    base = beside(case)
    sound = None if base is None else turn(base[reading.what])
    label = GAUGED.get(reading.what, reading.label)
    return Dial(label, turn(got), told.value, unit, sound, told.sound)
