"""A whole window of text, lists and pictures without a running filter: head, body, foot, keys, help.

A page says which widgets it has and paints what lies under them; everything that all pages share stands
here: theme, units, text size, help, full screen, the way back, and the line that this is a teaching model.
"""

from __future__ import annotations

from typing import Protocol

import pygame

from glasscan.ui.bindings import Binding, acts_of, sheet_of
from glasscan.ui.canvas import Canvas
from glasscan.ui.focus import Form
from glasscan.ui.key_sheet import TEACHING, draw_help
from glasscan.ui.layout import Node
from glasscan.ui.theme import load_theme
from glasscan.ui.view_keys import act_of, closes_sheet, view_bindings
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Widget


class Shown(Protocol):
    """What the frame loop needs of a screen or page."""

    quit: bool
    fullscreen: bool
    form: Form
    desk: ViewOptions

    @property
    def leave(self) -> bool:
        """True once it is to be left for what comes next."""

    def handle(self, event: pygame.event.Event) -> None:
        """One event."""

    def update(self, wall_s: float) -> None:
        """Let wall time pass, s."""

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame."""


class Page:
    """Base of all pages; a subclass overrides `title`, `stamp`, `widgets`, `paint` and `bindings`.

    Attributes:
        desk: choices of the view, shared by all pages of a sitting.
        notice: a line in the foot, instead of the teaching-only line; shown until the next key.
        notice_bad: the notice tells of something that went wrong.
        leave: the page is done.
    """

    at_rest = True
    """Nothing moves by itself on a page: the loop looks at it some times a second."""

    def __init__(self, desk: ViewOptions) -> None:
        self.desk = desk
        self.form = Form()
        self.quit = self.leave = self.fullscreen = False
        self.notice, self.notice_bad = "", False
        self._built: tuple[object, ...] = ()

    # --- what a page says of itself -----------------------------------------------------------------

    @property
    def title(self) -> str:
        """Heading."""
        return ""

    @property
    def aside(self) -> str:
        """Short text at the right of the heading."""
        return ""

    def stamp(self) -> tuple[object, ...]:
        """Whatever the widgets depend on besides window size and text size; changed, they are made anew."""
        return ()

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        """Widgets in Tab order, with their boxes inside the body."""
        self.tree = self.compose(canvas)
        if self.tree is None:
            return []
        self.tree.place(canvas, body)
        return list(self.tree.widgets())

    tree: Node | None = None

    def compose(self, canvas: Canvas) -> Node | None:
        """The page as a tree of rows and columns, placed once in the body; None where it places its own."""
        del canvas
        return None

    def first(self) -> str | None:
        """Name of the widget that has the focus when the page, or a new part of it, opens."""
        return None

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """Draw what lies under the widgets."""
        del body
        if self.tree is not None:
            self.tree.paint(canvas)

    def bindings(self) -> tuple[Binding, ...]:
        """Keys of this page: what they do and what the key sheet says of them."""
        return ()

    def all_bindings(self) -> tuple[Binding, ...]:
        """Its own keys, then those of all pages but for the ones it has taken."""
        own = self.bindings()
        rows = (
            Binding("Tab, Enter", "move, press"),
            Binding("↑  ↓", "along a list"),
            *view_bindings(self),
            Binding("Esc", "back", {"escape": self.back}),
        )
        shown = {row.shown for row in own}
        return (*own, *(row for row in rows if row.shown not in shown))

    def text_scale(self) -> float:
        """Factor on all text of this page."""
        return self.desk.text_scale

    def back(self) -> None:
        """Escape with nothing else open."""
        self.leave = True

    # --- what all pages do --------------------------------------------------------------------------

    def tell(self, text: str, bad: bool = False) -> None:
        """Put a line into the foot."""
        self.notice, self.notice_bad = text, bad

    def handle(self, event: pygame.event.Event) -> None:
        """One event: the help sheet on top, then the focused widget, then the keys of the page.

        Where nothing is being typed one Escape goes back, whatever has the focus.
        """
        if event.type == pygame.QUIT:
            self.quit = True
        elif self.desk.help:
            self.desk.help = not closes_sheet(event)
        elif event.type == pygame.KEYDOWN and event.key == pygame.K_ESCAPE and not self._half_typed():
            self.notice = ""
            self.back()
        elif event.type == pygame.KEYDOWN:
            self.notice = ""
            if not self.form.handle(event):
                self._key(event)
        elif event.type == pygame.DROPFILE:
            self.notice = ""
            self.dropped(str(event.file))
        else:
            self.form.handle(event)

    def dropped(self, file: str) -> None:
        """A file or folder was dropped on the window."""

    def _half_typed(self) -> bool:
        """Something stands in the line that has the focus: Escape leaves the line, not the page."""
        focused = self.form.focused
        return focused is not None and focused.typing and bool(getattr(focused, "get", str)())

    def _key(self, event: pygame.event.Event) -> None:
        act = act_of(event, acts_of(self.all_bindings()))
        if act is not None:
            act()

    def update(self, wall_s: float) -> None:
        """Let wall time pass, s."""

    def boxes(self, canvas: Canvas) -> tuple[pygame.Rect, pygame.Rect, pygame.Rect]:
        """Head, body and foot of the window."""
        w, h = canvas.surface.get_size()
        margin, gap = canvas.dp(48), canvas.dp(16)
        head = pygame.Rect(margin, canvas.dp(22), w - 2 * margin, canvas.tp(58))
        foot = pygame.Rect(margin, h - canvas.dp(18) - canvas.tp(44), w - 2 * margin, canvas.tp(44))
        body = pygame.Rect(margin, head.bottom + gap, w - 2 * margin, foot.y - head.bottom - 2 * gap)
        return head, body, foot

    def draw(self, surface: pygame.Surface, drawn_s: float = 0.0) -> Canvas:
        """Draw one frame; returns the canvas with its record of texts."""
        del drawn_s
        canvas = Canvas(surface, load_theme(self.desk.theme), self.text_scale())
        surface.fill(canvas.theme["paper"])
        head, body, foot = self.boxes(canvas)
        self._build(canvas, body)
        self._draw_head(canvas, head)
        self.paint(canvas, body)
        self._draw_foot(canvas, foot)
        self.form.draw(canvas)
        if self.desk.help:
            draw_help(canvas, sheet_of(self.all_bindings()))
        return canvas

    def _build(self, canvas: Canvas, body: pygame.Rect) -> None:
        key = (canvas.surface.get_size(), canvas.text_scale, *self.stamp())
        if key == self._built:
            return
        self._built = key
        focus = self.form.focused.name if self.form.focused else None
        self.form = Form(self.widgets(canvas, body)).after(self.form)
        names = {w.name for w in self.form.widgets}
        self.form.focus_on(focus if focus in names else self.first())

    def _draw_head(self, canvas: Canvas, head: pygame.Rect) -> None:
        aside_w = canvas.measure(self.aside, bold=True)[0] + canvas.dp(24) if self.aside else 0
        left = pygame.Rect(head.x, head.y, head.w - aside_w, head.h)
        role = "number" if canvas.measure(self.title, "number", True)[0] <= left.w else "title"
        canvas.text(self.title, left, role=role, bold=True, shorten=role == "title")
        if self.aside:
            right = pygame.Rect(left.right, head.y, aside_w, head.h)
            canvas.text(self.aside, right, align="right", bold=True, colour="accent")

    def _draw_foot(self, canvas: Canvas, foot: pygame.Rect) -> None:
        hint = "Esc: back.  ?: keys."
        hint_w = canvas.measure(hint)[0] + canvas.dp(16)
        canvas.text(hint, foot, align="right", colour="soft")
        place = pygame.Rect(foot.x, foot.y, foot.w - hint_w, foot.h)
        if self.notice:
            colour = "warn" if self.notice_bad else "accent"
            canvas.text(self.notice, place, bold=True, colour=colour, shorten=True)
            return
        for text in (TEACHING, "For teaching only."):
            if canvas.measure(text)[0] <= place.w:
                canvas.text(text, place, colour="soft")
                return
