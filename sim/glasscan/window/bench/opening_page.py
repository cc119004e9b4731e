"""The closed filter in the vice, and the choice of how to open it."""

from __future__ import annotations

from functools import partial

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.layout import Column, Item, Node, Picture, Row
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.window.bench.bench_texts import service_time
from glasscan.window.bench.bench_top import bench
from glasscan.window.bench.clamped_filter import draw_whole
from glasscan.window.bench.tool_buttons import ToolButton
from glasscan.workshop.inspection.inspection import Inspection
from glasscan.workshop.inspection.piece_layout import Opening

WAYS: dict[str, dict[str, str]] = {
    "can": {"roller": "Cut the can with the rolling cutter", "saw": "Cut the can with a fine hand saw"},
    "cartridge": {
        "roller": "Cut the end caps off with the rolling cutter",
        "saw": "Saw the end caps off with a fine hand saw",
    },
    "disc": {"look": "Look at the stack as it is", "wash": "Wash the stack in solvent first"},
}
CAUTION = (
    "Cut edges and slivers pierce skin. Solvent vapour burns. Gloves, eye protection, fresh air; "
    "oily rags into their bin. Acid and flame tests belong in a laboratory."
)


class OpenPage(Page):
    """The page leaves itself once the filter is open."""

    title = "Open the used filter"

    def __init__(self, desk: ViewOptions, work: Inspection) -> None:
        super().__init__(desk)
        self.work = work

    def first(self) -> str | None:
        return self._ways()[0]

    def _ways(self) -> list[Opening]:
        """In an order that does not tell the better one."""
        return sorted(self.work.ways(), reverse=self.work.seed % 2 == 0)

    def compose(self, canvas: Canvas) -> Node:
        """The filter in the vice; what is known of it, and two ways."""
        del canvas
        words = WAYS[self.work.evidence.element.kind]
        ways = [
            Item(ToolButton(way, words[way], partial(self.choose, way), icon=way), h=96)
            for way in self._ways()
        ]
        told = Item(ScrollText("about", "", self.about), grow=1)
        right = Column([told, *ways], grow=44)
        return Row([Picture(self._vice, grow=56), right], gap=28)

    def about(self) -> str:
        """What is written on the filter."""
        e = self.work.evidence
        kept = "The bowl has been kept." if e.element.kind != "can" else "It was drained into a clean cup."
        head = f"{e.element.title}.\n{service_time(e.hours)} in service. {kept}\nHeld lightly in the vice."
        return f"{head}\n\nWhat next?\n\n{CAUTION}"

    def choose(self, way: Opening) -> None:
        """Open it; a second key in the same frame finds it open."""
        if self.work.laid is None:
            self.work.open(way)
        self.leave = True

    def _vice(self, canvas: Canvas, box: pygame.Rect) -> None:
        """The bench with the filter in the vice."""
        bench(canvas.surface, box, canvas.theme.name, canvas.scale)
        old = canvas.surface.get_clip()
        canvas.surface.set_clip(box.inflate(-canvas.dp(12), -canvas.dp(12)))
        draw_whole(canvas, box, self.work.evidence.element.kind)
        canvas.surface.set_clip(old)
