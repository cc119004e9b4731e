"""Open or shut for each window of time."""

from __future__ import annotations

from functools import partial
from itertools import pairwise
from typing import Any

from glasscan.window.questions.form_widgets import FormWidgets, Option, widgets_for
from glasscan.window.questions.question_cards import Answer, GivenAnswer, QuestionCard


@widgets_for("valve-strip")
class Windows(FormWidgets):
    """Each window is a line that is pressed where the valve is open; all shut is an answer too."""

    whole = False
    as_shown = True

    def answered(self, now: GivenAnswer) -> bool:
        del now
        return True

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        del card
        return now.strip

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        del card
        return " ".join("open" if o else "shut" for o in now.strip)

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        del asked
        now.strip[:] = [word == "open" for word in stored.split()]

    def said(self, sheet: Any) -> str:
        return ", ".join("open" if o else "shut" for o in sheet.now.strip)

    def options(self, host: Any) -> list[Option]:
        sheet = host.desk
        return [
            (
                f"window-{i}",
                f"{start:g} to {end:g} s: valve open",
                partial(sheet.flip, i),
                partial(sheet.now.strip.__getitem__, i),
            )
            for i, (start, end) in enumerate(pairwise(sheet.card.edges_s))
        ]
