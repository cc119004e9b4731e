"""A faint grain in the oil, carried by the solved flow: streams, jets and still corners are seen.

Two pictures of one grain are carried along; every so often one of them starts anew while the other alone is
seen, so that neither is ever drawn out of shape. Where the oil stands both lie on each other and nothing
moves. What is carried is the way the oil has come since the start of a picture:
`D(x, t + dt) = v dt + D(x - v dt, t)` (semi-Lagrangian; Staniforth and Cote, Mon. Weather Rev. 119, 1991).
"""

from __future__ import annotations

import numpy as np
import pygame
from scipy.ndimage import distance_transform_edt, gaussian_filter, map_coordinates

from glasscan.window.contract import NONE, Array, Frame, Section
from glasscan.window.cutaway.oil_levels import Levels
from glasscan.window.cutaway.section_view import View

CELL_DP = 4.0  # pitch of the points that are carried, dp
BLOB_CELLS = 1.1  # radius of the grain, points
LIFE_S = 1.6  # screen time after which a picture of the grain starts anew, s
DEEP = 64.0  # levels of brightness from the darkest of the grain to the lightest, of 256
TOO_FAST_CELLS = 4.0  # oil that goes so far in a frame is past what the eye can follow: no grain there
TILE = 256
SEED = 5
STEP_S = 1.0 / 45.0  # screen time after which the grain is carried on: every second frame of 60 Hz, s


def _grain() -> Array:
    """(TILE, TILE) of 0..1, even in all directions, that joins at its edges."""
    noise = np.random.default_rng(SEED).random((TILE, TILE))
    soft = gaussian_filter(noise, BLOB_CELLS, mode="wrap")
    return np.asarray(np.clip(0.5 + (soft - soft.mean()) / (4.0 * soft.std()), 0.0, 1.0), np.float32)


