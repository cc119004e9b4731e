"""The question panel of a lesson: answer, lock, watch, then the mark with its reason."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.answer_form import AnswerForm
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.question_cards import Answer, GivenAnswer, QuestionCard, Result

__all__ = [
    "Answer",
    "AnswerSheet",
    "GivenAnswer",
    "PromptPanel",
    "QuestionCard",
    "Result",
    "draw_result",
    "pages_of",
]


@dataclass
class PromptPanel:
    """Draws the card shown and holds its widgets."""

    desk: AnswerSheet
    done: Callable[[], bool]
    close: Callable[[], None]
    form: Form = field(default_factory=Form)
    answers: AnswerForm = field(init=False)
    _top: int = 0
    _reasons: list[str] = field(default_factory=list)
    _built: tuple[object, ...] = ()
    _fitted: tuple[tuple[object, ...], bool] = ((), True)

    def __post_init__(self) -> None:
        self.answers = AnswerForm(self.desk)

    def build(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Lay out the widgets for the card and its state."""
        desk = self.desk
        state = (*self.answers.state(), self.done(), tuple(box), canvas.text_scale)
        if state == self._built:
            return
        self._built = state
        focus = self.form.focused.name if self.form.focused else None
        pad = canvas.dp(26)
        inner = box.inflate(-2 * pad, -2 * pad)
        y = self._top = inner.y + canvas.tp(46) + self._ask_h(canvas, inner) + canvas.dp(16)
        answers = self.answers.widgets(canvas, self._room(canvas, inner, y))
        if desk.now.result is not None:
            answers = self._beside_result(canvas, inner, y, answers)
        self.form = Form(answers + self._actions(canvas, inner)).after(self.form)
        typed = self.answers.by.typing and not desk.now.locked
        self.form.focus_on(focus or ("answer" if typed else None))

    def fits(self, canvas: Canvas, box: pygame.Rect) -> bool:
        """Whether the question with all its lines has room in a box."""
        key = (self.desk.card.id, tuple(box), canvas.text_scale)
        if key != self._fitted[0]:
            inner = box.inflate(-2 * canvas.dp(26), -2 * canvas.dp(26))
            y = inner.y + canvas.tp(46) + self._ask_h(canvas, inner) + canvas.dp(16)
            room = self._room(canvas, inner, y)
            self._fitted = (key, self.answers.bottom(canvas, room) <= room.bottom - canvas.tp(70))
        return self._fitted[1]

    def crowded(self, canvas: Canvas, box: pygame.Rect) -> bool:
        """Whether a box leaves no room for a single line to choose under the question."""
        inner = box.inflate(-2 * canvas.dp(26), -2 * canvas.dp(26))
        y = inner.y + canvas.tp(46) + self._ask_h(canvas, inner) + canvas.dp(16)
        room = self._room(canvas, inner, y)
        first = self.answers.first_row_h(canvas, room)
        return first > 0 and first + canvas.tp(60) > room.h

    def _room(self, canvas: Canvas, inner: pygame.Rect, y: int) -> pygame.Rect:
        """Where answers may stand: above the buttons, with room left for a hint or a reason."""
        below = canvas.tp(self.answers.by.below)
        whole = pygame.Rect(inner.x, y, inner.w, inner.bottom - canvas.tp(56) - canvas.dp(20) - y)
        room = pygame.Rect(whole.x, whole.y, whole.w, whole.h - below)
        paged = self.answers.bottom(canvas, room) > room.bottom  # no hint stands under pages
        return whole if paged else room

    def _beside_result(
        self, canvas: Canvas, inner: pygame.Rect, y: int, answers: list[Widget]
    ) -> list[Widget]:
        """The answers where mark and reason fit under them; else a way through the pages of the reason."""
        assert self.desk.now.result is not None
        reason = self.desk.now.result.reason
        bottom = inner.bottom - canvas.tp(56) - canvas.dp(14)
        head, gap = canvas.tp(42), canvas.dp(14)
        under = max((w.box.bottom for w in answers), default=y) + gap
        if under + head + canvas.measure(reason, wrap=inner.w)[1] <= bottom:
            self._reasons = [reason]
            return answers
        room = bottom - y - gap - head
        if canvas.measure(reason, wrap=inner.w)[1] > room:
            room -= canvas.tp(46) + gap
        self._reasons = pages_of(canvas, reason, inner.w, room)
        if len(self._reasons) == 1:
            return []
        box = pygame.Rect(inner.x, bottom - canvas.tp(46), inner.w, canvas.tp(46))
        at = self.answers.first % len(self._reasons)
        turn = partial(setattr, self.answers, "first", at + 1)
        return [Button("more", f"More ({at + 1} of {len(self._reasons)})", turn, box=box)]

    def _ask_h(self, canvas: Canvas, inner: pygame.Rect) -> int:
        return canvas.measure(self.desk.card.text, wrap=inner.w)[1]

    def _actions(self, canvas: Canvas, inner: pygame.Rect) -> list[Widget]:
        desk = self.desk
        h = canvas.tp(56)
        left = pygame.Rect(inner.x, inner.bottom - h, inner.w * 3 // 5 - canvas.dp(6), h)
        right = pygame.Rect(left.right + canvas.dp(12), left.y, inner.right - left.right - canvas.dp(12), h)
        if not desk.now.locked:
            main = Button("lock", "Lock my answer", lambda: self._lock(), box=left)
        elif desk.now.result is None and self.done():
            main = Button("reveal", "Mark my answer", desk.reveal, box=left)
        elif len(desk.cards) > 1 and desk.now.result is not None:
            main = Button("next", "Next question", lambda: desk.turn(1), box=left)
        else:
            main = Button("watch", "Watch the run", self.close, box=left)
        return [main, Button("close", "Close", self.close, box=right)]

    def _lock(self) -> None:
        desk = self.desk
        if not desk.lock():
            return
        if self.done():
            if desk.kept_back:
                desk.open_first("after")
            desk.reveal()
        elif not desk.open_first("before"):
            self.close()

    def handle(self, event: pygame.event.Event) -> bool:
        """Keys that answer; the rest goes to the widgets."""
        if not self.answers.key(event, self.form):
            return self.form.handle(event)
        if (
            self.answers.by.whole and self.answers.by.digits
        ):  # one choice is the whole answer: Enter locks it next
            self.form.focus_on("lock")
        return True

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the panel into `box`."""
        self.build(canvas, box)
        desk, card = self.desk, self.desk.card
        canvas.panel(box, "sheet", "accent", 14, 3)
        inner = box.inflate(-2 * canvas.dp(26), -2 * canvas.dp(26))
        head = "Predict first" if card.when == "before" else "Read the run"
        head = self.answers.by.heading or head
        count = f"{desk.at + 1} of {len(desk.cards)}"
        total = desk.total()
        if total is not None and total[1]:
            head = f"{total[0]:.4g} of {total[1]:g} marks"
        title = pygame.Rect(inner.x, inner.y, inner.w - canvas.tp(90), canvas.tp(40))
        canvas.text(head, title, role="title", bold=True, colour="accent")
        number = pygame.Rect(title.right, title.y, inner.right - title.right, title.h)
        canvas.text(count, number, align="right", colour="soft")
        ask = pygame.Rect(inner.x, inner.y + canvas.tp(46), inner.w, self._ask_h(canvas, inner))
        canvas.text(card.text, ask, valign="top", wrap=True)
        self.form.draw(canvas)
        self._feedback(canvas, inner)

    def _feedback(self, canvas: Canvas, inner: pygame.Rect) -> None:
        now = self.desk.now
        answers = [
            w for w in self.form.widgets if w.name not in ("lock", "reveal", "next", "watch", "close", "more")
        ]
        top = max((w.box.bottom for w in answers), default=self._top) + canvas.dp(14)
        more = next((w.box.y for w in self.form.widgets if w.name == "more"), self.form.widgets[-1].box.y)
        bottom = more - canvas.dp(14)
        box = pygame.Rect(inner.x, top, inner.w, bottom - top)
        if now.result is not None:
            reasons = self._reasons or [now.result.reason]
            draw_result(canvas, box, now.result, reasons[self.answers.first % len(reasons)])
        elif now.trouble:
            canvas.text(now.trouble, box, valign="top", wrap=True, colour="warn", bold=True)
        elif now.notice:
            canvas.text(now.notice, box, valign="top", wrap=True, colour="accent", bold=True)
        elif not now.locked and self.answers.by.hint:
            text = self.answers.by.hint
            if canvas.measure(text, wrap=box.w)[1] <= box.h:
                canvas.text(text, box, valign="top", wrap=True, colour="soft")
        elif now.locked:
            text = "Locked. Run it and watch; it is marked when the run is over."
            canvas.text(text, box, valign="top", wrap=True, colour="soft")


def pages_of(canvas: Canvas, text: str, width: int, height: int) -> list[str]:
    """A long text cut between words into pieces that each fit a box when wrapped."""
    pages: list[str] = []
    words = text.split(" ")
    while words:
        count = len(words)
        while count > 1 and canvas.measure(" ".join(words[:count]), wrap=width)[1] > height:
            count -= 1
        pages.append(" ".join(words[:count]))
        words = words[count:]
    return pages


def draw_result(canvas: Canvas, box: pygame.Rect, result: Result, reason: str) -> None:
    """The mark by sign, word and colour, then the reason."""
    sign, word, colour = ("✓", "Right", "good") if result.share >= 1 else ("✗", "Not this time", "warn")
    if 0 < result.share < 1:
        sign, word, colour = "◐", "Partly right", "accent"
    marks = f"  ({result.marks:.3g} of {result.out_of:g})" if result.out_of else ""
    head = pygame.Rect(box.x, box.y, box.w, canvas.tp(42))
    canvas.text(f"{sign} {word}{marks}", head, role="title", bold=True, colour=colour)
    rest = pygame.Rect(box.x, head.bottom, box.w, box.bottom - head.bottom)
    canvas.text(reason, rest, valign="top", wrap=True)
