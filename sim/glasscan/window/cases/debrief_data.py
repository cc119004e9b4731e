"""What is told after the verdict, gathered once behind the progress bar."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from glasscan.faults.counterfactual import Ghost
from glasscan.faults.fault_data import Fault
from glasscan.learning.cases.case_play import CANNOT_TELL, Case, CaseEntry
from glasscan.learning.cases.debrief import LITTLE, Debrief, debrief, tell_apart
from glasscan.learning.cases.test_menu import MeasuredReading, menu
from glasscan.ui.display_units import UnitSystem
from glasscan.window.cases.case_wording import ACTS, listed, minutes, named, spoken, titled
from glasscan.window.cases.debrief_runs import Morning, mornings
from glasscan.window.cases.reading_texts import Figure, figure

Tell = Callable[[float, str], None]
MOST_TESTS, MOST_READINGS = 3, 4
PLAIN = 2.0  # reading errors from which a reading is called moved
YOURS = ", you did it"
OFTEN = ((0.9, "nearly always"), (0.6, "mostly"), (0.0, "now and then"))


@dataclass(frozen=True)
class Alike:
    """A fault easily taken for the one that was there: belief in it at the end, tests that part them."""

    code: str
    belief: float
    tests: tuple[str, ...]


@dataclass(frozen=True)
class DebriefData:
    """All of it.

    Attributes:
        case: over.
        debrief: of the engine.
        runs: the mornings with their ghosts; None where a rig could not go on.
        alike: what it is easily taken for.
    """

    case: Case
    debrief: Debrief
    runs: tuple[tuple[Morning, Ghost | None], ...]
    alike: tuple[Alike, ...]

    @property
    def ill(self) -> tuple[Fault, ...]:
        """All that was wrong."""
        return tuple(fault for fault, _ in self.debrief.review.hidden.ill)

    @property
    def right(self) -> bool:
        """The verdict names just that."""
        return self.case.verdict == self.debrief.fault


def gather(case: Case, tell: Tell) -> DebriefData:
    """Work everything out; seconds, so behind a bar.

    Raises:
        RefusedError: the case is not over yet.
    """
    tell(0.05, "Walking the reference path")
    told = debrief(case)
    found = [(morning, None) for morning in mornings(case)]
    return mended(DebriefData(case, told, tuple(found), _alike(case, told)), 0.0, tell)


def mended(told: DebriefData, from_s: float, tell: Tell) -> DebriefData:
    """The same with the fault taken away at a moment, s; seconds, so behind a bar."""
    runs = []
    for k, (morning, _) in enumerate(told.runs):
        tell(0.2 + 0.4 * k, "Running the rig with the fault and without it")
        runs.append((morning, morning.ghost(from_s)))
    return replace(told, runs=tuple(runs))


def _alike(case: Case, told: Debrief) -> tuple[Alike, ...]:
    """Look-alikes of the fault's own card, and what was named instead, as far as this rig can have them."""
    own = [code for fault, _ in told.review.hidden.ill for code in fault.look_alikes]
    wrong = [] if told.verdict in (None, CANNOT_TELL, told.fault) else [str(told.verdict)]
    codes = [code for code in dict.fromkeys([*wrong, *own]) if code in case.suspects and code != told.fault]
    return tuple(_parted(case, told, code) for code in codes)


def _parted(case: Case, told: Debrief, code: str) -> Alike:
    last = {name: curve[-1] for name, curve in told.own_curve.beliefs.items()}
    done = set(case.tests_done)
    tests = [
        f"{spoken(case.menu[one.test].title)} ({minutes(one.cost_min)}{YOURS if one.test in done else ''})"
        for one in tell_apart(case, told.fault, code)[:MOST_TESTS]
    ]
    return Alike(code, last.get(code, 0.0), tuple(tests))


def verdict_words(told: DebriefData) -> tuple[str, str]:
    """The verdict in a sentence, and a colour of the theme."""
    case = told.case
    if case.unsafe:
        return "Stopped for safety: no marks, whatever was found out.", "warn"
    if told.right:
        return f"Right: you named {case.verdict}.", "good"
    if case.verdict == CANNOT_TELL:
        credit = told.debrief.review.score.parts["correct"] > 0
        return f"You said 'cannot tell yet'. {'That was honest' if credit else 'The readings could tell'}.", (
            "ink" if credit else "warn"
        )
    return f"Not right: you named {named(str(case.verdict))}.", "warn"


def wrong_turns(told: DebriefData) -> dict[int, str]:
    """Places in the record where the way went wrong, and in a word how."""
    found: dict[int, str] = {}
    path = iter(told.debrief.own)
    for place, entry in enumerate(told.case.entries):
        if entry.what == "unsafe":
            found[place] = "unsafe"
        elif entry.what == "verdict" and not told.right:
            found[place] = "wrong" if entry.words[0] != CANNOT_TELL else "too soon"
        elif entry.what == "test":
            step = next(path)
            if step.best not in (None, step.test) and step.rate < LITTLE * step.best_rate:
                found[place] = "told little"
    return found


def in_the_hand(fault: Fault) -> str:
    """What the part or the paper shows when it is looked at, in the words of the tests; may be empty."""
    labels = {reading.what: reading.label for test in menu().tests for reading in test.reads}
    shown = [f"{labels[what]}, {_often(share)}" for what, share in fault.found.items() if what in labels]
    return f"{'; '.join(shown).capitalize()}." if shown else ""


def _often(share: float) -> str:
    return next(word for least, word in OFTEN if share >= least)


def telling_readings(told: DebriefData, units: UnitSystem) -> list[Figure]:
    """Readings that the fault moves farthest from the sound rig, without reading error, farthest first."""
    values, sound = told.debrief.review.hidden.values, told.case.baseline
    reads = {reading.what: reading for test in told.case.menu.values() for reading in test.reads}
    away = {what: _moved(reading, values[what], sound[what]) for what, reading in reads.items()}
    chosen = sorted((what for what in away if away[what] >= PLAIN), key=lambda what: -away[what])[
        :MOST_READINGS
    ]
    return [figure(reads[what], values[what], units, 1.0, sound) for what in chosen]


def _moved(reading: MeasuredReading, value: float, sound: float) -> float:
    """Distance in reading errors; for yes and no, how much surer the answer is than it may err."""
    moved = abs(reading.place(value) - reading.place(sound))
    return moved / (reading.error if reading.scale == "yes-no" else reading.deviation(1.0))


def entry_words(case: Case, entry: CaseEntry) -> str:
    """A line of the record in words."""
    word = entry.words[0]
    if entry.what == "hypothesis":
        return f"Held possible: {listed(entry.words)}"
    if entry.what == "test":
        return f"Test: {spoken(case.menu[word].title)}"
    if entry.what == "act":
        return next(title for name, title, _ in ACTS if name == word)
    if entry.what == "verdict":
        return f"Verdict: {titled(word)}"
    if entry.what == "unsafe":
        return f"Stopped: {word}"
    return f"{ {'help': 'Help', 'action': 'Action', 'log': 'Log'}[entry.what] }: {word}".strip()
