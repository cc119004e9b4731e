"""Ways of drawing a fault into the section: each returns the box it drew in, px.

A glyph gets the canvas, the view, the box of its part (right half), the gravity of the fault 0..1 and the
moment. Sizes that the model knows (a hole, a lift) are to scale; the rest says what is wrong, not how large.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Colour
from glasscan.window.contract import Array
from glasscan.window.cutaway.section_view import View

OIL_LEVEL = 120  # of the ramp of pressures: oil in a hole, half way between the sides
SLIT_M = 5e-3  # length of a tear along the fold that is not seen in the section
VARNISH, WATER, RUST = (122, 74, 24), (120, 190, 255), (154, 63, 31)
STEEL, GOLD, DUST, AIR = (205, 212, 220), (226, 176, 70), (176, 138, 84), (214, 236, 245)


@dataclass(frozen=True)
class Glyph:
    """What a glyph draws with.

    Attributes:
        box: the part on the right half, px.
        whole: the part on both halves, px.
        wet: points (n, 2) in the oil, px, in an order that does not change.
        hole_mm2: open area past the media, mm2; 0 where there is none.
        wet_px2: what the oil of the dirty side takes of the picture, px2.
    """

    canvas: Canvas
    view: View
    box: pygame.Rect
    whole: pygame.Rect
    severity: float
    s: Snapshot
    wet: Array
    hole_mm2: float = 0.0
    wet_px2: float = 0.0

    def colour(self, name: str) -> Colour:
        """A colour of the theme."""
        return self.canvas.theme[name]

    def px(self, metres: float) -> int:
        """Pixels of a length, at least one."""
        return max(1, round(metres * self.view.px_m))


Draw = Callable[[Glyph], pygame.Rect]


def _slit(g: Glyph, middle_y: float) -> pygame.Rect:
    """An opening straight through the media with its stream of unfiltered oil, to scale for a slit."""
    tall = max(3, round(1e-6 * max(g.hole_mm2, 0.5) / SLIT_M * g.view.px_m))
    hole = pygame.Rect(g.box.x, round(middle_y - tall / 2), g.box.w, tall).clip(g.box.inflate(0, 2 * tall))
    surface = g.canvas.surface
    oil = tuple(int(c) for c in g.canvas.theme.ramp[OIL_LEVEL])
    pygame.draw.rect(surface, g.colour("outline"), hole.inflate(4, 4))
    pygame.draw.rect(surface, oil, hole)
    flow = g.s.readings.get("hole_m3s", 0.0)
    if flow > 0:
        stream = hole.inflate(0, -max(1, tall // 3))
        pygame.draw.rect(surface, g.colour("warn"), stream)
        size = g.canvas.dp(9)
        for x in range(hole.x + size, hole.right, 3 * size):
            tip = [(x - size, hole.centery), (x, hole.centery - size), (x, hole.centery + size)]
            pygame.draw.polygon(surface, g.colour("warn"), tip)
            pygame.draw.polygon(surface, g.colour("outline"), tip, 1)
    g.canvas.record(
        "hole", {"at": _height(g, hole), "area_mm2": round(hole.h / g.view.px_m * SLIT_M * 1e6, 2)}
    )
    return hole


def _height(g: Glyph, hole: pygame.Rect) -> str:
    share = (g.box.bottom - hole.centery) / max(g.box.h, 1)
    return "top" if share > 0.8 else "foot" if share < 0.2 else "middle"


def torn(g: Glyph) -> pygame.Rect:
    """A tear half way up."""
    hole = _slit(g, g.box.centery)
    edge = [(hole.x + i * hole.w / 8, hole.y - (4 if i % 2 else 0)) for i in range(9)]
    pygame.draw.lines(g.canvas.surface, g.colour("outline"), False, edge, 2)
    return hole.inflate(6, 10)


def collapsed(g: Glyph) -> pygame.Rect:
    """Folds pressed together and bent, the core dented, and the tear."""
    surface, wide = g.canvas.surface, g.canvas.dp(4)
    y = np.linspace(g.box.y, g.box.bottom, 40)
    bend = np.sin((y - g.box.y) / g.box.h * 3 * np.pi) * (0.08 + 0.14 * g.severity) * g.box.w
    for side in (1, -1):
        for share in np.linspace(0.15, 0.85, 6):
            x = g.box.x + share * g.box.w - np.abs(bend) * (1 - share) * 1.5
            x = x if side > 0 else 2 * g.view.axis_x - x
            pygame.draw.lines(surface, (36, 26, 14), False, np.stack([x, y], axis=1).tolist(), wide)
    dent = pygame.Rect(
        g.box.x - g.px(2e-3), round(g.box.centery - 0.16 * g.box.h), g.px(2.5e-3), round(0.32 * g.box.h)
    )
    pygame.draw.ellipse(surface, g.colour("outline"), dent)
    if g.hole_mm2 > 0.0:
        _slit(g, g.box.centery)
    return g.box.inflate(8, 0)


def end_gap(g: Glyph) -> pygame.Rect:
    """The media off its upper cap."""
    return _slit(g, g.box.y + max(2, 1e-6 * g.hole_mm2 / SLIT_M * g.view.px_m / 2))


def foot_gap(g: Glyph) -> pygame.Rect:
    """A way past the inner ring at the foot."""
    return _slit(g, g.box.bottom - 2)


def short(g: Glyph) -> pygame.Rect:
    """An element that ends below its seal."""
    gap = pygame.Rect(g.box.x, g.box.y, g.box.w, max(8, round(0.07 * g.box.h)))
    for box in (gap, _mirrored(g, gap)):
        pygame.draw.rect(g.canvas.surface, g.colour("well"), box)
        pygame.draw.line(g.canvas.surface, g.colour("outline"), box.bottomleft, box.bottomright, 3)
    return gap.union(_slit(g, gap.centery))


def _mirrored(g: Glyph, box: pygame.Rect) -> pygame.Rect:
    return pygame.Rect(round(2 * g.view.axis_x) - box.right, box.y, box.w, box.h)


def _veil(g: Glyph, colour: Colour, alpha: int, lines: int = 0, dots: int = 0) -> pygame.Rect:
    """The media of both halves under a veil, with so many lines or dots."""
    for box in (g.box, _mirrored(g, g.box)):
        veil = pygame.Surface(box.size, pygame.SRCALPHA)
        veil.fill((*colour, alpha))
        for i in range(lines):
            x = round((i + 0.5) * box.w / lines)
            pygame.draw.line(veil, (20, 14, 8, 200), (x, 0), (x, box.h), 1)
        for i in range(dots):
            at = (round((i * 0.618 % 1) * box.w), round((i * 0.7549 % 1) * box.h))
            pygame.draw.circle(veil, (16, 22, 30, 230), at, g.canvas.dp(5))
        g.canvas.surface.blit(veil, box)
    return g.box


def clogged(g: Glyph) -> pygame.Rect:
    """Media black with dirt."""
    return _veil(g, (18, 12, 8), round(150 + 95 * g.severity))


def coarse(g: Glyph) -> pygame.Rect:
    """Pores that are seen."""
    return _veil(g, (240, 226, 180), 120, dots=round(60 + 60 * g.severity))


def fine(g: Glyph) -> pygame.Rect:
    """Media as dense as felt."""
    return _veil(g, (120, 100, 66), 130, lines=26)


def left_out(g: Glyph) -> pygame.Rect:
    """Oil where the element should be, its outline dashed."""
    for box in (g.box, _mirrored(g, g.box)):
        veil = pygame.Surface(box.size, pygame.SRCALPHA)
        veil.fill((*(int(c) for c in g.canvas.theme.ramp[110]), 240))
        g.canvas.surface.blit(veil, box)
        for y in range(box.y, box.bottom, 16):
            for x in (box.x, box.right - 2):
                pygame.draw.line(
                    g.canvas.surface, g.colour("outline"), (x, y), (x, min(y + 8, box.bottom)), 2
                )
    return g.box


def blocked(g: Glyph) -> pygame.Rect:
    """Something left inside over the inlet."""
    tall = max(8, round(0.7 * g.box.h))
    lump = pygame.Rect(g.box.x + round(0.15 * g.box.w), g.box.y - tall // 2, round(0.7 * g.box.w), tall)
    for box in (lump, _mirrored(g, lump)):
        pygame.draw.rect(g.canvas.surface, RUST, box, border_radius=5)
        pygame.draw.rect(g.canvas.surface, g.colour("outline"), box, 2, border_radius=5)
    return lump


def curled(g: Glyph) -> pygame.Rect:
    """A lip that has set hard and stands off its seat."""
    box = g.box.inflate(6, 10)
    for one in (g.box, _mirrored(g, g.box)):
        up = one.right if one is g.box else one.x
        root = one.x if one is g.box else one.right
        curve = [(root, one.y), ((root + up) / 2, one.y - 2), (up, one.y - one.h), (up, one.y - 1.6 * one.h)]
        pygame.draw.lines(g.canvas.surface, g.colour("warn"), False, curve, g.canvas.dp(6))
    return box.union(g.box.move(0, -round(1.6 * g.box.h)))


def _on_seal(g: Glyph, draw: Callable[[pygame.Rect, int], None]) -> pygame.Rect:
    """Something drawn on the seal of both halves; `draw` gets the box and its side."""
    for box, side in ((g.box, 1), (_mirrored(g, g.box), -1)):
        draw(box, side)
    return g.box.inflate(g.canvas.dp(16), g.canvas.dp(16))


def no_seal(g: Glyph) -> pygame.Rect:
    """A groove with nothing in it."""

    def draw(box: pygame.Rect, side: int) -> None:
        del side
        pygame.draw.rect(g.canvas.surface, g.colour("paper"), box.inflate(4, 4))
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), box.inflate(4, 4), 2)

    return _on_seal(g, draw)


def two_seals(g: Glyph) -> pygame.Rect:
    """A second seal over the first, squeezed outwards."""

    def draw(box: pygame.Rect, side: int) -> None:
        other = box.move(side * box.w // 3, -round(0.9 * box.h))
        rubber = g.canvas.theme.material("rubber").fill
        pygame.draw.rect(g.canvas.surface, rubber, other, border_radius=4)
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), other, 2, border_radius=4)

    return _on_seal(g, draw)


def pinched(g: Glyph) -> pygame.Rect:
    """A lobe of rubber outside the joint."""

    def draw(box: pygame.Rect, side: int) -> None:
        lobe = pygame.Rect(0, 0, box.w, max(6, box.h // 2))
        lobe.center = (box.right if side > 0 else box.x), box.bottom
        pygame.draw.ellipse(g.canvas.surface, g.canvas.theme.material("rubber").fill, lobe)
        pygame.draw.ellipse(g.canvas.surface, g.colour("warn"), lobe, 2)

    return _on_seal(g, draw)


def nicked(g: Glyph) -> pygame.Rect:
    """A cut in the ring, on the right only."""
    x, y, size = g.box.centerx, g.box.centery, max(5, g.box.w // 3)
    tip = [(x, y), (x + 2 * size, y - size), (x + 2 * size, y + size)]
    pygame.draw.polygon(g.canvas.surface, g.colour("paper"), tip)
    pygame.draw.lines(g.canvas.surface, g.colour("warn"), False, [tip[1], tip[0], tip[2]], 3)
    return g.box.inflate(4 * size, 2 * size)


def flattened(g: Glyph) -> pygame.Rect:
    """A seal pressed flat and out of its groove."""

    def draw(box: pygame.Rect, side: int) -> None:
        flat = pygame.Rect(0, 0, round(1.9 * box.w), max(4, box.h // 3))
        flat.center = box.centerx + side * box.w // 3, box.centery
        pygame.draw.rect(g.canvas.surface, g.canvas.theme.material("rubber").fill, flat)
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), flat, 2)

    return _on_seal(g, draw)


def loose(g: Glyph) -> pygame.Rect:
    """A joint that stands open."""

    def draw(box: pygame.Rect, side: int) -> None:
        del side
        gap = pygame.Rect(box.x - box.w // 2, box.y - g.canvas.dp(5), 2 * box.w, g.canvas.dp(5))
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), gap)

    return _on_seal(g, draw)


def chip(g: Glyph) -> pygame.Rect:
    """A chip between valve and seat, as thick as the valve stands off."""
    tall = max(g.px(g.s.lift_m), g.canvas.dp(7))
    x, y = g.box.right - round(0.18 * g.box.w), g.box.y - tall // 2
    corners = [
        (x - tall, y),
        (x - tall // 3, y - tall // 2),
        (x + tall, y - tall // 4),
        (x + tall // 2, y + tall // 2),
    ]
    pygame.draw.polygon(g.canvas.surface, STEEL, corners)
    pygame.draw.polygon(g.canvas.surface, g.colour("warn"), corners, 2)
    return pygame.Rect(x - tall, y - tall, 3 * tall, 2 * tall)


def wedge(g: Glyph) -> pygame.Rect:
    """A lump that keeps the valve from going back."""
    tall = max(g.px(g.s.lift_m), g.canvas.dp(10))
    box = pygame.Rect(g.box.centerx - g.box.w // 4, g.box.y - tall, g.box.w // 2, tall)
    pygame.draw.ellipse(g.canvas.surface, RUST, box)
    pygame.draw.ellipse(g.canvas.surface, g.colour("warn"), box, 2)
    return box


def varnish(g: Glyph) -> pygame.Rect:
    """A brown skin round the valve that glues it."""
    skin = g.whole.inflate(g.canvas.dp(10), g.canvas.dp(8))
    pygame.draw.rect(g.canvas.surface, VARNISH, skin, g.canvas.dp(5), border_radius=6)
    return skin


def weak_spring(g: Glyph) -> pygame.Rect:
    """A spring with a broken coil."""
    y = g.whole.centery
    gap = pygame.Rect(g.whole.x - 2, y - g.canvas.dp(5), g.whole.w + 4, g.canvas.dp(10))
    if g.whole.w > 2 * g.whole.h:  # a spring that lies
        gap = pygame.Rect(g.whole.centerx - g.canvas.dp(5), g.whole.y - 2, g.canvas.dp(10), g.whole.h + 4)
    pygame.draw.rect(g.canvas.surface, g.colour("well"), gap)
    for edge in ((gap.topleft, gap.topright), (gap.bottomleft, gap.bottomright)):
        pygame.draw.line(g.canvas.surface, g.colour("warn"), *edge, 3)
    return gap


def shim(g: Glyph) -> pygame.Rect:
    """A block under the spring that should not be there."""
    block = pygame.Rect(g.whole.x, g.whole.bottom - g.canvas.dp(10), g.whole.w, g.canvas.dp(10))
    if g.whole.w > 2 * g.whole.h:
        block = pygame.Rect(g.whole.right - g.canvas.dp(10), g.whole.y, g.canvas.dp(10), g.whole.h)
    pygame.draw.rect(g.canvas.surface, g.canvas.theme.material("brass").fill, block)
    pygame.draw.rect(g.canvas.surface, g.colour("warn"), block, 2)
    return block


def _specks(g: Glyph, colour: Colour, number: int, size_dp: float, hollow: bool = False) -> pygame.Rect:
    """Particles, drops or bubbles spread over the oil."""
    spots = g.wet[:: max(1, len(g.wet) // max(number, 1))][:number]
    if len(spots) == 0:
        return g.box
    for i, (x, y) in enumerate(spots.tolist()):
        r = _speck_px(g, i, size_dp)
        pygame.draw.circle(g.canvas.surface, g.colour("outline"), (x, y), r + 1)
        pygame.draw.circle(g.canvas.surface, colour, (x, y), r)
        if hollow:
            pygame.draw.circle(g.canvas.surface, (255, 255, 255), (x - r // 3, y - r // 3), max(1, r // 3))
    low, high = spots.min(axis=0), spots.max(axis=0)
    return pygame.Rect(*low.astype(int).tolist(), *(high - low).astype(int).tolist())


def _speck_px(g: Glyph, i: int, size_dp: float) -> int:
    return max(2, round(g.canvas.dp(size_dp) * (0.6 + 0.5 * ((i * 0.618) % 1))))


def _by_share(g: Glyph, share: float, size_dp: float) -> tuple[int, float]:
    """So many specks that together they cover a share of the oil's picture, and the share they do cover."""
    covered, number = 0.0, 0
    while number < len(g.wet) and covered < share * g.wet_px2:
        covered += np.pi * _speck_px(g, number, size_dp) ** 2
        number += 1
    return number, covered / max(g.wet_px2, 1.0)


