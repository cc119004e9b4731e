"""The stack by hand: discs, spacers and blades on the shaft one by one, a height gauge, and the nut."""

from __future__ import annotations

from collections.abc import Callable

import pygame

from glasscan.ui.bindings import Binding
from glasscan.ui.canvas import Canvas
from glasscan.ui.page import Page
from glasscan.ui.page_widgets import ScrollText
from glasscan.ui.view_options import ViewOptions
from glasscan.ui.widgets import Button, Widget
from glasscan.window.bench.bench_top import bench, look, shadow, upright
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.stack_pieces import (
    BLADE,
    DISC,
    PAIR,
    SPACER,
    from_the_box,
    height_mm,
    next_piece,
    right_lay,
    stack_data,
)

TEN = 10
CLOSE = 9
"""Pieces shown large beside the stack."""


class StackPage(Page):
    """`chosen` is the list of pieces once the nut is on; None where it was left."""

    title = "The stack, piece by piece"

    def __init__(self, desk: ViewOptions, job: Job) -> None:
        super().__init__(desk)
        self.job = job
        self.lay = ""
        self.chosen: dict[str, str] | None = None
        self.gauge = False
        self.drawn = 0

    @property
    def aside(self) -> str:
        """How many pieces lie on the shaft."""
        return f"{len(self.lay)} pieces on the shaft"

    def first(self) -> str | None:
        return "ten"

    def boxes_of(self, canvas: Canvas, body: pygame.Rect) -> dict[str, pygame.Rect]:
        """Stack, close view, words, buttons."""
        gap, h = canvas.dp(16), canvas.tp(60)
        foot = pygame.Rect(body.x, body.bottom - 2 * h - gap, body.w, 2 * h + gap)
        words = pygame.Rect(0, body.y, round(body.w * 0.30), foot.y - gap - body.y)
        words.right = body.right
        picture = pygame.Rect(body.x, body.y, body.w - words.w - canvas.dp(24), words.h)
        return {"picture": picture, "words": words, "foot": foot}

    def widgets(self, canvas: Canvas, body: pygame.Rect) -> list[Widget]:
        at, gap = self.boxes_of(canvas, body), canvas.dp(16)
        foot, h = at["foot"], canvas.tp(60)
        rows: tuple[tuple[tuple[str, str, Callable[[], None]], ...], ...] = (
            (("disc", "Disc D", self.disc), ("spacer", "Spacer S", self.spacer),
             ("blade", "Blade B", self.blade), ("ten", "Next ten N", self.ten)),
            (("part", "Part them X", self.part), ("off", "Take off Z", self.off),
             ("gauge", "Gauge H", self.measure), ("nut", "Nut on F", self.clamp)),
        )  # fmt: skip
        made: list[Widget] = []
        wide = (foot.w - 3 * gap) // 4
        for j, row in enumerate(rows):
            for i, (name, label, does) in enumerate(row):
                box = pygame.Rect(foot.x + i * (wide + gap), foot.y + j * (h + gap), wide, h)
                made.append(Button(name, label, does, box=box))
        return [*made, ScrollText("words", "", self._words, box=at["words"])]

    def bindings(self) -> tuple[Binding, ...]:
        return (
            Binding("D", "a disc on the shaft", {"d": self.disc}),
            Binding("S", "a spacer from the box", {"s": self.spacer}),
            Binding("B", "a blade on its post", {"b": self.blade}),
            Binding("N", "the next ten", {"n": self.ten}),
            Binding("X", "part two spacers that stick together", {"x": self.part}),
            Binding("Z", "take the last piece off", {"z": self.off}),
            Binding("H", "height gauge", {"h": self.measure}),
            Binding("F", "nut on: the pack is clamped", {"f": self.clamp}),
        )

    def disc(self) -> None:
        """A disc on the shaft."""
        self._on(DISC)

    def spacer(self) -> None:
        """What the hand takes out of the box of spacers: one, or two that stick together."""
        self.drawn += 1
        self._on(from_the_box(self.job.seed, self.drawn))

    def blade(self) -> None:
        """A blade on its post."""
        self._on(BLADE)

    def _on(self, piece: str) -> None:
        if len(self.lay) < 2 * len(right_lay()):
            self.lay += piece
        self.gauge = False

    def ten(self) -> None:
        """The next ten pieces in their order, each as it comes out of its box."""
        for _ in range(TEN):
            if len(self.lay) >= len(right_lay()):
                self.tell("The shaft carries as many pieces as the record lists.")
                return
            {DISC: self.disc, SPACER: self.spacer, BLADE: self.blade}[next_piece(self.lay)]()

    def part(self) -> None:
        """Part two spacers that stick together, where that is what lies among the pieces shown large."""
        at = self.lay.rfind(PAIR, max(len(self.lay) - CLOSE, 0))
        if at < 0:
            self.tell("No two spacers stick together among the pieces under the lens.", True)
            return
        self.lay = self.lay[:at] + SPACER + self.lay[at + 1 :]

    def off(self) -> None:
        """Take the last piece off."""
        self.lay, self.gauge = self.lay[:-1], False

    def measure(self) -> None:
        """Hold the height gauge on the pack."""
        self.gauge = not self.gauge

    def clamp(self) -> None:
        """Put the nut on: the pack is as it is."""
        if not self.lay:
            self.tell("Nothing lies on the shaft yet.", True)
            return
        self.chosen, self.leave = {"lay": self.lay}, True

    def _words(self) -> str:
        s = stack_data().stack
        lines = [
            f"Disc {s.disc_mm:g} mm, spacer {s.gap_um:g} µm, and a blade in every gap. They stand in order: "
            "disc, spacer, blade, disc.",
            "Thin spacers stick together with oil. Two in one place make a gap twice as wide; none makes a "
            "gap that is shut and pinches its blade.",
        ]
        if self.gauge:
            right = right_lay()
            lines.append(
                f"Height {height_mm(self.lay):.2f} mm. The record of this pack: {height_mm(right):.2f} mm, "
                f"{right.count(DISC)} discs, {right.count(SPACER)} spacers, {right.count(BLADE)} blades."
            )
        lines.append("Edges cut. The pack is clamped by its nut before the height is read.")
        return "\n\n".join(lines)

    def paint(self, canvas: Canvas, body: pygame.Rect) -> None:
        """The shaft with its pack, and the last pieces under the lens."""
        picture = self.boxes_of(canvas, body)["picture"]
        bench(canvas.surface, picture, canvas.theme.name, canvas.scale)
        clip = canvas.surface.get_clip()
        canvas.surface.set_clip(picture.inflate(-canvas.dp(8), -canvas.dp(8)))
        inner = picture.inflate(-canvas.dp(60), -canvas.dp(40))
        left = pygame.Rect(inner.x, inner.y, round(inner.w * 0.48), inner.h)
        _pack(canvas, left, self.lay, self.gauge)
        _close(
            canvas,
            pygame.Rect(
                left.right + canvas.dp(20), inner.y, inner.right - left.right - canvas.dp(20), inner.h
            ),
            self.lay,
        )
        canvas.surface.set_clip(clip)


