"""Questions of the lessons as cards of the screen, and answers as they are stored."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from glasscan.learning.prompts import PosedQuestion
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.form_widgets import widgets_of
from glasscan.window.questions.question_cards import GivenAnswer, QuestionCard

Mark = Callable[[Any], Any]


def not_here(_: Any) -> Any:
    """Marking where no key is at hand."""
    raise ValueError("marked later")


def card_of(asked: PosedQuestion, mark: Mark = not_here, **more: Any) -> QuestionCard:
    """A question as a card; `more` goes to the card."""
    return QuestionCard(
        asked.id,
        asked.when,
        asked.text,
        asked.form,
        mark,
        choices=asked.choices,
        unit=asked.unit,
        units=asked.units,
        edges_s=asked.edges_s,
        parts=asked.parts,
        axes=asked.axes,
        most_letters=asked.most_letters,
        tests=asked.tests,
        **more,
    )


def line_of(desk: AnswerSheet) -> str:
    """The answer to the card shown as one line, such as `read_line` takes; empty where there is none.

    Lines are named by their ids, marked as such: their letters hang on the order of the sitting.
    """
    return widgets_of(desk.card).line(desk.card, desk.now)


def restore(asked: PosedQuestion | QuestionCard, stored: str, given: GivenAnswer) -> None:
    """Put a stored answer back to where it was typed."""
    widgets_of(asked).put_back(asked, stored, given)


def said(desk: AnswerSheet) -> str:
    """The answer to the card shown in words."""
    return widgets_of(desk.card).said(desk)
