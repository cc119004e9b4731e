"""Questions at the screen: answer, lock, watch, then the mark with its reason.

A question comes ready to show from the lesson (`Card`); its mark is asked for by calling `Card.mark`,
which reads the key from the run. Nothing here knows an answer.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise
from typing import Protocol

import pygame

from sim.screens.canvas import Canvas
from sim.screens.keyrun import AnswersAwaitedError, AnswersMissingError
from sim.screens.widgets import Button, Choice, Entry, Form, Widget

Answer = str | Sequence[bool]
NEVER = "never"  # the answer where what is asked for does not come


class Result(Protocol):
    """What an answer earned."""

    @property
    def share(self) -> float:
        """Part of the full marks, 0..1."""

    @property
    def marks(self) -> float:
        """What counts."""

    @property
    def out_of(self) -> float:
        """Full marks; 0 where the answer is kept for discussion only."""

    @property
    def key(self) -> str:
        """The right answer, as text."""

    @property
    def reason(self) -> str:
        """Why."""


@dataclass(frozen=True)
class Card:
    """One question.

    Attributes:
        id: of the prompt.
        when: "before" the run, or "after" it.
        text: the question.
        form: "choice", "number" or "valve-strip".
        choices: (id, text) of each choice.
        unit: unit in which a number is asked.
        units: units in which it may be given instead.
        edges_s: borders of a valve strip's windows, s.
        mark: marks an answer against the run; ValueError with a plain sentence where it cannot be read.
    """

    id: str
    when: str
    text: str
    form: str
    mark: Callable[[Answer], Result]
    choices: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    units: tuple[str, ...] = ()
    edges_s: tuple[float, ...] = ()


@dataclass
class Given:
    """What the learner has done with one card."""

    text: str = ""
    unit: str = ""
    strip: list[bool] = field(default_factory=list)
    locked: bool = False
    result: Result | None = None
    trouble: str = ""
    notice: str = ""


class PromptDesk:
    """The cards of a lesson and the answers given.

    Args:
        cards: the questions.
        exam: marks are kept back until every question is answered.
    """

    def __init__(self, cards: Sequence[Card], exam: bool = False) -> None:
        self.cards, self.exam = list(cards), exam
        self.given = {c.id: Given("", c.unit, [False] * max(0, len(c.edges_s) - 1)) for c in self.cards}
        self.at = 0

    @property
    def card(self) -> Card:
        """The card shown."""
        return self.cards[self.at]

    @property
    def now(self) -> Given:
        """What was done with the card shown."""
        return self.given[self.card.id]

    @property
    def kept_back(self) -> bool:
        """True in an exam while a question is still open."""
        return self.exam and any(not given.locked for given in self.given.values())

    def total(self) -> tuple[float, float] | None:
        """Marks earned and full marks, once every answer is marked."""
        results = [given.result for given in self.given.values()]
        known = [r for r in results if r is not None]
        if len(known) < len(results):
            return None
        return sum(r.marks for r in known), sum(r.out_of for r in known)

    def waiting(self) -> bool:
        """True where a prediction is still to be locked before the run may start."""
        return any(c.when == "before" and not self.given[c.id].locked for c in self.cards)

    def open_first(self, when: str) -> bool:
        """Show the first unlocked card of a time; False where there is none."""
        for i, card in enumerate(self.cards):
            if card.when == when and not self.given[card.id].locked:
                self.at = i
                return True
        return False

    def answer(self, text: str) -> None:
        """Write an answer; a locked one stays as it is."""
        if not self.now.locked:
            self.now.text, self.now.trouble = text, ""

    def flip(self, window: int) -> None:
        """Open or shut for one window of a valve strip."""
        if not self.now.locked:
            self.now.strip[window] = not self.now.strip[window]

    def lock(self) -> bool:
        """Commit the answer; False where there is none yet."""
        if self.card.form != "valve-strip" and not self.now.text.strip():
            self.now.trouble = "Give an answer first."
            return False
        self.now.locked = True
        return True

    def reveal(self) -> None:
        """Mark the locked answer shown. An answer that cannot be read is opened again, with the reason.

        Where the key is still being worked out, `notice` says so and `update` tries again.
        """
        now = self.now
        if not now.locked or now.result is not None or self.kept_back:
            return
        now.notice = now.trouble = ""
        try:
            now.result = self.card.mark(self._as_given())
        except AnswersAwaitedError as notice:
            now.notice = str(notice)
        except AnswersMissingError as trouble:
            now.trouble = str(trouble)
        except ValueError as trouble:
            now.locked, now.trouble = False, str(trouble)

    def update(self) -> None:
        """Mark the answer shown as soon as its key is there."""
        if self.now.notice:
            self.reveal()

    def _as_given(self) -> Answer:
        """The answer as it is marked: a number carries its unit where another one was chosen."""
        now = self.now
        if self.card.form == "valve-strip":
            return now.strip
        other = self.card.form == "number" and now.unit != self.card.unit and now.text != NEVER
        return f"{now.text} {now.unit}" if other else now.text

    def measure_in(self, unit: str) -> None:
        """Choose the unit of a number."""
        if not self.now.locked:
            self.now.unit = unit

    def turn(self, by: int) -> None:
        """Show the next or the last card."""
        self.at = (self.at + by) % len(self.cards)


@dataclass
class PromptPanel:
    """Draws the card shown and holds its widgets."""

    desk: PromptDesk
    done: Callable[[], bool]
    close: Callable[[], None]
    form: Form = field(default_factory=Form)
    _built: tuple[object, ...] = ()

    def build(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Lay out the widgets for the card and its state."""
        desk, card = self.desk, self.desk.card
        state = (
            card.id,
            desk.now.locked,
            desk.now.result is not None,
            self.done(),
            tuple(box),
            canvas.text_scale,
        )
        if state == self._built:
            return
        self._built = state
        focus = self.form.focused.name if self.form.focused else None
        pad = canvas.dp(26)
        inner = box.inflate(-2 * pad, -2 * pad)
        y = inner.y + canvas.tp(46) + self._ask_h(canvas, inner) + canvas.dp(16)
        self.form = Form(self._answers(canvas, inner, y) + self._actions(canvas, inner))
        self.form.focus_on(focus or ("answer" if card.form == "number" and not desk.now.locked else None))

    def _ask_h(self, canvas: Canvas, inner: pygame.Rect) -> int:
        return canvas.measure(self.desk.card.text, wrap=inner.w)[1]

    def _answers(self, canvas: Canvas, inner: pygame.Rect, y: int) -> list[Widget]:
        desk = self.desk
        enabled = not desk.now.locked
        if desk.card.form == "number":
            return self._number(canvas, inner, y, enabled)
        rows: list[Widget] = []
        for name, text, send, chosen in self._options():
            h = canvas.measure(text, bold=True, wrap=inner.w - canvas.dp(16))[1] + canvas.dp(16)
            box = pygame.Rect(inner.x, y, inner.w, h)
            rows.append(Button(name, text, send, chosen, box=box, enabled=enabled))
            y = box.bottom + canvas.dp(10)
        return rows

    def _number(self, canvas: Canvas, inner: pygame.Rect, y: int, enabled: bool) -> list[Widget]:
        """A field, its unit (a choice where there are several), and the answer that it never comes."""
        desk, card = self.desk, self.desk.card
        several = len(card.units) > 1
        box = pygame.Rect(inner.x, y, inner.w * 3 // 5 if several else inner.w, canvas.tp(72))
        unit = pygame.Rect(box.right + canvas.dp(12), y, inner.right - box.right - canvas.dp(12), box.h)
        never = pygame.Rect(inner.x, box.bottom + canvas.dp(12), inner.w, canvas.tp(48))
        sign = "" if several else card.unit
        field = Entry("answer", "Answer", lambda: desk.now.text, desk.answer, sign, box=box, enabled=enabled)
        is_never = Button(
            "never",
            "It does not happen",
            lambda: desk.answer(NEVER),
            lambda: desk.now.text == NEVER,
            box=never,
            enabled=enabled,
        )
        if not several:
            return [field, is_never]
        units = Choice("unit", "", card.units, lambda: desk.now.unit, desk.measure_in, wraps=True)
        units.box, units.enabled = unit, enabled
        return [field, units, is_never]

    def _options(self) -> list[tuple[str, str, Callable[[], None], Callable[[], bool]]]:
        desk, card = self.desk, self.desk.card
        if card.form == "choice":
            return [
                (f"choice-{i}", f"{i + 1}  {text}", partial(desk.answer, key), partial(self._is, key))
                for i, (key, text) in enumerate(card.choices)
            ]
        return [
            (
                f"window-{i}",
                f"{start:g} to {end:g} s: valve open",
                partial(desk.flip, i),
                partial(desk.now.strip.__getitem__, i),
            )
            for i, (start, end) in enumerate(pairwise(card.edges_s))
        ]

    def _is(self, key: str) -> bool:
        return self.desk.now.text == key

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
        """Keys 1 to 9 choose; the rest goes to the widgets."""
        if event.type == pygame.KEYDOWN and self.desk.card.form != "number":
            mark = getattr(event, "unicode", "")
            options = [w for w in self.form.widgets if w.name.startswith(("choice-", "window-"))]
            if mark.isdigit() and 0 < int(mark) <= len(options) and not self.desk.now.locked:
                widget = options[int(mark) - 1]
                if isinstance(widget, Button):
                    widget.send()
                return True
        return self.form.handle(event)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the panel into `box`."""
        self.build(canvas, box)
        desk, card = self.desk, self.desk.card
        canvas.panel(box, "sheet", "accent", 14, 3)
        inner = box.inflate(-2 * canvas.dp(26), -2 * canvas.dp(26))
        head = "Predict first" if card.when == "before" else "Read the run"
        count = f"{desk.at + 1} of {len(desk.cards)}"
        total = desk.total()
        if total is not None and total[1]:
            head = f"{total[0]:g} of {total[1]:g} marks"
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
        answers = [w for w in self.form.widgets if w.name not in ("lock", "reveal", "next", "watch", "close")]
        top = max((w.box.bottom for w in answers), default=inner.y) + canvas.dp(14)
        bottom = self.form.widgets[-1].box.y - canvas.dp(14)
        box = pygame.Rect(inner.x, top, inner.w, bottom - top)
        if now.result is not None:
            _draw_result(canvas, box, now.result)
        elif now.trouble:
            canvas.text(now.trouble, box, valign="top", wrap=True, colour="warn", bold=True)
        elif now.notice:
            canvas.text(now.notice, box, valign="top", wrap=True, colour="accent", bold=True)
        elif now.locked:
            text = "Locked. Run it and watch; it is marked when the run is over."
            canvas.text(text, box, valign="top", wrap=True, colour="soft")


def _draw_result(canvas: Canvas, box: pygame.Rect, result: Result) -> None:
    """The mark by sign, word and colour, then the reason."""
    sign, word, colour = ("✓", "Right", "good") if result.share >= 1 else ("✗", "Not this time", "warn")
    if 0 < result.share < 1:
        sign, word, colour = "◐", "Partly right", "accent"
    marks = f"  ({result.marks:g} of {result.out_of:g})" if result.out_of else ""
    head = pygame.Rect(box.x, box.y, box.w, canvas.tp(42))
    canvas.text(f"{sign} {word}{marks}", head, role="title", bold=True, colour=colour)
    rest = pygame.Rect(box.x, head.bottom, box.w, box.bottom - head.bottom)
    canvas.text(result.reason, rest, valign="top", wrap=True)
