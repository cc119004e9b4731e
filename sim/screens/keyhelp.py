"""The help sheet: every key and what it does; modal, over a dimmed window."""

from __future__ import annotations

import pygame

from sim.screens.canvas import Canvas

KEYS = (
    ("Space", "run or pause"),
    ("[  ]", "slower, faster"),
    (".", "one step on"),
    (",", "five seconds back"),
    ("Home", "back to the start"),
    ("C", "controls: air, oil, rpm"),
    ("R", "regulator before/after"),
    ("L", "part names on or off"),
    ("V", "forces on the valve"),
    ("E", "list of events"),
    ("P", "questions"),
    ("U", "units"),
    ("T", "light or dark"),
    ("+  −", "larger, smaller text"),
    ("F11", "full screen"),
    ("Tab, Enter", "move, press"),
    ("Esc", "close what is open"),
    ("?", "this sheet"),
)
TEACHING = (
    "A teaching model. For work on an aircraft only the approved maintenance data "
    "and a licensed release count."
)


def draw_help(canvas: Canvas) -> pygame.Rect:
    """Draw the sheet in the middle of the window; returns its rectangle."""
    surface = canvas.surface
    dim = pygame.Surface(surface.get_size())
    dim.fill(canvas.theme["shadow"])
    dim.set_alpha(170)
    surface.blit(dim, (0, 0))
    w, h = surface.get_size()
    line = canvas.measure("Ag")[1]
    row = min(round(line * 1.4), (h - canvas.tp(240)) // 9)
    sheet = pygame.Rect(0, 0, min(canvas.tp(1120), w - canvas.dp(40)), canvas.tp(200) + 9 * row)
    sheet.center = surface.get_rect().center
    canvas.panel(sheet, "sheet", "edge", 16, 3)
    inner = sheet.inflate(-canvas.dp(60), -canvas.dp(40))
    title = pygame.Rect(inner.x, inner.y, inner.w, canvas.tp(44))
    canvas.text("Keys", title, role="title", bold=True)
    column_w = inner.w // 2
    for i, (key, what) in enumerate(KEYS):
        x = inner.x + (i // 9) * column_w
        y = title.bottom + canvas.dp(6) + (i % 9) * row
        key_w = canvas.tp(160)
        canvas.text(key, pygame.Rect(x, y, key_w, row), bold=True)
        canvas.text(what, pygame.Rect(x + key_w, y, column_w - key_w, row))
    foot = pygame.Rect(inner.x, inner.bottom - 2 * line - 4, inner.w, 2 * line + 4)
    canvas.text(TEACHING, foot, colour="soft", wrap=True)
    return sheet
