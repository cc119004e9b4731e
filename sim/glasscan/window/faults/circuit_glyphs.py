"""Ways of drawing a fault into the circuit: each returns the box it drew in, px."""

# ruff: noqa: ARG001 (all glyphs are called alike)
from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.circuit.circuit_layout import Places

FUEL, AIR = (240, 220, 140), (214, 236, 245)
Draw = Callable[[Canvas, Places, pygame.Rect, float], pygame.Rect]


def worn_pump(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A clearance round the gears through which oil slips back."""
    wide = canvas.dp(4 + 6 * severity)
    pygame.draw.circle(canvas.surface, canvas.theme["warn"], box.center, at.pump_r + wide, wide)
    return box.inflate(4 * wide, 4 * wide)


def blocked_strainer(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Dirt over the pick-up."""
    lump = pygame.Rect(0, 0, round(2.2 * at.pipe), round((0.5 + 0.5 * severity) * at.pipe))
    lump.midbottom = box.centerx, box.bottom - canvas.dp(4)
    pygame.draw.ellipse(canvas.surface, (36, 26, 16), lump)
    pygame.draw.ellipse(canvas.surface, canvas.theme["warn"], lump, 3)
    return lump


def low_level(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """The line to which the sump should be full."""
    y = box.bottom - round(0.85 * box.h)
    for x in range(box.x, box.right, 14):
        pygame.draw.line(canvas.surface, canvas.theme["warn"], (x, y), (x + 7, y), 3)
    arrow = [(box.right - at.pipe, y), (box.right - at.pipe, y + at.pipe)]
    pygame.draw.lines(canvas.surface, canvas.theme["warn"], False, arrow, 3)
    return pygame.Rect(box.x, y - 2, box.w, at.pipe)


def stuck_open(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A chip under the cone."""
    size = canvas.dp(8 + 6 * severity)
    chip = pygame.Rect(0, 0, 2 * size, size)
    chip.midtop = box.centerx, box.y + canvas.dp(4)
    pygame.draw.ellipse(canvas.surface, (205, 212, 220), chip)
    pygame.draw.ellipse(canvas.surface, canvas.theme["warn"], chip, 3)
    return chip


def weak_regulator(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A gap in the spring."""
    gap = pygame.Rect(box.x + 4, box.centery + box.h // 8, box.w - 8, canvas.dp(9))
    pygame.draw.rect(canvas.surface, canvas.theme["sheet"], gap)
    pygame.draw.rect(canvas.surface, canvas.theme["warn"], gap, 2)
    return gap


def stuck_shut(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A bar across the cone."""
    bar = pygame.Rect(box.x - 4, box.y + box.h // 4, box.w + 8, canvas.dp(8))
    pygame.draw.rect(canvas.surface, canvas.theme["warn"], bar)
    return bar


def stiff_regulator(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """The screw turned in too far."""
    screw = pygame.Rect(0, 0, canvas.dp(14), canvas.dp(14 + 14 * severity))
    screw.midtop = box.midbottom
    pygame.draw.rect(canvas.surface, canvas.theme["warn"], screw)
    return screw


def wide_bearings(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Gaps between shaft and shell."""
    r = round(min(0.85 * at.pipe, 0.028 * at.box.w))
    for x in at.bearings():
        pygame.draw.circle(
            canvas.surface, canvas.theme["warn"], (round(x), box.centery), r, canvas.dp(3 + 5 * severity)
        )
    return box


def _in_sump(
    canvas: Canvas, at: Places, colour: tuple[int, int, int], number: int, size_dp: float
) -> pygame.Rect:
    box = at.sump
    for i in range(number):
        x = box.x + round((0.1 + 0.8 * ((i * 0.618) % 1)) * box.w)
        y = box.bottom - round((0.1 + 0.6 * ((i * 0.7549) % 1)) * box.h)
        pygame.draw.circle(canvas.surface, canvas.theme["outline"], (x, y), canvas.dp(size_dp) + 1)
        pygame.draw.circle(canvas.surface, colour, (x, y), canvas.dp(size_dp))
    return box


def thick_oil(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Broad slow waves in the sump."""
    return _waves(canvas, box, 2, canvas.dp(7 + 4 * severity))


def thin_oil(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Small quick waves in the sump."""
    return _waves(canvas, box, 7, canvas.dp(3 + 1 * severity))


def _waves(canvas: Canvas, box: pygame.Rect, number: int, wide: int) -> pygame.Rect:
    for k in range(3):
        y = box.bottom - (k + 1) * box.h // 5
        wave = [(box.x + i * box.w / 40, y + (6 if (i * number // 20) % 2 else -6)) for i in range(41)]
        pygame.draw.lines(canvas.surface, canvas.theme["warn"], False, wave, wide)
    return box


def fuel(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Drops of fuel in the oil."""
    return _in_sump(canvas, at, FUEL, round(10 + 20 * severity), 6)


def _on_button(canvas: Canvas, box: pygame.Rect, kind: str) -> pygame.Rect:
    """A sign on the indicator's button."""
    big = box.inflate(canvas.dp(16), canvas.dp(16))
    colour, wide = canvas.theme["warn"], canvas.dp(4)
    if kind == "held":
        pygame.draw.line(canvas.surface, colour, big.topleft, big.topright, 2 * wide)
    elif kind == "weak":
        pygame.draw.line(canvas.surface, colour, big.bottomleft, big.topright, wide)
        pygame.draw.line(canvas.surface, colour, big.topleft, big.bottomright, wide)
    elif kind == "undamped":
        zig = [(big.x + i * big.w / 6, big.y + (0 if i % 2 else big.h // 3)) for i in range(7)]
        pygame.draw.lines(canvas.surface, colour, False, zig, wide)
    elif kind == "open":
        pygame.draw.rect(canvas.surface, colour, big, wide)
        pygame.draw.line(
            canvas.surface, canvas.theme["sheet"], big.midright, (big.right + 2, big.y), 2 * wide
        )
    else:
        pygame.draw.rect(canvas.surface, colour, big, 2 * wide)
    return big


def button_held(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A bar that keeps it in."""
    return _on_button(canvas, box, "held")


def button_weak(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A cross: its magnet is weak."""
    return _on_button(canvas, box, "weak")


def button_undamped(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A zigzag: it follows every surge."""
    return _on_button(canvas, box, "undamped")


def lockout_open(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """An open lock."""
    return _on_button(canvas, box, "open")


def lockout_shut(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """A shut lock."""
    return _on_button(canvas, box, "shut")


def _on_gauge(canvas: Canvas, box: pygame.Rect, side: int) -> pygame.Rect:
    """An arrow beside the gauge: it shows less, or more."""
    x, size = box.centerx, box.w // 4
    y = box.bottom + size if side < 0 else box.y - size
    tip = [(x, y - side * size), (x - size, y), (x + size, y)]
    pygame.draw.polygon(canvas.surface, canvas.theme["warn"], tip)
    return box.inflate(0, 4 * size)


def gauge_low(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """It shows less than there is."""
    return _on_gauge(canvas, box, -1)


def gauge_high(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """It shows more than there is."""
    return _on_gauge(canvas, box, 1)


def gauge_plugged(canvas: Canvas, at: Places, box: pygame.Rect, severity: float) -> pygame.Rect:
    """Sludge in its line."""
    plug = pygame.Rect(0, 0, canvas.dp(16), canvas.dp(20))
    plug.center = box.x - canvas.dp(2), box.centery
    pygame.draw.rect(canvas.surface, (36, 26, 16), plug)
    pygame.draw.rect(canvas.surface, canvas.theme["warn"], plug, 3)
    return plug


CIRCUIT_GLYPHS: dict[str, Draw] = {
    draw.__name__.replace("_", "-"): draw
    for draw in (
        worn_pump, blocked_strainer, low_level, stuck_open, weak_regulator, stuck_shut, stiff_regulator,
        wide_bearings, thick_oil, thin_oil, fuel, button_held, button_weak, button_undamped, lockout_open,
        lockout_shut, gauge_low, gauge_high, gauge_plugged,
    )
}  # fmt: skip
