"""The key beside the cutaway: what the colours mean, what the marks mean, how slow the oil is drawn."""

from __future__ import annotations

from functools import lru_cache

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import UnitSystem
from glasscan.ui.theme import Theme, load_theme
from glasscan.window.contract import KINDS
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.deposit import load_ramp
from glasscan.window.cutaway.shades import Shade, pressure_words
from glasscan.window.cutaway.streaks import legend_sprite

WORDS = {"dirty": "dirty", "filtered": "filtered", "unfiltered": "unfiltered"}
COLOURS = {"dirty": "dirty", "filtered": "good", "unfiltered": "warn"}


@lru_cache(maxsize=8)
def _ramp(theme_name: str, w: int, h: int) -> pygame.Surface:
    """The ramp as a bar, light (high) at the top."""
    ramp = load_theme(theme_name).ramp
    rows = ramp[np.linspace(255, 0, h).astype(int)]
    return pygame.surfarray.make_surface(np.broadcast_to(rows[None], (w, h, 3)))


@lru_cache(maxsize=4)
def _load_ramp(w: int, h: int) -> pygame.Surface:
    """The ramp of the deposit as a bar, the heaviest load at the top."""
    rows = load_ramp()[np.linspace(255, 0, h).astype(int)]
    return pygame.surfarray.make_surface(np.broadcast_to(rows[None], (w, h, 3)))


@lru_cache(maxsize=16)
def _swatch(theme_name: str, kind: str, width: int, scale_percent: int) -> pygame.Surface:
    theme: Theme = load_theme(theme_name)
    return legend_sprite(theme, kind, width, scale_percent / 100)


def rate_words(rate: float) -> str:
    """How slow the oil is drawn."""
    return "flow at real speed" if rate >= 1 else f"flow shown at 1/{round(1 / rate)}"


RAMP_LINES = 7  # lines of text that head and ramp of the key take at least


