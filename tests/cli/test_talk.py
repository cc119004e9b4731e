"""Lines from a terminal or a pipe, taken while the time goes on."""

from __future__ import annotations

import io
import os
import sys
import threading
from collections.abc import Iterator
from typing import TextIO

import pytest
from glasscan.cli import talk
from glasscan.cli.talk import InputEnded, Talk


class Waited(Exception):
    """Nothing came."""


def give_up() -> None:
    """Ends a wait."""
    raise Waited


@pytest.fixture
def pipe(monkeypatch: pytest.MonkeyPatch) -> Iterator[TextIO]:
    """What is written here is typed; waits are short."""
    monkeypatch.setattr(talk, "WAIT_S", 0.05)
    read_end, write_end = os.pipe()
    with (
        os.fdopen(read_end, encoding="utf-8") as stdin,
        os.fdopen(write_end, "w", encoding="utf-8") as typing,
    ):
        monkeypatch.setattr(sys, "stdin", stdin)
        yield typing
        typing.close()
        for thread in threading.enumerate():
            if (
                thread.name == talk.READER
            ):  # it must not read from the next pipe, whose number may be the same
                thread.join(timeout=10)


def patient(tries: int = 40) -> talk.Meanwhile:
    """Waits some turns, then gives up."""
    left = [tries]

    def wait() -> None:
        left[0] -= 1
        if not left[0]:
            raise Waited

    return wait


def test_lines_come_whole_whatever_the_pieces(pipe: TextIO) -> None:
    """Two lines in one piece and one line in two pieces are three lines; letters of two bytes survive."""
    pipe.write("first\nsecond\nthi")
    pipe.flush()
    said = Talk(io.StringIO())
    assert [said.ask("> ", patient()) for _ in range(2)] == ["first", "second"]
    with pytest.raises(Waited):
        said.ask("> ", give_up)
    pipe.write("rd −5 °C\n")
    pipe.flush()
    assert said.ask("> ", patient()) == "third −5 °C"


def test_the_end_is_told_every_time(pipe: TextIO) -> None:
    """A last line without its end is taken; after it everyone who asks is told that the input has ended."""
    pipe.write("last")
    pipe.close()
    said = Talk(io.StringIO())
    assert said.ask("> ", patient()) == "last"
    for _ in range(2):
        with pytest.raises(InputEnded):
            said.ask("> ", patient())


def test_control_characters_do_not_get_in(pipe: TextIO) -> None:
    """Escape sequences of cursor keys and the like are no part of an answer."""
    pipe.write("1\x1b[D2\t3\x07\n")
    pipe.flush()
    assert Talk(io.StringIO()).ask("> ", patient()) == "1[D2 3"


def test_prose_is_broken_between_words(monkeypatch: pytest.MonkeyPatch) -> None:
    """No line of prose is wider than the terminal, and no word is lost."""
    monkeypatch.setenv("COLUMNS", "40")
    out = io.StringIO()
    words = "oil that is cold needs more pressure to pass the element " * 4
    Talk(out).tell(words, "")
    assert max(map(len, out.getvalue().splitlines())) <= 40
    assert out.getvalue().split() == words.split()
