"""Who is at the screen: a nickname, asked once."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.learning.store.store import NICKNAME_LENGTH
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget

WHY = (
    "Your answers stay on this computer, in one file of your own; nothing goes over a network. "
    "A nickname is enough: do not write a real name."
)


class WhoPage(Page):
    """Asks for a nickname, or takes one that is known; `chosen` is set when it is left with one."""

    keys = (("Enter", "take the name"),)

    def __init__(self, desk: ViewOptions, known: Sequence[str]) -> None:
        super().__init__(desk)
        self.known = list(known)
        self.name, self.chosen = "", ""

    @property
    def title(self) -> str:
        """The question."""
        return "Who is answering?"

    def first(self) -> str | None:
        """The line, or the names that are known."""
        return "known" if self.known else "name"

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """A line, a button, and the names known."""
        w = min(body.w, canvas.tp(900))
        x = body.centerx - w // 2
        y = body.y + canvas.measure(WHY, wrap=w)[1] + canvas.dp(30)
        go_w = canvas.tp(170)
        line = pygame.Rect(x, y, w - go_w - canvas.dp(16), canvas.tp(60))
        go = pygame.Rect(line.right + canvas.dp(16), y, go_w, line.h)
        found: list[Widget] = [
            LineEntry(
                "name", "Nickname", lambda: self.name, self._type, self._take, most=NICKNAME_LENGTH, box=line
            ),
            Button("take", "Begin", self._take, box=go),
        ]
        if self.known:
            place = pygame.Rect(x, line.bottom + canvas.dp(30), w, body.bottom - line.bottom - canvas.dp(30))
            rows = [Row(name, name) for name in self.known]
            found.append(ListBox("known", "", lambda: rows, self._known, box=place, row_h=canvas.tp(64)))
        return found

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """What becomes of the answers."""
        w = min(body.w, canvas.tp(900))
        place = pygame.Rect(body.centerx - w // 2, body.y, w, canvas.measure(WHY, wrap=w)[1])
        canvas.text(WHY, place, valign="top", wrap=True, colour="soft")

    def _type(self, text: str) -> None:
        self.name = text

    def _known(self, name: str) -> None:
        self.name = name
        self._take()

    def _take(self) -> None:
        name = " ".join(self.name.split())
        if not name:
            self.form.focus_on("name")
            self.tell("Type a nickname first.", bad=True)
            return
        self.chosen, self.leave = name, True
