"""The same run without the fault from a moment that is chosen: the choice, and how the two lines are told."""

from __future__ import annotations

from collections.abc import Callable

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.plots import STYLES, polyline
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.cases import debrief_runs

MOMENTS_S = (0, 1, 2, 3, 5, 8, 10, 15, 20, 25, 30, 32, 35, 40, 45, 50, 55)
"""Moments at which the fault can be taken away, s; close together at the start and about cruise."""
ASK = "G  Run it so"


class Mending:
    """The moment chosen, and the moment of the runs on the page.

    Attributes:
        wanted_s: moment chosen, s; 0 = the fault was never there.
        shown_s: moment of the runs that are drawn, s.
    """

    def __init__(self) -> None:
        self.wanted_s, self.shown_s = 0, 0

    @property
    def moments(self) -> tuple[str, ...]:
        """What can be chosen."""
        return tuple(str(t) for t in MOMENTS_S if t < debrief_runs.END_S)

    def widgets(self, canvas: Canvas, foot: pygame.Rect, go: Callable[[], None]) -> list[Widget]:
        """The moment between two arrows, and the button that runs it; at the right of the foot."""
        wide = canvas.measure(ASK)[0] + canvas.dp(40)
        button = pygame.Rect(foot.right - wide, foot.y, wide, foot.h)
        at = max(canvas.measure(words(int(m)))[0] for m in self.moments) + 2 * max(foot.h // 3, 24)
        choice = pygame.Rect(0, foot.y, min(at + canvas.dp(30), button.x - canvas.dp(14) - foot.x), foot.h)
        choice.right = button.x - canvas.dp(14)
        return [
            Choice(
                "moment", "", self.moments, lambda: str(self.wanted_s), self.choose,
                lambda word: words(int(word)), box=choice,
            ),
            Button("mend", ASK, go, box=button),
        ]  # fmt: skip

    def choose(self, word: str) -> None:
        """Choose a moment."""
        self.wanted_s = int(word)

    @property
    def _lines(self) -> tuple[tuple[int, str, int], ...]:
        """Style, words and width of the two lines."""
        without = "without it" if self.shown_s == 0 else f"without it from {self.shown_s} s on"
        return (0, "with the fault", 6), (1, without, 4)

    def width(self, canvas: Canvas) -> int:
        """Room that `draw` takes, pixels."""
        return sum(canvas.measure(text)[0] + canvas.dp(108) for _, text, _ in self._lines)

    def draw(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Which line is which."""
        line = canvas.measure("Ag")[1]
        x, y = box.x, box.y + (box.h - line) // 2
        for style, text, wide in self._lines:
            colour, dashes, _ = STYLES[style]
            ends = np.array([(x, y + line / 2), (x + canvas.dp(60), y + line / 2)])
            lengths = [canvas.dp(d) for d in dashes]
            polyline(canvas.surface, canvas.theme[colour], ends, canvas.dp(wide), lengths)
            w = canvas.measure(text)[0]
            canvas.text(text, pygame.Rect(x + canvas.dp(72), y, w, line), colour=colour)
            x += canvas.dp(72) + w + canvas.dp(36)


def words(moment_s: int) -> str:
    """A moment as it is chosen."""
    return "fault never there" if moment_s == 0 else f"fault gone at {moment_s} s"