class OilTexture:
    """The grain of one section in one view; `move` carries it, `draw` lays it over the colours."""

    def __init__(self, section: Section, view: View, rect: pygame.Rect, scale: float) -> None:
        self._r, self._z = np.asarray(section.r_edges_m), np.asarray(section.z_edges_m)
        self._view, self._rect = view, rect
        self._pitch = max(2.0, CELL_DP * scale)
        high = max(2, round(rect.h / self._pitch))
        wide = max(2, round((rect.right - view.axis_x) / self._pitch))
        self._rows, self._columns = np.meshgrid(
            np.arange(high, dtype=np.float32), np.arange(wide, dtype=np.float32), indexing="ij"
        )
        self._ways = [np.zeros((2, high, wide), np.float32) for _ in range(2)]
        self._age_s = [0.0, 0.5 * LIFE_S]
        self._seen = np.ones((high, wide), np.float32)
        self._cells: tuple[int, Array] | None = None
        self._tile = _grain()
        self._due_s, self._moves = 0.0, 0
        self._laid: tuple[object, list[pygame.Surface]] | None = None

    def _at(self, region: Array) -> Array:
        """Flat cell index of every point for this pattern of oil; beside the oil the nearest is borrowed."""
        key = hash(region.tobytes())
        if self._cells is None or self._cells[0] != key:
            y = self._rect.y + (self._rows[:, 0] + 0.5) * self._pitch
            x = (self._columns[0] + 0.5) * self._pitch
            z = (self._view.zero_y - y) / self._view.px_m
            iz = np.clip(np.searchsorted(self._z, z) - 1, 0, len(self._z) - 2)
            ir = np.clip(np.searchsorted(self._r, x / self._view.px_m) - 1, 0, len(self._r) - 2)
            near = distance_transform_edt(region == NONE, return_distances=False, return_indices=True)
            flat = near[0] * region.shape[1] + near[1]
            self._cells = key, np.ascontiguousarray(flat[np.ix_(iz, ir)])
        return self._cells[1]

    def move(self, frame: Frame, drawn_s: float, rate: float) -> None:
        """Carry the grain for `drawn_s` of screen time, with the oil slowed by `rate`."""
        self._due_s += drawn_s
        if self._due_s < STEP_S:
            return
        drawn_s, self._due_s, self._moves = self._due_s, 0.0, self._moves + 1
        cells = self._at(np.asarray(frame.region))
        per_s = rate * self._view.px_m / self._pitch
        right = np.asarray(frame.u_r_m_s).ravel()[cells] * np.float32(per_s * drawn_s)
        down = np.asarray(frame.u_z_m_s).ravel()[cells] * np.float32(-per_s * drawn_s)
        far = np.hypot(right, down)
        self._seen = np.clip(2.0 - far / (0.5 * TOO_FAST_CELLS), 0.0, 1.0).astype(np.float32)
        came = [self._rows - down, self._columns - right]
        for k in (0, 1):
            self._age_s[k] += drawn_s
            if self._age_s[k] >= LIFE_S:
                self._age_s[k] %= LIFE_S
                self._ways[k] = np.zeros_like(self._ways[k])
                continue
            for axis, step in ((0, down), (1, right)):
                before = map_coordinates(self._ways[k][axis], came, order=1, mode="nearest")
                self._ways[k][axis] = before + step

    def _half(self, shift: int) -> Array:
        """The grain of one half, 0..1 with 0.5 for none; `shift` takes another part of the tile."""
        told = np.zeros_like(self._seen)
        weights = [1.0 - abs(2.0 * age / LIFE_S - 1.0) for age in self._age_s]
        for weight, way in zip(weights, self._ways, strict=True):
            rows = np.rint(self._rows - way[0]).astype(np.int32) % TILE
            columns = (np.rint(self._columns - way[1]).astype(np.int32) + shift) % TILE
            told += np.float32(weight) * (self._tile[rows, columns] - 0.5)
        apart = ((self._ways[0] - self._ways[1]) ** 2).sum(axis=0)
        alike = np.exp(-apart / (2.0 * BLOB_CELLS) ** 2)
        spread = np.sqrt(weights[0] ** 2 + weights[1] ** 2 + 2.0 * weights[0] * weights[1] * alike)
        return np.asarray(0.5 + told / np.maximum(spread, 0.5) * self._seen)

    def draw(self, surface: pygame.Surface, frame: Frame, levels: Levels) -> None:
        """Lighten and darken the oil of both halves by the grain; not where air stands."""
        region = np.asarray(frame.region)
        at = self._at(region)
        key = (self._moves, self._cells[0] if self._cells else 0, levels)
        if self._laid is None or self._laid[0] != key:
            grain = self._whole(region.ravel()[at], levels)
            self._laid = key, [self._veil(np.float32(sign * DEEP) * grain) for sign in (1.0, -1.0)]
        for veil, flag in zip(self._laid[1], (pygame.BLEND_RGB_ADD, pygame.BLEND_RGB_SUB), strict=True):
            place = veil.get_rect(midtop=(self._view.axis_x, self._rect.y))
            surface.blit(veil, place, special_flags=flag)

    def _whole(self, here: Array, levels: Levels) -> Array:
        """The grain of both halves about nought, none where air stands; `here`: region of each point."""
        z = (self._view.zero_y - self._rect.y - (self._rows + 0.5) * self._pitch) / self._view.px_m
        x = (self._columns + 0.5) * self._pitch / self._view.px_m
        grain = np.concatenate([self._half(TILE // 2)[:, ::-1], self._half(0)], axis=1) - np.float32(0.5)
        if not levels.full:
            left, right = (levels.dry(here, z, side * x) for side in (-1.0, 1.0))
            grain[np.concatenate([left[:, ::-1], right], axis=1)] = 0.0
        return np.asarray(grain)

    def _veil(self, grey: Array) -> pygame.Surface:
        """Grey levels (rows, columns) as a picture of the size of the section; below nought is black."""
        packed = np.clip(grey, 0.0, 255.0).astype(np.uint32) * np.uint32(0x010101)
        small = pygame.Surface(packed.shape[::-1], 0, 32)
        pygame.surfarray.pixels2d(small)[...] = packed.T
        size = round(packed.shape[1] * self._pitch), round(packed.shape[0] * self._pitch)
        return pygame.transform.smoothscale(small, size)
