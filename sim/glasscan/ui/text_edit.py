"""A text being edited: caret, selection, undo; no picture and no keyboard here.

Places are counted between letters: 0 before the first, `len(text)` behind the last. What counts as one letter
is a grapheme where a base letter is followed by combining marks, so that no accent is parted from its letter.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass, field

MOST_UNDONE = 200
"""States kept for undo (PRACTICE)."""


@dataclass
class TextEdit:
    """A text with a caret; `anchor` is the other end of what is selected, None where nothing is."""

    text: str = ""
    caret: int = 0
    anchor: int | None = None
    undone: list[tuple[str, int]] = field(default_factory=list)
    redone: list[tuple[str, int]] = field(default_factory=list)
    _run: bool = False

    # --- what is selected ---------------------------------------------------------------------------

    @property
    def selection(self) -> tuple[int, int]:
        """First and last place of what is selected; equal where nothing is."""
        other = self.caret if self.anchor is None else self.anchor
        return min(self.caret, other), max(self.caret, other)

    @property
    def selected(self) -> str:
        """The selected letters."""
        first, last = self.selection
        return self.text[first:last]

    def select_all(self) -> None:
        """The whole text, the caret behind it."""
        self.anchor, self.caret = 0, len(self.text)

    def select_word(self, at: int) -> None:
        """The word round a place."""
        self.anchor = self._word(min(at + 1, len(self.text)), -1)
        self.caret = self._word(self.anchor, 1)
        while self.caret > self.anchor and self.text[self.caret - 1].isspace():
            self.caret -= 1

    # --- moving -------------------------------------------------------------------------------------

    def go(self, to: int, selecting: bool = False) -> None:
        """Move the caret to a place; `selecting` keeps the other end where it was."""
        if selecting and self.anchor is None:
            self.anchor = self.caret
        if not selecting:
            self.anchor = None
        self.caret = min(max(to, 0), len(self.text))
        self._run = False

    def move(self, by: int, selecting: bool = False, words: bool = False) -> None:
        """One letter or word on (`by` = 1) or back (-1); from a selection to its edge first."""
        first, last = self.selection
        if first != last and not selecting and not words:
            self.go(last if by > 0 else first)
            return
        self.go(self._word(self.caret, by) if words else self._letter(self.caret, by), selecting)

    def line_start(self) -> int:
        """Place of the first letter of the caret's line."""
        return self.text.rfind("\n", 0, self.caret) + 1

    def line_end(self) -> int:
        """Place behind the last letter of the caret's line."""
        end = self.text.find("\n", self.caret)
        return len(self.text) if end < 0 else end

    def _letter(self, at: int, by: int) -> int:
        at += by
        while 0 < at < len(self.text) and unicodedata.combining(self.text[at]):
            at += by
        return min(max(at, 0), len(self.text))

    def _word(self, at: int, by: int) -> int:
        """The next place at which a word begins (back) or has ended with the gap behind it (on)."""
        if by < 0:
            at = self._while(at, -1, lambda mark: not mark.isalnum())
            return self._while(at, -1, str.isalnum)
        at = self._while(at, 1, str.isalnum)
        return self._while(at, 1, lambda mark: not mark.isalnum())

    def _while(self, at: int, by: int, holds: Callable[[str], bool]) -> int:
        while 0 <= (next_at := at + min(by, 0)) < len(self.text) and holds(self.text[next_at]):
            at += by
        return at

    # --- changing -----------------------------------------------------------------------------------

    def insert(self, marks: str, most: int) -> None:
        """Put letters in place of what is selected, as many as there is room for."""
        first, last = self.selection
        room = most - len(self.text) + (last - first)
        self._keep(run=len(marks) == 1 and marks != "\n" and first == last)
        marks = marks[: max(room, 0)]
        self.text = self.text[:first] + marks + self.text[last:]
        self.caret, self.anchor = first + len(marks), None

    def delete(self, by: int, words: bool = False) -> None:
        """Take away what is selected, else one letter or word behind (`by` = 1) or before (-1) the caret."""
        first, last = self.selection
        if first == last:
            other = self._word(self.caret, by) if words else self._letter(self.caret, by)
            first, last = min(self.caret, other), max(self.caret, other)
        if first == last:
            return
        self._keep()
        self.text = self.text[:first] + self.text[last:]
        self.caret, self.anchor = first, None

    def undo(self) -> None:
        """As it was before the last change; letters typed one after another are one change."""
        self._back(self.undone, self.redone)

    def redo(self) -> None:
        """As it was before the last undo."""
        self._back(self.redone, self.undone)

    def replace(self, text: str) -> None:
        """Another text from outside: nothing selected, the caret behind it, nothing to undo."""
        self.text, self.caret, self.anchor, self._run = text, len(text), None, False
        self.undone.clear()
        self.redone.clear()

    def _back(self, source: list[tuple[str, int]], other: list[tuple[str, int]]) -> None:
        if not source:
            return
        other.append((self.text, self.caret))
        self.text, self.caret = source.pop()
        self.anchor, self._run = None, False

    def _keep(self, run: bool = False) -> None:
        if not (run and self._run):
            self.undone.append((self.text, self.caret))
            del self.undone[:-MOST_UNDONE]
        self.redone.clear()
        self._run = run
