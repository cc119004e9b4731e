"""What is typed into: a number, a line, a page; with caret, selection, clipboard, undo, input methods."""

from __future__ import annotations

import contextlib
from collections.abc import Callable
from dataclasses import dataclass, field
from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.text_edit import TextEdit
from glasscan.ui.text_lines import Lines, laid_out
from glasscan.ui.widgets import ENTER, LEFT_BUTTON, Event, Widget, nothing, ring

COMMAND = pygame.KMOD_CTRL | pygame.KMOD_META
DOUBLE_CLICK_S = 0.4  # usual setting of desktops (PRACTICE)


def pasted() -> str:
    """What lies on the clipboard, as text."""
    with contextlib.suppress(pygame.error):
        return pygame.scrap.get_text()
    return ""


def copied(text: str) -> None:
    """Put a text on the clipboard, where there is one."""
    with contextlib.suppress(pygame.error):
        pygame.scrap.put_text(text)


@dataclass
class TextInput(Widget):
    """Base: a text that is edited; a subclass says what it takes and what Enter does.

    Plain keys belong to it while it has the focus. The text itself is the page's (`get`, `send`); the field
    holds caret, selection and undo, which a form hands on when a page makes its widgets anew.
    """

    get: Callable[[], str] = str
    send: Callable[[str], None] = nothing
    most: int = field(default=80, kw_only=True)  # marks
    drags: bool = field(default=True, kw_only=True)
    edit: TextEdit = field(default_factory=TextEdit, kw_only=True, repr=False, compare=False)
    composing: str = field(default="", kw_only=True, repr=False, compare=False)
    """What an input method is still putting together."""
    _typed: str = field(default="", kw_only=True, repr=False, compare=False)
    _lines: Lines | None = field(default=None, kw_only=True, repr=False, compare=False)
    _clicked_ms: int = field(default=-10_000, kw_only=True, repr=False, compare=False)

    def handle(self, event: Event) -> bool:
        """React to the mouse, a key, or what an input method says."""
        self._sync()
        if event.type in (pygame.MOUSEBUTTONDOWN, pygame.MOUSEBUTTONUP, pygame.MOUSEMOTION):
            return self._mouse(event)
        if event.type == pygame.TEXTEDITING:
            self.composing = event.text
            return True
        if event.type == pygame.TEXTINPUT:
            return self._composed(event.text)
        return event.type == pygame.KEYDOWN and not self.composing and self._key(event)

    def _key(self, event: Event) -> bool:
        mod = getattr(event, "mod", 0)
        if event.key in ENTER:
            return self.entered()
        act = self._command(event.key) if mod & COMMAND else None
        act = act or self._motion(
            event.key, bool(mod & pygame.KMOD_SHIFT), bool(mod & (COMMAND | pygame.KMOD_ALT))
        )
        if act is not None:
            act()
            self._send()
            return True
        mark = getattr(event, "unicode", "")
        if not mark or not self.takes(mark):
            return False
        self._typed = mark  # the same letter comes once more as text: it must not stand twice
        return self.add(mark)

    def _command(self, key: int) -> Callable[[], object] | None:
        """What a key does with Ctrl or Cmd."""
        return {
            pygame.K_a: self.edit.select_all,
            pygame.K_c: self._copy,
            pygame.K_x: self._cut,
            pygame.K_v: self._paste,
            pygame.K_z: self.edit.undo,
            pygame.K_y: self.edit.redo,
        }.get(key)

    def _motion(self, key: int, selecting: bool, words: bool) -> Callable[[], object] | None:
        """What a key does to the caret, or to the letters beside it."""
        edit = self.edit
        home, end = edit.line_start(), edit.line_end()
        whole = (0, len(edit.text)) if words else (home, end)
        return {
            pygame.K_LEFT: partial(edit.move, -1, selecting, words),
            pygame.K_RIGHT: partial(edit.move, 1, selecting, words),
            pygame.K_HOME: partial(edit.go, whole[0], selecting),
            pygame.K_END: partial(edit.go, whole[1], selecting),
            pygame.K_BACKSPACE: partial(edit.delete, -1, words),
            pygame.K_DELETE: partial(edit.delete, 1, words),
        }.get(key)

    def _composed(self, text: str) -> bool:
        """A text from the system: the letter of a key that was used already, or what was put together."""
        again, self._typed, self.composing = text == self._typed, "", ""
        if again:
            return True
        return self.add("".join(mark for mark in text if self.takes(mark)))

    def _mouse(self, event: Event) -> bool:
        """Put the caret, drag to select, click twice for a word."""
        if event.type == pygame.MOUSEBUTTONUP:
            return True
        if event.type == pygame.MOUSEBUTTONDOWN and event.button != LEFT_BUTTON:
            return False
        if self._lines is None:
            return True
        at = self._lines.place(event.pos)
        if event.type == pygame.MOUSEMOTION:
            self.edit.go(at, selecting=True)
            return True
        now = pygame.time.get_ticks()
        if now - self._clicked_ms < DOUBLE_CLICK_S * 1000:
            self.edit.select_word(at)
        else:
            held = pygame.key.get_mods() if pygame.display.get_init() else 0
            self.edit.go(at, bool(held & pygame.KMOD_SHIFT))
        self._clicked_ms = now
        return True

    def _copy(self) -> None:
        if self.edit.selected and not self.secret:
            copied(self.edit.selected)

    def _cut(self) -> None:
        if self.edit.selected and not self.secret:
            copied(self.edit.selected)
            self.edit.delete(-1)

    def _paste(self) -> None:
        self.edit.insert("".join(mark for mark in pasted() if self.takes(mark)), self.most)

    @property
    def secret(self) -> bool:
        """Whether it must not be read from the screen or the clipboard."""
        return False

    def entered(self) -> bool:
        """Enter was pressed; True where it was used."""
        return False

    def takes(self, mark: str) -> bool:
        """Whether a mark may stand in the text."""
        return mark.isprintable()

    def add(self, marks: str) -> bool:
        """Put marks at the caret, as many as there is room for."""
        self._sync()
        self.edit.insert(marks, self.most)
        self._send()
        return True

    def leave(self) -> None:
        """Nothing stays selected or half put together."""
        self.edit.anchor, self.composing = None, ""

    def _sync(self) -> None:
        """Take over a text that somebody else has set."""
        if self.edit.text != self.get():
            self.edit.replace(self.get())

    def _send(self) -> None:
        if self.edit.text != self.get():
            self.send(self.edit.text)
            self._keep_caret()

    def _keep_caret(self) -> None:
        """Where the page takes another text than was sent, the caret stays in it."""
        taken = self.get()
        if taken != self.edit.text:
            self.edit.text, self.edit.caret = taken, min(self.edit.caret, len(taken))

    @property
    def typing(self) -> bool:
        return True

    def shown(self) -> str:
        """The text as it is drawn."""
        return self.get()

    def draw_text(
        self, canvas: Canvas, inner: pygame.Rect, focused: bool, role: str = "body", wrap: bool = False
    ) -> None:
        """Draw the text with selection and caret; of a long one the part round the caret."""
        self._sync()
        self._lines = laid_out(
            canvas, self.shown(), inner, self.edit, self.composing if focused else "", role, wrap
        )
        self._lines.draw(canvas, self.edit, focused)


