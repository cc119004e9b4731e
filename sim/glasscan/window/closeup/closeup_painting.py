"""What both close-ups share: boxes, textures of cut matter, marks of moving oil, facts, names, scale bar."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import DisplayUnit
from glasscan.ui.spreading import spread
from glasscan.ui.theme import Colour, Theme, load_theme
from glasscan.window.contract import KINDS, Array
from glasscan.window.cutaway import part_labels
from glasscan.window.cutaway.cutaway import PressureScale
from glasscan.window.cutaway.streaks import (
    PACE_DP_S,
    RATES,
    legend_sprite,
    picked,
    sprites,
)

TILE_PX = 192
TIGHT_TP = 1000.0  # narrower than this the picture needs the room of the key
BARS_MM = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0)  # lengths a scale bar may have
BAR_DP = 190.0  # at most so long
KIND_WORDS = {"dirty": ("dirty", "dirty"), "filtered": ("filtered", "good")}


@dataclass(frozen=True)
class Boxes:
    """Places of a close-up in its rectangle, px."""

    title: pygame.Rect
    key: pygame.Rect
    picture: pygame.Rect
    strip: pygame.Rect
    side: pygame.Rect


def boxes(canvas: Canvas, rect: pygame.Rect, strip_dp: float = 190.0) -> Boxes:
    """Title above; key, picture over strip, and facts with names from left to right.

    Where there is little room the key is left out.
    """
    gap = canvas.dp(20)
    tight = rect.w < canvas.tp(TIGHT_TP)
    title = pygame.Rect(rect.x, rect.y, rect.w, canvas.tp(48))
    top, bottom = title.bottom + gap // 2, rect.bottom
    key = pygame.Rect(rect.x, top, 0 if tight else canvas.tp(186), bottom - top)
    side = pygame.Rect(rect.right - canvas.tp(330), top, canvas.tp(330), bottom - top)
    strip_h = canvas.tp(strip_dp)
    left, right = key.right + (0 if tight else gap), side.x - gap
    picture = pygame.Rect(left, top, right - left, bottom - top - strip_h - gap)
    strip = pygame.Rect(left, picture.bottom + gap, picture.w, strip_h)
    return Boxes(title, key, picture, strip, side)


def draw_title(canvas: Canvas, box: pygame.Rect, title: str, about: str, warning: str) -> None:
    """Title, and beside it what is seen or, instead, what is wrong."""
    canvas.text(title, box, "title", bold=True)
    beside = box.copy()
    beside.x += canvas.measure(title, "title", bold=True)[0] + canvas.dp(24)
    beside.w = box.right - beside.x
    colour = "warn" if warning else "soft"
    canvas.text(warning or about, beside, colour=colour, bold=bool(warning), shorten=True)


def mixed(under: Array, over: Array, cover: Array) -> Array:
    """`over` laid on `under` (..., 3) with coverage (...)."""
    return np.asarray(under + (over - under) * np.asarray(cover, np.float32)[..., None])


def ramp_colours(theme: Theme, pressure_pa: Array, scale: PressureScale) -> Array:
    """(..., 3) colours, float32, of pressures."""
    level = np.clip((pressure_pa - scale.low_pa) * (255.0 / scale.span_pa), 0, 255)
    return np.asarray(theme.ramp.astype(np.float32)[np.nan_to_num(level).astype(np.uint8)])


@lru_cache(maxsize=8)
def texture(kind: str, theme_name: str, w: int, h: int, scale_percent: int) -> Array:
    """(w, h, 3) colours, float32, of "fibres" or "grains", one tile repeated."""
    tile = (_fibres if kind == "fibres" else _grains)(theme_name, TILE_PX, TILE_PX, scale_percent)
    return np.tile(tile, (-(-w // TILE_PX), -(-h // TILE_PX), 1))[:w, :h]


def _fibres(theme_name: str, w: int, h: int, scale_percent: int) -> Array:
    """A mat of fibres, seen cut: pale ground, thin curved strokes, light and dark."""
    material = load_theme(theme_name).material("medium")
    picture = pygame.Surface((w * 2, h * 2))
    picture.fill(material.fill)
    random = np.random.default_rng(1)
    reach = 34 * scale_percent / 100 * 2
    for _ in range(int(w * h / (42 * (scale_percent / 100) ** 2))):
        x, y, angle, curl = random.random(4) * (2 * w, 2 * h, np.pi, 1.4)
        steps = np.linspace(-0.5, 0.5, 6)
        turn = angle + (curl - 0.7) * steps
        points = np.stack([x + reach * steps * np.cos(turn), y + 0.55 * reach * steps * np.sin(turn)], axis=1)
        tone = random.choice([0.0, 0.35, 0.6])
        colour = [round(a + (b - a) * tone) for a, b in zip(material.fill, material.hatch, strict=True)]
        if tone == 0.0:
            colour = [min(255, round(c * 1.1)) for c in material.fill]
        pygame.draw.aalines(picture, colour, False, points.tolist())
    return np.asarray(pygame.surfarray.array3d(pygame.transform.smoothscale(picture, (w, h))), np.float32)


def _grains(theme_name: str, w: int, h: int, scale_percent: int) -> Array:
    """Packed grains: brown, each lit from above; drawn larger than life."""
    material = load_theme(theme_name).material("resin")
    picture = pygame.Surface((w * 2, h * 2))
    picture.fill([round(0.8 * c) for c in material.hatch])
    random = np.random.default_rng(2)
    size = max(2.2, 4.2 * scale_percent / 100) * 2
    for _ in range(int(w * h * 4 / size**2 * 1.1)):
        x, y, tone = random.random(3) * (2 * w, 2 * h, 1.0)
        radius = size * random.uniform(0.35, 0.62)
        tone = 0.15 + 0.7 * tone
        fill = [round(a + (b - a) * tone) for a, b in zip(material.hatch, material.fill, strict=True)]
        pygame.draw.circle(picture, [round(c * 0.45) for c in fill], (x, y), radius)
        pygame.draw.circle(picture, fill, (x - 0.15 * radius, y - 0.2 * radius), 0.78 * radius)
    return np.asarray(pygame.surfarray.array3d(pygame.transform.smoothscale(picture, (w, h))), np.float32)


def hatched(layer: pygame.Surface, outline: Array, theme: Theme, word: str, scale: float) -> None:
    """Fill a polygon (n, 2), px, of a layer with the fill and hatch of a cut material, and outline it."""
    material = theme.material(word)
    points = np.asarray(outline, dtype=float)
    low, high = np.floor(points.min(axis=0)), np.ceil(points.max(axis=0)) + 1
    box = pygame.Rect(*low.astype(int).tolist(), *(high - low).astype(int).tolist())
    box = box.clip(layer.get_rect())
    if box.w < 1 or box.h < 1:
        return
    ink = pygame.Surface(box.size, pygame.SRCALPHA)
    ink.fill((*material.fill, 255))
    pitch, lean = max(4.0, material.pitch * scale), 1.0 if material.angle >= 0 else -1.0
    for start in np.arange(-(box.h // pitch + 1) * pitch, box.w + box.h, pitch):
        at = start - (box.x + lean * box.y) % pitch
        ends = (at, 0), (at - lean * box.h, box.h)
        pygame.draw.line(ink, material.hatch, *ends, max(1, round(1.3 * scale)))
    mask = pygame.Surface(box.size, pygame.SRCALPHA)
    pygame.draw.polygon(mask, (255, 255, 255, 255), (points - box.topleft).tolist())
    ink.blit(mask, (0, 0), special_flags=pygame.BLEND_RGBA_MULT)
    layer.blit(ink, box)
    pygame.draw.lines(layer, theme["outline"], True, points.tolist(), max(1, round(2.0 * scale)))


def rate_for(speed_m_s: float, px_m: float, scale: float) -> float:
    """How much slower than life oil of a speed is drawn, so that the eye can follow."""
    wanted = PACE_DP_S * scale / max(speed_m_s * px_m, 1e-9)
    return next((r for r in RATES if r <= wanted), RATES[-1])


def draw_marks(canvas: Canvas, at_px: Array, velocity_px_s: Array, kind: Array) -> int:
    """Draw marks of moving oil as the window does: by kind, direction and drawn speed; returns how many.

    Args:
        canvas: where to.
        at_px, velocity_px_s: (n, 2) places and drawn velocities on the screen, y downwards.
        kind: (n,) index into `KINDS`.
    """
    styles = tuple((k, canvas.theme.streaks[k]) for k in KINDS)
    found = sprites(canvas.theme.name, styles, round(canvas.scale * 100))
    index = picked(kind, velocity_px_s[:, 0], velocity_px_s[:, 1], canvas.scale)
    found.need(index)
    places = np.rint(at_px - found.heads[index]).astype(int).tolist()
    canvas.surface.fblits(
        [(found.pictures[i], place) for i, place in zip(index.tolist(), places, strict=True)]
    )
    return len(places)


def scale_bar(canvas: Canvas, corner: tuple[int, int], px_m: float) -> None:
    """A bar of a round length in mm with its left end near `corner`, on a plate that shows on anything."""
    length = max((b for b in BARS_MM if b * 1e-3 * px_m <= BAR_DP * canvas.scale), default=BARS_MM[0])
    px = round(length * 1e-3 * px_m)
    text = f"{length:g} mm"
    tw, th = canvas.measure(text, bold=True)
    pad, thick = canvas.dp(10), canvas.dp(8)
    plate = pygame.Rect(*corner, max(px, tw) + 2 * pad, th + thick + 2 * pad)
    canvas.panel(plate, "sheet", "edge", 8, 2)
    x = plate.centerx - px // 2
    y = plate.bottom - pad - thick
    for part in range(4):
        piece = pygame.Rect(x + px * part // 4, y, px * (part + 1) // 4 - px * part // 4, thick)
        canvas.surface.fill(canvas.theme["ink" if part % 2 == 0 else "sheet"], piece)
    pygame.draw.rect(canvas.surface, canvas.theme["ink"], (x, y, px, thick), max(1, canvas.dp(2)))
    canvas.text(text, pygame.Rect(plate.x, plate.y + pad // 2, plate.w, th), align="centre", bold=True)


def draw_facts(canvas: Canvas, box: pygame.Rect, facts: Sequence[tuple[str, str, str]]) -> pygame.Rect:
    """Plates of (name, value with unit, colour) at the foot of a column; returns the room left above them."""
    gap, line = canvas.dp(10), canvas.measure("Ag")[1]
    high = 2 * line + canvas.tp(46)
    top = max(box.y, box.bottom - len(facts) * (high + gap) + gap)
    for k, (name, value, colour) in enumerate(facts):
        plate = pygame.Rect(box.x, top + k * (high + gap), box.w, high)
        canvas.panel(plate, "sheet")
        inner = plate.inflate(-canvas.dp(28), -canvas.dp(12))
        canvas.text(name, pygame.Rect(inner.x, inner.y, inner.w, line), colour="soft")
        canvas.text(
            value, pygame.Rect(inner.x, inner.y + line, inner.w, inner.h - line), "number", colour, bold=True
        )
    return pygame.Rect(box.x, box.y, box.w, max(0, top - gap - box.y))


Named = tuple[str, tuple[float, float]]


def draw_names(canvas: Canvas, box: pygame.Rect, named: Sequence[Named]) -> list[part_labels.Label]:
    """Names in a column to the right of the picture, each with a leader to its place, px; none cross.

    Where the column is too short for them all, there are none.
    """
    if sum(canvas.measure(text, wrap=box.w)[1] for text, _ in named) > box.h:
        return []
    order = sorted(named, key=lambda n: n[1][1])
    sizes = [canvas.measure(text, wrap=box.w)[1] for text, _ in order]
    spare = box.h - sum(sizes)
    gap = max(0, min(canvas.dp(22), spare // max(1, len(order))))
    placed: list[part_labels.Label] = []
    for _ in range(len(order) ** 2 + 1):
        centres = spread([tip[1] for _, tip in order], sizes, box.top, box.bottom, gap)
        placed = [_label(canvas, box, n, c, h) for n, c, h in zip(order, centres, sizes, strict=True)]
        pairs = range(len(placed) - 1)
        clash = next((k for k in pairs if part_labels.leaders_cross(placed[k], placed[k + 1])), None)
        if clash is None:
            break
        order[clash], order[clash + 1] = order[clash + 1], order[clash]
        sizes[clash], sizes[clash + 1] = sizes[clash + 1], sizes[clash]
    part_labels.draw(placed, canvas)
    return placed


def _label(
    canvas: Canvas, box: pygame.Rect, named: tuple[str, tuple[float, float]], centre: float, h: int
) -> part_labels.Label:
    place = pygame.Rect(box.x, round(centre - h / 2), box.w, h)
    start = box.x - canvas.dp(5)
    return part_labels.Label(named[0], place, 1, ((start, centre), (start - canvas.dp(16), centre), named[1]))


def draw_key(
    canvas: Canvas, box: pygame.Rect, scale: PressureScale, unit: DisplayUnit, words: Sequence[str]
) -> None:
    """Pressure colours, the two kinds of oil and what else is to be said, from the top down."""
    if box.w <= 0:
        return
    line = canvas.measure("Ag")[1]
    y = box.bottom
    for text in reversed(words):
        h = canvas.measure(text, wrap=box.w)[1]
        y -= h + canvas.dp(8)
        canvas.text(text, pygame.Rect(box.x, y, box.w, h), valign="top", wrap=True, colour="soft")
    for kind, (text, colour) in reversed(KIND_WORDS.items()):
        swatch = _swatch(canvas.theme.name, kind, box.w, round(canvas.scale * 100))
        h = canvas.measure(text, bold=True, wrap=box.w)[1]
        y -= h + swatch.get_height() + canvas.dp(14)
        canvas.surface.blit(swatch, (box.x, y))
        place = pygame.Rect(box.x, y + swatch.get_height(), box.w, h)
        canvas.text(text, place, valign="top", wrap=True, colour=colour, bold=True)
    title = f"{unit.sign} gauge"
    canvas.text(title, pygame.Rect(box.x, box.y, box.w, line), colour="soft")
    bar = pygame.Rect(box.x, box.y + line + canvas.dp(16), canvas.tp(46), 0)
    bar.h = max(2 * line, y - bar.y - canvas.dp(30))
    _draw_ramp(canvas, bar, box.right, scale, unit)


def _draw_ramp(canvas: Canvas, bar: pygame.Rect, right: int, scale: PressureScale, unit: DisplayUnit) -> None:
    line = canvas.measure("Ag")[1]
    rows = canvas.theme.ramp[np.linspace(255, 0, bar.h).astype(int)]
    picture = pygame.surfarray.make_surface(np.broadcast_to(rows[None], (bar.w, bar.h, 3)))
    canvas.surface.blit(picture, bar)
    pygame.draw.rect(canvas.surface, canvas.theme["edge"], bar, canvas.dp(2))
    shares = (0.0, 0.25, 0.5, 0.75, 1.0) if bar.h > 9 * line else (0.0, 0.5, 1.0)
    texts = unit.tick_texts([scale.low_pa + share * scale.span_pa for share in shares])
    for share, text in zip(shares, texts, strict=True):
        y = bar.bottom - round(share * bar.h)
        tick = (bar.right, y), (bar.right + canvas.dp(10), y)
        pygame.draw.line(canvas.surface, canvas.theme["ink"], *tick, 2)
        place = pygame.Rect(bar.right + canvas.dp(18), y - line // 2, 0, line)
        place.w = right - place.x
        canvas.text(text, place, bold=True)


@lru_cache(maxsize=16)
def _swatch(theme_name: str, kind: str, width: int, scale_percent: int) -> pygame.Surface:
    return legend_sprite(load_theme(theme_name), kind, width, scale_percent / 100)


def bars(
    canvas: Canvas,
    box: pygame.Rect,
    lefts_px: Array,
    rights_px: Array,
    shares: Array,
    colour: Colour,
    gap: int = 1,
) -> None:
    """Upright bars in a box: from and to (n,), px along x, heights as shares (n,) of the box."""
    for left, right, share in zip(lefts_px, rights_px, np.clip(shares, 0.0, 1.0), strict=True):
        h = round(float(share) * box.h)
        wide = max(1, round(float(right - left)) - 2 * gap)
        rect = pygame.Rect(round(float(left)) + gap, box.bottom - h, wide, h)
        canvas.surface.fill(colour, rect)
