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

from sim.screens.answerpads import Axes, CurvePad, Point, TextPad
from sim.screens.canvas import Canvas
from sim.screens.keyrun import AnswersAwaitedError, AnswersMissingError
from sim.screens.widgets import Button, Choice, Entry, Form, Widget

Answer = str | Sequence[bool] | Sequence[str] | Sequence[Point]
HINTS = {
    "several": "More than one may be right. Press each that is.",
    "order": "Press the steps in their order; press one again to take it out.",
    "point": "Press the letter at the part, or click on the part.",
    "curve": "Click, or aim with the arrows and press Enter. Backspace clears.",
    "entry": "Write as in the log. Tab, then Enter, locks it.",
}
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
        form: "choice", "number", "valve-strip", "several", "order", "point", "curve" or "entry".
        choices: (id, text) of each choice.
        unit: unit in which a number is asked.
        units: units in which it may be given instead.
        edges_s: borders of a valve strip's windows, s.
        late: gives the choices once the run is known, where they come from it.
        parts: (letter, key, name) of the parts to point at.
        axes: of a curve.
        most_letters: longest entry.
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
    late: Callable[[], tuple[tuple[str, str], ...]] | None = None
    parts: tuple[tuple[str, str, str], ...] = ()
    axes: Axes | None = None
    most_letters: int = 0


