"""The class's answers over the cutaway: question, answers with their hands as bars, then what happened."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import ENTER, Button, Widget, nothing, ring
from glasscan.window.presenter.hands import Hands, total_words

HINT = "A digit: one hand. Backspace: take back. Tab: type a number."


@dataclass
class CountRow(Widget):
    """One answer: its digit, its words, its hands as bar and number. A click is one hand more."""

    get: Callable[[], int] = lambda: 0
    most: Callable[[], int] = lambda: 1
    add: Callable[[], None] = lambda: None
    put: Callable[[int], None] = nothing
    right: Callable[[], bool | None] = lambda: None
    role: str = "title"
    typed: str = ""

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.MOUSEBUTTONDOWN:
            self.add()
            return True
        if event.type != pygame.KEYDOWN:
            return False
        mark = getattr(event, "unicode", "")
        if mark.isdigit():
            self.typed = (self.typed + mark)[:3]
            self.put(int(self.typed))
            return True
        if event.key == pygame.K_BACKSPACE:
            self.typed = self.typed[:-1]
            self.put(int(self.typed or 0))
            return True
        by = {pygame.K_UP: 1, pygame.K_RIGHT: 1, pygame.K_DOWN: -1, pygame.K_LEFT: -1}.get(event.key)
        if by is not None:
            self.typed = ""
            self.put(self.get() + by)
            return True
        return False

    def leave(self) -> None:
        """The next digit begins a new number."""
        self.typed = ""

    @property
    def typing(self) -> bool:
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        right = self.right()
        edge = "good" if right else "rule" if right is False else "edge"
        canvas.panel(self.box, "button", edge, 12, 6 if right else 2)
        inner = self.box.inflate(-canvas.dp(36), -canvas.dp(16))
        digit_w = canvas.measure("0", "number", True)[0] + canvas.dp(24)
        number_w = canvas.measure("999", "number", True)[0] + canvas.dp(8)
        bar_h = canvas.dp(16)
        line = pygame.Rect(inner.x, inner.y, inner.w, inner.h - bar_h - canvas.dp(8))
        big = "number" if line.h >= canvas.measure("0", "number", True)[1] else "title"
        mark = "✓" if right else self.name.removeprefix("hands-")
        colour = "good" if right else "accent" if right is None else "soft"
        canvas.text(mark, pygame.Rect(line.x, line.y, digit_w, line.h), big, colour, bold=True)
        place = pygame.Rect(line.x + digit_w, line.y, line.w - digit_w - number_w - canvas.dp(12), line.h)
        canvas.text(
            self.label, place, self.role, "soft" if right is False else "ink", wrap=True, bold=bool(right)
        )
        number = pygame.Rect(line.right - number_w, line.y, number_w, line.h)
        canvas.text(f"{self.get()}", number, big, align="right", bold=True)
        self._bar(canvas, pygame.Rect(place.x, inner.bottom - bar_h, line.right - place.x, bar_h), right)
        if focused:
            ring(canvas, self.box)

    def _bar(self, canvas: Canvas, strip: pygame.Rect, right: bool | None) -> None:
        canvas.panel(strip, "well", "rule", 8, 1)
        filled = strip.inflate(-canvas.dp(4), -canvas.dp(4))
        filled.w = round(filled.w * self.get() / max(self.most(), 1))
        if filled.w > 2:
            colour = "good" if right else "edge" if right is False else "bar"
            pygame.draw.rect(canvas.surface, canvas.theme[colour], filled, border_radius=canvas.dp(5))


@dataclass
class HandsPanel:
    """Draws the question shown and holds its widgets.

    Attributes:
        hands: what was counted.
        close: puts the panel away.
        seen: says whether there was a run to look at.
    """

    hands: Hands
    close: Callable[[], None]
    seen: Callable[[], bool]
    form: Form = field(default_factory=Form)
    _built: tuple[object, ...] = ()
    _question: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 0, 0))
    _foot: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 0, 0))

    def handle(self, event: pygame.event.Event) -> bool:
        """A key or a click; True where it was used. Space and letters go on to the window."""
        if event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE:
            self.close()
            return True
        if self.form.handle(event):
            if event.type == pygame.MOUSEBUTTONDOWN:
                self.form.focus_on(None)  # so that digits go on counting hands
            return True
        return event.type == pygame.KEYDOWN and self._key(event)

    def _key(self, event: pygame.event.Event) -> bool:
        mark = getattr(event, "unicode", "")
        if mark.isdigit():
            self.hands.add(int(mark) - 1)
        elif event.key == pygame.K_BACKSPACE:
            self.hands.take_back()
        elif event.key in ENTER:
            self.go_on()
        elif event.key in (pygame.K_LEFT, pygame.K_RIGHT) and len(self.hands.polls) > 1:
            self.hands.turn(1 if event.key == pygame.K_RIGHT else -1)
        else:
            return False
        return True

    def go_on(self) -> None:
        """The next step: lock, then, after a run, what happened; then close."""
        hands = self.hands
        if not hands.is_locked:
            hands.lock()
        elif hands.truth is not None:
            self.close()
        elif self.seen():
            hands.reveal()
        else:
            hands.notice = "Locked. Space runs it."

    def _word(self) -> str:
        hands = self.hands
        if not hands.is_locked:
            return "Lock (Enter)"
        if hands.truth is not None:
            return "Close (Enter)"
        return "What happened? (Enter)" if self.seen() else "Space: run it"

    def build(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Lay out question, answers, and the foot."""
        hands = self.hands
        state = (tuple(box), canvas.text_scale, hands.at, hands.is_locked, hands.truth, hands.notice)
        if state == self._built:
            return
        self._built = state
        focus = self.form.focused.name if self.form.focused else None
        inner = box.inflate(-2 * canvas.dp(28), -2 * canvas.dp(24))
        gap = canvas.dp(14)
        ask_h = canvas.measure(hands.poll.text, self._role(canvas, inner), True, inner.w)[1]
        self._question = pygame.Rect(inner.x, inner.y, inner.w, ask_h)
        actions = self._actions(canvas, inner)
        told = self._told_within(canvas, inner)
        foot_h = canvas.measure(told, self._told_role(canvas, inner), wrap=inner.w)[1]
        self._foot = pygame.Rect(inner.x, actions[0].box.y - gap - foot_h, inner.w, foot_h)
        top = self._question.bottom + gap
        self.form = Form([*self._rows(canvas, inner, top, self._foot.y - gap), *actions])
        self.form.focus_on(focus)

    def _role(self, canvas: Canvas, inner: pygame.Rect) -> str:
        return (
            "title"
            if canvas.measure(self.hands.poll.text, "title", True, inner.w)[1] < inner.h // 4
            else "body"
        )

    def _rows(self, canvas: Canvas, inner: pygame.Rect, top: int, bottom: int) -> list[Widget]:
        """One row for each answer; longer answers get more height."""
        hands, options = self.hands, self.hands.poll.options
        gap, extra = canvas.dp(10), canvas.dp(44)  # around the words: pads and bar
        text_w = inner.w - canvas.dp(36 + 24 + 8 + 12) - canvas.measure("0999", "number", True)[0]
        spare = bottom - top - (gap + extra) * len(options)
        for role in ("title", "body"):
            tall = [canvas.measure(text, role, True, text_w)[1] for _, text in options]
            if sum(tall) <= spare:
                break
        more = min(max(0, spare - sum(tall)) // len(options), canvas.tp(60))
        widgets: list[Widget] = []
        for i, (word, text) in enumerate(options):
            box = pygame.Rect(inner.x, top, inner.w, tall[i] + extra + more)
            top = box.bottom + gap
            widgets.append(
                CountRow(
                    f"hands-{i + 1}", text, partial(self._count, i), self._most,
                    partial(hands.add, i), partial(hands.put, i), partial(self._right, word),
                    role=role, enabled=not hands.is_locked, box=box,
                )
            )  # fmt: skip
        return widgets

    def _count(self, option: int) -> int:
        return self.hands.now[option]

    def _most(self) -> int:
        return max(10, *self.hands.now)

    def _right(self, word: str) -> bool | None:
        truth = self.hands.truth
        return None if truth is None else truth.right == word

    def _actions(self, canvas: Canvas, inner: pygame.Rect) -> list[Widget]:
        h = canvas.tp(54)
        wide = (inner.w - canvas.dp(16)) // 2
        left = pygame.Rect(inner.x, inner.bottom - h, wide, h)
        widgets: list[Widget] = [Button("go-on", "", self.go_on, caption=self._word, box=left)]
        if len(self.hands.polls) > 1:
            box = left.move(wide + canvas.dp(16), 0)
            text = f"Question {self.hands.at + 1} of {len(self.hands.polls)} (→)"
            widgets.append(Button("other", text, partial(self.hands.turn, 1), box=box))
        return widgets

    def _told(self) -> str:
        """The line under the answers."""
        hands = self.hands
        if hands.notice:
            return hands.notice
        if hands.truth is not None:
            return f"{total_words(hands)}. {hands.truth.reason}"
        return f"{total_words(hands)}, locked." if hands.is_locked else f"{total_words(hands)}. {HINT}"

    def _told_role(self, canvas: Canvas, inner: pygame.Rect) -> str:
        """What happened is written large where there is room."""
        told = self._told()
        large = self.hands.truth is not None and canvas.measure(told, "title", wrap=inner.w)[1] < inner.h // 5
        return "title" if large else "body"

    def _told_within(self, canvas: Canvas, inner: pygame.Rect) -> str:
        """The line, cut where the answers need the room."""
        return canvas.fitting(self._told(), pygame.Rect(0, 0, inner.w, inner.h // 4))

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw into a box."""
        self.build(canvas, box)
        canvas.panel(box, "sheet", "edge", 14, 2)
        inner = box.inflate(-2 * canvas.dp(28), -2 * canvas.dp(24))
        canvas.text(self.hands.poll.text, self._question, self._role(canvas, inner), bold=True, wrap=True)
        told = self._told_within(canvas, inner)
        foot = self._foot.copy()
        role = self._told_role(canvas, inner)
        foot.h = canvas.measure(told, role, wrap=foot.w)[1]
        foot.bottom = self._foot.bottom
        colour = "accent" if self.hands.truth else "soft"
        canvas.text(told, foot, role, colour, wrap=True, valign="bottom")
        self.form.draw(canvas)
