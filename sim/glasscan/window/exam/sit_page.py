"""Sitting a paper at the screen: one question at a time, the clock large, every answer kept at once."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

import pygame

from glasscan.learning.exam.answer_codec import NONE, read_line
from glasscan.learning.exam.case_line import is_open
from glasscan.learning.exam.exam_sitting import ExamSitting, TimeIsUp
from glasscan.learning.exam.paper import PaperSection
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.exam.question_map import QuestionMap
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.lesson_cards import card_of, line_of, restore
from glasscan.window.questions.quiz_page import QuizPage
from glasscan.window.questions.strips import Readings

PAUSE_S = 1.0  # after this long without a key, what was typed is kept
SHORT_S = 300.0  # the clock is drawn as a warning from here on


class SitPage(QuizPage):
    """One person at one paper; `handed` is set once it is handed in, `late` where the time ran out."""

    def __init__(self, desk: ViewOptions, exam: ExamSitting) -> None:
        self.exam = exam
        self.questions = exam.paper.questions
        self.sections: dict[str, PaperSection] = {s.scenario: s for s in exam.paper.sections}
        super().__init__(desk, AnswerSheet([card_of(q.asked) for q in self.questions]))
        for question in self.questions:
            stored = exam.answers.get(question.asked.id)
            if stored is not None:
                restore(question.asked, stored, self.quiz.given[question.asked.id])
        self.handed = self.ending = self.told = self.late = False
        self._since, self._quiet_s, self._draft = exam.clock(), 0.0, ""
        self._words: tuple[object, str] = ((), "")
        self.map = QuestionMap("map", "", len(self.questions), lambda: self.quiz.at, self._has, self.go)
        rest = exam.open_questions
        self.quiz.at = self.questions.index(rest[0]) if rest else 0
        self._draft = line_of(self.quiz)

    # --- words --------------------------------------------------------------------------------------

    @property
    def title(self) -> str:
        """Title of the part of the paper."""
        return self.sections[self.section()].title

    def section(self) -> str:
        """Scenario of the question shown."""
        return self.questions[self.quiz.at].section

    def readings(self) -> Readings | None:
        """Instruments of the run, unless the paper's words are shown."""
        return None if self.told else self.sections[self.section()].readings

    def beside(self) -> tuple[str, str]:
        """What the paper says."""
        part = self.sections[self.section()]
        return "", f"{part.about}\n\n{part.safety}"

    def heading(self) -> tuple[str, str]:
        """Number and marks, and whether the answer is kept."""
        marks = self.questions[self.quiz.at].asked.marks
        head = f"Question {self.quiz.at + 1}"
        counted = f"{marks:g} mark{'' if marks == 1 else 's'}"
        return head, f"{counted}; {self._state()}"

    def _state(self) -> str:
        stored = self.exam.answers.get(self.questions[self.quiz.at].asked.id)
        if stored is None:
            return "no answer yet"
        return "✓ kept" if stored == self._readable() else "an earlier answer is kept"

    def _readable(self) -> str | None:
        """The answer shown as it would be stored; worked out once for each."""
        key = (self.quiz.at, line_of(self.quiz))
        if self._words[0] != key:
            try:
                told = read_line(self.questions[self.quiz.at].asked, key[1]) if key[1] else ""
            except ValueError:
                told = ""
            self._words = key, told
        return self._words[1]

    def _has(self, place: int) -> bool:
        asked = self.questions[place].asked
        given = self.exam.answers.get(asked.id, "")
        return bool(given) and not is_open(asked, given)

    def stamp(self) -> tuple[object, ...]:
        """Question, left side, and whether handing in is asked for."""
        return (*super().stamp(), self.quiz.at, self.told, self.ending)

    # --- widgets ------------------------------------------------------------------------------------

    def left(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """The map of the questions over the instruments."""
        used = self.map.fit(canvas, pygame.Rect(box.x, box.y, box.w, box.h * 2 // 5))
        button = pygame.Rect(box.x, box.y + used + canvas.dp(8), box.w, canvas.tp(50))
        top = button.bottom + canvas.dp(12)
        rest = pygame.Rect(box.x, top, box.w, box.bottom - top)
        word = "Instruments of the run (F3)" if self.told else "What the paper says (F3)"
        turn = Button("side", word, self._turn, box=button)
        if self.told:
            reading = self._read.setdefault(self.section(), ScrollText("paper", "", lambda: self.beside()[1]))
            reading.box = rest
            return [self.map, turn, reading]
        return [self.map, turn, *super().left(canvas, rest)]

    def below_h(self, canvas: Canvas) -> int:
        """One row of buttons."""
        return canvas.tp(60)

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """The question; or what is to become of the paper."""
        if not self.ending:
            return super().widgets(canvas, body)
        sheet = self.sheet(canvas, body)
        w, h = sheet.answers.w, canvas.tp(60)
        y = sheet.below.bottom - 3 * (h + canvas.dp(12))
        words: tuple[tuple[str, str, Callable[[], None]], ...] = (
            ("back", "Go on with the paper", partial(self._end, False)),
            ("hand-in", "Hand in now", self._hand_in),
            ("later", "Leave it for now", self._leave),
        )
        return [
            Button(name, text, act, box=pygame.Rect(sheet.answers.x, y + i * (h + canvas.dp(12)), w, h))
            for i, (name, text, act) in enumerate(words)
        ]

    def below(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """To the last and the next question, and to the end."""
        gap = canvas.dp(12)
        w = (box.w - 2 * gap) // 3
        last = len(self.questions) - 1
        acts: tuple[tuple[str, str, Callable[[], None], bool], ...] = (
            ("next", "Next", partial(self.go, self.quiz.at + 1, True), self.quiz.at < last),
            ("previous", "Previous", partial(self.go, self.quiz.at - 1), self.quiz.at > 0),
            ("end", "Hand in…", partial(self._end, True), True),
        )
        order = {"previous": 0, "next": 1, "end": 2}
        h = canvas.tp(54)
        return [
            Button(
                name, text, act, enabled=on,
                box=pygame.Rect(box.x + order[name] * (w + gap), box.bottom - h, w, h),
            )
            for name, text, act, on in acts
        ]  # fmt: skip

    # --- acts ---------------------------------------------------------------------------------------

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("1 to 9", "choose a line"),
            Binding(
                "Page Up, Down",
                "previous, next question",
                {
                    "page up": partial(self.go, self.quiz.at - 1),
                    "page down": partial(self.go, self.quiz.at + 1),
                },
            ),
            Binding("F3", "paper or instruments", {"f3": self._turn}),
        )

    def handle(self, event: pygame.event.Event) -> None:
        """One event; what is chosen, not typed, is kept at once."""
        if self.ending:
            super(QuizPage, self).handle(event)
            return
        super().handle(event)
        if not self.answers.by.typing and not self.handed:
            self.keep()
        elif event.type == pygame.KEYDOWN:
            self._quiet_s = 0.0

    def answered_by_key(self) -> None:
        """One line is the whole answer of some forms: the next question comes next."""
        if self.answers.by.whole:
            self.form.focus_on("next" if self.quiz.at + 1 < len(self.questions) else "end")

    def keep(self, as_shown: bool = False) -> bool:
        """Store the answer shown where it is another than the one kept; False where it cannot be read.

        Args:
            as_shown: a form that shows an answer before anything was pressed is meant as it stands.
        """
        question, line = self.questions[self.quiz.at], line_of(self.quiz)
        stored = self.exam.answers.get(question.asked.id)
        if not line and stored is not None and self.answers.by.may_be_empty:
            line = NONE
        meant = as_shown and self.answers.by.as_shown
        if not line or (line == self._draft and not meant):
            return True
        try:
            if read_line(question.asked, line) != stored:
                self.exam.give(question, line, self.exam.clock() - self._since)
            self._draft = line
            return True
        except TimeIsUp:
            self._time_is_up()
        except (ValueError, StoreProblem) as problem:
            self.tell(f"Not kept: {problem}", bad=True)
        return False

    def go(self, place: int, as_shown: bool = False) -> None:
        """Show another question; the answer to this one is kept first."""
        if not 0 <= place < len(self.questions) or self.handed:
            return
        readable = self.keep(as_shown)
        if self.handed:
            return
        self.quiz.at = place
        self._since, self._draft = self.exam.clock(), line_of(self.quiz)
        if readable:
            self.notice = ""
        self.form.focus_on(None)

    def _turn(self) -> None:
        self.told = not self.told

    def back(self) -> None:
        """Escape asks what is to become of the paper."""
        self._end(not self.ending)

    def _end(self, ending: bool) -> None:
        if self.keep() or not ending:
            self.ending = ending

    def _hand_in(self) -> None:
        self.exam.hand_in()
        self.handed = self.leave = True

    def _time_is_up(self) -> None:
        self.late = True
        self._hand_in()

    def _leave(self) -> None:
        self.exam.leave()
        self.leave = True

    def first(self) -> str | None:
        """A pad to write in; before handing in, the way back."""
        return "back" if self.ending else super().first()

    def update(self, wall_s: float) -> None:
        """The clock: noted every two seconds; what was typed is kept; at its end the paper is handed in."""
        if self.handed:
            return
        self._quiet_s += wall_s
        if self._quiet_s >= PAUSE_S and not self.ending and line_of(self.quiz) != self._draft:
            self._quiet_s = 0.0
            self.keep()
        if self.handed:
            return
        self.exam.tick()
        if self.exam.left_s <= 0.0:
            self._time_is_up()

    # --- picture ------------------------------------------------------------------------------------

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The question; or how many are open before the paper is handed in."""
        if not self.ending:
            super().paint(canvas, body)
            return
        right = self.columns(canvas, body)[1]
        canvas.panel(right, "sheet", "accent", 12, 3)
        sheet = self.sheet(canvas, body)
        canvas.text("Hand in?", sheet.head, role="title", bold=True, colour="accent")
        rest = len(self.exam.open_questions)
        count = len(self.questions)
        open_ones = (
            f"{rest} of {count} questions are without an answer." if rest else "Every question has an answer."
        )
        text = (
            f"{open_ones}\n\nAfter handing in nothing can be changed. Left for now, the time "
            f"{'runs on' if self.exam.paper.clock == 'runs-on' else 'stands still'}, "
            "and the results tell your instructor how long you were away."
        )
        top = sheet.head.bottom + canvas.dp(10)
        place = pygame.Rect(sheet.head.x, top, sheet.head.w, self.form.widgets[0].box.y - top - canvas.dp(12))
        canvas.text(text, place, valign="top", wrap=True)

    def _draw_head(self, canvas: Canvas, head: pygame.Rect) -> None:
        """The title, and the clock large."""
        left_s = int(self.exam.left_s)
        clock = f"{left_s // 60}:{left_s % 60:02d}"
        w = canvas.measure("000:00 left", "number", True)[0]
        right = pygame.Rect(head.right - w, head.y, w, head.h)
        colour = "warn" if left_s < SHORT_S else "ink"
        canvas.text(f"{clock} left", right, role="number", bold=True, align="right", colour=colour)
        title = pygame.Rect(head.x, head.y, head.w - w - canvas.dp(24), head.h)
        canvas.text(self.title, title, role="title", bold=True, shorten=True)
