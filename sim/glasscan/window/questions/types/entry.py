"""An entry of the technical log."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.text_input import TextPad
from glasscan.ui.widgets import Widget
from glasscan.window.questions.form_widgets import widgets_for
from glasscan.window.questions.pad import Pad
from glasscan.window.questions.question_cards import GivenAnswer, QuestionCard

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm


@widgets_for("entry")
class Entry(Pad):
    """A page to write on."""

    hint = "Write as in the log. Tab leaves the page."

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        del card
        return now.text if self.answered(now) else ""

    def widgets(self, host: AnswerForm, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        desk, place = host.desk, self.pad(host, canvas, box)
        most = desk.card.most_letters or 1200
        return [
            TextPad(
                "answer", "Entry", lambda: desk.now.text, desk.answer, most=most, box=place, enabled=enabled
            )
        ]