def bubbles(g: Glyph) -> pygame.Rect:
    """Air as bubbles: their share of the oil's picture is the share of air in the oil at its pressure."""
    number, drawn = _by_share(g, g.s.readings["void_share"], 5.0)
    g.canvas.record("void_share", round(drawn, 3))
    return _specks(g, AIR, number, 5.0, hollow=True)


def water(g: Glyph) -> pygame.Rect:
    """Drops of water by their share of the oil, and media swollen by it."""
    _veil(g, (70, 110, 150), 90)
    number, drawn = _by_share(g, g.s.readings["water_share"], 4.0)
    g.canvas.record("water_share", round(drawn, 4))
    return _specks(g, WATER, number, 4.0, hollow=True)


def steel(g: Glyph) -> pygame.Rect:
    """Bright splinters."""
    return _specks(g, STEEL, round(30 + 60 * g.severity), 3.4)


def soft_metal(g: Glyph) -> pygame.Rect:
    """Golden flakes."""
    return _specks(g, GOLD, round(30 + 60 * g.severity), 3.8)


def dust(g: Glyph) -> pygame.Rect:
    """Grains of dust."""
    return _specks(g, DUST, round(50 + 110 * g.severity), 3.0)


def not_turned(g: Glyph) -> pygame.Rect:
    """A tag on the handle."""
    tag = pygame.Rect(0, 0, g.canvas.dp(26), g.canvas.dp(34))
    tag.midbottom = g.whole.centerx, g.whole.y
    pygame.draw.rect(g.canvas.surface, g.colour("warn"), tag, border_radius=4)
    pygame.draw.rect(g.canvas.surface, g.colour("outline"), tag, 2, border_radius=4)
    return tag


