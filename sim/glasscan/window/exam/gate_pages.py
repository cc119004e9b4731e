"""Short pages on the way to a paper: the start word, and what to know before the clock runs."""

from __future__ import annotations

from collections.abc import Callable

from glasscan.content import BadInput
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Row, Text
from glasscan.ui.page import Page
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button

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

    def compose(self, canvas: Canvas) -> Node:
        """What is asked, the line with dots for letters, and a button."""
        del canvas
        line = LineEntry("phrase", "Start word", lambda: self._phrase, self._type, self._open, True, most=200)
        go = Row([Item(Button("open", "Open it", self._open), w=260, h=60)])
        return Column([Text(SEALED), Item(line, w=900, h=60), go], gap=22)

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

    def compose(self, canvas: Canvas) -> Node:
        """What to know, and one button."""
        del canvas
        return Column([Text(self.text), Item(Button("go", self.go, self._begin), w=520, h=76)], gap=36)

    def _begin(self) -> None:
        self.begun = self.leave = True
