"""What a reader of a bad file is told: one line for each problem, its place and the nearest word."""

from __future__ import annotations

import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

MAX_LINES = 20
"""Problems told at once; a file with more has usually one cause (count, PRACTICE)."""

MAX_SHOWN = 40
"""Characters of the user's own text repeated in a message (count, PRACTICE)."""

Path = tuple[str | int, ...]


@dataclass(frozen=True)
class SourceMark:
    """A place in a file: its name as the user gave it, line and column, both counted from 1."""

    file: str
    line: int = 0
    column: int = 0

    def __str__(self) -> str:
        """`file:line:col`, or only the file where no line is meant."""
        return f"{self.file}:{self.line}:{self.column}" if self.line else self.file


@dataclass(frozen=True)
class Problem:
    """One thing wrong: where, at which key, and what was expected instead."""

    mark: SourceMark
    path: Path
    text: str
    meant: str | None = None

    def __str__(self) -> str:
        """The line shown to the user."""
        key = f" {dotted(self.path)}:" if self.path else ""
        meant = f" (did you mean {self.meant!r}?)" if self.meant else ""
        return one_line(f"{self.mark}:{key} {self.text}{meant}")


class BadInput(Exception):
    """Input that cannot be used.

    Attributes:
        lines: one message for each problem, without line breaks.
    """

    def __init__(self, problems: Iterable[Problem | str]):
        lines = [one_line(str(p)) for p in problems]
        extra = len(lines) - MAX_LINES
        if extra > 0:
            lines = [*lines[:MAX_LINES], f"... and {extra} more problems"]
        self.lines = tuple(lines)
        super().__init__("\n".join(self.lines))


def in_order(problems: Iterable[Problem]) -> list[Problem]:
    """Problems as they stand in the file, from the top down."""
    return sorted(problems, key=lambda p: (p.mark.file, p.mark.line, p.mark.column))


def dotted(path: Path) -> str:
    """A key path as the user writes it: `timeline.0.to`."""
    return ".".join(_cut(str(p)) for p in path)


def one_line(text: str) -> str:
    """Text with everything that is not printable written as an escape, so that it stays on one line."""
    return "".join(c if c.isprintable() else c.encode("unicode_escape").decode() for c in text)


def shown(value: Any) -> str:
    """A short name of a value found in a file."""
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        return f"text '{_cut(value)}'" if value else "empty text"
    if isinstance(value, dict):
        return "a mapping of keys"
    if isinstance(value, (list, tuple)):
        return "a list"
    return _cut(str(value))


def nearest(word: str, known: Iterable[str]) -> str | None:
    """The known word most like `word`, or None where none is near (case, `-` and `_` do not count)."""
    plain = {_plain(k): k for k in known}
    found = difflib.get_close_matches(_plain(word[:80]), list(plain), 1, 0.6)
    return plain[found[0]] if found else None


def _plain(word: str) -> str:
    return word.lower().replace("_", "-").replace(" ", "-")


def _cut(text: str) -> str:
    return text if len(text) <= MAX_SHOWN else text[: MAX_SHOWN - 3] + "..."
