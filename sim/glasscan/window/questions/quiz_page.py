"""What self-study and exam share: instruments or the lesson on the left, the question on the right."""

from __future__ import annotations

from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Widget
from glasscan.window.questions.answer_form import AnswerForm
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.parts_picture import PartsPicture
from glasscan.window.questions.strips import Readings, Strips

PICTURE = 62  # % of the left side that the parts take while one is to be pointed at
LEFT = 0.43  # share of the width that instruments or lesson take


@dataclass(frozen=True)
class SheetOfReadings:
    """Boxes of the question: head, the question itself, answers, and what stands below them."""

    head: pygame.Rect
    ask: pygame.Rect
    answers: pygame.Rect
    below: pygame.Rect


class QuizPage(Page):
    """Draws one question of a desk; a subclass says what stands beside and below it.

    Attributes:
        quiz: cards and answers.
        answers: the widgets of the card shown.
    """

    def __init__(self, desk: ViewOptions, quiz: AnswerSheet) -> None:
        super().__init__(desk)
        self.quiz = quiz
        self.answers = AnswerForm(quiz, names=True)
        self._pictures: dict[str, PartsPicture] = {}
        self._strips: dict[str, Strips] = {}
        self._read: dict[str, ScrollText] = {}

    # --- what a subclass says -----------------------------------------------------------------------

    def readings(self) -> Readings | None:
        """Instruments of the run to show, or None where the lesson is told instead."""
        return None

    def beside(self) -> tuple[str, str]:
        """Title and text on the left where there are no instruments."""
        return "", ""

    def section(self) -> str:
        """Word of the lesson shown: what was read of it stays where it was."""
        return ""

    def heading(self) -> tuple[str, str]:
        """Head of the question and a short word at its right."""
        return "", ""

    def below_h(self, canvas: Canvas) -> int:
        """Height of what stands below the answers, px."""
        del canvas
        return 0

    def below(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """Widgets below the answers."""
        del canvas, box
        return []

    # --- layout -------------------------------------------------------------------------------------

    def columns(self, canvas: Canvas, body: pygame.Rect) -> tuple[pygame.Rect, pygame.Rect]:
        """Left and right half of the body."""
        gap = canvas.dp(28)
        w = round(body.w * LEFT)
        return (
            pygame.Rect(body.x, body.y, w, body.h),
            pygame.Rect(body.x + w + gap, body.y, body.w - w - gap, body.h),
        )

    def sheet(self, canvas: Canvas, body: pygame.Rect) -> SheetOfReadings:
        """Boxes of the question."""
        right = self.columns(canvas, body)[1]
        inner = right.inflate(-2 * canvas.dp(28), -2 * canvas.dp(20))
        head = pygame.Rect(inner.x, inner.y, inner.w, canvas.tp(40))
        ask_h = canvas.measure(self.quiz.card.text, wrap=inner.w)[1]
        ask = pygame.Rect(inner.x, head.bottom + canvas.dp(6), inner.w, ask_h)
        below_h = self.below_h(canvas)
        top = ask.bottom + canvas.dp(14)
        bottom = inner.bottom - below_h
        answers = pygame.Rect(inner.x, top, inner.w, bottom - canvas.dp(12) - top)
        return SheetOfReadings(head, ask, answers, pygame.Rect(inner.x, bottom, inner.w, below_h))

    def stamp(self) -> tuple[object, ...]:
        """Card, its state, and whether instruments are shown."""
        self.answers.names = self.pictured() is None
        return (*self.answers.state(), self.readings() is None, self.section(), self.desk.theme)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Answers first, then what stands below, then the left side."""
        sheet = self.sheet(canvas, body)
        return [
            *self.answer_widgets(canvas, sheet.answers),
            *self.below(canvas, sheet.below),
            *self.left(canvas, self.columns(canvas, body)[0]),
        ]

    def answer_widgets(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """Widgets of the answer."""
        return self.answers.widgets(canvas, box)

    def left(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """The parts where one is to be pointed at; the instruments, or what the lesson says."""
        picture = self.pictured()
        if picture is None:
            return self._left(canvas, box)
        tall = box.h * PICTURE // 100
        picture.box = pygame.Rect(box.x, box.y, box.w, tall)
        gap = canvas.dp(12)
        rest = pygame.Rect(box.x, box.y + tall + gap, box.w, box.h - tall - gap)
        return [picture, *self._left(canvas, rest, headed=False)]

    def pictured(self) -> PartsPicture | None:
        """The picture to point at, where this question has one."""
        card = self.quiz.card
        if not card.parts or self.quiz.now.locked:
            return None
        if card.id not in self._pictures:
            chosen = lambda: self.quiz.now.text  # noqa: E731 - read each time it is drawn
            self._pictures[card.id] = PartsPicture("picture", "", card.parts, self._pointed, chosen)
        picture = self._pictures[card.id]
        return picture if picture.filter else None

    def _pointed(self, key: str) -> None:
        self.quiz.answer(key)
        self.answered_by_key()

    def _left(self, canvas: Canvas, box: pygame.Rect, headed: bool = True) -> list[Widget]:
        readings, word = self.readings(), self.section()
        if readings is not None:
            strips = self._strips.setdefault(word, Strips("strips", "", readings, lambda: self.desk.units))
            strips.box = box
            return [strips]
        line = canvas.tp(44) if headed else 0
        place = pygame.Rect(box.x, box.y + line, box.w, box.h - line)
        reading = self._read.setdefault(word, ScrollText("lesson", "", lambda: self.beside()[1]))
        reading.box = place
        return [reading]

    def first(self) -> str | None:
        """A pad to write in has the focus."""
        return "answer" if self.answers.by.typing and not self.quiz.now.locked else None

    def handle(self, event: pygame.event.Event) -> None:
        """Digits and letters answer; the rest as on every page."""
        if event.type == pygame.KEYDOWN and not self.desk.help and self.answers.key(event, self.form):
            self.notice = ""
            self.answered_by_key()
            return
        super().handle(event)

    def answered_by_key(self) -> None:
        """A digit or letter has answered."""

    # --- picture ------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The lesson's title on the left, head and question on the right."""
        left, right = self.columns(canvas, body)
        word = self.beside()[0]
        if word and self.readings() is None and self.pictured() is None:
            title = pygame.Rect(left.x, left.y, left.w, canvas.tp(40))
            canvas.text(word, title, bold=True, colour="accent", shorten=True)
        canvas.panel(right, "sheet", "edge", 12, 2)
        sheet = self.sheet(canvas, body)
        head, word = self.heading()
        word_w = canvas.measure(word)[0] + canvas.dp(12)
        canvas.text(word, sheet.head, align="right", colour="soft")
        room = pygame.Rect(sheet.head.x, sheet.head.y, sheet.head.w - word_w, sheet.head.h)
        canvas.text(head, room, role="title", bold=True, colour="accent", shorten=True)
        canvas.text(self.quiz.card.text, sheet.ask, valign="top", wrap=True)
        self.hint(canvas, sheet)

    def hint(self, canvas: Canvas, sheet: SheetOfReadings) -> None:
        """How this form is answered, where there is room under the answers."""
        hint, now = self.answers.by.hint, self.quiz.now
        names = {w.name for w in self.form.widgets}
        if now.locked or not hint or "page" in names:
            return
        boxes = [w.box.bottom for w in self.form.widgets if sheet.answers.contains(w.box)]
        top = max(boxes, default=sheet.answers.y) + canvas.dp(6)
        box = pygame.Rect(sheet.answers.x, top, sheet.answers.w, sheet.answers.bottom - top)
        if canvas.measure(hint, wrap=box.w)[1] <= box.h:
            canvas.text(hint, box, valign="top", wrap=True, colour="soft")
