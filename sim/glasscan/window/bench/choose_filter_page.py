"""Which filter comes to the bench: its kind, its number, or the filter of a lesson after its run."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.page_widgets import ListBox, Row
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Choice, Widget
from glasscan.window.bench.bench_top import bench
from glasscan.window.bench.clamped_filter import draw_whole
from glasscan.window.bench.selection_loop import Choosing
from glasscan.workshop.inspection.inspection_data import FilterKind

KINDS: dict[FilterKind, str] = {"can": "Spin-on filter", "cartridge": "Cartridge", "disc": "Disc stack"}
NUMBERS = tuple(str(n) for n in range(1, 1000))


Chosen = tuple[FilterKind, int, str]
SAME = "The same number brings everybody the same filter.\nOr the filter of a lesson, after its run:"


class ChoosePage(Choosing):
    """Sets `chosen` to (kind, seed, lesson) and leaves; a lesson wins over kind and number."""

    title = "Cut a filter open"

    def __init__(self, desk: ViewOptions) -> None:
        super().__init__(desk)
        self.kind: FilterKind = "can"
        self.number = "1"
        self.chosen: Chosen | None = None
        self._lessons: list[Row] | None = None

    def first(self) -> str | None:
        return "open"

    def stamp(self) -> tuple[object, ...]:
        return ()

    def _boxes(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        gap, card_h = canvas.dp(20), canvas.tp(64)
        left_w = round(body.w * 0.62)
        top = pygame.Rect(body.x, body.y, left_w, body.h - card_h * 2 - 2 * gap)
        cards = pygame.Rect(body.x, top.bottom + gap, left_w, card_h)
        foot = pygame.Rect(body.x, cards.bottom + gap, left_w, card_h)
        x = body.x + left_w + canvas.dp(36)
        head = pygame.Rect(x, body.y, body.right - x, canvas.measure(SAME, wrap=body.right - x)[1])
        right = pygame.Rect(x, head.bottom + canvas.dp(8), head.w, body.bottom - head.bottom - canvas.dp(8))
        return {"top": top, "cards": cards, "foot": foot, "head": head, "list": right}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at = self._boxes(canvas, body)
        gap, cards = canvas.dp(16), at["cards"]
        wide = (cards.w - 2 * gap) // 3
        made: list[Widget] = [
            Button(k, word, partial(self._choose, k), partial(self._is, k),
                   box=pygame.Rect(cards.x + i * (wide + gap), cards.y, wide, cards.h))
            for i, (k, word) in enumerate(KINDS.items())
        ]  # fmt: skip
        foot = at["foot"]
        number = pygame.Rect(foot.x, foot.y, foot.w // 2 - gap // 2, foot.h)
        go = pygame.Rect(number.right + gap, foot.y, foot.w - number.w - gap, foot.h)
        made.append(
            Choice(
                "number",
                "Filter number",
                NUMBERS,
                lambda: self.number,
                self._numbered,
                wraps=True,
                box=number,
            )
        )
        made.append(Button("open", "Bring it to the bench", self._open, box=go))
        made.append(ListBox("lessons", "", self._rows, self._lesson, box=at["list"], row_h=canvas.tp(84)))
        return made

    def _choose(self, kind: FilterKind) -> None:
        self.kind = kind

    def _is(self, kind: str) -> bool:
        return self.kind == kind

    def _numbered(self, number: str) -> None:
        self.number = number

    def _open(self) -> None:
        self.chosen, self.leave = (self.kind, int(self.number), ""), True

    def _lesson(self, word: str) -> None:
        self.chosen, self.leave = (self.kind, 0, word), True

    def _rows(self) -> list[Row]:
        if self._lessons is None:
            from glasscan.learning.catalogue import scenario_titles

            found = sorted(scenario_titles().items(), key=lambda pair: pair[1])
            self._lessons = [Row(name, title) for name, title in found]
        return self._lessons

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The three filters on the bench."""
        at = self._boxes(canvas, body)
        bench(canvas.surface, at["top"], canvas.theme.name, canvas.scale)
        third = at["top"].w // 3
        for i, kind in enumerate(KINDS):
            place = pygame.Rect(at["top"].x + i * third, at["top"].y, third, at["top"].h)
            place = place.inflate(-canvas.dp(90), -canvas.dp(30))
            if place.w < 1 or place.h < 1:  # a thin window
                continue
            draw_whole(canvas, place, kind, held=False)
            if kind == self.kind:
                canvas.panel(place.inflate(canvas.dp(60), 0), None, "accent", 14, 4)
        canvas.text(SAME, at["head"], wrap=True, colour="soft", valign="top")
