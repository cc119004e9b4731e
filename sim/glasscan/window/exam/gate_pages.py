"""Short pages on the way to a paper: the start word, and what to know before the clock runs."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.content import BadInput
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget

SEALED = "This paper is sealed. Type its start word; your instructor says it when the time begins."


class PassPage(Page):
    """Asks for a start word until it opens the paper; `opened` is what it opened.

    Args:
        desk: choices of the view.
        name: of the paper.
        try_it: opens the paper; raises `BadInput` where this is another one.
    """

    def __init__(self, desk: ViewOptions, name: str, try_it: Callable[[str], object]) -> None:
        super().__init__(desk)
        self.name, self._try = name, try_it
        self._phrase = ""
        self.opened: object = None

    @property
    def title(self) -> str:
        """The paper."""
        return self.name

    def first(self) -> str | None:
        """The line."""
        return "phrase"

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """The line, with dots for letters, and a button."""
        y = body.y + canvas.measure(SEALED, wrap=body.w)[1] + canvas.dp(24)
        w = min(body.w, canvas.tp(900))
        line = pygame.Rect(body.x, y, w, canvas.tp(60))
        go = pygame.Rect(body.x, line.bottom + canvas.dp(20), canvas.tp(260), canvas.tp(60))
        return [
            LineEntry(
                "phrase",
                "Start word",
                lambda: self._phrase,
                self._type,
                self._open,
                True,
                most=200,
                box=line,
            ),
            Button("open", "Open it", self._open, box=go),
        ]  # fmt: skip

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """What is asked."""
        canvas.text(SEALED, body, valign="top", wrap=True)

    def _type(self, text: str) -> None:
        self._phrase = text

    def _open(self) -> None:
        try:
            self.opened = self._try(self._phrase)
        except BadInput as bad:
            self._phrase = ""
            self.tell(bad.lines[0].rpartition(": ")[2].capitalize() + ".", bad=True)
            return
        self._phrase = ""
        self.leave = True


class ReadyPage(Page):
    """Says what a paper asks; `begun` is set by the key that starts the clock."""

    def __init__(self, desk: ViewOptions, name: str, text: str, go: str) -> None:
        super().__init__(desk)
        self.name, self.text, self.go = name, text, go
        self.begun = False

    @property
    def title(self) -> str:
        """The paper."""
        return self.name

    def first(self) -> str | None:
        """The start."""
        return "go"

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """One button."""
        y = body.y + canvas.measure(self.text, wrap=body.w)[1] + canvas.dp(36)
        box = pygame.Rect(body.x, y, min(body.w, canvas.tp(520)), canvas.tp(76))
        return [Button("go", self.go, self._begin, box=box)]

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """What to know."""
        canvas.text(self.text, body, valign="top", wrap=True)

    def _begin(self) -> None:
        self.begun = self.leave = True
