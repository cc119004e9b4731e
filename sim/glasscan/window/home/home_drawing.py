"""What lies under the widgets of the first screen: heading, the panel of lessons, the teaching-only line."""

from __future__ import annotations

import re

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.key_sheet import TEACHING
from glasscan.window.home.home_layout import Boxes
from glasscan.window.home.lesson_index import LessonEntry, LessonIndex

SHORTEST = 12  # letters of a file name that are always shown
WELCOME = "See inside an oil filter while it works."
HEADS = ("Lessons.  Enter opens one.  ←  →: another filter", "Lessons.  Enter opens one.", "Lessons")


def draw_head(canvas: Canvas, box: pygame.Rect, trouble: str) -> None:
    """The name, and beside it what this is, or what went wrong."""
    w = canvas.measure("Glasscan", "number", True)[0]
    canvas.text("Glasscan", box, role="number", bold=True, colour="ink")
    rest = pygame.Rect(box.x + w + canvas.dp(36), box.y, box.w - w - canvas.dp(36), box.h)
    if trouble:
        whole = canvas.measure(trouble, bold=True, wrap=rest.w)
        fits = whole[0] <= rest.w and whole[1] <= rest.h
        told = trouble if fits else _narrowed(canvas, without_folder(trouble), rest.w)
        canvas.text(canvas.fitting(told, rest, True), rest, colour="warn", wrap=True, bold=True)
        return
    canvas.text(WELCOME, rest, role="title", colour="soft", wrap=True)


def without_folder(trouble: str) -> str:
    """A line `folder/file:line:column: ...` with the name of the file alone: line and key matter more."""
    return re.sub(r"^.*[/\\](?=[^/\\]+?:\d+:\d+: )", "", trouble)


def _narrowed(canvas: Canvas, told: str, width: int) -> str:
    """A line whose file name, where it alone is wider than the place, has lost its middle."""
    name, mark, rest = told.partition(":")
    short, keep = name, len(name)
    while keep > SHORTEST and canvas.measure(f"{short}:9999:999:", bold=True)[0] > width:
        keep -= 2
        short = f"{name[: keep // 2]}…{name[-(keep // 2) :]}"
    return short + mark + rest


def draw_side(
    canvas: Canvas, boxes: Boxes, shelf: LessonIndex, listed: list[LessonEntry], marked: LessonEntry | None
) -> None:
    """The panel of lessons: heading, what the marked one is about, or why there is none."""
    canvas.panel(boxes["side"], "sheet", "rule", 14, 2)
    head = boxes["lessons"]
    words = next((t for t in HEADS if canvas.measure(t)[0] <= head.w), HEADS[-1])
    canvas.text(words, head, colour="soft", shorten=True)
    if not listed:
        words = "No lesson for this filter yet." if shelf.ready else "Reading the lessons…"
        canvas.text(words, boxes["list"], colour="soft", wrap=True, valign="top")
    _draw_about(canvas, boxes["about"], shelf, marked)


def _draw_about(canvas: Canvas, box: pygame.Rect, shelf: LessonIndex, marked: LessonEntry | None) -> None:
    """The lesson marked, in its own words."""
    if box.h <= 0:
        return
    if marked is not None:
        y = box.y - canvas.dp(6)
        pygame.draw.line(canvas.surface, canvas.theme["rule"], (box.x, y), (box.right, y), canvas.dp(2))
        canvas.text(canvas.fitting(marked.about, box), box, wrap=True, valign="top", colour="soft")
    elif shelf.bad:
        text = f"{shelf.bad} lesson files have mistakes; glasscan check FILE tells which."
        canvas.text(text, box, colour="warn", wrap=True)


def draw_teaching(canvas: Canvas, foot: pygame.Rect, form: Form) -> None:
    """The teaching-only line between the buttons of the foot."""
    boxes = {w.name: w.box for w in form.widgets}
    left = boxes["carry-on"].right if "carry-on" in boxes else foot.x - canvas.dp(24)
    x = left + canvas.dp(24)
    place = pygame.Rect(x, foot.y, boxes["theme"].x - canvas.dp(24) - x, foot.h)
    for text in (TEACHING, "For teaching only."):
        if canvas.measure(text, wrap=place.w)[1] <= place.h:
            canvas.text(text, place, colour="soft", wrap=True)
            return
