"""Pictures of the three filters for the start page: kept ones at once, missing ones drawn meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import pygame

from glasscan.learning.cases.atlas import FILTERS
from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import Button, ring
from glasscan.window.home.thumbnail_store import DoorPictures


class Pictures:
    """Pictures by kind of filter and theme, scaled to the cards of the start page."""

    def __init__(self) -> None:
        self.drawn = DoorPictures()
        self._scaled: dict[object, pygame.Surface] = {}

    def update(self, theme: str) -> None:
        """Look for kept pictures of a theme; where some are missing, have them drawn."""
        self.drawn.look(list(FILTERS.values()), theme)
        self.drawn.update()

    def fitted(self, kind: str, theme: str, size: tuple[int, int]) -> pygame.Surface | None:
        """A picture as large as a size allows; None while there is none."""
        picture = self.drawn.of(FILTERS[kind], theme)
        if picture is None:
            return None
        key = (id(picture), size)
        if key not in self._scaled:
            share = min(size[0] / picture.get_width(), size[1] / picture.get_height())
            wanted = round(picture.get_width() * share), round(picture.get_height() * share)
            self._scaled[key] = pygame.transform.smoothscale(picture, wanted)
        return self._scaled[key]

    @property
    def words(self) -> str:
        """What stands in the place of a picture that is not there yet."""
        helper = self.drawn.helper
        if helper is None or helper.done:
            return ""
        return "no picture" if helper.trouble else f"drawing it… {helper.share:.0%}"

    def close(self) -> None:
        """Stop what still goes on beside the window."""
        self.drawn.close()


@dataclass
class PictureCard(Button):
    """A button with a picture over its words; the chosen one carries a dot and a bright border."""

    picture: Callable[[tuple[int, int]], pygame.Surface | None] = lambda _: None
    instead: Callable[[], str] = str

    def draw(self, canvas: Canvas, focused: bool) -> None:
        picked = self.chosen()
        canvas.panel(self.box, "sheet", "accent" if picked else "edge", 14, 5 if picked else 2)
        inner = self.box.inflate(-canvas.dp(28), -canvas.dp(24))
        text = f"●  {self.label}" if picked else self.label
        high = canvas.measure(f"●  {self.label}", bold=True, wrap=inner.w)[1]
        words = pygame.Rect(inner.x, inner.bottom - high, inner.w, high)
        colour = "accent" if picked else "ink"
        canvas.text(text, words, bold=True, wrap=True, align="centre", colour=colour)
        place = pygame.Rect(inner.x, inner.y, inner.w, inner.h - high - canvas.dp(12))
        picture = self.picture(place.size) if min(place.size) > 0 else None
        if picture is not None:
            canvas.surface.blit(picture, picture.get_rect(center=place.center))
        else:
            canvas.text(self.instead(), place, colour="soft", align="centre", wrap=True)
        if focused:
            ring(canvas, self.box)
