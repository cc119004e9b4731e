"""A part: its letter in the cutaway or in the picture, or its name in a list."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.widgets import Button, Widget
from glasscan.window.questions.form_widgets import FormWidgets, Option, widgets_for

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm
    from glasscan.window.questions.answer_sheet import AnswerSheet

PER_ROW = 6  # letters of parts side by side


@widgets_for("point")
class Parts(FormWidgets):
    """Letters beside a cutaway, names where there is none."""

    hint = "Press the letter at the part, or click on the part."
    digits = False

    def options(self, host: AnswerForm) -> list[Option]:
        sheet = host.desk
        return [
            (f"letter-{a}", f"{a.upper()}  {name}", partial(sheet.answer, k), partial(_is, sheet, k))
            for a, k, name in sheet.card.parts
        ]

    def widgets(self, host: AnswerForm, canvas: Canvas, box: pygame.Rect, enabled: bool) -> list[Widget]:
        if host.names:
            return super().widgets(host, canvas, box, enabled)
        gap = canvas.dp(10)
        w, h = (box.w - gap * (PER_ROW - 1)) // PER_ROW, canvas.tp(54)
        rows: list[Widget] = []
        for i, (letter, key, _) in enumerate(sorted(host.desk.card.parts)):
            place = pygame.Rect(box.x + i % PER_ROW * (w + gap), box.y + i // PER_ROW * (h + gap), w, h)
            send, chosen = partial(host.desk.answer, key), partial(_is, host.desk, key)
            rows.append(Button(f"letter-{letter}", letter.upper(), send, chosen, box=place, enabled=enabled))
        return rows

    def key(self, host: AnswerForm, event: pygame.event.Event, form: Form) -> bool:
        del form
        mark = getattr(event, "unicode", "").lower()
        part = next((k for letter, k, _ in host.desk.card.parts if mark == letter), None)
        if part is None:
            return False
        host.desk.answer(part)
        return True


def _is(sheet: AnswerSheet, key: str) -> bool:
    return sheet.now.text == key
