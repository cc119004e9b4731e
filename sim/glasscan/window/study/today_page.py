"""What there is to do today: questions that are due, codes that are weak, and how well the odds fit."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from functools import partial

import pygame

from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.study.study_plan import Plan, chosen
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.study.calibration_chart import draw_calibration

MOST = 10
"""Questions of one session: about twenty minutes (PRACTICE)."""
EXAM_DAYS = ("", "1", "2", "3", "5", "7", "10", "14", "21", "28", "42", "60", "90")
KINDS = {"": "all", "can": "spin-on", "cartridge": "cartridge", "disc": "stacked discs"}
NO_WEAK = "No weak code so far. One shows here after three answers below the pass mark."


Replan = Callable[[date | None], Plan]
"""The lists anew for another day of the exam."""


@dataclass(frozen=True)
class Todo:
    """What was chosen: "study" (names of questions), "aloud" (the same), "lesson" (its id), or "who"."""

    what: str
    names: tuple[str, ...] = ()


class TodayPage(Page):
    """Shows the plan of a day; `todo` is set when something was chosen.

    Args:
        desk: choices of the view.
        who: nickname.
        plan: lists of the day.
        lessons: by id.
        today: the day.

    Attributes:
        exam_on: day of the exam, or None.
        kind: of filter to study, a word of `KINDS`; empty: all.
        replan: gives the lists anew for another day of the exam.
    """

    def __init__(
        self, desk: ViewOptions, who: str, plan: Plan, lessons: Mapping[str, Scenario], today: date
    ) -> None:
        super().__init__(desk)
        self.who, self.plan, self.lessons, self.today = who, plan, lessons, today
        self.exam_on: date | None = None
        self.kind = ""
        self.todo: Todo | None = None
        self.replan: Replan | None = None

    @property
    def title(self) -> str:
        """Heading."""
        return "Due today"

    @property
    def aside(self) -> str:
        """Who it is for."""
        return self.who

    @property
    def names(self) -> tuple[str, ...]:
        """Questions of the next session: those due, then new ones."""
        return tuple(n for n in self.every if n.partition("/")[0] in self.kind_lessons)[:MOST]

    @property
    def every(self) -> tuple[str, ...]:
        """All questions due, then all new ones in the order of the path."""
        return (*self.plan.due, *self.plan.new)

    @property
    def kind_lessons(self) -> dict[str, Scenario]:
        """Lessons about the kind of filter chosen."""
        return chosen(self.lessons, self.kind or None)

    def stamp(self) -> tuple[object, ...]:
        """The plan."""
        return (self.plan, self.exam_on, self.kind)

    def first(self) -> str | None:
        """Start."""
        return "start" if self.names else "lessons"

    # --- layout -------------------------------------------------------------------------------------

    def columns(self, canvas: Canvas, body: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
        """What to do; what the answers say."""
        gap = canvas.dp(36)
        w = (body.w - gap) * 48 // 100
        return (
            pygame.Rect(body.x, body.y, w, body.h),
            pygame.Rect(body.x + w + gap, body.y, body.w - w - gap, body.h),
        )

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Start, aloud, exam day, lessons with their counts, weak codes."""
        left, right = self.columns(canvas, body)
        h, gap = canvas.tp(76), canvas.dp(16)
        y = left.y + self._count_h(canvas)
        half = (left.w - gap) // 2
        start = pygame.Rect(left.x, y, half, h)
        aloud = pygame.Rect(start.right + gap, y, left.w - half - gap, h)
        exam = pygame.Rect(left.x, start.bottom + gap, left.w, canvas.tp(56))
        kind = exam.move(0, exam.h + gap)
        rest = pygame.Rect(left.x, kind.bottom + gap + canvas.tp(38), left.w, 0)
        rest.h = left.bottom - rest.y
        weak = self._weak_box(canvas, right)
        count = len(self.names)
        return [
            Button("start", f"Start: {count} questions (S)", self._start, box=start, enabled=count > 0),
            Button("aloud", "Answer aloud (A)", self._aloud, box=aloud, enabled=count > 0),
            self._exam(exam),
            Choice(
                "kind", "Filter", list(KINDS), lambda: self.kind, self._set_kind, KINDS.__getitem__, box=kind
            ),
            ListBox("lessons", "", self._lessons, self._lesson, box=rest, row_h=canvas.tp(92)),
            ListBox("weak", "", self._weak, self._open, box=weak, row_h=canvas.tp(104)),
        ]

    def _exam(self, box: pygame.Rect) -> Choice:
        options = sorted({*EXAM_DAYS, self._days()}, key=lambda d: int(d or 0))
        return Choice("exam", "Exam", options, self._days, self._set_days, self._in_days, box=box)

    def _in_days(self, days: str) -> str:
        known = self.plan.exam_recall
        if not days or known is None or days != self._days():
            return _in_days(days)
        return f"{_in_days(days)}; if you stop now, {known:.0%} known by then"

    def _set_kind(self, kind: str) -> None:
        self.kind = kind

    def _days(self) -> str:
        left = (self.exam_on - self.today).days if self.exam_on else 0
        return str(left) if left > 0 else ""

    def _set_days(self, days: str) -> None:
        self.exam_on = self.today + timedelta(days=int(days)) if days else None
        self.plan = self.replan(self.exam_on) if self.replan else self.plan

    def _weak_box(self, canvas: Canvas, right: pygame.Rect) -> pygame.Rect:
        y = right.y + self._chart_h(canvas, right) + canvas.dp(28) + canvas.tp(38)
        return pygame.Rect(right.x, y, right.w, right.bottom - y)

    def _chart_h(self, canvas: Canvas, right: pygame.Rect) -> int:
        return min(canvas.tp(330), right.h // 2)

    def _count_h(self, canvas: Canvas) -> int:
        return canvas.measure("0", "number", True)[1] + canvas.tp(34) + canvas.dp(16)

    # --- rows ---------------------------------------------------------------------------------------

    def _lessons(self) -> list[Row]:
        """Lessons that have something due or new, those with most due first, then as the path goes."""
        due, new = _by_lesson(self.plan.due), _by_lesson(self.plan.new)
        names = sorted((n for n in self.kind_lessons if n in due or n in new), key=lambda n: -due.get(n, 0))
        return [
            Row(
                n,
                self.lessons[n].title,
                f"{due.get(n, 0)} due, {new.get(n, 0)} new",
                f"level {self.lessons[n].level}",
            )
            for n in names
        ]

    def _weak(self) -> list[Row]:
        """Weak codes with the lesson that teaches them."""
        return [
            Row(w.lessons[0], w.title, f"{w.code}: {self.lessons[w.lessons[0]].title}", f"{w.share:.0%}")
            for w in self.plan.weak
            if w.lessons and w.lessons[0] in self.lessons
        ]

    # --- acts ---------------------------------------------------------------------------------------

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("S", "start the session", {"s": self._start}),
            Binding("A", "answer aloud", {"a": self._aloud}),
            Binding("N", "another nickname", {"n": partial(self._do, Todo("who"))}),
        )

    def _do(self, todo: Todo) -> None:
        self.todo, self.leave = todo, True

    def _start(self) -> None:
        if self.names:
            self._do(Todo("study", self.names))

    def _aloud(self) -> None:
        if self.names:
            self._do(Todo("aloud", self.names))

    def _lesson(self, name: str) -> None:
        """All that is due or new of one lesson."""
        self._do(Todo("study", tuple(n for n in self.every if n.partition("/")[0] == name)))

    def _open(self, name: str) -> None:
        self._do(Todo("lesson", (name,)))

    # --- picture ------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Counts, headings, the chart."""
        left, right = self.columns(canvas, body)
        self._counts(canvas, left)
        boxes = {w.name: w.box for w in self.form.widgets}
        line = canvas.tp(36)
        over = pygame.Rect(left.x, boxes["lessons"].y - canvas.tp(38), left.w, line)
        canvas.text("Or one lesson", over, bold=True)
        draw_calibration(
            canvas,
            pygame.Rect(right.x, right.y, right.w, self._chart_h(canvas, right)),
            self.plan.calibration,
        )
        weak = boxes["weak"]
        over = pygame.Rect(weak.x, weak.y - canvas.tp(38), weak.w, line)
        canvas.text("Weak codes; Enter opens the lesson", over, bold=True, shorten=True)
        if not self.plan.weak:
            canvas.text(NO_WEAK, weak, valign="top", wrap=True, colour="soft")

    def _counts(self, canvas: Canvas, left: pygame.Rect) -> None:
        third = left.w // 3
        number_h = canvas.measure("0", "number", True)[1]
        told = ((len(self.plan.due), "due"), (len(self.plan.new), "new"), (len(self.plan.weak), "weak codes"))
        for i, (count, word) in enumerate(told):
            place = pygame.Rect(left.x + i * third, left.y, third, number_h)
            canvas.text(str(count), place, role="number", bold=True)
            under = pygame.Rect(place.x, place.bottom, third, canvas.tp(34))
            canvas.text(word, under, colour="soft")


def _in_days(days: str) -> str:
    if not days:
        return "no day set"
    return "tomorrow" if days == "1" else f"in {days} days"


def _by_lesson(names: tuple[str, ...]) -> dict[str, int]:
    counts: dict[str, int] = {}
    for name in names:
        lesson = name.partition("/")[0]
        counts[lesson] = counts.get(lesson, 0) + 1
    return counts
