"""Buttons with a small drawing of the tool they stand for."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import Button, ring
from glasscan.window.bench.bench_top import look

Icon = Callable[[Canvas, pygame.Rect], None]


@dataclass
class ToolButton(Button):
    """A button: the tool on the left, its word and key on the right."""

    icon: str = ""

    def draw(self, canvas: Canvas, focused: bool) -> None:
        picked = self.chosen()
        canvas.panel(self.box, "accent" if picked else "button", "edge", 10, 2)
        side = min(self.box.h - canvas.dp(12), self.box.w // 4)
        place = pygame.Rect(self.box.x + canvas.dp(8), 0, side, side)
        place.centery = self.box.centery
        ICONS.get(self.icon, _nothing)(canvas, place)
        left = place.right + canvas.dp(6)
        text = pygame.Rect(left, self.box.y, self.box.right - canvas.dp(6) - left, self.box.h)
        colour = "on_accent" if picked else "ink"
        words = self.caption() if self.caption else self.label
        fits = canvas.measure(words, bold=True, wrap=text.w)[0] <= text.w
        canvas.text(words, text, colour=colour, bold=picked and fits, wrap=True)
        if focused:
            ring(canvas, self.box)


def _nothing(canvas: Canvas, box: pygame.Rect) -> None:
    del canvas, box


def _c(canvas: Canvas, word: str) -> tuple[int, int, int]:
    return look(canvas.theme.name, word)


def _magnet(canvas: Canvas, box: pygame.Rect) -> None:
    s, t = canvas.surface, max(3, box.w // 5)
    arms = pygame.Rect(box.x + t // 2, box.y + t // 2, box.w - t, box.h - t)
    pygame.draw.arc(s, _c(canvas, "magnet"), arms, 0, 3.1416, t)
    for x in (arms.x, arms.right - t):
        pygame.draw.rect(s, _c(canvas, "magnet"), (x, arms.centery, t, arms.h // 3))
        pygame.draw.rect(s, _c(canvas, "steel_light"), (x, arms.centery + arms.h // 3, t, arms.h // 4))


def _needle(canvas: Canvas, box: pygame.Rect) -> None:
    s = canvas.surface
    a, b = box.bottomleft, box.topright
    middle = ((a[0] + b[0]) // 2, (a[1] + b[1]) // 2)
    pygame.draw.line(s, _c(canvas, "steel_dark"), a, middle, max(2, box.w // 16))
    pygame.draw.line(s, _c(canvas, "wood"), middle, b, max(5, box.w // 5))
    pygame.draw.line(s, _c(canvas, "brass"), middle, (middle[0] + 4, middle[1] - 4), max(5, box.w // 5))


def _patch(canvas: Canvas, box: pygame.Rect) -> None:
    pygame.draw.circle(canvas.surface, _c(canvas, "dish_rim"), box.center, box.w // 2)
    pygame.draw.circle(canvas.surface, _c(canvas, "dish"), box.center, box.w // 2 - 2)
    pygame.draw.circle(canvas.surface, look("patch", "tan"), box.center, box.w // 3)


def _card(canvas: Canvas, box: pygame.Rect) -> None:
    half = pygame.Rect(box.x, box.y, box.w // 2, box.h)
    pygame.draw.rect(canvas.surface, (250, 250, 246), half)
    pygame.draw.rect(canvas.surface, (12, 14, 18), half.move(half.w, 0))
    pygame.draw.rect(canvas.surface, _c(canvas, "steel"), box, 2)


def _sheet(canvas: Canvas, box: pygame.Rect) -> None:
    page = box.inflate(-box.w // 4, 0)
    pygame.draw.rect(canvas.surface, (248, 246, 238), page)
    pygame.draw.rect(canvas.surface, _c(canvas, "steel_dark"), page, 2)
    for k in range(1, 5):
        y = page.y + page.h * k // 5
        pygame.draw.line(canvas.surface, _c(canvas, "steel"), (page.x + 4, y), (page.right - 5, y), 2)


def _hand(canvas: Canvas, box: pygame.Rect) -> None:
    """Tweezers."""
    s, w = canvas.surface, max(3, box.w // 9)
    pygame.draw.line(s, _c(canvas, "steel"), box.topright, (box.x + 4, box.bottom - box.h // 4), w)
    pygame.draw.line(s, _c(canvas, "steel_light"), box.topright, (box.x + box.w // 3, box.bottom - 2), w)
    pygame.draw.circle(
        s, _c(canvas, "brass"), (box.x + box.w // 7, box.bottom - box.h // 8), max(3, box.w // 8)
    )


def _cutter(canvas: Canvas, box: pygame.Rect) -> None:
    s = canvas.surface
    pygame.draw.arc(s, _c(canvas, "steel_dark"), box, 0.7, 5.6, max(4, box.w // 8))
    pygame.draw.circle(s, _c(canvas, "brass"), (box.right - box.w // 5, box.centery), max(4, box.w // 6))
    pygame.draw.circle(
        s, _c(canvas, "steel_dark"), (box.right - box.w // 5, box.centery), max(2, box.w // 14)
    )


def _saw(canvas: Canvas, box: pygame.Rect) -> None:
    s, w = canvas.surface, max(3, box.w // 12)
    top, foot = box.y + box.h // 4, box.bottom - box.h // 4
    frame = [(box.x, foot), (box.x, top), (box.right - box.w // 6, top), (box.right - box.w // 6, foot)]
    pygame.draw.lines(s, _c(canvas, "steel_dark"), False, frame, w)
    teeth = [(box.x + box.w * k // 12, foot + (k % 2) * 4) for k in range(11)]
    pygame.draw.lines(s, _c(canvas, "steel"), False, teeth, 2)
    pygame.draw.circle(s, _c(canvas, "wood"), (box.right - box.w // 8, foot), max(4, box.w // 8))


def _eye(canvas: Canvas, box: pygame.Rect) -> None:
    """A lens with its handle."""
    r = box.w // 3
    at = (box.x + r + 2, box.y + r + 2)
    pygame.draw.line(
        canvas.surface, _c(canvas, "wood"), at, (box.right - 2, box.bottom - 2), max(4, box.w // 7)
    )
    pygame.draw.circle(canvas.surface, _c(canvas, "dish"), at, r)
    pygame.draw.circle(canvas.surface, _c(canvas, "brass"), at, r, max(3, box.w // 10))


def _bath(canvas: Canvas, box: pygame.Rect) -> None:
    low = pygame.Rect(box.x, box.centery, box.w, box.h // 2 - 2)
    pygame.draw.rect(canvas.surface, _c(canvas, "steel"), low, border_radius=4)
    pygame.draw.line(canvas.surface, (90, 160, 210), (low.x + 4, low.y + 5), (low.right - 5, low.y + 5), 4)
    for k in (1, 2, 3):
        at = (box.x + box.w * k // 4, box.y + box.h // 4 + (k % 2) * 6)
        pygame.draw.circle(canvas.surface, (90, 160, 210), at, max(3, box.w // 12))


ICONS: dict[str, Icon] = {
    "magnet": _magnet, "needle": _needle, "patch": _patch, "card": _card, "sheet": _sheet, "hand": _hand,
    "roller": _cutter, "saw": _saw, "look": _eye, "wash": _bath,
}  # fmt: skip
