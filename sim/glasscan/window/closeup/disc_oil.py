"""Oil and dirt cake of one gap between two discs, pixel by pixel."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import pygame

from glasscan.filters.closeup.disc_face import DiscFrame
from glasscan.laws.combing import TURN
from glasscan.ui.canvas import Canvas
from glasscan.window.closeup import closeup_painting as paint
from glasscan.window.closeup.disc_view import DiscView, bands, thickness
from glasscan.window.contract import Array
from glasscan.window.cutaway.cutaway import PressureScale

CAKE_M = 8e-3  # the thickest cake drawn


@dataclass(frozen=True)
class _Pixels:
    """What every pixel of the area stands for; fixed while disc and view stay.

    Attributes:
        r_m, angle: (w, h) radius and angle on the screen, in sectors.
        place: (w, h) column of the colour table: 0 hollow, 1 .. nr the gap, nr + 1 bowl.
        lines: pixels (n,) near the edges of the disc and how far each edge covers them.
        rim: pixels (n,) from the rim outwards, where cake may lie.
    """

    r_m: Array
    angle: Array
    place: Array
    lines: tuple[Array, Array]
    rim: Array


@lru_cache(maxsize=2)
def _polar(at: DiscView, edges_m: tuple[float, ...], step_rad: float, line_px: float) -> _Pixels:
    dx = (np.arange(at.area.w)[:, None] + 0.5 + at.area.x - at.x) / at.px_m
    dy = (at.y - at.area.y - np.arange(at.area.h)[None, :] - 0.5) / at.px_m
    r = np.hypot(dx, dy)
    place = np.searchsorted(np.array(edges_m), r)
    off = np.minimum(np.abs(r - edges_m[0]), np.abs(r - edges_m[-1])).ravel() * at.px_m
    near = np.flatnonzero(off < line_px)
    cover = np.clip(line_px / 2 + 0.5 - off[near], 0, 1)
    beyond = (r > edges_m[-1] - 2 / at.px_m) & (r < edges_m[-1] + CAKE_M)
    angle = (np.arctan2(dy, dx) % TURN / step_rad).astype(np.float32)
    return _Pixels(r.astype(np.float32), angle, place, (near, cover), np.flatnonzero(beyond.ravel()))


class _Kept:
    """The last face painted: between two frames of the model only the marks move."""

    key: tuple[object, ...] = ()
    picture: pygame.Surface | None = None


def oil(canvas: Canvas, at: DiscView, frame: DiscFrame, scale: PressureScale) -> pygame.Surface:
    """Oil and cake as a picture of the area."""
    key = (frame, at, canvas.theme.name, canvas.scale, scale)
    same = len(_Kept.key) == len(key) and frame is _Kept.key[0] and key[1:] == _Kept.key[1:]
    if not same or _Kept.picture is None:
        pixels = np.clip(_pixels(canvas, at, frame, scale), 0, 255).astype(np.uint8)
        _Kept.picture, _Kept.key = pygame.surfarray.make_surface(pixels), key
    return _Kept.picture


def _pixels(canvas: Canvas, at: DiscView, frame: DiscFrame, scale: PressureScale) -> Array:
    """(w, h, 3) colours: hollow, gap, cake, bowl from the middle outwards."""
    ring, theme = frame.ring, canvas.theme
    line = max(1.4, 2.2 * canvas.scale)
    spot = _polar(at, tuple(ring.r_edges_m.tolist()), ring.step_rad, line)
    ends = [np.full((ring.sectors, 1), p) for p in (frame.inner_pa, frame.outer_pa)]
    table = paint.ramp_colours(theme, np.concatenate([ends[0], _filled(frame), ends[1]], axis=1), scale)
    turned = np.float32(frame.turned_rad % TURN / ring.step_rad)
    sector = (spot.angle - turned).astype(np.float32) % np.float32(ring.sectors)
    out = table[np.minimum(sector.astype(np.int32), ring.sectors - 1), spot.place].reshape(-1, 3)
    outline = np.array(theme["outline"], np.float32)
    _lay_cake(canvas, at, frame, out, (spot, sector), outline)
    near, cover = spot.lines
    out[near] = paint.mixed(out[near], outline, 0.9 * cover)
    return np.asarray(out.reshape(*at.area.size, 3))


def _lay_cake(
    canvas: Canvas,
    at: DiscView,
    frame: DiscFrame,
    out: Array,
    spots: tuple[_Pixels, Array],
    outline: Array,
) -> None:
    """Cake on the pixels (n, 3) about the rim; where only one band of the gap holds it, half as dense."""
    ro = float(frame.ring.r_edges_m[-1])
    spot, reach = spots[0], ro + float(thickness(frame).max()) + 3 / at.px_m
    rim = spot.rim[spot.r_m.ravel()[spot.rim] < reach]
    r, sector = spot.r_m.ravel()[rim], spots[1].ravel()[rim]
    low, high = (ro + _around(t, sector) for t in (bands(frame).min(axis=0), thickness(frame)))
    outside = np.clip((r - ro) * at.px_m + 0.5, 0, 1)
    full, part = (outside * np.clip((top - r) * at.px_m + 0.5, 0, 1) for top in (low, high))
    percent = round(canvas.scale * 100)
    cake = paint.texture("grains", canvas.theme.name, *at.area.size, percent).reshape(-1, 3)[rim]
    laid = paint.mixed(out[rim], cake, np.maximum(full, 0.55 * part))
    line = max(1.4, 2.2 * canvas.scale)
    edge = np.clip(line / 2 + 0.5 - np.abs(r - high) * at.px_m, 0, 1)
    out[rim] = paint.mixed(laid, outline, edge * np.clip((high - ro) * at.px_m - 0.5, 0, 0.6))


def _around(values: Array, place: Array) -> Array:
    """Values of sectors joined smoothly between the middles of the sectors, at places in sectors."""
    low = np.floor(place - 0.5).astype(np.int32)
    share = place - 0.5 - low
    n = len(values)
    table = values.astype(np.float32)
    return np.asarray(table[low % n] * (1 - share) + table[(low + 1) % n] * share)


def _filled(frame: DiscFrame) -> Array:
    """Pressures with the walls' cells filled from the next cell inwards (they lie under the metal)."""
    out = frame.pressure_pa.copy()
    for i in range(out.shape[1]):
        before = out[:, i - 1] if i else np.full(len(out), frame.inner_pa)
        out[:, i] = np.where(np.isnan(out[:, i]), before, out[:, i])
    return np.asarray(out)
