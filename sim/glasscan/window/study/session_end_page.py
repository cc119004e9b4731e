"""The end of a session: marks, and when the questions come again."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Text
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button


class OverPage(Page):
    """Shows what a session brought.

    Args:
        desk: choices of the view.
        heading: title.
        summary: one or two sentences.
        rows: one for each question.
    """

    def __init__(self, desk: ViewOptions, heading: str, summary: str, rows: Sequence[Row]) -> None:
        super().__init__(desk)
        self.heading, self.summary, self.rows = heading, summary, list(rows)

    @property
    def title(self) -> str:
        """Heading."""
        return self.heading

    def first(self) -> str | None:
        """The way on."""
        return "done"

    def compose(self, canvas: Canvas) -> Node:
        """The summary, the rows, the way on."""
        rows = ListBox("rows", "", lambda: self.rows, row_h=canvas.tp(92))
        return Column(
            [Text(self.summary), Item(rows, grow=1), Item(Button("done", "Done", self.back), w=420)]
        )
