"""An answer given on one large widget, such as a curve or an entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.questions.form_widgets import FormWidgets

if TYPE_CHECKING:
    from glasscan.window.questions.answer_form import AnswerForm


class Pad(FormWidgets):
    """One widget that takes the plain keys."""

    wide = True
    typing = True
    whole = False
    below = 110

    def pad(self, host: AnswerForm, canvas: Canvas, room: pygame.Rect) -> pygame.Rect:
        """Its box: half of the room at most once there is a mark to be read under it."""
        tall = min(canvas.tp(360), room.h)
        if host.desk.now.result is not None:
            tall = min(tall, room.h // 2)
        return pygame.Rect(room.x, room.y, room.w, max(tall, canvas.tp(90)))
