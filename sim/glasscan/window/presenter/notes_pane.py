"""Draws the notes: what to say now, what comes next and when, the whole list, and the keys."""

from __future__ import annotations

from collections.abc import Sequence

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import clock
from glasscan.window.presenter.notes import MARKS, SAY, Cue, next_cue, to_say, when

KEYS = "Space run   F part   H hands   W why   B beside   G graph   , back   ? keys"
PAST = 3  # lines that are over and still shown
CALM = "Nothing more to come in this lesson."
WAITS = "Next: what waits for its event, see below."


def draw_notes(
    canvas: Canvas, box: pygame.Rect, title: str, state: str, now_s: float, found: Sequence[Cue], moved: bool
) -> None:
    """Draw into a box; `moved` says that the controls were moved, so that events may come otherwise."""
    canvas.panel(box, "sheet", "edge", 12, 2)
    inner = box.inflate(-2 * canvas.dp(24), -2 * canvas.dp(18))
    line = canvas.measure("Ag")[1]
    y = _line(canvas, inner, inner.y, title, "soft")
    y = _line(canvas, inner, y, f"{clock(now_s)}, {state}", "ink", bold=True) + canvas.dp(8)
    note = to_say(found, now_s)
    if note is not None:
        role = "title" if canvas.measure(note.text, "title", wrap=inner.w)[1] < inner.h // 3 else "body"
        y = _block(canvas, inner, y, note.text, role, "accent") + canvas.dp(10)
    coming = next_cue(found, now_s)
    waits = any(cue.t_s == float("inf") for cue in found)
    calm = WAITS if waits else CALM
    words = calm if coming is None else f"In {coming.t_s - now_s:.0f} s: {coming.text}"
    y = _block(canvas, inner, y, words, "body", "ink") + canvas.dp(10)
    foot = KEYS if not moved else f"Controls were changed: events may come at other times.\n{KEYS}"
    foot_h = canvas.measure(foot, wrap=inner.w)[1]
    bottom = inner.bottom - foot_h
    if bottom - y > line:
        _list(canvas, pygame.Rect(inner.x, y, inner.w, bottom - y - canvas.dp(8)), found, now_s)
    if bottom >= y:
        place = pygame.Rect(inner.x, bottom, inner.w, foot_h)
        canvas.text(foot, place, colour="soft", wrap=True, valign="bottom")


def _line(canvas: Canvas, inner: pygame.Rect, y: int, text: str, colour: str, bold: bool = False) -> int:
    h = canvas.measure("Ag")[1]
    canvas.text(text, pygame.Rect(inner.x, y, inner.w, h), colour=colour, bold=bold, shorten=True)
    return y + h


def _block(canvas: Canvas, inner: pygame.Rect, y: int, text: str, role: str, colour: str) -> int:
    h = canvas.measure(text, role, True, inner.w)[1]
    box = pygame.Rect(inner.x, y, inner.w, h)
    canvas.text(text, box, role=role, colour=colour, bold=True, wrap=True, valign="top")
    return y + h


def _list(canvas: Canvas, box: pygame.Rect, found: Sequence[Cue], now_s: float) -> None:
    """The lines from shortly before the present moment on, as many as fit; what is over takes one line."""
    line = canvas.measure("Ag")[1]
    past = sum(c.t_s <= now_s for c in found)
    time_w = canvas.measure("00:00:00")[0] + canvas.dp(10)
    kind_w = max(canvas.measure(word)[0] for word in MARKS.values()) + canvas.dp(14)
    text_w = box.w - time_w - kind_w
    y = box.y
    for cue in found[max(0, past - PAST) :]:
        over, bold = cue.t_s <= now_s, cue.kind == SAY and cue.t_s > now_s
        h = line if over else canvas.measure(cue.text, bold=bold, wrap=text_w)[1]
        if y + h > box.bottom:
            break
        canvas.text(when(cue), pygame.Rect(box.x, y, time_w, line), colour="soft")
        mark = pygame.Rect(box.x + time_w, y, kind_w, line)
        canvas.text("✓" if over else MARKS[cue.kind], mark, colour="good" if over else "soft")
        place = pygame.Rect(mark.right, y, text_w, h)
        canvas.text(cue.text, place, colour="soft" if over else "ink", bold=bold, wrap=not over, shorten=over)
        y += h + line // 4
