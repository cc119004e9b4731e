"""Round gauges for what the flight line noted: the value, and a mark where the sound rig stands."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import cos, radians, sin

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour
from glasscan.window.cutaway.field_painter import nice_ceiling

FROM_DEG, SWEEP_DEG = 225.0, 270.0
FINE = 3
FACE = 0.9  # share of the diameter that the open ring takes, from its top
BAND = 0.085  # width of the arc as a share of the diameter


@dataclass(frozen=True)
class Dial:
    """One gauge: label, value and the sound rig's in the unit shown, and their texts."""

    label: str
    value: float
    text: str
    unit: str
    sound: float | None
    sound_text: str


@dataclass(frozen=True)
class DialLine:
    """Gauges side by side on one scale, as a row of what is known."""

    dials: Sequence[Dial]

    def _size(self, canvas: Canvas, w: int) -> int:
        return min((w - canvas.dp(40)) // len(self.dials), canvas.tp(190))

    def _label_h(self, canvas: Canvas, w: int) -> int:
        wide = w // len(self.dials) - canvas.dp(12)
        return max(canvas.measure(dial.label, wrap=wide)[1] for dial in self.dials)

    def _sound_h(self, canvas: Canvas, w: int) -> int:
        wide = w // len(self.dials) - canvas.dp(12)
        told = [_sound_words(dial) for dial in self.dials if dial.sound is not None]
        return max((canvas.measure(text, wrap=wide)[1] for text in told), default=0)

    def height(self, canvas: Canvas, w: int) -> int:
        """Height at a width, pixels."""
        face = round(FACE * self._size(canvas, w))
        return face + self._label_h(canvas, w) + self._sound_h(canvas, w) + canvas.dp(20)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Draw the gauges, their labels and the sound rig's values."""
        top = max(max(dial.value, dial.sound or 0.0) for dial in self.dials)
        full = nice_ceiling(max(top, 1e-6) * 1.05)
        size, wide = self._size(canvas, box.w), box.w // len(self.dials)
        label_h = self._label_h(canvas, box.w)
        for i, dial in enumerate(self.dials):
            column = pygame.Rect(box.x + i * wide, box.y, wide, box.h).inflate(-canvas.dp(12), 0)
            face = pygame.Rect(column.centerx - size // 2, box.y + canvas.dp(4), size, size)
            self._face(canvas, face, dial, full)
            label = pygame.Rect(column.x, face.y + round(FACE * size), column.w, label_h)
            canvas.text(dial.label, label, align="centre", wrap=True, valign="top")
            if dial.sound is not None:
                under = pygame.Rect(column.x, label.bottom, column.w, self._sound_h(canvas, box.w))
                words = _sound_words(dial)
                canvas.text(words, under, align="centre", colour="soft", wrap=True, valign="top")

    def _face(self, canvas: Canvas, face: pygame.Rect, dial: Dial, full: float) -> None:
        theme = canvas.theme
        share = min(max(dial.value / full, 0.0), 1.0)
        mark = None if dial.sound is None else min(max(dial.sound / full, 0.0), 1.0)
        picture = _arc(face.w, share, mark, theme["well"], theme["edge"], theme["bar"], theme["ink"])
        canvas.surface.blit(picture, face)
        number = canvas.measure(dial.text, "number", True)
        place = pygame.Rect(0, 0, face.w, number[1])
        place.center = face.centerx, face.centery - canvas.dp(10)
        canvas.text(dial.text, place, role="number", bold=True, align="centre")
        unit = pygame.Rect(face.x, place.bottom, face.w, canvas.measure("Ag")[1])
        canvas.text(dial.unit, unit, align="centre", colour="soft")


def _sound_words(dial: Dial) -> str:
    return f"sound rig {dial.sound_text}"


@lru_cache(maxsize=64)
def _arc(
    size: int, share: float, mark: float | None, well: Colour, edge: Colour, bar: Colour, ink: Colour
) -> pygame.Surface:
    """An open ring filled up to a share, with a bright mark across it where the sound rig stands."""
    big = pygame.Surface((size * FINE, size * FINE), pygame.SRCALPHA)
    big.fill((*edge, 0))
    outer = size * FINE / 2 - FINE
    band = BAND * size * FINE
    _ring(big, outer, band, 0.0, 1.0, edge)
    _ring(big, outer - FINE, band - 2 * FINE, 0.004, 0.996, well)
    _ring(big, outer - FINE, band - 2 * FINE, 0.004, max(share, 0.012), bar)
    if mark is not None:
        a = radians(FROM_DEG - SWEEP_DEG * mark)
        middle = size * FINE / 2
        ends = [(middle + r * cos(a), middle - r * sin(a)) for r in (outer + FINE, outer - 1.7 * band)]
        pygame.draw.line(big, ink, ends[0], ends[1], 4 * FINE)
    return pygame.transform.smoothscale(big, (size, size))


def _ring(
    surface: pygame.Surface, outer: float, band: float, start: float, end: float, colour: Colour
) -> None:
    middle = surface.get_width() / 2
    steps = max(3, round(120 * (end - start)))
    angles = [radians(FROM_DEG - SWEEP_DEG * (start + (end - start) * k / steps)) for k in range(steps + 1)]
    rim = [(middle + outer * cos(a), middle - outer * sin(a)) for a in angles]
    back = [(middle + (outer - band) * cos(a), middle - (outer - band) * sin(a)) for a in reversed(angles)]
    pygame.draw.polygon(surface, colour, rim + back)
