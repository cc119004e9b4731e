"""Widgets to answer one question with, whatever its form; shared by the lesson, self-study and exam."""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.form_widgets import FormWidgets, widgets_of

DIGITS = "1234567890"  # 0 is the tenth line; what comes after it is reached by Tab


@dataclass
class AnswerForm:
    """Lays out the widgets of the card that a desk shows, and takes the keys that answer it.

    Attributes:
        desk: holds the cards and what was answered.
        names: parts are listed by name: there is no cutaway beside the question to point at.
        first: first row, or piece of a reason, shown where not all fit.
        pane: which lines of a case are shown: suspects, tests, verdict.
    """

    desk: AnswerSheet
    names: bool = False
    first: int = field(default=0, kw_only=True)
    pane: int = field(default=0, kw_only=True)
    _shown: str = field(default="", kw_only=True)

    @property
    def by(self) -> FormWidgets:
        """How the card shown is answered."""
        return widgets_of(self.desk.card)

    def state(self) -> tuple[object, ...]:
        """What the widgets depend on; a new card begins at its first row."""
        desk, card = self.desk, self.desk.card
        if card.id != self._shown:
            self._shown, self.first, self.pane = card.id, 0, 0
        marked = desk.now.result is not None
        own = self.by.state(desk.now)
        return (card.id, desk.now.locked, marked, desk.choices(), self.first, own, self.pane)

    def widgets(self, canvas: Canvas, box: pygame.Rect) -> list[Widget]:
        """The widgets, inside a box; rows that do not fit come on pages."""
        return self.by.widgets(self, canvas, box, not self.desk.now.locked)

    def bottom(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Where the last line would end if all lines of a list stood under each other in a box."""
        listed = self.desk.card.choices and not self.desk.card.tests
        rows = self.lines(canvas, box, True) if listed else []
        return rows[-1].box.bottom if rows else box.y

    def first_row_h(self, canvas: Canvas, box: pygame.Rect) -> int:
        """Height of the tallest line of a list in a box; 0 where nothing is listed."""
        rows = self.lines(canvas, box, True) if self.by.digits and self.by.whole else []
        return max((row.box.h for row in rows), default=0)

    def key(self, event: pygame.event.Event, form: Form) -> bool:
        """Keys 1 to 9 and 0 choose, others as the form has it; True where the key was used."""
        if event.type != pygame.KEYDOWN or self.by.typing or self.desk.now.locked:
            return False
        if self.by.key(self, event, form):
            return True
        mark = getattr(event, "unicode", "")
        place = DIGITS.find(mark) if mark else -1
        rows = self.by.options(self) if place >= 0 and self.by.digits else []
        if place >= len(rows) or place < 0:
            return False
        rows[place][2]()
        return True

    def turn(self, pane: int) -> None:
        """Show another pane, from its first row."""
        self.pane, self.first = pane, 0

    def paged(self, canvas: Canvas, box: pygame.Rect, rows: list[Widget]) -> list[Widget]:
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

    def lines(self, canvas: Canvas, room: pygame.Rect, enabled: bool) -> list[Widget]:
        """A button for each line, under each other."""
        rows: list[Widget] = []
        y = room.y
        for name, text, send, chosen in self.by.options(self):
            h = canvas.measure(text, bold=True, wrap=room.w - canvas.dp(16))[1] + canvas.dp(16)
            box = pygame.Rect(room.x, y, room.w, h)
            rows.append(Button(name, text, send, chosen, box=box, enabled=enabled))
            y = box.bottom + canvas.dp(10)
        return rows
