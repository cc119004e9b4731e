"""Rows told after the verdict: score parts, tests of a path, look-alikes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.learning.cases.case_play import Case
from glasscan.learning.cases.debrief import Walked
from glasscan.learning.cases.doubt_words import halving
from glasscan.learning.cases.generate import ERRORS
from glasscan.learning.scoring.case import WEIGHTS
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import UnitSystem
from glasscan.window.cases.case_wording import minutes, named, spoken
from glasscan.window.cases.debrief_data import Alike, DebriefData
from glasscan.window.cases.known_rows import Heading, KnownRow, Large, Note
from glasscan.window.cases.reading_texts import figure

PARTS = {
    "correct": "The fault named",
    "confirmed": "Proved by your own tests before it was condemned",
    "cost": "Minutes, against the reference path",
    "named": "Hypothesis before every test",
    "stop": "Stopped at the right moment",
    "swaps": "Parts changed without a reason",
    "hints": "Help asked for",
}


@dataclass(frozen=True)
class BarLine:
    """A part of the score: words, marks gained of marks possible, and a bar."""

    title: str
    gained: float
    most: float

    def _value(self) -> str:
        if not self.most:
            return f"{100 * self.gained:.0f}".replace("-", "−")
        return f"{100 * self.gained:.0f} of {100 * self.most:.0f}"

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        left = w - canvas.measure(self._value(), "title", True)[0] - canvas.dp(20)
        title = canvas.measure("Ag", "title")[1]
        return max(canvas.measure(self.title, wrap=left)[1], title) + canvas.dp(40)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Words over a bar."""
        top = pygame.Rect(box.x, box.y, box.w, box.h - canvas.dp(40))
        value_w = canvas.measure(self._value(), "title", True)[0]
        canvas.text(self._value(), top, role="title", bold=True, align="right")
        canvas.text(self.title, pygame.Rect(top.x, top.y, top.w - value_w - canvas.dp(20), top.h), wrap=True)
        strip = pygame.Rect(box.x, top.bottom + canvas.dp(6), box.w, canvas.dp(14))
        canvas.panel(strip, "well", "edge", 7, 1)
        share = self.gained / self.most if self.most else 0.0
        if share > 0.0:
            filled = strip.inflate(-canvas.dp(4), -canvas.dp(4))
            filled.w = max(canvas.dp(8), round(filled.w * min(share, 1.0)))
            canvas.panel(filled, "bar", None, 5)


def score_rows(told: DebriefData) -> list[KnownRow]:
    """Parts of the score, and the gate that stands before them all."""
    score = told.debrief.review.score
    rows: list[KnownRow] = [Large(f"{100 * score.score:.0f}", "of 100", "warn" if score.gates else "ink")]
    if score.gates:
        rows.append(Note("Safety is a gate: one unsafe act makes the whole score 0.", "warn"))
        rows += [Note(f"▲ {gate}", "warn") for gate in score.gates]
    for name, title in PARTS.items():
        gained = score.parts.get(name, 0.0)
        if name in WEIGHTS or gained:
            rows.append(BarLine(title, gained, WEIGHTS.get(name, 0.0)))
    return rows


def remark_rows(told: DebriefData) -> list[KnownRow]:
    """What a teacher would say first."""
    remarks = told.debrief.remarks
    check = told.debrief.check
    rows: list[KnownRow] = []
    if check is not None:
        rows.append(Heading("The repair and its operational check", rule=False))
        rows += [Note(spoken(text), "ink") for text in check.words[:-1]]
        rows.append(Note(check.words[-1], "good" if check.cured else "warn", "title"))
    rows.append(Heading("What to look at", rule=bool(rows)))
    rows += [Note(f"▸ {spoken(text)}", "ink", "title") for text in remarks]
    if not remarks:
        rows.append(Note("Nothing to remark: that was a clean way to the verdict.", "good"))
    if told.debrief.evidence:
        rows.append(Heading("What the readings said"))
        rows += [Note(f"▸ {spoken(text)}", "ink") for text in told.debrief.evidence]
    return rows


@dataclass(frozen=True)
class StepLine:
    """A test of a path: number and title, minutes, how it cuts the doubt, belief in the fault after it."""

    number: int
    step: Walked
    belief: float
    result: str = ""

    def _under(self) -> str:
        told = f"{minutes(self.step.cost_min)}; such a test {halving(self.step.rate)}"
        return f"{told}. Belief in the fault now {100 * self.belief:.0f} %{self.result}"

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        title = canvas.measure(self._title(), bold=True, wrap=w)[1]
        return title + canvas.measure(self._under(), wrap=w)[1] + canvas.dp(16)

    def _title(self) -> str:
        return f"{self.number}  {spoken(self.step.title)}"

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Title over its figures."""
        high = canvas.measure(self._title(), bold=True, wrap=box.w)[1]
        canvas.text(self._title(), pygame.Rect(box.x, box.y, box.w, high), bold=True, wrap=True, valign="top")
        under = pygame.Rect(box.x, box.y + high, box.w, box.h - high - canvas.dp(14))
        canvas.text(self._under(), under, wrap=True, colour="soft", valign="top")


def result_words(case: Case, step: Walked, units: UnitSystem) -> str:
    """What a test gave, in the reader's units."""
    test = case.menu[step.test]
    told = [
        figure(reading, got, units, ERRORS[case.level], None)
        for reading, got in zip(test.reads, step.result, strict=True)
    ]
    return "; ".join(f"{one.label}: {one.value} {one.unit}".rstrip() for one in told) + "."


def path_rows(of: DebriefData, own: bool, units: Callable[[], UnitSystem]) -> list[KnownRow]:
    """One of the two paths; along the reference its results too, which the trainee has not seen."""
    told = of.debrief
    path = told.own if own else told.reference
    spent = path[-1].at_min if path else 0.0
    rows: list[KnownRow] = [Heading("Your path" if own else "Reference path", minutes(spent), rule=False)]
    for k, step in enumerate(path, 1):
        result = "" if own else f"\n{result_words(of.case, step, units())}"
        rows.append(StepLine(k, step, step.beliefs.get(told.fault, 0.0), result))
    if not path:
        rows.append(Note("No test."))
    if not own:
        rows.append(
            Note("At each step the test that tells most per minute, worked out from the readings alone.")
        )
    return rows


def alike_rows(fault: str, alike: tuple[Alike, ...]) -> list[KnownRow]:
    """Look-alikes, each with the tests that part it from the fault."""
    if not alike:
        return [Note("No other fault on this rig is easily taken for it.", "ink", "title")]
    rows: list[KnownRow] = [
        Note(f"Easily taken for {fault}, and the tests that separate them best per minute.", "ink")
    ]
    for one in alike:
        rows.append(Heading(named(one.code), f"believed at the end {100 * one.belief:.0f} %"))
        rows += [Note(f"▸ {test}", "ink") for test in one.tests]
        if not one.tests:
            rows.append(Note("No test on this rig parts the two."))
    return rows
