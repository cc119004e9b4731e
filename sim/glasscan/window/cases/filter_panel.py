"""The left side of a case: the filter in its plumbing, the engine's state, the caution of the next act."""

from __future__ import annotations

import pygame

from glasscan.learning.cases.case_play import Case
from glasscan.ui.canvas import Canvas
from glasscan.window.cases.case_layout import complaint_role
from glasscan.window.cases.case_wording import ACTS, complaint_words
from glasscan.window.cases.closed_filter import Outside, opened
from glasscan.window.cases.finding_spots import draw_numbers, numbered, read_inside


def numbers_of(case: Case, outside: Outside) -> dict[str, int]:
    """Numbers of the parts on which findings were made."""
    done = [case.menu[word] for word in case.tests_done]
    return numbered(read_inside(done), outside.section.parts)


def draw_filter(canvas: Canvas, box: pygame.Rect, case: Case, outside: Outside) -> None:
    """The filter: shut, or its parts with the numbers of the findings."""
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(24), -canvas.dp(20))
    is_open = opened(case.tests_done)
    outside.draw(canvas, inner, is_open, case.running)
    if is_open:
        parts = outside.section.parts
        draw_numbers(canvas, outside.inside(canvas, inner), parts, numbers_of(case, outside))


def draw_state(canvas: Canvas, box: pygame.Rect, case: Case) -> None:
    """Engine and pressure, each by a sign, a word and a colour."""
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(28), -canvas.dp(20))
    half = pygame.Rect(inner.x, inner.y, inner.w, inner.h // 2)
    word = "▶ Engine running" if case.running else "■ Engine stopped"
    canvas.text(word, half, bold=True, colour="warn" if case.running else "ink")
    held = case.running or case.trapped
    text = "▲ under pressure" if case.running else "▲ pressure inside?" if held else "○ no pressure left"
    canvas.text(text, half.move(0, half.h), bold=True, colour="warn" if held else "good")


def caution(case: Case, focused: str) -> str:
    """Caution of the act in focus, else of the one that comes next."""
    words = {word: text for word, _, text in ACTS}
    following = "stop" if case.running else "release" if case.trapped else "start"
    return words.get(focused.removeprefix("act-"), words[following])


def draw_complaint(canvas: Canvas, box: pygame.Rect, case: Case) -> None:
    """The flight line's sentence."""
    canvas.panel(box, "sheet", None, 12)
    inner = box.inflate(-canvas.dp(48), -canvas.dp(28))
    line = canvas.measure("Ag")[1]
    canvas.text("The flight line says", pygame.Rect(inner.x, inner.y, inner.w, line), colour="soft")
    words = pygame.Rect(inner.x, inner.y + line, inner.w, inner.h - line)
    text = complaint_words(case)
    role = complaint_role(canvas, text, words.w)
    canvas.text(text, words, role=role, wrap=True, valign="top")