def _pack(canvas: Canvas, box: pygame.Rect, lay: str, gauge: bool) -> None:
    """The whole pack at one scale, with a ruler or the gauge beside it."""
    s, theme, data = canvas.surface, canvas.theme.name, stack_data()
    px_mm = box.h * 0.86 / (height_mm(right_lay()) * 1.12)
    foot, x = box.bottom - canvas.dp(30), box.x + round(box.w * 0.52)
    radius = min(data.stack.outer_radius_mm * px_mm, box.w * 0.32)
    shaft = pygame.Rect(x - round(radius * 0.2), box.y, round(radius * 0.4), foot - box.y)
    upright(s, shaft, theme, "steel")
    post = pygame.Rect(
        round(x + radius * 1.12), box.y + canvas.dp(20), canvas.dp(22), foot - box.y - canvas.dp(20)
    )
    upright(s, post, theme, "steel")
    y = float(foot)
    for piece in lay:
        if piece == BLADE:
            wide = round(post.x - x - radius * 0.55)
            pygame.draw.rect(s, look(theme, "brass"), (post.x - wide, round(y) - 1, wide, 2))
            continue
        thick = (
            data.stack.disc_mm if piece == DISC else data.stack.gap_um * 1e-3 * (2 if piece == PAIR else 1)
        )
        y -= thick * px_mm
        half = radius if piece == DISC else radius * 0.55
        rect = pygame.Rect(
            round(x - half), round(y), round(2 * half), max(round(thick * px_mm) - (piece == DISC), 1)
        )
        upright(s, rect, theme, "steel") if piece == DISC else pygame.draw.rect(s, look(theme, "gap"), rect)
    base = pygame.Rect(round(x - radius * 1.2), foot, round(radius * 2.4), canvas.dp(22))
    upright(s, base, theme, "steel")
    if gauge and lay:
        jaw = pygame.Rect(
            round(x - radius * 1.35), round(y) - canvas.dp(12), round(radius * 1.5), canvas.dp(12)
        )
        shadow(s, jaw, canvas.dp(10))
        pygame.draw.rect(s, canvas.theme["accent"], jaw)
        pygame.draw.rect(s, canvas.theme["accent"], (jaw.x, jaw.y, canvas.dp(14), foot - jaw.y))
        tag = pygame.Rect(jaw.x, jaw.y - canvas.tp(48), canvas.tp(190), canvas.tp(44))
        canvas.panel(tag, "sheet", "edge", 6, 2)
        canvas.text(f"{height_mm(lay):.2f} mm", tag, bold=True, align="centre")


