"""Layout tree: columns and rows of texts and widgets, measured once and placed in one box.

A page says what stands under and beside what, and what takes the spare room; sizes follow from the words, the
text scale and the window. Widths and heights are in tp (they grow with the text), gaps in dp.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import Widget

Words = str | Callable[[], str]


@dataclass
class Node:
    """A piece of a page. Sizes are in tp, which grow with the text; `grow` is a share of the spare room."""

    h: float = field(default=0, kw_only=True)
    w: float = field(default=0, kw_only=True)
    grow: float = field(default=0, kw_only=True)
    box: pygame.Rect = field(default_factory=lambda: pygame.Rect(0, 0, 0, 0), kw_only=True)

    def width(self, canvas: Canvas) -> int:
        """Natural width in px; 0 where it takes what it gets."""
        return canvas.tp(self.w) if self.w else 0

    def height(self, canvas: Canvas, width: int) -> int:
        """Natural height in px at a width."""
        del width
        return canvas.tp(self.h) if self.h else 0

    def place(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Take a box."""
        del canvas
        self.box = box

    def widgets(self) -> Iterator[Widget]:
        """Widgets in Tab order."""
        yield from ()

    def paint(self, canvas: Canvas) -> None:
        """Draw what is no widget."""


@dataclass
class Text(Node):
    """Words, wrapped; `optional` ones are left out where they do not fit."""

    words: Words = ""
    role: str = "body"
    colour: str = "ink"
    bold: bool = False
    valign: str = "top"
    optional: bool = False

    def said(self) -> str:
        """The words now."""
        return self.words() if callable(self.words) else self.words

    def width(self, canvas: Canvas) -> int:
        return canvas.tp(self.w) if self.w else canvas.measure(self.said(), self.role, self.bold)[0] + 2

    def height(self, canvas: Canvas, width: int) -> int:
        return canvas.measure(self.said(), self.role, self.bold, width)[1]

    def paint(self, canvas: Canvas) -> None:
        if self.optional and self.height(canvas, self.box.w) > self.box.h:
            return
        canvas.text(
            self.said(), self.box, self.role, self.colour, valign=self.valign, bold=self.bold, wrap=True
        )


@dataclass
class Item(Node):
    """One widget, with words over it while `empty` gives some."""

    widget: Widget = field(default_factory=lambda: Widget("", ""))
    h: float = field(default=58, kw_only=True)
    empty: Callable[[], str] = str

    def place(self, canvas: Canvas, box: pygame.Rect) -> None:
        super().place(canvas, box)
        self.widget.box = box

    def widgets(self) -> Iterator[Widget]:
        yield self.widget

    def paint(self, canvas: Canvas) -> None:
        """What stands instead of an empty list."""
        if self.empty():
            canvas.text(self.empty(), self.box, valign="top", colour="soft", wrap=True)


@dataclass
class Picture(Node):
    """What is drawn by hand into a box of the tree."""

    draws: Callable[[Canvas, pygame.Rect], None] = lambda _, __: None

    def paint(self, canvas: Canvas) -> None:
        self.draws(canvas, self.box)


@dataclass
class Group(Node):
    """Children side by side or one under another, `gap` dp apart."""

    children: Sequence[Node] = ()
    gap: float = 16

    def widgets(self) -> Iterator[Widget]:
        for child in self.children:
            yield from child.widgets()

    def paint(self, canvas: Canvas) -> None:
        for child in self.children:
            child.paint(canvas)


@dataclass
class Column(Group):
    """Children one under another; `align` is where those of a width of their own stand: "left", "centre"."""

    align: str = "left"

    def width(self, canvas: Canvas) -> int:
        """As wide as asked, else as the widest child."""
        return canvas.tp(self.w) if self.w else max((c.width(canvas) for c in self.children), default=0)

    def height(self, canvas: Canvas, width: int) -> int:
        heights = [c.height(canvas, width) for c in self.children]
        return sum(heights) + canvas.dp(self.gap) * max(len(heights) - 1, 0)

    def place(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Natural heights, the rest to those that grow."""
        super().place(canvas, box)
        heights = [0 if c.grow else c.height(canvas, box.w) for c in self.children]
        spare = box.h - sum(heights) - canvas.dp(self.gap) * max(len(heights) - 1, 0)
        y, shares = box.y, sum(c.grow for c in self.children) or 1
        for child, natural in zip(self.children, heights, strict=True):
            h = max(0, round(spare * child.grow / shares)) if child.grow else natural
            wide = min(box.w, canvas.tp(child.w)) if child.w else box.w
            x = box.x if self.align == "left" else box.centerx - wide // 2
            child.place(canvas, pygame.Rect(x, y, wide, h))
            y += h + canvas.dp(self.gap)


class Row(Group):
    """Children side by side."""

    def height(self, canvas: Canvas, width: int) -> int:
        return max(
            (c.height(canvas, w) for c, w in zip(self.children, self._widths(canvas, width), strict=True)),
            default=0,
        )

    def _widths(self, canvas: Canvas, width: int) -> list[int]:
        fixed = [0 if c.grow else c.width(canvas) for c in self.children]
        spare = max(0, width - sum(fixed) - canvas.dp(self.gap) * max(len(fixed) - 1, 0))
        shares = sum(c.grow for c in self.children) or 1
        return [
            round(spare * c.grow / shares) if c.grow else f for c, f in zip(self.children, fixed, strict=True)
        ]

    def place(self, canvas: Canvas, box: pygame.Rect) -> None:
        """Natural widths, the rest to those that grow."""
        super().place(canvas, box)
        x = box.x
        for child, w in zip(self.children, self._widths(canvas, box.w), strict=True):
            child.place(canvas, pygame.Rect(x, box.y, w, box.h))
            x += w + canvas.dp(self.gap)


@dataclass
class Labelled(Row):
    """A form's row: a label of a width all rows share, then the field."""


def fields(canvas: Canvas, rows: Sequence[tuple[str, Widget]]) -> list[Node]:
    """Rows of a form whose labels share one width."""
    wide = max(canvas.measure(label)[0] for label, _ in rows) / (canvas.scale * canvas.text_scale) + 1
    return [
        Row([Text(label, colour="soft", valign="middle", w=wide), Item(widget, grow=1)], gap=18, h=58)
        for label, widget in rows
    ]
