"""Oil, medium and dirt of a row of pleats, pixel by pixel."""

from __future__ import annotations

import numpy as np
import pygame

from glasscan.filters.closeup.pleat_row import ChannelField, PleatFrame
from glasscan.ui.canvas import Canvas
from glasscan.window.closeup import closeup_painting as paint
from glasscan.window.closeup.pleat_view import PleatView
from glasscan.window.contract import Array
from glasscan.window.cutaway.cutaway import PressureScale

THICKER = 5.0  # times as thick as life is the cake drawn; the key says so
ROOM = 0.9  # of the dirty channel's half width: as far as a thickened cake may reach
CAKE, CAKE_DARK = (30.0, 20.0, 12.0), 0.55  # black of soaked dirt, and how much of it is in the cake's look
STAINED_M, MOST_STAIN = 6e-5, 0.75  # cake whose media are stained through, and how dark then


def drawn_cake(cake: Array, face: Array) -> Array:
    """Heights (n,) of the cake's face as drawn: thicker than life, yet leaving the channel a way."""
    thicker = face - THICKER * (face - cake)
    return np.asarray(np.minimum(cake, np.maximum(thicker, (1 - ROOM) * face)))


class _Kept:
    """The last unit painted: between two frames of the model only the marks move."""

    key: tuple[object, ...] = ()
    tiles: tuple[pygame.Surface, pygame.Surface] | None = None


def tiles(
    canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale
) -> tuple[pygame.Surface, pygame.Surface]:
    """The unit as pixels, middle of the dirty channel at the top, and upside down."""
    key = (frame, at, canvas.theme.name, canvas.scale, scale)
    same = len(_Kept.key) == len(key) and frame is _Kept.key[0] and key[1:] == _Kept.key[1:]
    if not same or _Kept.tiles is None:
        pixels = np.clip(_unit_pixels(canvas, at, frame, scale), 0, 255).astype(np.uint8)
        _Kept.tiles = pygame.surfarray.make_surface(pixels), pygame.surfarray.make_surface(pixels[:, ::-1])
        _Kept.key = key
    return _Kept.tiles


