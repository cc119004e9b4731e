"""Who is at the screen: a nickname, asked once."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.learning.store.store import NICKNAME_LENGTH
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Row, Text
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox
from glasscan.ui.page_widgets import Row as ListRow
from glasscan.ui.text_input import LineEntry
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button

WHY = (
    "Your answers stay on this computer, in one file of your own; nothing goes over a network. "
    "A nickname is enough: do not write a real name."
)


class WhoPage(Page):
    """Asks for a nickname, or takes one that is known; `chosen` is set when it is left with one."""

    def __init__(self, desk: ViewOptions, known: Sequence[str]) -> None:
        super().__init__(desk)
        self.known = list(known)
        self.name, self.chosen = "", ""

    def bindings(self) -> tuple[Binding, ...]:
        return (Binding("Enter", "take the name"),)

    @property
    def title(self) -> str:
        """The question."""
        return "Who is answering?"

    def first(self) -> str | None:
        """The line, or the names that are known."""
        return "known" if self.known else "name"

    def compose(self, canvas: Canvas) -> Node:
        """What becomes of the answers, a line with its button, and the names known."""
        line = LineEntry("name", "Nickname", lambda: self.name, self._type, self._take, most=NICKNAME_LENGTH)
        rows: list[Node] = [
            Text(WHY, colour="soft"),
            Row([Item(line, grow=1), Item(Button("take", "Begin", self._take), w=170)]),
        ]
        if self.known:
            names = [ListRow(name, name) for name in self.known]
            known = ListBox("known", "", lambda: names, self._known, row_h=canvas.tp(64))
            rows.append(Item(known, grow=1))
        return Column([Column(rows, gap=30, w=900, grow=1)], align="centre")

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
