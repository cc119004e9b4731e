"""Any screen as text, on a page of its own: everything drawn in reading order, then what can be pressed."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas, TextBox
from glasscan.ui.focus import Form
from glasscan.ui.layout import Item, Node
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.row_list import RowList
from glasscan.ui.slider import Slider
from glasscan.ui.text_input import NumberField, TextInput, copied
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Choice, Toggle, Widget

BESIDE = "   "
KINDS: tuple[tuple[type[Widget], str], ...] = (
    (NumberField, "number to fill in"),
    (TextInput, "text to fill in"),
    (Slider, "slider"),
    (Toggle, "switch"),
    (Choice, "choice"),
    (ScrollText, "text to read"),
    (RowList, "list"),
)
"""Widgets in words; any other is a button."""


def text_lines(canvas: Canvas, form: Form) -> list[str]:
    """What a screen shows, as lines.

    Args:
        canvas: of its last frame, with the record of every text.
        form: its widgets in Tab order.
    """
    rows = [BESIDE.join(box.text.replace("\n", " ") for box in row) for row in _rows(canvas.texts)]
    usable = [w for w in form.shown() if w.enabled]
    words = [_widget_line(widget, widget is form.focused) for widget in usable]
    return [*rows, "", "To press or fill in (Tab):", *(words or ["nothing"])]


def _rows(texts: Sequence[TextBox]) -> list[list[TextBox]]:
    """Texts from the top down; those whose middles lie in one line stand beside one another."""
    found: list[list[TextBox]] = []
    for box in sorted(texts, key=lambda t: (t.drawn.centery, t.drawn.x)):
        if found and abs(found[-1][0].drawn.centery - box.drawn.centery) < box.drawn.h * 0.4:
            found[-1].append(box)
        else:
            found.append([box])
    return [sorted(row, key=lambda t: t.drawn.x) for row in found]


def _widget_line(widget: Widget, focused: bool) -> str:
    word = next((words for kind, words in KINDS if isinstance(widget, kind)), "button")
    label = (widget.label or widget.name).replace("\n", " ")
    return f"{'> ' if focused else '  '}{label} ({word})"


class TextPage(Page):
    """A screen as text: read it, copy it, go back to the screen."""

    def __init__(self, desk: ViewOptions, lines: Sequence[str]) -> None:
        super().__init__(desk)
        self.text = "\n".join(lines)
        self.times = 1.0

    @property
    def title(self) -> str:
        return "This screen as text"

    def first(self) -> str:
        return "text"

    def compose(self, canvas: Canvas) -> Node:
        """One text over the whole page."""
        del canvas
        return Item(ScrollText("text", "Text", lambda: self.text), grow=1)

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("↑  ↓", "read on"),
            Binding("C", "copy the text", {"c": self.copy}),
            Binding("M", "text at twice its size, or as before", {"m": self.magnify}),
            Binding("F2", "back to the screen", {"f2": self.back}),
        )

    def text_scale(self) -> float:
        """Up to twice what the screens offer (WCAG 2.2, 1.4.4: text to 200 % with nothing lost)."""
        return self.desk.text_scale * self.times

    def magnify(self) -> None:
        """Twice the size, or as before."""
        self.times = 1.0 if self.times > 1.0 else 2.0

    def copy(self) -> None:
        """Put the text on the clipboard."""
        copied(self.text)
        self.tell("The text is on the clipboard.")