@dataclass
class NumberField(TextInput):
    """A field for a number with its unit."""

    unit: str = ""
    most: int = field(default=9, kw_only=True)

    def takes(self, mark: str) -> bool:
        return mark in "0123456789-−.,"

    def draw(self, canvas: Canvas, focused: bool) -> None:
        canvas.panel(self.box, "well", "edge", 8, 3)
        unit_w = canvas.measure(self.unit)[0] + canvas.dp(16) if self.unit else 0
        inner = self.box.inflate(-canvas.dp(28), 0)
        number = pygame.Rect(inner.x, inner.y, inner.w - unit_w, inner.h)
        self.draw_text(canvas, number, focused, "number")
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
        self.enter()
        return True

    @property
    def secret(self) -> bool:
        return self.hidden

    def shown(self) -> str:
        """The text, or a dot for each of its marks."""
        return "•" * len(self.get()) if self.hidden else self.get()

    def draw(self, canvas: Canvas, focused: bool) -> None:
        label_w = canvas.measure(self.label)[0] + canvas.dp(18) if self.label else 0
        canvas.text(self.label, pygame.Rect(self.box.x, self.box.y, label_w, self.box.h), colour="soft")
        well = pygame.Rect(self.box.x + label_w, self.box.y, self.box.w - label_w, self.box.h)
        canvas.panel(well, "well", "edge", 8, 3)
        self.draw_text(canvas, well.inflate(-canvas.dp(28), 0), focused)
        if focused:
            ring(canvas, well)


@dataclass
class TextPad(TextInput):
    """A page to write on; Enter begins a new line, Tab leaves."""

    most: int = field(default=1200, kw_only=True)

    def entered(self) -> bool:
        return self.add("\n")

    def takes(self, mark: str) -> bool:
        return mark.isprintable() or mark == "\n"

    def _motion(self, key: int, selecting: bool, words: bool) -> Callable[[], object] | None:
        """Up and down go by the lines that are drawn."""
        if key in (pygame.K_UP, pygame.K_DOWN) and self._lines is not None:
            at = self._lines.beside(self.edit.caret, 1 if key == pygame.K_DOWN else -1)
            return partial(self.edit.go, at, selecting)
        return super()._motion(key, selecting, words)

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw the page; of a long entry the lines round the caret."""
        canvas.panel(self.box, "well", "edge", 8, 3)
        inner = self.box.inflate(-canvas.dp(28), -canvas.dp(20))
        self.draw_text(canvas, inner, focused, wrap=True)
        if focused:
            ring(canvas, self.box)
