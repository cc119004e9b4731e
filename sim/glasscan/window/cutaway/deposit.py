"""Dirt held by the element: it darkens the folds from outside in, and lies on them as a cake drawn thicker.

The load of each segment is the plant's mass over the area of media behind it. What a colour or a thickness
stands for is told in the key; the exaggeration of the thickness is one number, told there too.
"""

from __future__ import annotations

from functools import lru_cache
from typing import Any

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.theme import rgb, uniform_ramp
from glasscan.window.contract import Array, Section
from glasscan.window.cutaway.section_view import View

RAMP = ("#f3e6bf", "#cf9a45", "#87501f", "#3a2110", "#0d0805")  # clean paper to black cake
FULL_G_M2 = {True: 120.0, False: 1600.0}  # end of the scale: pleated media, rim of a stack of discs
HALF_DARK = 0.24  # share of the scale at which a fold's outside is 63 % hidden
INSIDE = 0.35  # darkness of the inner folds against the outer ones
MOST = 0.93  # never quite black, so that the folds are still seen
THICKER = {True: 20.0, False: 2.0}  # times as thick as life is the cake drawn
BULK_KG_M3 = 1457.0  # quartz dust packed to 45 % pores: 2650 x 0.55, as in the filters' data
LEAST_G_M2 = 0.5
ROUGH = 0.25  # of the cake's thickness: its face is never even


@lru_cache(maxsize=1)
def load_ramp() -> Array:
    """Colours of the load from nothing to the end of the scale, (256, 3) uint8."""
    return uniform_ramp([rgb(c) for c in RAMP])


def is_pleated(section: Section) -> bool:
    """True where the media are folded paper, False for a stack of discs."""
    return any(part.material in ("medium", "paper") for part in section.parts)


def loads_g_m2(section: Section, s: Snapshot) -> Array:
    """Dirt on each segment's media, (K,), g/m2; empty where the areas are not known."""
    network: Any = getattr(section, "network", None)
    if network is None or len(s.deposit_kg) != len(network.segment_area_m2):
        return np.zeros(0)
    return np.asarray(1e3 * s.deposit_kg / network.segment_area_m2)


class DepositPainter:
    """Lays the deposit over the element of one view; keeps the last picture while the load stands."""

    def __init__(self, section: Section, view: View) -> None:
        self.pleated = is_pleated(section)
        self.full_g_m2, self.thicker = FULL_G_M2[self.pleated], THICKER[self.pleated]
        layout: Any = section.layout
        self.known = hasattr(layout, "bands")
        if not self.known:
            return
        self._bands = np.array(layout.bands)
        self._middle = self._bands.mean(axis=1)
        low, high = float(self._bands[0, 0]), float(self._bands[-1, 1])
        self._view = view
        outer = view.points(np.array([[layout.r_dirty, high], [layout.r_clean, low]]))
        self._right = pygame.Rect(round(outer[1][0]), round(outer[0][1]), 0, 0)
        self._right.w = round(outer[0][0]) - self._right.x
        self._right.h = max(1, round(outer[1][1]) - self._right.y)
        self._z = high - (np.arange(self._right.h) + 0.5) / view.px_m
        self._key: tuple[object, ...] = ()
        self._pictures: tuple[pygame.Surface, pygame.Surface] | None = None
        self.told: list[float] = []

    def draw(self, surface: pygame.Surface, loads: Array, coloured: bool) -> None:
        """Draw the deposit on both sides; `coloured`: by the load's own ramp, opaque."""
        self.told = []
        if not self.known or not len(loads):
            return
        key = (coloured, tuple(np.round(loads, 1).tolist()))
        if key != self._key:
            self._key, self._pictures = key, self._made(loads, coloured)
        assert self._pictures is not None
        self.told = self._read_off(coloured)
        right, left = self._pictures
        surface.blit(right, self._right)
        mirrored = round(2 * self._view.axis_x) - self._right.x - right.get_width()
        surface.blit(left, (mirrored, self._right.y))

    def _made(self, loads: Array, coloured: bool) -> tuple[pygame.Surface, pygame.Surface]:
        """Right and left picture of the loads; the cake stands out beyond the media."""
        rows = np.interp(self._z, self._middle, loads)
        share = np.clip(rows / self.full_g_m2, 0.0, 1.0)
        cake = self._cake_px(rows)
        wide = self._right.w + int(np.ceil(cake.max(initial=0.0) * (1 + ROUGH))) + 1
        colours, alpha = np.zeros((wide, len(rows), 3)), np.zeros((wide, len(rows)))
        within = np.arange(self._right.w)[:, None] / max(self._right.w - 1, 1)
        if coloured:
            colours[: self._right.w] = load_ramp()[(255 * share).astype(int)][None]
            alpha[: self._right.w] = 1.0
        elif self.pleated:
            dark = MOST * (1.0 - np.exp(-share / HALF_DARK))
            alpha[: self._right.w] = dark[None, :] * (INSIDE + (1 - INSIDE) * within)
        if not coloured:
            colours[:] = load_ramp()[238]
        beyond = np.arange(wide - self._right.w)[:, None]
        alpha[self._right.w :] = np.clip(cake[None, :] * self._rough(len(rows)) - beyond, 0.0, 1.0)
        colours[self._right.w :] = load_ramp()[(120 + 118 * share).astype(int)][None]
        return self._surface(colours, alpha), self._surface(colours[::-1], alpha[::-1])

    def _cake_px(self, rows: Array) -> Array:
        """Thickness of the cake as drawn, px."""
        return np.where(rows > LEAST_G_M2, self.thicker * rows * 1e-3 / BULK_KG_M3 * self._view.px_m, 0.0)

    def _rough(self, number: int) -> Array:
        y = np.arange(number)
        wave = np.sin(y * 0.9) + np.sin(y * 0.37 + 1.3) + np.sin(y * 1.7 + 0.4)
        return np.asarray(1.0 + ROUGH * wave / 3)

    @staticmethod
    def _surface(colours: Array, alpha: Array) -> pygame.Surface:
        picture = pygame.Surface(alpha.shape, pygame.SRCALPHA)
        pygame.surfarray.pixels3d(picture)[:] = colours.astype(np.uint8)
        pygame.surfarray.pixels_alpha(picture)[:] = np.round(255 * alpha).astype(np.uint8)
        return picture

    def _read_off(self, coloured: bool) -> list[float]:
        """Load of each segment as its darkness or colour in the picture says, g/m2."""
        assert self._pictures is not None
        rows = np.clip(np.searchsorted(-self._z, -self._middle), 0, self._right.h - 1)
        column = self._right.w - 1
        if coloured:
            seen = pygame.surfarray.array3d(self._pictures[0])[column, rows].astype(int)
            ramp = load_ramp().astype(int)
            at = np.abs(ramp[None] - seen[:, None]).sum(axis=2).argmin(axis=1)
            return [round(float(v), 1) + 0.0 for v in at / 255 * self.full_g_m2]
        if self.pleated:
            dark = pygame.surfarray.array_alpha(self._pictures[0])[column, rows] / 255
            share = -HALF_DARK * np.log(np.maximum(1.0 - dark / MOST, 1e-9))
            return [round(float(v), 1) + 0.0 for v in np.minimum(share, 1.0) * self.full_g_m2]
        cake = pygame.surfarray.array_alpha(self._pictures[0])[self._right.w :, rows].sum(axis=0) / 255
        thick_m = cake / self._rough(self._right.h)[rows] / self._view.px_m / self.thicker
        return [round(float(v), 1) + 0.0 for v in 1e3 * BULK_KG_M3 * thick_m]
