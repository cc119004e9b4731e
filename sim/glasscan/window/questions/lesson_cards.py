"""Questions of the lessons as cards of the screen, and answers as they are stored."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from glasscan.learning.answer_text import as_points, to_text
from glasscan.learning.exam.answer_codec import EXACT, as_answer
from glasscan.learning.prompts import PosedQuestion
from glasscan.learning.typed_numbers import Unreadable, typed
from glasscan.window.questions.answer_sheet import AnswerSheet
from glasscan.window.questions.question_cards import NEVER, VERDICT, GivenAnswer, QuestionCard

Mark = Callable[[Any], Any]


def not_here(_: Any) -> Any:
    """Marking where no key is at hand."""
    raise ValueError("marked later")


def card_of(asked: PosedQuestion, mark: Mark = not_here, **more: Any) -> QuestionCard:
    """A question as a card; `more` goes to the card."""
    form = "choice" if asked.form == "number-choice" else asked.form  # both show lines to choose from
    return QuestionCard(
        asked.id,
        asked.when,
        asked.text,
        form,
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
    if desk.card.form == "case":
        return " ".join(desk.now.picked)  # what was bought is kept before there is a verdict
    if not desk.answered():
        return ""
    given = desk.as_given()
    line = given if isinstance(given, str) else to_text(given)
    exact = desk.card.form in ("choice", "point", "several", "order")
    return " ".join(EXACT + word for word in line.split()) if exact else line


def restore(asked: PosedQuestion | QuestionCard, stored: str, given: GivenAnswer) -> None:
    """Put a stored answer back to where it was typed."""
    answer = as_answer(asked, stored)
    if asked.form == "valve-strip":
        given.strip[:] = [bool(a) for a in answer]
    elif asked.form in ("several", "order", "case"):
        given.picked[:] = [str(a) for a in answer]
    elif asked.form == "curve":
        given.points[:] = list(as_points(stored))
    elif asked.form == "number":
        given.text, given.unit = _split(stored, asked.unit)
    else:
        given.text = stored


def _split(stored: str, unit: str) -> tuple[str, str]:
    """A number and the sign of its unit."""
    if stored == NEVER:
        return NEVER, unit
    try:
        found = typed(stored).unit
    except Unreadable:
        return stored, unit
    sign = found.sign if found else unit
    return re.sub(r"[^\d.,]+$", "", stored), sign


def said(desk: AnswerSheet) -> str:
    """The answer to the card shown in words."""
    card, now = desk.card, desk.now
    names = dict(desk.choices()) | {key: name for _, key, name in card.parts}
    if card.form == "valve-strip":
        return ", ".join("open" if o else "shut" for o in now.strip)
    if card.form in ("several", "order"):
        return "; ".join(names.get(key, key) for key in now.picked) or "none of them"
    if card.form == "case":
        verdict = next((w.removeprefix(VERDICT) for w in now.picked if w.startswith(VERDICT)), "nothing")
        return f"{names.get(verdict, verdict)}, after {len(desk.bought)} tests"
    if card.form == "curve":
        return f"a curve of {len(now.points)} points"
    if card.form == "number":
        return now.text if now.text == NEVER else f"{now.text} {now.unit}".strip()
    return names.get(now.text, now.text)
