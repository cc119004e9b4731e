"""An unsafe act: the case stops at once, and the reason stands on a page of its own."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.learning.cases.case_play import Case
from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.cases.case_base_page import CaseBase
from glasscan.window.cases.case_wording import BETTER

GATE = "Safety is a gate, never an average: this case ends without marks, whatever you found before."
REAL = "On real machines follow approved maintenance data and local rules; licensed staff release to service."


class UnsafePage(CaseBase):
    """Shows what was unsafe; Enter goes on to what the case was about."""

    def __init__(self, desk: ViewOptions, case: Case) -> None:
        super().__init__(desk)
        self.case = case

    def bindings(self) -> tuple[Binding, ...]:
        return (Binding("Enter", "on to the fault"),)

    @property
    def title(self) -> str:
        return "Stopped for safety"

    def first(self) -> str | None:
        return "on"

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        high = canvas.tp(70)
        box = pygame.Rect(0, body.bottom - high, min(canvas.tp(620), body.w), high)
        box.centerx = body.centerx
        return [
            Button("on", "Go on: what was wrong with the rig", partial(setattr, self, "leave", True), box=box)
        ]

    def reason(self) -> str:
        """The act in a sentence."""
        text = "; ".join(self.case.unsafe)
        return f"{text[:1].upper()}{text[1:]}."

    def better(self) -> str:
        """How it is done right."""
        text = " ".join(self.case.unsafe)
        return next((words for sign, words in BETTER if sign in text), REAL)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """A large sign, the reason, and what it means."""
        panel = pygame.Rect(body.x, body.y, body.w, body.h - canvas.tp(70) - canvas.dp(30))
        canvas.panel(panel, "sheet", "warn", 16, 5)
        inner = panel.inflate(-canvas.dp(160), -canvas.dp(60))
        texts = [
            (self.reason(), "number", "ink", True),
            (self.better(), "title", "accent", True),
            (GATE, "title", "ink", False),
            (REAL, "body", "soft", False),
        ]
        heights = [canvas.measure(text, role, bold, inner.w)[1] for text, role, _, bold in texts]
        gap = canvas.dp(30)
        side = min(canvas.dp(220), inner.h - sum(heights) - 4 * gap)
        y = inner.y + max(0, inner.h - sum(heights) - 4 * gap - max(side, 0)) // 2
        if side > canvas.dp(60):
            _sign(canvas, pygame.Rect(inner.centerx - side // 2, y, side, side))
            y += side + gap
        for (text, role, colour, bold), high in zip(texts, heights, strict=True):
            row = pygame.Rect(inner.x, y, inner.w, high)
            canvas.text(
                text, row, role=role, colour=colour, bold=bold, wrap=True, align="centre", valign="top"
            )
            y += high + gap


def _sign(canvas: Canvas, box: pygame.Rect) -> None:
    """An open hand's stop: a filled ring with a bar across."""
    big = pygame.Surface((box.w * 2, box.h * 2), pygame.SRCALPHA)
    r, ink = box.w, canvas.theme["warn"]
    pygame.draw.circle(big, ink, (r, r), r - 2)
    bar = pygame.Rect(0, 0, round(r * 1.2), round(r * 0.34))
    bar.center = r, r
    pygame.draw.rect(big, canvas.theme["sheet"], bar, border_radius=round(r * 0.06))
    canvas.surface.blit(pygame.transform.smoothscale(big, box.size), box)
