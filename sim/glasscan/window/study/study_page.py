"""A self-study session at the screen: answer, say the odds, read why, go on."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.learning.scoring.confidence import ODDS
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.lesson_cards import said
from glasscan.window.questions.quiz_page import QuizPage, SheetOfReadings
from glasscan.window.questions.strips import Readings
from glasscan.window.study.review_session import ReviewSession

NOT_SAID = "not said"
KEEP = "Keep it. Odds that it is right:"


class StudyPage(QuizPage):
    """Asks the questions of a session one by one."""

    def __init__(self, desk: ViewOptions, session: ReviewSession) -> None:
        super().__init__(desk, session.quiz)
        self.session = session
        self._reason = ScrollText("reason", "", self._why)

    @property
    def title(self) -> str:
        """Title of the lesson."""
        return self.session.desk.lesson(self.session.lesson).title

    @property
    def aside(self) -> str:
        """How far the session is."""
        return f"question {self.session.step.place + 1} of {len(self.session.items)}"

    def section(self) -> str:
        """The lesson."""
        return self.session.lesson

    def readings(self) -> Readings | None:
        """Instruments of the run."""
        return self.session.table()

    def beside(self) -> tuple[str, str]:
        """What the lesson is about."""
        session = self.session
        after = session.step.tells or not session.desk.before_run(session.step.item)
        share = session.runs.share(session.lesson)
        head = f"The run is being worked out: {share:.0%}" if after and share < 1.0 else "The lesson"
        return head, session.told()

    def heading(self) -> tuple[str, str]:
        """Prediction, its mark, or a question on the run."""
        card = self.quiz.card
        if self.session.step.tells:
            return "What you predicted, and the run", ""
        if card.tests:
            return self.answers.by.heading, f"{self.quiz.spent_min:g} min spent"
        return ("Predict first" if card.when == "before" else "Read the run"), ""

    def stamp(self) -> tuple[object, ...]:
        """Card, step, and whether it is marked."""
        return (*super().stamp(), self.session.at, self.quiz.now.result is not None)

    # --- widgets ------------------------------------------------------------------------------------

    def below_h(self, canvas: Canvas) -> int:
        """The odds, or one button."""
        if self.quiz.now.locked:
            return canvas.tp(58)
        return canvas.tp(34) + canvas.measure("Ag\nAg", wrap=10_000)[1] + canvas.dp(16)

    def below(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """Odds to choose from; once kept, the way on."""
        if self.quiz.now.locked:
            place = pygame.Rect(box.x, box.bottom - canvas.tp(54), box.w, canvas.tp(54))
            return [Button("next", "Next", self._next, box=place, enabled=self.quiz.now.result is not None)]
        words = [NOT_SAID, *(odds.replace(" up to ", "\nup to ") for odds in ODDS.values())]
        gap = canvas.dp(10)
        w = (box.w - gap * (len(words) - 1)) // len(words)
        y = box.y + canvas.tp(34)
        return [
            Button(
                f"odds-{level}",
                word,
                partial(self._keep, level or None),
                box=pygame.Rect(box.x + level * (w + gap), y, w, box.bottom - y),
            )
            for level, word in enumerate(words)
        ]

    def answer_widgets(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """The answer; once it is marked, what was said and why it is right or wrong."""
        now = self.quiz.now
        if now.result is None:
            return super().answer_widgets(canvas, box) if not now.locked else []
        top = box.y + self._mark_h(canvas, box.w)
        pads: list[Widget] = []
        if self.quiz.card.axes is not None:
            pads = super().answer_widgets(canvas, pygame.Rect(box.x, top, box.w, (box.bottom - top) * 3 // 5))
            top = pads[-1].box.bottom + canvas.dp(12)
        self._reason.box = pygame.Rect(box.x, top, box.w, box.bottom - top)
        return [*pads, self._reason]

    def first(self) -> str | None:
        """A pad to write in, or the way on."""
        if self.quiz.now.result is not None:
            return "next"
        return super().first()

    # --- acts ---------------------------------------------------------------------------------------

    def answered_by_key(self) -> None:
        """One line is the whole answer of some forms: the odds come next."""
        if self.answers.by.whole:
            self.form.focus_on("odds-0")

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("1 to 9", "choose a line"),
            Binding(
                "←  →",
                "odds; moment of the run",
                {"left": partial(self._sideways, -1), "right": partial(self._sideways, 1)},
            ),
            Binding("N", "leave the question", {"n": self._next}),
        )

    def _sideways(self, by: int) -> None:
        names = [f"odds-{i}" for i in range(len(ODDS) + 1)]
        focused = self.form.focused
        if focused is not None and focused.name in names:
            self.form.focus_on(names[(names.index(focused.name) + by) % len(names)])

    def _keep(self, confidence: int | None) -> None:
        try:
            if not self.session.keep(confidence):
                self.tell("Give an answer first, or press N to leave the question.", bad=True)
                return
        except (ValueError, StoreProblem) as problem:
            self.tell(str(problem), bad=True)
            return
        self.tell("Kept.")
        self._after()

    def _next(self) -> None:
        if self.quiz.now.locked and self.quiz.now.result is None:
            return
        self.session.next()
        self._after()

    def _after(self) -> None:
        self._reason.top = 0
        self.form.focus_on(None)
        self.leave = self.session.over

    def update(self, wall_s: float) -> None:
        """Runs go on beside the window; a mark comes as soon as its run is there."""
        del wall_s
        self.session.update()

    # --- picture ------------------------------------------------------------------------------------

    def _why(self) -> str:
        result = self.quiz.now.result
        return f"You said: {said(self.quiz).rstrip('.')}.\n\n{result.reason}" if result else ""

    def _mark_h(self, canvas: Canvas, width: int) -> int:
        del width
        return canvas.tp(52)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The mark over the reason, or what is waited for."""
        super().paint(canvas, body)
        sheet = self.sheet(canvas, body)
        now = self.quiz.now
        if now.result is not None:
            draw_mark(canvas, sheet, now.result.share, now.result.marks, now.result.out_of)
        elif now.locked:
            text = self.session.notice or "Kept. The mark comes after the run."
            canvas.text(text, sheet.answers, valign="top", wrap=True, colour="accent", bold=True)
        else:
            if now.notice:
                canvas.text(now.notice, sheet.answers, valign="top", wrap=True, colour="accent", bold=True)
            head = pygame.Rect(sheet.below.x, sheet.below.y, sheet.below.w, canvas.tp(32))
            canvas.text(KEEP, head, colour="soft", shorten=True)


def draw_mark(canvas: Canvas, sheet: SheetOfReadings, share: float, marks: float, out_of: float) -> None:
    """The mark by sign, word and colour."""
    sign, word, colour = ("✓", "Right", "good") if share >= 1 else ("✗", "Not this time", "warn")
    if 0 < share < 1:
        sign, word, colour = "◐", "Partly right", "accent"
    counted = f"  ({marks:.3g} of {out_of:g})" if out_of else ""
    head = pygame.Rect(sheet.answers.x, sheet.answers.y, sheet.answers.w, canvas.tp(44))
    canvas.text(f"{sign} {word}{counted}", head, role="title", bold=True, colour=colour)