def sheared(g: Glyph) -> pygame.Rect:
    """A break across the shaft."""
    y, size = g.whole.y + g.whole.h // 4, g.canvas.dp(8)
    crack = [
        (g.whole.x - size + i * (g.whole.w + 2 * size) / 6, y + (size if i % 2 else -size)) for i in range(7)
    ]
    pygame.draw.lines(g.canvas.surface, g.colour("well"), False, crack, g.canvas.dp(8))
    pygame.draw.lines(g.canvas.surface, g.colour("warn"), False, crack, g.canvas.dp(3))
    return pygame.Rect(g.whole.x - size, y - 2 * size, g.whole.w + 2 * size, 4 * size)


def worn_blades(g: Glyph) -> pygame.Rect:
    """Blades that no longer reach into the gaps."""
    gone = pygame.Rect(g.box.x, g.box.y, max(4, round((0.35 + 0.45 * g.severity) * g.box.w)), g.box.h)
    lost = pygame.Surface(gone.size, pygame.SRCALPHA)
    lost.fill((*g.colour("well"), 170))
    g.canvas.surface.blit(lost, gone)
    pygame.draw.line(g.canvas.surface, g.colour("warn"), gone.topright, gone.bottomright, 3)
    return gone


def bent_blades(g: Glyph) -> pygame.Rect:
    """Blades bent out of their gaps."""
    for i in range(5):
        y = g.box.y + (i + 0.5) * g.box.h / 5
        bent = [(g.box.right, y), (g.box.centerx, y), (g.box.x, y - 0.08 * g.box.h)]
        pygame.draw.lines(g.canvas.surface, g.colour("warn"), False, bent, g.canvas.dp(4))
    return g.box


