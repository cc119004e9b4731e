"""The cut parts of a filter with a letter at each, to point at: drawn true to scale, without a run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from functools import cache
from typing import cast

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import LEFT_BUTTON, Widget, nothing, ring
from glasscan.window.contract import Part
from glasscan.window.cutaway import part_labels
from glasscan.window.cutaway.cutaway_view import lettered
from glasscan.window.cutaway.metal import parts_layer
from glasscan.window.cutaway.section_view import View, fit

Lettered = Sequence[tuple[str, str, str]]
"""(letter, key, trade name) of every part."""


@cache
def filter_of(keys: frozenset[str]) -> str:
    """Name of the shipped filter that has exactly these parts, or ""."""
    from glasscan.learning.catalogue import names
    from glasscan.learning.part_names import part_names

    return next((name for name in names("filters") if frozenset(part_names(name)) == keys), "")


@cache
def cut_parts(name: str) -> list[Part]:
    """Parts of a filter, as they are drawn."""
    from glasscan.filters.build import parts_of
    from glasscan.filters.filter_data import FilterData
    from glasscan.learning.catalogue import load_filter

    return cast("list[Part]", list(parts_of(FilterData(load_filter(name)))))


@dataclass
class PartsPicture(Widget):
    """The picture; a click chooses the part whose mark or letter is nearest."""

    parts: Lettered = ()
    send: Callable[[str], None] = nothing
    chosen: Callable[[], str] = str
    _drawn: dict[object, tuple[pygame.Surface, View]] = field(default_factory=dict, kw_only=True)
    _placed: list[part_labels.Label] = field(default_factory=list, kw_only=True)

    @property
    def filter(self) -> str:
        """Name of the filter, or "" where no shipped one has these parts."""
        return filter_of(frozenset(key for _, key, _ in self.parts))

    def handle(self, event: pygame.event.Event) -> bool:
        """React to a click."""
        if event.type != pygame.MOUSEBUTTONDOWN or event.button != LEFT_BUTTON or not self._placed:
            return False
        inside = next((p for p in self._placed if p.box.collidepoint(event.pos)), None)
        label = inside or min(self._placed, key=lambda p: pygame.Vector2(p.leader[-1]).distance_to(event.pos))
        self.send({letter.upper(): key for letter, key, _ in self.parts}[label.text])
        return True

    def draw(self, canvas: Canvas, focused: bool) -> None:
        """Draw parts and letters; the letter of the chosen part stands on the accent colour."""
        canvas.panel(self.box, "sheet", "edge", 10, 2)
        inner = self.box.inflate(-canvas.dp(30), -canvas.dp(24))
        side = canvas.tp(54)
        middle = inner.inflate(-2 * side, 0)
        parts = cut_parts(self.filter)
        surface, view = self._picture(canvas, middle, parts)
        canvas.surface.blit(surface, middle)
        columns = {
            1: pygame.Rect(inner.right - side + canvas.dp(12), inner.y, side - canvas.dp(12), inner.h),
            -1: pygame.Rect(inner.x, inner.y, side - canvas.dp(12), inner.h),
        }
        letters = {key: letter.upper() for letter, key, _ in self.parts}
        self._placed = part_labels.place(lettered(parts, letters), canvas, view, columns)
        for label in self._placed:
            if label.text == letters.get(self.chosen()):
                canvas.panel(label.box.inflate(canvas.dp(12), canvas.dp(6)), None, "accent", 8, 4)
        part_labels.draw(self._placed, canvas)
        if focused:
            ring(canvas, self.box)

    def _picture(self, canvas: Canvas, middle: pygame.Rect, parts: list[Part]) -> tuple[pygame.Surface, View]:
        key = (self.filter, tuple(middle), canvas.theme.name)
        if key not in self._drawn:
            view = fit(parts, middle.inflate(-canvas.dp(16), -canvas.dp(16)))
            self._drawn.clear()
            self._drawn[key] = parts_layer(parts, view, middle, canvas.theme, canvas.scale), view
        return self._drawn[key]
