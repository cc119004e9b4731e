"""Widgets to answer one question with, whatever its form; shared by the lesson, self-study and exam."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial
from itertools import pairwise

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.text_input import NumberField, TextPad
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.curve_pad import CurvePad
from glasscan.window.questions.question_cards import CANNOT_TELL, NEVER, THINK, TYPED, VERDICT, Offered

Option = tuple[str, str, Callable[[], None], Callable[[], bool]]
SIDEWAYS = {pygame.K_LEFT: -1, pygame.K_RIGHT: 1}
DIGITS = "1234567890"  # 0 is the tenth line; what comes after it is reached by Tab
PANES = ("Possible", "Tests", "Verdict")
PER_ROW = 6  # letters of parts side by side


@dataclass
class AnswerForm:
    """Lays out the widgets of the card that a desk shows, and takes the keys that answer it.

    Attributes:
        desk: holds the cards and what was answered.
        names: parts are listed by name: there is no cutaway beside the question to point at.
        first: first row, or piece of a reason, shown where not all fit.
    """

    desk: AnswerSheet
    names: bool = False
    first: int = field(default=0, kw_only=True)
    pane: int = field(default=0, kw_only=True)  # of a case: suspects, tests, verdict
    _shown: str = field(default="", kw_only=True)

    def state(self) -> tuple[object, ...]:
        """What the widgets depend on; a new card begins at its first row."""
        desk, card = self.desk, self.desk.card
        if card.id != self._shown:
            self._shown, self.first, self.pane = card.id, 0, 0
        picked = tuple(desk.now.picked) if card.form in ("order", "case") else ()
        marked = desk.now.result is not None
        return (card.id, desk.now.locked, marked, desk.choices(), self.first, picked, self.pane)

    def widgets(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """The widgets, inside a box; rows that do not fit come on pages."""
        desk = self.desk
        enabled = not desk.now.locked
        if desk.card.form == "number":
            return self._number(canvas, box, enabled)
        if desk.card.form in TYPED:
            return self._pad(canvas, box, enabled)
        if desk.card.form == "point" and not self.names:
            return self._letters(canvas, box, enabled)
        if desk.card.form == "case":
            return self._case(canvas, box, enabled)
        return self._paged(canvas, box, self._lines(canvas, box, enabled))

    def bottom(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Where the last line would end if all lines of a list stood under each other in a box."""
        listed = self.desk.card.form in ("choice", "number-choice", "several")
        rows = self._lines(canvas, box, True) if listed else []
        return rows[-1].box.bottom if rows else box.y

    def first_row_h(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Height of the tallest line of a list in a box; 0 where nothing is listed."""
        rows = self._lines(canvas, box, True) if self.desk.card.form in ("choice", "number-choice") else []
        return max((row.box.h for row in rows), default=0)

    def key(self, event: pygame.event.Event, form: Form) -> bool:
        """Keys 1 to 9 and 0 choose, letters point at parts; True where the key was used."""
        if event.type != pygame.KEYDOWN or self.desk.card.form in TYPED or self.desk.now.locked:
            return False
        if self.desk.card.form == "case" and event.key in SIDEWAYS and self._rows_have_focus(form):
            self._turn((self.pane + SIDEWAYS[event.key]) % len(PANES))
            return True
        mark = getattr(event, "unicode", "").lower()
        part = next((k for letter, k, _ in self.desk.card.parts if mark == letter), None)
        if part is not None:
            self.desk.answer(part)
            return True
        place = DIGITS.find(mark) if mark else -1
        rows = self._options() if place >= 0 and self.desk.card.form != "point" else []
        if place >= len(rows) or place < 0:
            return False
        rows[place][2]()
        return True

    def _case(self, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        """Three panes: what is held possible, tests with what they showed, and the verdict."""
        gap, h = canvas.dp(10), canvas.tp(50)
        w = (box.w - 2 * gap) // 3
        panes: list[Widget] = [
            Button(
                f"pane-{i}",
                words,
                partial(self._turn, i),
                partial(self._on_pane, i),
                box=pygame.Rect(box.x + i * (w + gap), box.y, w, h),
            )
            for i, words in enumerate(PANES)
        ]
        top = box.y + h + gap
        rows = self._lines(canvas, pygame.Rect(box.x, top, box.w, box.bottom - top), enabled)
        return [*panes, *self._paged(canvas, box, rows)]

    def _turn(self, pane: int) -> None:
        self.pane, self.first = pane, 0

    def _on_pane(self, pane: int) -> bool:
        return self.pane == pane

    def _case_options(self) -> list[Option]:
        """Rows of the pane shown."""
        desk, card = self.desk, self.desk.card
        if self.pane == 1:
            return [
                (f"choice-{i}", _offer(i, t, self._has(t.word)), partial(desk.buy, t.word), no)
                for i, t in enumerate(card.tests)
            ]
        head, act = (THINK, desk.suspect) if self.pane == 0 else (VERDICT, desk.decide)
        lines = list(card.choices)
        if self.pane == 2:
            lines.append((CANNOT_TELL, "It cannot be told yet"))
        return [
            (f"choice-{i}", f"{i + 1}  {text}", partial(act, key), partial(self._picked, head + key))
            for i, (key, text) in enumerate(lines)
        ]

    def _has(self, word: str) -> bool:
        return word in self.desk.bought

    @staticmethod
    def _rows_have_focus(form: Form) -> bool:
        """Whether left and right are free: nothing that moves sideways has the focus."""
        return form.focused is None or form.focused.name.startswith(("pane-", "choice-"))

    def _paged(self, canvas: Canvas, box: pygame.Rect, rows: list[Widget]) -> list[Widget]:
        """As many rows as fit, and a button that shows the next ones where some do not."""
        if not rows or rows[-1].box.bottom <= box.bottom or self.desk.now.result is not None:
            return rows
        self.first = self.first if self.first < len(rows) else 0
        room = box.bottom - canvas.tp(60) - rows[0].box.y
        top = rows[self.first].box.y
        page = [r for r in rows[self.first :] if r.box.bottom - top <= room] or [rows[self.first]]
        for row in page:
            row.box = row.box.move(0, rows[0].box.y - top)
        after = self.first + len(page)
        text = f"More ({self.first + 1} to {after} of {len(rows)})"
        more = pygame.Rect(box.x, page[-1].box.bottom + canvas.dp(10), box.w, canvas.tp(46))
        turn = partial(setattr, self, "first", after if after < len(rows) else 0)
        return [*page, Button("page", text, turn, box=more)]

    def _pad(self, canvas: Canvas, room: pygame.Rect, enabled: bool) -> list[Widget]:
        """Axes to draw on, or a page to write on."""
        desk, card = self.desk, self.desk.card
        tall = min(canvas.tp(360), room.h)
        if desk.now.result is not None:
            tall = min(tall, room.h // 2)
        box = pygame.Rect(room.x, room.y, room.w, max(tall, canvas.tp(90)))
        if card.form == "entry":
            most = card.most_letters or 1200
            return [
                TextPad(
                    "answer",
                    "Entry",
                    lambda: desk.now.text,
                    desk.answer,
                    most=most,
                    box=box,
                    enabled=enabled,
                )
            ]
        points = lambda: desk.now.points  # noqa: E731 - read each time it is drawn
        pad = CurvePad("answer", "Curve", card.axes, points, desk.plot, desk.ran, box=box, enabled=enabled)
        return [pad]

    def _letters(self, canvas: Canvas, room: pygame.Rect, enabled: bool) -> list[Widget]:
        """A button for each letter that stands at a part in the cutaway."""
        gap = canvas.dp(10)
        w, h = (room.w - gap * (PER_ROW - 1)) // PER_ROW, canvas.tp(54)
        rows: list[Widget] = []
        for i, (letter, key, _) in enumerate(sorted(self.desk.card.parts)):
            box = pygame.Rect(room.x + i % PER_ROW * (w + gap), room.y + i // PER_ROW * (h + gap), w, h)
            send, chosen = partial(self.desk.answer, key), partial(self._is, key)
            rows.append(Button(f"letter-{letter}", letter.upper(), send, chosen, box=box, enabled=enabled))
        return rows

    def _lines(self, canvas: Canvas, room: pygame.Rect, enabled: bool) -> list[Widget]:
        rows: list[Widget] = []
        y = room.y
        for name, text, send, chosen in self._options():
            h = canvas.measure(text, bold=True, wrap=room.w - canvas.dp(16))[1] + canvas.dp(16)
            box = pygame.Rect(room.x, y, room.w, h)
            rows.append(Button(name, text, send, chosen, box=box, enabled=enabled))
            y = box.bottom + canvas.dp(10)
        return rows

    def _number(self, canvas: Canvas, room: pygame.Rect, enabled: bool) -> list[Widget]:
        """A field, its unit (a choice where there are several), and the answer that it never comes."""
        desk, card = self.desk, self.desk.card
        several = len(card.units) > 1
        box = pygame.Rect(room.x, room.y, room.w * 3 // 5 if several else room.w, canvas.tp(72))
        unit = pygame.Rect(box.right + canvas.dp(12), room.y, room.right - box.right - canvas.dp(12), box.h)
        never = pygame.Rect(room.x, box.bottom + canvas.dp(12), room.w, canvas.tp(48))
        sign = "" if several else card.unit
        field = NumberField(
            "answer", "Answer", lambda: desk.now.text, desk.answer, sign, box=box, enabled=enabled
        )
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

    def _options(self) -> list[Option]:
        """Name, words, what a press does, and whether it is chosen, for each line."""
        desk, card = self.desk, self.desk.card
        if card.form == "case":
            return self._case_options()
        if card.form in ("several", "order"):
            lines = [
                (f"choice-{i}", self._sign(i, key) + text, key) for i, (key, text) in enumerate(card.choices)
            ]
            return [(name, text, partial(desk.pick, k), partial(self._picked, k)) for name, text, k in lines]
        if card.form in ("choice", "point"):
            lines = [(f"choice-{i}", f"{i + 1}  {text}", key) for i, (key, text) in enumerate(desk.choices())]
            lines += [(f"letter-{a}", f"{a.upper()}  {name}", key) for a, key, name in card.parts]
            return [(name, text, partial(desk.answer, k), partial(self._is, k)) for name, text, k in lines]
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


def no() -> bool:
    """A row that is never drawn as chosen: what it brought stands in it."""
    return False


def _offer(place: int, test: Offered, bought: bool) -> str:
    """A test with its price; bought, with what it showed."""
    risk = "" if test.risk in ("", "-", "none") else f", risk: {test.risk}"
    head = f"{place + 1}  {test.title} ({test.minutes:g} min{risk})"
    return "\n".join([head, *test.result.split("; ")]) if bought else head
