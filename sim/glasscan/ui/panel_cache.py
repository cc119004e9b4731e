"""Panels that are drawn anew only when what they tell has changed; else their last picture is laid down."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import pygame

from glasscan.ui.canvas import Canvas, TextBox


@dataclass
class _Kept:
    """A panel as it was drawn: what it told, its pixels, its texts and its facts."""

    key: tuple[object, ...]
    picture: pygame.Surface
    texts: list[TextBox]
    drawn: dict[str, Any]


def _new_in(value: Any, before: Any) -> Any:
    """What a panel has added to a fact that several panels share, such as the numbers; else the fact."""
    if not (isinstance(value, dict) and isinstance(before, dict)):
        return value
    return {key: part for key, part in value.items() if key not in before or before[key] is not part}


class PanelCache:
    """The last picture of each named panel."""

    def __init__(self) -> None:
        self._kept: dict[str, _Kept] = {}

    def draw(
        self, canvas: Canvas, name: str, box: pygame.Rect, told: tuple[object, ...], work: Callable[[], None]
    ) -> None:
        """Draw a panel with `work`, unless it told the same in the same place before.

        The panel must cover its box, or stand on plain paper: what lies under it is kept too.

        Args:
            canvas: what to draw on.
            name: of the panel.
            box: pixels it can reach.
            told: everything it shows; the panel is drawn anew when one of these changes.
            work: draws it.
        """
        surface = canvas.surface
        key = (tuple(box), surface.get_size(), canvas.theme.name, canvas.text_scale, *told)
        kept = self._kept.get(name)
        if kept is not None and kept.key == key:
            surface.blit(kept.picture, box)
            canvas.texts += kept.texts
            for fact, value in kept.drawn.items():
                there: Any = canvas.drawn.get(fact)
                grouped = isinstance(value, dict) and isinstance(there, dict)
                canvas.drawn[fact] = {**there, **value} if grouped else value
            return
        first, before = len(canvas.texts), dict(canvas.drawn)
        work()
        fresh = {
            fact: _new_in(value, before.get(fact))
            for fact, value in canvas.drawn.items()
            if fact not in before or before[fact] is not value
        }
        picture = surface.subsurface(box.clip(surface.get_rect())).copy()
        self._kept[name] = _Kept(key, picture, canvas.texts[first:], fresh)