@dataclass
class Given:
    """What the learner has done with one card."""

    text: str = ""
    unit: str = ""
    strip: list[bool] = field(default_factory=list)
    picked: list[str] = field(default_factory=list)
    points: list[Point] = field(default_factory=list)
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
        self._late: dict[str, tuple[tuple[str, str], ...]] = {}

    def choices(self) -> tuple[tuple[str, str], ...]:
        """The lines to choose from; empty while the run they come from is being worked out."""
        card = self.card
        if card.late is None:
            return card.choices
        if card.id not in self._late:
            try:
                self._late[card.id] = card.late()
                self.now.notice = ""
            except AnswersAwaitedError as notice:
                self.now.notice = str(notice)
            except AnswersMissingError as trouble:
                self.now.trouble = str(trouble)
        return self._late.get(card.id, ())

    def pick(self, key: str) -> None:
        """Tick a line, or take the tick away; of steps it is put last, or taken out of the order."""
        picked = self.now.picked
        if self.now.locked:
            return
        self.now.trouble = ""
        if key in picked:
            picked.remove(key)
        else:
            picked.append(key)

    def plot(self, points: list[Point]) -> None:
        """Draw a curve anew."""
        if not self.now.locked:
            self.now.points, self.now.trouble = points, ""

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
        if not self._answered():
            self.now.trouble = "Give an answer first."
            return False
        self.now.locked = True
        return True

    def _answered(self) -> bool:
        form, now = self.card.form, self.now
        picked = bool(now.picked)
        known = {"valve-strip": True, "several": picked, "order": picked, "curve": len(now.points) > 1}
        return known.get(form, bool(now.text.strip()))

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
        if self.now.notice and self.now.locked:
            self.reveal()

    def _as_given(self) -> Answer:
        """The answer as it is marked: a number carries its unit where another one was chosen."""
        now = self.now
        if self.card.form == "valve-strip":
            return now.strip
        if self.card.form in ("several", "order"):
            return tuple(now.picked)
        if self.card.form == "curve":
            return tuple(now.points)
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
    first: int = 0
    _shown: str = ""
    _top: int = 0
    _reasons: list[str] = field(default_factory=list)
    _built: tuple[object, ...] = ()

    def build(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Lay out the widgets for the card and its state."""
        desk, card = self.desk, self.desk.card
        if card.id != self._shown:
            self._shown, self.first = card.id, 0
        state = (
            card.id,
            desk.now.locked,
            desk.now.result is not None,
            self.done(),
            tuple(box),
            canvas.text_scale,
            desk.choices(),
            self.first,
            tuple(desk.now.picked) if card.form == "order" else (),
        )
        if state == self._built:
            return
        self._built = state
        focus = self.form.focused.name if self.form.focused else None
        pad = canvas.dp(26)
        inner = box.inflate(-2 * pad, -2 * pad)
        y = self._top = inner.y + canvas.tp(46) + self._ask_h(canvas, inner) + canvas.dp(16)
        answers = self._answers(canvas, inner, y)
        if desk.now.result is not None:
            answers = self._beside_result(canvas, inner, y, answers)
        self.form = Form(answers + self._actions(canvas, inner))
        typed = card.form in ("number", "curve", "entry") and not desk.now.locked
        self.form.focus_on(focus or ("answer" if typed else None))

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
        at = self.first % len(self._reasons)
        turn = partial(setattr, self, "first", at + 1)
        return [Button("more", f"More ({at + 1} of {len(self._reasons)})", turn, box=box)]

    def _ask_h(self, canvas: Canvas, inner: pygame.Rect) -> int:
        return canvas.measure(self.desk.card.text, wrap=inner.w)[1]

    def _answers(self, canvas: Canvas, inner: pygame.Rect, y: int) -> list[Widget]:
        desk = self.desk
        enabled = not desk.now.locked
        if desk.card.form == "number":
            return self._number(canvas, inner, y, enabled)
        if desk.card.form in ("curve", "entry"):
            return self._pad(canvas, inner, y, enabled)
        if desk.card.form == "point":
            return self._letters(canvas, inner, y, enabled)
        return self._paged(canvas, inner, self._lines(canvas, inner, y, enabled))

    def _paged(self, canvas: Canvas, inner: pygame.Rect, rows: list[Widget]) -> list[Widget]:
        """As many rows as fit, and a button that shows the next ones where some do not."""
        foot = inner.bottom - canvas.tp(56) - canvas.dp(20) - canvas.tp(70)
        if not rows or rows[-1].box.bottom <= foot or self.desk.now.result is not None:
            return rows
        self.first = self.first if self.first < len(rows) else 0
        room = foot - canvas.tp(60) - rows[0].box.y
        top = rows[self.first].box.y
        page = [r for r in rows[self.first :] if r.box.bottom - top <= room] or [rows[self.first]]
        for row in page:
            row.box = row.box.move(0, rows[0].box.y - top)
        after = self.first + len(page)
        text = f"More ({self.first + 1} to {after} of {len(rows)})"
        box = pygame.Rect(inner.x, page[-1].box.bottom + canvas.dp(10), inner.w, canvas.tp(46))
        turn = partial(setattr, self, "first", after if after < len(rows) else 0)
        return [*page, Button("page", text, turn, box=box)]

    def _pad(self, canvas: Canvas, inner: pygame.Rect, y: int, enabled: bool) -> list[Widget]:
        """Axes to draw on, or a page to write on."""
        desk, card = self.desk, self.desk.card
        bottom = inner.bottom - canvas.tp(56) - canvas.dp(20)
        tall = min(canvas.tp(360), bottom - canvas.tp(110) - y)
        if desk.now.result is not None:
            tall = min(tall, (bottom - y) * 2 // 5)
        box = pygame.Rect(inner.x, y, inner.w, max(tall, canvas.tp(90)))
        if card.form == "entry":
            most = card.most_letters or 1200
            return [
                TextPad("answer", "Entry", lambda: desk.now.text, desk.answer, most, box=box, enabled=enabled)
            ]
        points = lambda: desk.now.points  # noqa: E731 - read each time it is drawn
        return [CurvePad("answer", "Curve", card.axes, points, desk.plot, box=box, enabled=enabled)]

    def _letters(self, canvas: Canvas, inner: pygame.Rect, y: int, enabled: bool) -> list[Widget]:
        """A button for each letter that stands at a part in the cutaway; locked, the names."""
        gap, count = canvas.dp(10), 6
        w, h = (inner.w - gap * (count - 1)) // count, canvas.tp(54)
        rows: list[Widget] = []
        for i, (letter, key, _) in enumerate(self.desk.card.parts):
            box = pygame.Rect(inner.x + i % count * (w + gap), y + i // count * (h + gap), w, h)
            send, chosen = partial(self.desk.answer, key), partial(self._is, key)
            rows.append(Button(f"letter-{letter}", letter.upper(), send, chosen, box=box, enabled=enabled))
        return rows

    def _lines(self, canvas: Canvas, inner: pygame.Rect, y: int, enabled: bool) -> list[Widget]:
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
                for i, (key, text) in enumerate(desk.choices())
            ]
        if card.form in ("several", "order"):
            return [
                (
                    f"choice-{i}",
                    self._sign(i, key) + text,
                    partial(desk.pick, key),
                    partial(self._picked, key),
                )
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

    def _sign(self, i: int, key: str) -> str:
        """What stands before a line: its key, and of a step the place it was given."""
        if self.desk.card.form == "several" or key not in self.desk.now.picked:
            return f"{i + 1}  "
        return f"step {self.desk.now.picked.index(key) + 1}:  "

    def _picked(self, key: str) -> bool:
        return key in self.desk.now.picked

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
        """Keys 1 to 9 choose, letters point at parts; the rest goes to the widgets."""
        if event.type == pygame.KEYDOWN and self.desk.card.form not in ("number", "curve", "entry"):
            mark = getattr(event, "unicode", "").lower()
            key = next((k for letter, k, _ in self.desk.card.parts if mark == letter), None)
            if key is not None:
                self.desk.answer(key)
                return True
            names = [f"{word}-{int(mark) - 1}" for word in ("choice", "window")] if mark.isdigit() else []
            widget = next((w for w in self.form.widgets if w.name in names), None)
            if isinstance(widget, Button) and not self.desk.now.locked:
                widget.send()
                if self.desk.card.form == "choice":  # one choice is the whole answer: Enter locks it next
                    self.form.focus_on("lock")
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
        now, card = self.desk.now, self.desk.card
        answers = [
            w for w in self.form.widgets if w.name not in ("lock", "reveal", "next", "watch", "close", "more")
        ]
        top = max((w.box.bottom for w in answers), default=self._top) + canvas.dp(14)
        more = next((w.box.y for w in self.form.widgets if w.name == "more"), self.form.widgets[-1].box.y)
        bottom = more - canvas.dp(14)
        box = pygame.Rect(inner.x, top, inner.w, bottom - top)
        if now.result is not None:
            reasons = self._reasons or [now.result.reason]
            _draw_result(canvas, box, now.result, reasons[self.first % len(reasons)])
        elif now.trouble:
            canvas.text(now.trouble, box, valign="top", wrap=True, colour="warn", bold=True)
        elif now.notice:
            canvas.text(now.notice, box, valign="top", wrap=True, colour="accent", bold=True)
        elif not now.locked and card.form in HINTS:
            text = HINTS[card.form]
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


def _draw_result(canvas: Canvas, box: pygame.Rect, result: Result, reason: str) -> None:
    """The mark by sign, word and colour, then the reason."""
    sign, word, colour = ("✓", "Right", "good") if result.share >= 1 else ("✗", "Not this time", "warn")
    if 0 < result.share < 1:
        sign, word, colour = "◐", "Partly right", "accent"
    marks = f"  ({result.marks:g} of {result.out_of:g})" if result.out_of else ""
    head = pygame.Rect(box.x, box.y, box.w, canvas.tp(42))
    canvas.text(f"{sign} {word}{marks}", head, role="title", bold=True, colour=colour)
    rest = pygame.Rect(box.x, head.bottom, box.w, box.bottom - head.bottom)
    canvas.text(reason, rest, valign="top", wrap=True)
