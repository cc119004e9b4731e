"""A number typed with its unit, or that it never comes."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.text_input import NumberField
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.questions.form_widgets import FormWidgets, widgets_for
from glasscan.window.questions.question_cards import NEVER, Answer, GivenAnswer, QuestionCard

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm


@widgets_for("number")
class TypedNumber(FormWidgets):
    """A field, its unit (a choice where there are several), and the answer that it never comes."""

    typing = True
    whole = False

    def given(self, card: QuestionCard, now: GivenAnswer) -> Answer:
        other = now.unit != card.unit and now.text != NEVER
        return f"{now.text} {now.unit}" if other else now.text

    def line(self, card: QuestionCard, now: GivenAnswer) -> str:
        return str(self.given(card, now)) if self.answered(now) else ""

    def put_back(self, asked: Any, stored: str, now: GivenAnswer) -> None:
        now.text, now.unit = _split(stored, asked.unit)

    def said(self, sheet: Any) -> str:
        now = sheet.now
        return NEVER if now.text == NEVER else f"{now.text} {now.unit}".strip()

    def widgets(self, host: AnswerForm, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        desk, card, room = host.desk, host.desk.card, box
        several = len(card.units) > 1
        box = pygame.Rect(room.x, room.y, room.w * 3 // 5 if several else room.w, canvas.tp(72))
        unit = pygame.Rect(box.right + canvas.dp(12), room.y, room.right - box.right - canvas.dp(12), box.h)
        never = pygame.Rect(room.x, box.bottom + canvas.dp(12), room.w, canvas.tp(48))
        sign = "" if several else card.unit
        field = NumberField(
            "answer", "Answer", lambda: desk.now.text, desk.answer, sign, box=box, enabled=enabled
        )
        is_never = Button(
            "never",
            "It does not happen",
            lambda: desk.answer(NEVER),
            lambda: desk.now.text == NEVER,
            box=never,
            enabled=enabled,
        )
        if not several:
            return [field, is_never]
        units = Choice("unit", "", card.units, lambda: desk.now.unit, desk.measure_in, wraps=True)
        units.box, units.enabled = unit, enabled
        return [field, units, is_never]


def _split(stored: str, unit: str) -> tuple[str, str]:
    """A number and the sign of its unit."""
    from glasscan.learning.typed_numbers import Unreadable, typed

    if stored == NEVER:
        return NEVER, unit
    try:
        found = typed(stored).unit
    except Unreadable:
        return stored, unit
    sign = found.sign if found else unit
    return re.sub(r"[^\d.,]+$", "", stored), sign
