"""The next run: what the engine does after the job as it was done, beside the job done well."""

from __future__ import annotations

from functools import partial

import numpy as np
import pygame
from numpy.typing import NDArray

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import UnitSystem
from glasscan.ui.layout import Column, Item, Node, Picture, Row
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button
from glasscan.window.bench.job_marks import left_words
from glasscan.window.bench.job_run import SERIES, Compared
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.procedures.procedure_catalogue import load_conditions

Floats = NDArray[np.float64]
HURT = (
    "Here the real work stops: somebody may be hurt. First aid first; oil driven into skin by pressure is a "
    "surgical emergency, even if it looks small. The run is shown for its lesson only."
)
LEAST = {"gauge": 100.0, "dp": 20.0, "lost": 0.1, "unfiltered": 0.1}
"""Least full scale of each plot, in its unit, so that a difference of nothing does not look large."""


class RunPage(Page):
    """Four plots on one clock, and in words what acts and what the model cannot show."""

    def __init__(self, desk: ViewOptions, job: Job, both: Compared) -> None:
        super().__init__(desk)
        self.job, self.both = job, both
        self.watch = False

    title = "The next run"

    @property
    def aside(self) -> str:
        """How to tell the two lines."""
        return "thick: your job   thin, dashed: done well"

    def first(self) -> str | None:
        return "on"

    def compose(self, canvas: Canvas) -> Node:
        """Two by two plots; the words and the ways on beside them."""
        del canvas
        plots = [Picture(partial(self._plotted, *one), grow=1) for one in SERIES]
        left = Column([Row(plots[:2], gap=20, grow=1), Row(plots[2:], gap=20, grow=1)], gap=20, grow=64)
        right = [
            Item(ScrollText("words", "", self._words), grow=1),
            Item(Button("watch", "Watch it in the cutaway (W)", self.see)),
            Item(Button("on", "To the marks", self.back)),
        ]
        return Row([left, Column(right, gap=20, grow=36)], gap=28)

    def see(self) -> None:
        """Leave for the run itself, seen inside the filter."""
        self.watch = True
        self.back()

    def bindings(self) -> tuple[Binding, ...]:
        watch = Binding("W", "watch the run in the cutaway", {"w": self.see})
        return (Binding("Enter", "on to the marks"), watch)

    def _words(self) -> str:
        known, outcome = load_conditions(), self.job.outcome()
        if not outcome.left:
            return "Nothing was left behind: both runs are the same."
        acting = [x for x in outcome.left if x.condition in self.both.acting]
        hurt = [x for x in outcome.left if known[x.condition].onset == "at-work" and known[x.condition].harms]
        stops = [f"{HURT}\n{left_words(self.job, x)}" for x in hurt]
        blocks = [*stops, "What acts in this run:" if acting else "Nothing that was left acts in this run."]
        blocks += [left_words(self.job, x) for x in acting]
        if self.both.silent:
            blocks.append("The model has no number for these; they count all the same:")
            blocks += [f"{known[c].title}: {known[c].effect}" for c in self.both.silent]
        return "\n\n".join(blocks)

    def _plotted(self, name: str, words: str, unit: str, canvas: Canvas, box: pygame.Rect) -> None:
        """One series of both runs."""
        shown, factor = _unit(unit, self.desk.units)
        yours, well = (side[name] * factor for side in (self.both.yours, self.both.well))
        _plot(canvas, box, words, shown, self.both.times_s, yours, well, LEAST[name] * factor)


def _unit(unit: str, units: UnitSystem) -> tuple[str, float]:
    """Sign and factor of a unit in the system shown."""
    if unit == "kPa":
        return units.pressure.sign, float(units.pressure.shown(1e3))
    return units.volume.sign, float(units.volume.shown(1e-3))


def _plot(
    canvas: Canvas,
    box: pygame.Rect,
    words: str,
    unit: str,
    t: Floats,
    yours: Floats,
    well: Floats,
    least: float,
) -> None:
    """One plot with its numbers at the end."""
    canvas.panel(box, "sheet", "edge", 12, 2)
    inner = box.inflate(-canvas.dp(32), -canvas.dp(20))
    line = canvas.measure("Ag")[1]
    head = pygame.Rect(inner.x, inner.y, inner.w, canvas.measure(words, bold=True, wrap=inner.w)[1])
    canvas.text(words, head, bold=True, wrap=True)
    numbers = pygame.Rect(inner.x, head.bottom, inner.w, line)
    decimals = 0 if max(yours.max(), well.max()) >= 100 else 2
    now = f"{yours[-1]:.{decimals}f} {unit}"
    canvas.text(now, numbers, bold=True, colour="accent")
    canvas.text(f"well: {well[-1]:.{decimals}f}", numbers, align="right", colour="soft")
    frame = pygame.Rect(inner.x, numbers.bottom + canvas.dp(6), inner.w, 0)
    frame.h = inner.bottom - line - frame.y
    canvas.panel(frame, "well", None, 2)
    top = nice_ceiling(max(float(yours.max()), float(well.max()), least) * 1.05)
    for curve, colour, width, dashed in ((well, "outlet", 3, True), (yours, "dp", 5, False)):
        x = frame.x + t / t[-1] * frame.w
        y = frame.bottom - np.clip(curve / top, 0, 1) * (frame.h - 2)
        _line(canvas, np.stack([x, y], axis=1), colour, canvas.dp(width), dashed)
    foot = pygame.Rect(inner.x, frame.bottom, inner.w, line)
    canvas.text("0", foot, colour="soft")
    canvas.text(f"{t[-1]:.0f} s", foot, align="right", colour="soft")
    canvas.text(f"full: {top:g} {unit}", foot, align="centre", colour="soft")


def _line(canvas: Canvas, points: Floats, colour: str, width: int, dashed: bool) -> None:
    step = 18 if dashed else len(points)
    for i in range(0, len(points), step):
        part = points[i : i + (step * 2 // 3 if dashed else step)]
        if len(part) > 1:
            pygame.draw.lines(canvas.surface, canvas.theme[colour], False, part.tolist(), width)
