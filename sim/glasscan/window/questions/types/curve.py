"""A curve drawn on empty axes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import Widget
from glasscan.window.questions.curve_pad import CurvePad
from glasscan.window.questions.form_widgets import widgets_for
from glasscan.window.questions.pad import Pad
from glasscan.window.questions.question_cards import Answer, GivenAnswer, QuestionCard

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm


@widgets_for("curve")
class Drawing(Pad):
    """Axes to draw on."""

    hint = "Click, or aim with the arrows and press Enter; Backspace clears."

    def answered(self, now: GivenAnswer) -> bool:
        return len(now.points) > 1

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        del card
        return tuple(now.points)

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        from glasscan.learning.answer_text import to_text

        return to_text(self.given(card, now)) if self.answered(now) else ""

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        from glasscan.learning.answer_text import as_points

        del asked
        now.points[:] = list(as_points(stored))

    def said(self, sheet: Any) -> str:
        return f"a curve of {len(sheet.now.points)} points"

    def widgets(self, host: AnswerForm, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        desk, place = host.desk, self.pad(host, canvas, box)
        points = lambda: desk.now.points  # noqa: E731 - read each time it is drawn
        axes = desk.card.axes
        return [CurvePad("answer", "Curve", axes, points, desk.plot, desk.ran, box=place, enabled=enabled)]
