"""The surface everything is drawn on: sizes in dp, fonts, smooth panels, and a record of every text box.

One dp is one pixel at 1920x1080; `Canvas.dp` scales it to the window, `Canvas.tp` to the window and the
text scale. Text drawn through `Canvas.text` is recorded with the box it was given, so that a test can
see overlaps and cut text without looking at pixels.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import cache, cached_property, lru_cache

import pygame

from glasscan.paths import asset
from glasscan.ui.theme import Colour, Theme

DESIGN_W, DESIGN_H = 1920, 1080
# Sizes in dp for the back of a room: text 24 or more, numbers 40 or more (common practice, no source).
ROLES = {"body": 24, "title": 30, "number": 44, "hero": 84}
SMOOTH = 3  # supersampling of rounded corners and drawn marks


@dataclass(frozen=True)
class TextBox:
    """One text as drawn: what, where, the box it was given, whether it fitted, and its colour."""

    text: str
    drawn: pygame.Rect
    box: pygame.Rect
    fits: bool
    essential: bool
    role: str
    colour: Colour = (0, 0, 0)


@cache
def font(px: int, bold: bool = False) -> pygame.font.Font:
    """The shipped font at a pixel size."""
    if not pygame.font.get_init():
        pygame.font.init()
    name = "DejaVuSans-Bold.ttf" if bold else "DejaVuSans.ttf"
    return pygame.font.Font(str(asset("fonts", name)), px)


@lru_cache(maxsize=600)
def _rendered(text: str, px: int, bold: bool, colour: Colour, align: int) -> pygame.Surface:
    face = font(px, bold)
    face.align = align
    return face.render(text, True, colour)


@lru_cache(maxsize=1500)
def wrapped(text: str, px: int, bold: bool, width: int) -> str:
    """`text` with line breaks at spaces, so that no line is wider than `width` pixels where words allow.

    A word too wide for a line is broken after a hyphen of its own.
    """
    face = font(px, bold)
    lines: list[str] = []
    for paragraph in text.split("\n"):
        line = ""
        for word in paragraph.split(" "):
            longer = f"{line} {word}" if line else word
            if line and face.size(longer)[0] > width:
                lines.append(line)
                longer = word
            while face.size(longer)[0] > width and (cut := _hyphen(face, longer, width)):
                lines.append(longer[:cut])
                longer = longer[cut:]
            line = longer
        lines.append(line)
    return "\n".join(lines)


def _hyphen(face: pygame.font.Font, word: str, width: int) -> int:
    """Place behind the last hyphen at which a word that is too wide can be broken; 0 where there is none."""
    cut = word.rfind("-", 1, len(word) - 1)
    while cut > 0 and face.size(word[: cut + 1])[0] > width:
        cut = word.rfind("-", 1, cut)
    return max(cut + 1, 0)


@lru_cache(maxsize=400)
def rounded(
    w: int, h: int, fill: Colour | None, border: Colour | None, radius: int, line: int
) -> pygame.Surface:
    """A rounded rectangle with smooth corners, (w, h) pixels, transparent outside."""
    big = pygame.Surface((w * SMOOTH, h * SMOOTH), pygame.SRCALPHA)
    big.fill((*(border or fill or (0, 0, 0)), 0))
    rect = big.get_rect()
    if fill is not None:
        pygame.draw.rect(big, fill, rect, border_radius=radius * SMOOTH)
    if border is not None:
        pygame.draw.rect(big, border, rect, width=line * SMOOTH, border_radius=radius * SMOOTH)
    return pygame.transform.smoothscale(big, (w, h))


def draw_rounded(
    surface: pygame.Surface,
    rect: pygame.Rect,
    fill: Colour | None,
    border: Colour | None,
    radius: int,
    line: int,
) -> None:
    """Draw a rounded rectangle: smooth corners from a small picture that is kept, all else by plain fills.

    A whole picture of every panel of every window size would soon hold a gigabyte.
    """
    corner = max(radius, line) + 1
    if min(rect.w, rect.h) <= 2 * corner:
        surface.blit(rounded(rect.w, rect.h, fill, border, radius, line), rect)
        return
    tile = rounded(2 * corner, 2 * corner, fill, border, radius, line)
    for right in (0, 1):
        for low in (0, 1):
            at = rect.x + right * (rect.w - corner), rect.y + low * (rect.h - corner)
            surface.blit(tile, at, (right * corner, low * corner, corner, corner))
    if fill is not None:
        surface.fill(fill, (rect.x + corner, rect.y, rect.w - 2 * corner, rect.h))
        surface.fill(fill, (rect.x, rect.y + corner, corner, rect.h - 2 * corner))
        surface.fill(fill, (rect.right - corner, rect.y + corner, corner, rect.h - 2 * corner))
    if border is not None:
        for y in (rect.y, rect.bottom - line):
            surface.fill(border, (rect.x + corner, y, rect.w - 2 * corner, line))
        for x in (rect.x, rect.right - line):
            surface.fill(border, (x, rect.y + corner, line, rect.h - 2 * corner))


def cut(text: str, face: pygame.font.Font, width: int) -> str:
    """`text`, shortened with an ellipsis until it is at most `width` pixels wide."""
    if face.size(text)[0] <= width:
        return text
    while text and face.size(text + "…")[0] > width:
        text = text[:-1]
    return text + "…"


@dataclass
class Canvas:
    """A surface with a theme and scales; draws text and panels and remembers where the text went."""

    surface: pygame.Surface
    theme: Theme
    text_scale: float = 1.0
    texts: list[TextBox] = field(default_factory=list)
    drawn: dict[str, object] = field(default_factory=dict)
    """Facts of the picture, written by the code that draws them: what `glasscan shot --json` tells."""

    def record(self, key: str, value: object) -> None:
        """Note a fact of the picture as it is drawn, read off the shapes that were put on the surface."""
        self.drawn[key] = value

    @cached_property
    def scale(self) -> float:
        """Window pixels in one dp."""
        w, h = self.surface.get_size()
        return min(w / DESIGN_W, h / DESIGN_H)

    def dp(self, value: float) -> int:
        """Pixels of a length in dp, at least 1 for a positive one."""
        return max(1, round(value * self.scale)) if value > 0 else round(value * self.scale)

    def tp(self, value: float) -> int:
        """Pixels of a length in dp that grows with the text."""
        return max(1, round(value * self.scale * self.text_scale))

    def size_px(self, role: str) -> int:
        """Font size of a role, px."""
        return self.tp(ROLES[role])

    def measure(self, text: str, role: str = "body", bold: bool = False, wrap: int = 0) -> tuple[int, int]:
        """Width and height of a text in pixels, wrapped at `wrap` pixels where that is positive."""
        px = self.size_px(role)
        if wrap <= 0:
            return font(px, bold).size(text)
        return _rendered(wrapped(text, px, bold, wrap), px, bold, self.theme["ink"], 0).get_size()

    def lines(self, text: str, width: int, role: str = "body", bold: bool = False) -> list[str]:
        """The lines that a text takes, wrapped at a width in pixels."""
        return wrapped(text, self.size_px(role), bold, width).split("\n")

    def fitting(self, text: str, box: pygame.Rect, bold: bool = False) -> str:
        """A text, cut at a word so that it fits a box when wrapped."""
        words = text.split(" ")
        whole = len(words)
        while words and self.measure(" ".join(words) + "…", bold=bold, wrap=box.w)[1] > box.h:
            words = words[: -max(1, len(words) // 12)]
        return text if len(words) == whole else " ".join(words) + "…"

    def text(
        self,
        text: str,
        box: pygame.Rect,
        role: str = "body",
        colour: str = "ink",
        align: str = "left",
        valign: str = "middle",
        bold: bool = False,
        wrap: bool = False,
        shorten: bool = False,
    ) -> pygame.Rect:
        """Draw `text` into `box` and record it; returns the rectangle it took.

        Args:
            text: what to write; may hold line breaks where `wrap` is set.
            box: where it has to fit.
            role: key of `ROLES`.
            colour: key of the theme.
            align: left, centre or right.
            valign: top, middle or bottom.
            bold: bold face.
            wrap: break lines at the box's width.
            shorten: cut with an ellipsis; only for text that is repeated elsewhere in full.
        """
        px = self.size_px(role)
        shown = cut(text, font(px, bold), box.width) if shorten else text
        shown = wrapped(shown, px, bold, box.width) if wrap else shown
        word = {"left": pygame.FONT_LEFT, "centre": pygame.FONT_CENTER, "right": pygame.FONT_RIGHT}[align]
        image = _rendered(shown, px, bold, self.theme[colour], word)
        rect = image.get_rect()
        rect.x = {"left": box.x, "centre": box.centerx - rect.w // 2, "right": box.right - rect.w}[align]
        rect.y = {"top": box.y, "middle": box.centery - rect.h // 2, "bottom": box.bottom - rect.h}[valign]
        self.surface.blit(image, rect)
        fits = rect.w <= box.w + 1 and rect.h <= box.h + 1
        self.texts.append(TextBox(shown, rect, box.copy(), fits, not shorten, role, self.theme[colour]))
        return rect

    def panel(
        self,
        rect: pygame.Rect,
        fill: str | None = "sheet",
        border: str | None = None,
        radius: float = 10,
        line: float = 2,
    ) -> None:
        """Draw a rounded panel in theme colours."""
        if rect.w <= 0 or rect.h <= 0:
            return
        inner, edge = (self.theme[name] if name else None for name in (fill, border))
        draw_rounded(self.surface, rect, inner, edge, self.dp(radius), self.dp(line))