def draw_oil(canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale) -> None:
    """One unit as pixels, its mirror image beside it, over the height of the picture."""
    down, up = tiles(canvas, at, frame, scale)
    first = -(-(at.middle_y - at.area.y) // at.unit_px)
    last = -(-(at.area.bottom - at.middle_y) // at.unit_px)
    for k in range(-first, last):
        canvas.surface.blit(down if k % 2 == 0 else up, (at.area.x, at.middle_y + k * at.unit_px))


def _unit_pixels(canvas: Canvas, at: PleatView, frame: PleatFrame, scale: PressureScale) -> Array:
    """(w, unit, 3) colours of the unit, row 0 at the middle of the dirty channel."""
    theme = canvas.theme
    x = (at.area.x + np.arange(at.area.w) + 0.5 - at.zero_x) / at.px_m
    y = (np.arange(at.unit_px) + 0.5) / at.px_m
    cake, face, far = _surfaces(frame, x)
    px = at.px_m
    past = [np.clip((y[None, :] - s[:, None]) * px + 0.5, 0, 1) for s in (cake, face, far)]
    oil = paint.ramp_colours(theme, _pressures(frame, x, y), scale)
    percent = round(canvas.scale * 100)
    size = at.area.w, at.unit_px
    cake_look = paint.mixed(
        paint.texture("grains", theme.name, *size, percent),
        np.array(CAKE, np.float32),
        np.full(size, CAKE_DARK),
    )
    out = paint.mixed(oil, cake_look, past[0] * (1 - past[1]))
    shown = paint.mixed(paint.texture("fibres", theme.name, *size, percent), oil, np.full(size, 0.12))
    stain = np.clip((face - frame.surfaces(np.clip(x, 0, float(frame.x_edges_m[-1])))[0]) / STAINED_M, 0, 1)
    deep = np.clip(1.0 - (y[None, :] - face[:, None]) / np.maximum(far - face, 1e-9)[:, None], 0, 1)
    shown = paint.mixed(shown, np.array(CAKE, np.float32), MOST_STAIN * stain[:, None] * deep)
    out = paint.mixed(out, shown, past[1] * (1 - past[2]))
    line = max(1.2, 2.0 * canvas.scale)
    outline = np.array(theme["outline"], np.float32)
    for surface, weight in ((face, 0.9), (far, 0.9), (cake, 0.55)):
        edge = np.clip(line / 2 + 0.5 - np.abs(y[None, :] - surface[:, None]) * px, 0, 1)
        bare = (surface <= 0) | (surface >= frame.unit_m)
        out = paint.mixed(out, outline, edge * np.where(bare, 0, weight)[:, None])
    return _fold_ends(out, x, frame, px, line, outline)


def _fold_ends(out: Array, x: Array, frame: PleatFrame, px: float, line: float, outline: Array) -> Array:
    """Flat ends of channels and folds as upright lines."""
    half, medium = frame.at_rest_m
    length = float(frame.x_edges_m[-1])
    count = out.shape[1]
    y = (np.arange(count) + 0.5) / px
    for place, rows in (
        (0.0, y > half + medium), (-medium, y > half + medium),
        (length, y < half), (length + medium, y < half),
    ):  # fmt: skip
        near = np.flatnonzero(np.abs(x - place) * px < line)
        edge = np.clip(line / 2 + 0.5 - np.abs(x[near] - place) * px, 0, 1) * 0.9
        out[near] = paint.mixed(out[near], outline, edge[:, None] * rows[None, :])
    return out


def _surfaces(frame: PleatFrame, x: Array) -> Array:
    """(3, n) cake, dirty and clean face of the medium along the picture, folds with round corners."""
    half, medium = frame.at_rest_m
    length, unit = float(frame.x_edges_m[-1]), frame.unit_m
    out = frame.surfaces(np.clip(x, 0, length))
    out[0] = drawn_cake(out[0], out[1])
    before, after = x < 0, x > length
    outer = half + medium - np.sqrt(np.maximum(medium**2 - x**2, 0.0))
    out[:, before] = np.where(x[before] > -medium, outer[before], 2 * unit)
    out[2, before] = 2 * unit
    inner = half + np.sqrt(np.maximum(medium**2 - (x - length) ** 2, 0.0))
    out[:, after] = -unit
    out[2, after] = np.where(x[after] < length + medium, inner[after], -unit)
    return out


def _pressures(frame: PleatFrame, x: Array, y: Array) -> Array:
    """(n, m) pressure at every place of the picture of the unit, Pa gauge."""
    length, unit = float(frame.x_edges_m[-1]), frame.unit_m
    inside = np.clip(x, 0, length * (1 - 1e-9))
    cake, face, far = (s[:, None] for s in frame.surfaces(inside))
    count = len(frame.bend_m)
    k = np.minimum((inside / length * count).astype(int), count - 1)
    dirty = _in_channel(frame.x_edges_m, frame.dirty, inside, y[None, :] / np.maximum(cake, 1e-9), k)
    share = (unit - y[None, :]) / np.maximum(unit - far, 1e-9)
    clean = _in_channel(frame.x_edges_m, frame.clean, inside, share, k)
    flow = frame.flow
    high, low = (frame.outlet_pa + p[k][:, None] for p in (flow.dirty_pa, flow.clean_pa))
    between = low + (high - low) * frame.wall_share[k][:, None]
    in_cake = high + (between - high) * np.clip((y - cake) / np.maximum(face - cake, 1e-9), 0, 1)
    in_wall = between + (low - between) * np.clip((y - face) / (far - face), 0, 1)
    out = np.where(y < cake, dirty, np.where(y < face, in_cake, np.where(y < far, in_wall, clean)))
    out = np.where(x[:, None] < 0, frame.inlet_pa, out)
    return np.where(x[:, None] > length, frame.outlet_pa, out)


def _in_channel(x_edges: Array, field: ChannelField, x: Array, share: Array, piece: Array) -> Array:
    """Pressures at places (n,) along and shares (n, m) of the half width, of the cells as solved."""
    i = np.clip(np.searchsorted(x_edges, x, side="right") - 1, 0, len(x_edges) - 2)
    y = np.clip(share, 0, 0.999) * field.gap_m[piece][:, None]
    j = np.clip(np.searchsorted(field.y_edges_m, y, side="right") - 1, 0, len(field.y_edges_m) - 2)
    return np.asarray(field.pressure_pa[i[:, None], j])
