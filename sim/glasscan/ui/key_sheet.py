"""Sheets over a dimmed window: every key and what it does; what the lesson is about. Any key closes them."""

from __future__ import annotations

import pygame

from glasscan.ui.canvas import Canvas

TEACHING = (
    "Teaching model only. On aircraft, follow approved maintenance data; "
    "release to service is by licensed staff."
)


def _sheet(canvas: Canvas, w: int, h: int) -> pygame.Rect:
    """Dim the window and draw an empty sheet in its middle; returns the part to write on."""
    surface = canvas.surface
    dim = pygame.Surface(surface.get_size())
    dim.fill(canvas.theme["shadow"])
    dim.set_alpha(190)
    surface.blit(dim, (0, 0))
    canvas.texts.clear()  # what lies under the sheet is not to be read
    sheet = pygame.Rect(0, 0, min(w, surface.get_width() - canvas.dp(40)), h)
    sheet.center = surface.get_rect().center
    canvas.panel(sheet, "sheet", "edge", 16, 3)
    return sheet.inflate(-canvas.dp(60), -canvas.dp(40))


def draw_help(canvas: Canvas, keys: tuple[tuple[str, str], ...]) -> None:
    """Draw the sheet of keys in the middle of the window."""
    line = canvas.measure("Ag")[1]
    room = canvas.surface.get_height() - canvas.tp(240)
    number = 2 if -(-len(keys) // 2) * line <= room else 3
    deep = -(-len(keys) // number)
    row = min(round(line * 1.4), room // deep)
    columns = [keys[i * deep : (i + 1) * deep] for i in range(number)]
    bare = sum(sum(_widths(canvas, column, 0)) for column in columns)
    room = canvas.surface.get_width() - canvas.dp(100) - bare
    gap = max(canvas.dp(6), min(canvas.tp(28), room // (2 * number - 1)))
    widths = [_widths(canvas, column, gap) for column in columns]
    w = max(canvas.tp(1000), sum(a + b for a, b in widths)) + canvas.dp(60)
    inner = _sheet(canvas, w, canvas.tp(200) + deep * row)
    title = pygame.Rect(inner.x, inner.y, inner.w, canvas.tp(44))
    canvas.text("Keys", title, role="title", bold=True)
    spare = (inner.w - sum(a + b for a, b in widths)) // max(1, number - 1)
    x = inner.x
    for column, (key_w, what_w) in zip(columns, widths, strict=True):
        for i, (key, what) in enumerate(column):
            y = title.bottom + canvas.dp(6) + i * row
            canvas.text(key, pygame.Rect(x, y, key_w, row), bold=True)
            canvas.text(what, pygame.Rect(x + key_w, y, what_w, row))
        x += key_w + what_w + max(spare, 0)
    foot = pygame.Rect(inner.x, inner.bottom - 2 * line - 4, inner.w, 2 * line + 4)
    canvas.text(TEACHING, foot, colour="soft", wrap=True)


def _widths(canvas: Canvas, rows: tuple[tuple[str, str], ...], gap: int) -> tuple[int, int]:
    """Widths of the keys and of the words of one column, each with the gap after it."""
    keys = max((canvas.measure(key, bold=True)[0] for key, _ in rows), default=0)
    words = max((canvas.measure(what)[0] for _, what in rows), default=0)
    return keys + gap, words + gap


def draw_lesson(canvas: Canvas, title: str, about: str, safety: str) -> None:
    """Draw what the lesson is about, and the caution for the real work, in the middle of the window."""
    w = min(canvas.tp(1240), canvas.surface.get_width() - canvas.dp(40))
    text_w, gap = w - canvas.dp(60), canvas.tp(18)
    head_h = canvas.tp(52)
    blocks = [(about, "ink"), (safety or TEACHING, "warn")]
    heights = [canvas.measure(text, wrap=text_w)[1] for text, _ in blocks]
    foot_h = canvas.tp(40)
    inner = _sheet(canvas, w, head_h + sum(heights) + 3 * gap + foot_h + canvas.dp(40))
    canvas.text(title, pygame.Rect(inner.x, inner.y, inner.w, head_h), role="title", bold=True)
    y = inner.y + head_h
    for (text, colour), height in zip(blocks, heights, strict=True):
        canvas.text(text, pygame.Rect(inner.x, y, inner.w, height), valign="top", wrap=True, colour=colour)
        y += height + gap
    foot = pygame.Rect(inner.x, inner.bottom - foot_h, inner.w, foot_h)
    canvas.text("Press any key to continue. I shows this again.", foot, colour="soft")
