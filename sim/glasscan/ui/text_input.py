"""What is typed into: a number, one line, a page."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Event, Widget, nothing, ring


def pasted() -> str:
    """What lies on the clipboard, as text."""
    with contextlib.suppress(pygame.error):
        return pygame.scrap.get_text()
    return ""


@dataclass
class TextInput(Widget):
    """Base: a text that grows by what is typed; a subclass says what it takes and what Enter does.

    Plain keys belong to it while it has the focus.
    """

    get: Callable[[], str] = str
    send: Callable[[str], None] = nothing
    most: int = field(default=80, kw_only=True)  # marks

    def handle(self, event: Event) -> bool:
        """React to a click or a key."""
        if event.type == pygame.MOUSEBUTTONDOWN:
            return bool(event.button == LEFT_BUTTON)
        if event.type != pygame.KEYDOWN:
            return False
        if event.key in ENTER:
            return self.entered()
        if event.key == pygame.K_BACKSPACE:
            self.send(self.get()[:-1])
            return True
        if event.key == pygame.K_v and getattr(event, "mod", 0) & (pygame.KMOD_CTRL | pygame.KMOD_META):
            return self.add("".join(mark for mark in pasted() if self.takes(mark)))
        mark = getattr(event, "unicode", "")
        return bool(mark) and self.takes(mark) and self.add(mark)

    def entered(self) -> bool:
        """Enter was pressed; True where it was used."""
        return False

    def takes(self, mark: str) -> bool:
        """Whether a mark may stand in the text."""
        return mark.isprintable()

    def add(self, marks: str) -> bool:
        """Put marks at the end, as many as there is room for."""
        self.send((self.get() + marks)[: self.most])
        return True

    @property
    def typing(self) -> bool:
        """Plain keys belong to it."""
        return True

    def shown(self, focused: bool) -> str:
        """The text, with the mark of the place where typing goes on."""
        return self.get() + ("▏" if focused else "")


@dataclass
class NumberField(TextInput):
    """A field for a number with its unit."""

    unit: str = ""
    most: int = field(default=9, kw_only=True)

    def takes(self, mark: str) -> bool:
        """Marks of a number."""
        return mark in "0123456789-−.,"

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw into the box."""
        canvas.panel(self.box, "well", "edge", 8, 3)
        unit_w = canvas.measure(self.unit)[0] + canvas.dp(16) if self.unit else 0
        inner = self.box.inflate(-canvas.dp(28), 0)
        number = pygame.Rect(inner.x, inner.y, inner.w - unit_w, inner.h)
        canvas.text(self.shown(focused), number, role="number", bold=True)
        if self.unit:
            canvas.text(self.unit, pygame.Rect(number.right, inner.y, unit_w, inner.h), align="right")
        if focused:
            ring(canvas, self.box)


@dataclass
class LineEntry(TextInput):
    """One line of text with its label; Enter sends it on. `hidden` shows dots, for pass-phrases."""

    enter: Callable[[], object] = lambda: None
    hidden: bool = False

    def entered(self) -> bool:
        """Send it on."""
        self.enter()
        return True

    def shown(self, focused: bool) -> str:
        """The text, or a dot for each of its marks."""
        text = super().shown(focused)
        return "•" * len(self.get()) + text[len(self.get()) :] if self.hidden else text

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw label and line."""
        label_w = canvas.measure(self.label)[0] + canvas.dp(18) if self.label else 0
        canvas.text(self.label, pygame.Rect(self.box.x, self.box.y, label_w, self.box.h), colour="soft")
        well = pygame.Rect(self.box.x + label_w, self.box.y, self.box.w - label_w, self.box.h)
        canvas.panel(well, "well", "edge", 8, 3)
        inner = well.inflate(-canvas.dp(28), 0)
        text = self.shown(focused)
        while text and canvas.measure(text)[0] > inner.w:
            text = text[1:]
        canvas.text(text, inner)
        if focused:
            ring(canvas, well)


@dataclass
class TextPad(TextInput):
    """A page to write on; Enter begins a new line, Tab leaves."""

    most: int = field(default=1200, kw_only=True)

    def entered(self) -> bool:
        """A new line."""
        return self.add("\n")

    def takes(self, mark: str) -> bool:
        """Letters and line breaks."""
        return mark.isprintable() or mark == "\n"

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the page; of a long entry the last lines."""
        canvas.panel(self.box, "well", "edge", 8, 3)
        inner = self.box.inflate(-canvas.dp(28), -canvas.dp(20))
        text = self.shown(focused)
        while text and canvas.measure(text, wrap=inner.w)[1] > inner.h:
            text = text[max(1, len(text) // 20) :]
        canvas.text(text, inner, valign="top", wrap=True)
        if focused:
            ring(canvas, self.box)
