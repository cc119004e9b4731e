"""Answers typed on one line: what to show, how to read a line, and how to give it to the marking."""

from __future__ import annotations

from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import EXACT, NONE, HasForm, load_types, type_of

__all__ = ["EXACT", "NONE", "HasForm", "as_answer", "read_line", "shown_lines"]
load_types()


def shown_lines(asked: PosedQuestion) -> list[str]:
    """The lines under a question: what can be chosen, and how to answer."""
    kind = type_of(asked)
    return [*kind.lines(asked), kind.how(asked)]


def read_line(asked: PosedQuestion, line: str) -> str:
    """A typed line as it is stored.

    Raises:
        ValueError: it is no answer to this question; the text says what was expected.
    """
    return type_of(asked).read(asked, " ".join(line.split()))


def as_answer(asked: HasForm, stored: str) -> Answer:
    """A stored answer as the marking takes it."""
    return type_of(asked).stored(stored)
