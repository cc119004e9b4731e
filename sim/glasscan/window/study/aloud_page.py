"""Answer aloud, uncover the key, grade yourself: a drill for the oral part."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError
from glasscan.window.questions.quiz_page import QuizPage, SheetOfReadings
from glasscan.window.questions.strips import Readings
from glasscan.window.study.review_session import ReviewSession

GRADES = {1: "1  wrong", 2: "2  right, hard", 3: "3  right", 4: "4  right at once"}
"""Grades of the review schedule in words."""


class AloudPage(QuizPage):
    """Asks the questions of a session without lines to choose from."""

    def __init__(self, desk: ViewOptions, session: ReviewSession) -> None:
        super().__init__(desk, session.quiz)
        self.session = session
        self.graded = 0
        self.answer: str | None = None
        self.asked_for = False
        self._reading = ScrollText("answer", "", lambda: self.answer or "")

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("Enter", "uncover the answer"),
            Binding("1 to 4", "grade your answer"),
            Binding("N", "leave the question"),
        )

    @property
    def title(self) -> str:
        """Title of the lesson."""
        return self.session.desk.lesson(self._lesson).title

    @property
    def aside(self) -> str:
        """How far it is."""
        return f"question {self.quiz.at + 1} of {len(self.session.items)}"

    @property
    def _lesson(self) -> str:
        return self.session.items[self.quiz.at].lesson

    def section(self) -> str:
        """The lesson."""
        return self._lesson

    def readings(self) -> Readings | None:
        """The instruments, once the answer is uncovered: before that a prediction would be told."""
        return self.session.table_of(self._lesson) if self.answer is not None else None

    def beside(self) -> tuple[str, str]:
        """What the lesson is about."""
        return "The lesson", self.session.told_of(self._lesson)

    def heading(self) -> tuple[str, str]:
        """What to do."""
        return ("How was your answer?" if self.answer is not None else "Say your answer aloud"), ""

    def stamp(self) -> tuple[object, ...]:
        """Card and whether the answer is uncovered."""
        return (*super().stamp(), self.quiz.at, self.answer, self.asked_for)

    def below_h(self, canvas: Canvas) -> int:
        """One button, or two rows of grades."""
        return 2 * canvas.tp(64) + canvas.dp(10) if self.answer is not None else canvas.tp(58)

    def below(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """Uncover, or the grades."""
        if self.answer is None:
            place = pygame.Rect(box.x, box.bottom - canvas.tp(54), box.w, canvas.tp(54))
            return [Button("uncover", "Uncover the answer", self._uncover, box=place)]
        gap = canvas.dp(10)
        w, h = (box.w - gap) // 2, (box.h - gap) // 2
        return [
            Button(
                f"grade-{grade}",
                words,
                partial(self._grade, grade),
                box=pygame.Rect(box.x + i % 2 * (w + gap), box.y + i // 2 * (h + gap), w, h),
            )
            for i, (grade, words) in enumerate(GRADES.items())
        ]

    def answer_widgets(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """Nothing to choose from; uncovered, the key and why."""
        del canvas
        if self.answer is None:
            return []
        self._reading.box = box
        return [self._reading]

    def first(self) -> str | None:
        """The way on."""
        return "uncover" if self.answer is None else None

    def handle(self, event: pygame.event.Event) -> None:
        """Digits grade; nothing else answers."""
        mark = getattr(event, "unicode", "") if event.type == pygame.KEYDOWN else ""
        if self.answer is not None and not self.desk.help and mark and mark in "1234":
            self._grade(int(mark))
        elif event.type == pygame.KEYDOWN and mark.lower() == "n" and not self.desk.help:
            self._next()
        else:
            super(QuizPage, self).handle(event)

    def _uncover(self) -> None:
        self.asked_for = True
        self.update(0.0)

    def _grade(self, grade: int) -> None:
        self.session.desk.grade(self.session.items[self.quiz.at], grade)
        self.graded += 1
        self._next()

    def _next(self) -> None:
        self.answer, self.asked_for = None, False
        self.form.focus_on(None)
        if self.quiz.at + 1 >= len(self.quiz.cards):
            self.leave = True
        else:
            self.quiz.turn(1)

    def update(self, wall_s: float) -> None:
        """Runs go on beside the window; the answer comes as soon as its run is there."""
        del wall_s
        self.session.runs.update()
        if not self.asked_for or self.answer is not None:
            return
        item = self.session.items[self.quiz.at]
        try:
            why = f"\n\n{item.prompt.why}" if item.prompt.why else ""
            self.answer = f"{self.session.desk.key(item)}{why}"
        except (AnswersAwaitedError, AnswersMissingError) as notice:
            self.session.notice = str(notice)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """While the run is awaited, say so."""
        super().paint(canvas, body)
        if self.asked_for and self.answer is None:
            box = self.sheet(canvas, body).answers
            canvas.text(self.session.notice, box, valign="top", wrap=True, colour="accent", bold=True)

    def hint(self, canvas: Canvas, sheet: SheetOfReadings) -> None:
        """No hint: nothing is chosen."""