def wide_gap(g: Glyph) -> pygame.Rect:
    """One gap of the stack wider than the rest."""
    tall = max(4, g.px(0.127e-3 * (2 + 2 * g.severity)))
    gap = pygame.Rect(g.box.x, g.box.centery - tall // 2, g.box.w, tall)
    for box in (gap, _mirrored(g, gap)):
        pygame.draw.rect(g.canvas.surface, g.colour("well"), box)
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), box.inflate(2, 4), 2)
    return gap


def shut_gap(g: Glyph) -> pygame.Rect:
    """Two discs that touch, where the gap should be."""
    band = pygame.Rect(g.box.x, g.box.centery - g.canvas.dp(4), g.box.w, g.canvas.dp(8))
    for box in (band, _mirrored(g, band)):
        pygame.draw.rect(g.canvas.surface, g.canvas.theme.material("steel").fill, box)
        pygame.draw.rect(g.canvas.surface, g.colour("warn"), box.inflate(2, 4), 2)
    return band


def slack_nut(g: Glyph) -> pygame.Rect:
    """A nut backed off, with the gap that it leaves."""
    gap = pygame.Rect(
        g.whole.x - 4, g.whole.bottom, g.whole.w + 8, max(4, g.px((1.5 + 3.5 * g.severity) * 1e-3))
    )
    pygame.draw.rect(g.canvas.surface, g.colour("well"), gap)
    pygame.draw.rect(g.canvas.surface, g.colour("warn"), gap, 2)
    return gap


def sludge(g: Glyph) -> pygame.Rect:
    """Sludge to the discs in the bowl."""
    tall = round((0.10 + 0.06 * g.severity) * g.whole.h)
    heap = pygame.Rect(
        g.whole.x + g.whole.w // 8, g.whole.bottom - tall - g.canvas.dp(8), 3 * g.whole.w // 4, tall
    )
    pygame.draw.ellipse(g.canvas.surface, (40, 30, 20), heap)
    pygame.draw.ellipse(g.canvas.surface, g.colour("warn"), heap, 2)
    return heap


GLYPHS: dict[str, Draw] = {
    name.__name__.replace("_", "-"): name
    for name in (
        torn, collapsed, end_gap, foot_gap, short, clogged, coarse, fine, left_out, blocked, curled, no_seal,
        two_seals, pinched, nicked, flattened, loose, chip, wedge, varnish, weak_spring, shim, bubbles, water,
        steel, soft_metal, dust, not_turned, sheared, worn_blades, bent_blades, wide_gap, shut_gap,
        slack_nut, sludge,
    )
}  # fmt: skip