def draw_key(
    canvas: Canvas,
    box: pygame.Rect,
    scale: PressureScale,
    units: UnitSystem,
    rate: float,
    shade: Shade | None = None,
    deposit: str = "",
    law: str = "",
) -> None:
    """Draw the key into `box`; the colours mean pressures, or what `shade` says; `law`: how the oil moves."""
    line = canvas.measure("Ag")[1]
    title = shade.title if shade else pressure_words(units)
    unit, span = (shade.unit, shade.scale.span_pa) if shade else (units.pressure, scale.span_pa)
    base = shade.base if shade else 0.0
    head = pygame.Rect(box.x, box.y, box.w, canvas.measure(title, wrap=box.w)[1])
    canvas.text(title, head, valign="top", wrap=True, colour="soft")
    words = deposit or rate_words(rate)
    foot = _draw_kinds(canvas, box, f"{words}\n{law}" if law else words)
    bar = pygame.Rect(box.x, head.bottom + canvas.dp(14), canvas.tp(46), 0)
    bar.h = max(line * 3, foot - bar.y - canvas.dp(26))
    load = shade is not None and shade.load
    canvas.surface.blit(_load_ramp(bar.w, bar.h) if load else _ramp(canvas.theme.name, bar.w, bar.h), bar)
    pygame.draw.rect(canvas.surface, canvas.theme["edge"], bar, canvas.dp(2))
    shares = (0.0, 0.25, 0.5, 0.75, 1.0) if bar.h > 9 * line else (0.0, 0.5, 1.0)
    texts = unit.tick_texts([base + share * span for share in shares])
    for share, text in zip(shares, texts, strict=True):
        y = bar.bottom - round(share * bar.h)
        pygame.draw.line(
            canvas.surface, canvas.theme["ink"], (bar.right, y), (bar.right + canvas.dp(10), y), 2
        )
        place = pygame.Rect(bar.right + canvas.dp(18), y - line // 2, 0, line)
        place.w = box.right - place.x
        place.clamp_ip(pygame.Rect(place.x, bar.y, place.w, bar.h))
        canvas.text(text, place, bold=True)


def draw_lying_key(canvas: Canvas, box: pygame.Rect, scale: PressureScale, units: UnitSystem) -> None:
    """The ramp of pressures lying in one line: 0, the bar, the span with its words."""
    span = f"{units.pressure.text(scale.span_pa)} {pressure_words(units)}"
    gap, w = canvas.dp(14), canvas.measure(span)[0]
    zero_w = canvas.measure("0")[0]
    bar_w = min(canvas.dp(360), box.w - w - zero_w - 2 * gap)
    if bar_w < canvas.dp(60):
        return
    x = box.x + (box.w - zero_w - bar_w - w - 2 * gap) // 2
    canvas.text("0", pygame.Rect(x, box.y, zero_w, box.h), colour="soft")
    bar = pygame.Rect(x + zero_w + gap, box.y + box.h // 4, bar_w, box.h // 2)
    lying = pygame.transform.rotate(_ramp(canvas.theme.name, bar.h, bar.w), -90)
    canvas.surface.blit(lying, bar)
    pygame.draw.rect(canvas.surface, canvas.theme["edge"], bar, canvas.dp(2))
    canvas.text(span, pygame.Rect(bar.right + gap, box.y, w + 2, box.h), colour="soft")


def _draw_kinds(canvas: Canvas, box: pygame.Rect, words: str) -> int:
    """The kinds of oil from the bottom up; returns the top of what was drawn.

    Where much is to be said, a kind takes one line, its word beside its swatch: the ramp keeps its room.
    """
    h = canvas.measure(words, wrap=box.w)[1]
    y = box.bottom - h
    canvas.text(words, pygame.Rect(box.x, y, box.w, h), valign="top", wrap=True, colour="soft")
    line = canvas.measure("Ag", bold=True)[1]
    names = max(canvas.measure(WORDS[kind], bold=True)[0] for kind in KINDS)
    below = box.h - h - len(KINDS) * (line + canvas.dp(18) + _swatch_h(canvas, box.w))
    beside = below < RAMP_LINES * line and names + canvas.dp(40) <= box.w
    for kind in reversed(KINDS):
        y = _kind_beside(canvas, box, y, kind, names) if beside else _kind_below(canvas, box, y, kind)
    return y


def _swatch_h(canvas: Canvas, wide: int) -> int:
    return _swatch(canvas.theme.name, KINDS[0], wide, round(canvas.scale * 100)).get_height()


def _kind_below(canvas: Canvas, box: pygame.Rect, y: int, kind: str) -> int:
    """A swatch over the whole width, its word below."""
    text = WORDS[kind]
    swatch = _swatch(canvas.theme.name, kind, box.w, round(canvas.scale * 100))
    h = canvas.measure(text, bold=True, wrap=box.w)[1]
    y -= h + swatch.get_height() + canvas.dp(18)
    _blit_edged(canvas, swatch, (box.x, y))
    place = pygame.Rect(box.x, y + swatch.get_height() + canvas.dp(2), box.w, h)
    canvas.text(text, place, valign="top", wrap=True, colour=COLOURS[kind], bold=True)
    return y


def _kind_beside(canvas: Canvas, box: pygame.Rect, y: int, kind: str, names: int) -> int:
    """A short swatch, its word to the right of it."""
    swatch = _swatch(canvas.theme.name, kind, box.w - names - canvas.dp(10), round(canvas.scale * 100))
    line = canvas.measure("Ag", bold=True)[1]
    y -= line + canvas.dp(4)
    _blit_edged(canvas, swatch, (box.x, y + (line - swatch.get_height()) // 2))
    place = pygame.Rect(box.right - names, y, names, line)
    canvas.text(WORDS[kind], place, colour=COLOURS[kind], bold=True)
    return y


def _blit_edged(canvas: Canvas, swatch: pygame.Surface, at: tuple[int, int]) -> None:
    canvas.surface.blit(swatch, at)
    pygame.draw.rect(canvas.surface, canvas.theme["edge"], swatch.get_rect(topleft=at), 1)