def _close(canvas: Canvas, box: pygame.Rect, lay: str) -> None:
    """The last pieces as a lens shows them, thickness true to each other."""
    s, theme, data = canvas.surface, canvas.theme.name, stack_data()
    shown = lay[-CLOSE:]
    canvas.panel(box, "well", "edge", 12, 2)
    inner = box.inflate(-canvas.dp(40), -canvas.dp(30))
    head = pygame.Rect(inner.x, inner.y, inner.w, canvas.tp(40))
    canvas.text("Under the lens", head, bold=True, shorten=True)
    room = inner.bottom - head.bottom - canvas.dp(10)
    px_mm = room / (CLOSE / 3 * (data.stack.disc_mm + 3.2 * data.stack.gap_um * 1e-3) + 0.4)
    y, name_w = float(inner.bottom), canvas.tp(130)
    wide = inner.w - name_w - canvas.dp(10)
    for piece in shown:
        thick = {
            DISC: data.stack.disc_mm, SPACER: data.stack.gap_um * 1e-3, PAIR: 2 * data.stack.gap_um * 1e-3,
            BLADE: 0.8 * data.stack.gap_um * 1e-3,
        }[piece]  # fmt: skip
        high = max(round(thick * px_mm), 3)
        y -= high + 2
        rect = pygame.Rect(inner.x, round(y), wide if piece == DISC else round(wide * 0.55), high)
        if piece == BLADE:
            rect.x = inner.x + wide - rect.w
            pygame.draw.rect(s, look(theme, "brass"), rect)
        elif piece == DISC:
            upright(s, rect, theme, "steel")
        else:
            pygame.draw.rect(s, look(theme, "steel_dark"), rect)
            if piece == PAIR:  # the line between the two is all that gives them away
                pygame.draw.line(s, look(theme, "gap"), (rect.x, rect.centery), (rect.right, rect.centery), 1)
        if piece == DISC:
            name = pygame.Rect(inner.right - name_w, rect.centery - canvas.tp(18), name_w, canvas.tp(36))
            canvas.text("disc", name, colour="soft")
