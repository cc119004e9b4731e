"""A conversation on a terminal, line by line, that can note the time while it waits."""

from __future__ import annotations

import io
import os
import queue
import shutil
import sys
import textwrap
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import cache
from getpass import getpass
from typing import TextIO

from glasscan.content import BadInput
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.store.store_problems import StoreProblem

PASSPHRASE = "GLASSCAN_PASSPHRASE"
"""Environment variable that may hold the instructor's pass-phrase where nobody is there to type it."""
IN_THE_OPEN = f"{PASSPHRASE} is read from the environment: other programs of this user can read it too"
WAIT_S = 1.0
"""Time between two calls of `meanwhile`, s."""
WIDEST = 100
"""Longest line of prose, characters."""
LONGEST = 10_000
"""Characters kept of one typed line."""

READER = "lines from standard input"
"""Name of the thread that reads."""

Meanwhile = Callable[[], None]


class InputEnded(Exception):
    """There is nobody left to answer."""


class Talk:
    """Says lines and takes lines.

    Args:
        out: where to; standard output, or standard error where that is kept for JSON.
    """

    def __init__(self, out: TextIO) -> None:
        self.out = out
        self._lines: queue.SimpleQueue[str | None] | None = None

    def say(self, *lines: str) -> None:
        """Say lines; they are out when this returns."""
        for line in lines:
            print(line, file=self.out)
        self.out.flush()

    def tell(self, *paragraphs: str) -> None:
        """Say prose, broken between words at the width of the terminal; empty ones are left out."""
        wide = min(WIDEST, shutil.get_terminal_size().columns)
        self.say(*(textwrap.fill(text, wide) for text in paragraphs if text))

    def ask(self, prompt: str, meanwhile: Meanwhile | None = None) -> str:
        """One line from the learner; `meanwhile` is called every second, and may end the wait by raising.

        Raises:
            InputEnded: the input is at its end.
        """
        print(prompt, end="", file=self.out, flush=True)
        line = self._next(meanwhile)
        if line is None:
            raise InputEnded
        return "".join(c for c in line.replace("\t", " ") if c.isprintable()).strip()

    def _next(self, meanwhile: Meanwhile | None) -> str | None:
        if self._lines is None:
            self._lines = _started_reader(sys.stdin)
        if self._lines is None:
            return sys.stdin.readline(LONGEST) or None
        while True:
            try:
                line = self._lines.get(timeout=WAIT_S)
            except queue.Empty:
                if meanwhile:
                    meanwhile()
                continue
            if line is None:
                self._lines.put(None)  # whoever asks again is told again
            return line


def talk(as_json: bool) -> Talk:
    """A conversation that leaves standard output to JSON where that is asked for."""
    return Talk(sys.stderr if as_json else sys.stdout)


@contextmanager
def one_line_for_problems() -> Iterator[None]:
    """Problems of the store and of seals as bad input: one line, exit code 2."""
    try:
        yield
    except (StoreProblem, SealProblem) as problem:
        raise BadInput([str(problem)]) from None


def start_word() -> str:
    """The start word of a paper, typed unseen; where there is no terminal, the next line of the input.

    Raises:
        BadInput: nobody gives one.
    """
    if sys.stdin.isatty():
        return _typed("start word: ")
    try:
        return Talk(sys.stderr).ask("start word: ")
    except InputEnded:
        raise BadInput(["start word: none was typed"]) from None


def passphrase(twice: bool = False) -> str:
    """The instructor's pass-phrase, typed unseen or from the environment; never from the command line.

    Args:
        twice: ask again, for a new seal.

    Raises:
        BadInput: nobody can type it, or the two differ.
    """
    given = os.environ.get(PASSPHRASE)
    if given:
        print(IN_THE_OPEN, file=sys.stderr)
        return given
    if not sys.stdin.isatty():
        raise BadInput([f"pass-phrase: expected typed on a terminal, or in the environment as {PASSPHRASE}"])
    first = _typed("pass-phrase: ")
    if twice and _typed("the same again: ") != first:
        raise BadInput(["pass-phrase: the two are not the same"])
    return first


def _typed(prompt: str) -> str:
    try:
        return getpass(prompt)
    except EOFError:
        raise BadInput(["pass-phrase: none was typed"]) from None


@cache
def _started_reader(stream: TextIO) -> queue.SimpleQueue[str | None] | None:
    """A thread that reads lines, one for each stream, or None where the input is no file of the system.

    It reads below Python's own buffer: that one is locked while a read waits, and a program could not end.
    """
    try:
        number = stream.fileno()
    except (io.UnsupportedOperation, ValueError, AttributeError):
        return None
    lines: queue.SimpleQueue[str | None] = queue.SimpleQueue()
    code = stream.encoding or "utf-8"
    threading.Thread(target=_read, args=(number, code, lines), name=READER, daemon=True).start()
    return lines


def _read(number: int, code: str, lines: queue.SimpleQueue[str | None]) -> None:
    rest = b""
    while chunk := _chunk(number):
        *whole, rest = (rest + chunk).split(b"\n")
        for line in whole:
            lines.put(line.decode(code, errors="replace")[:LONGEST])
        rest = rest[-8 * LONGEST :]
    if rest:
        lines.put(rest.decode(code, errors="replace")[:LONGEST])
    lines.put(None)


def _chunk(number: int) -> bytes:
    try:
        return os.read(number, 4096)
    except OSError:
        return b""
