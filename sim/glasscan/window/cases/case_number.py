"""The number of a case, large enough for the last row: whoever enters it gets the same hidden fault."""

from __future__ import annotations

import pygame

from glasscan.learning.cases.case_play import Case
from glasscan.ui.canvas import Canvas
from glasscan.window.cases.case_wording import KINDS, LEVELS


def draw_number(canvas: Canvas, case: Case) -> None:
    """Draw over the whole window."""
    surface = canvas.surface
    surface.fill(canvas.theme["paper"])
    canvas.texts.clear()
    w, h = surface.get_size()
    line, hero = canvas.measure("Ag", "title")[1], canvas.measure("0", "hero", True)[1]
    rows = [
        ("Everybody gets the same hidden fault with", "title", False, "soft", line),
        (f"case {case.seed}", "hero", True, "accent", hero),
        (
            f"{KINDS[case.kind]}, level {case.level}: {LEVELS[case.level][0].lower()}",
            "title",
            True,
            "ink",
            line,
        ),
        ("Any key goes on.", "body", False, "soft", line),
    ]
    gap = canvas.dp(26)
    y = (h - sum(row[4] for row in rows) - gap * (len(rows) - 1)) // 2
    for text, role, bold, colour, high in rows:
        place = pygame.Rect(canvas.dp(40), y, w - canvas.dp(80), high)
        canvas.text(text, place, role=role, bold=bold, colour=colour, align="centre")
        y += high + gap
