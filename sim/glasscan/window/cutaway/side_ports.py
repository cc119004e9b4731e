"""Bores in the sides of a head: their oil, joined to the section's, with developed laminar flow in it.

The section knows such a bore as a slot all round, since the gallery spreads the oil. In the bore itself the
whole flow of the filter goes one way: `u = 2 Q/(pi a^2) (1 - (y/a)^2)` in its middle plane (Poiseuille).
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pygame

from glasscan.filters.hole_picture import unfiltered_m3s, unfiltered_share
from glasscan.rig.records import Snapshot
from glasscan.ui.theme import Theme
from glasscan.window.contract import Array, Carriers, Section, SideWay
from glasscan.window.cutaway.field_painter import FieldPainter
from glasscan.window.cutaway.oil_levels import Levels
from glasscan.window.cutaway.section_view import View
from glasscan.window.cutaway.streaks import StreakPainter

GOLDEN = (np.sqrt(5.0) - 1.0) / 2.0
MARK_M2 = 1.2e-5  # of the bore's middle plane for each mark
WALL_M = 3e-3  # opposite the bore marks come round the gallery: they are shown from here on
DIRTY_MARK, CLEAN_MARK, PAST_MARK = 0, 1, 2


def side_ways(section: Section) -> tuple[SideWay, ...]:
    """Inlet and outlet, where they are bores in the sides."""
    ways = (section.layout.inlet, section.layout.outlet)
    return tuple(way for way in ways if isinstance(way, SideWay))


def come_round(section: Section, at: Array, side: Array) -> Array:
    """(n,) marks before the solid wall opposite a bore: their oil comes, or goes, round the middle."""
    hidden = np.zeros(len(at), dtype=bool)
    for way in side_ways(section):
        before = (at[:, 0] > way.r - WALL_M) & (at[:, 1] > way.z0) & (at[:, 1] < way.z1)
        hidden |= before & (side != way.side)
    return hidden


@dataclass
class BoreMarks:
    """Marks of the oil in one bore, as the streak painter takes them."""

    positions_m: Array
    kind: Array

    def step(self, frame: Any, dt_s: float, /) -> None:
        """Stand still: where they are follows from the oil that has passed."""


class SidePorts:
    """Paints the bores of one section in one view."""

    def __init__(self, section: Section, view: View, theme: Theme, scale: float) -> None:
        self.ways, self.view = side_ways(section), view
        self.streaks = StreakPainter(theme, scale)
        self._r, self._z = np.asarray(section.r_edges_m), np.asarray(section.z_edges_m)

    @property
    def rects(self) -> list[pygame.Rect]:
        """Pixels of all bores."""
        return [self.rect(way) for way in self.ways]

    def rect(self, way: SideWay) -> pygame.Rect:
        """Pixels of a bore, from its mouth in the chamber to the outside of the head."""
        ends = self.view.points(np.array([(way.r, way.z0), (way.end_r, way.z1)]), way.side)
        left, right = sorted(ends[:, 0].tolist())
        top, bottom = sorted(ends[:, 1].tolist())
        box = pygame.Rect(round(left), round(top) + 1, 0, 0)
        box.w, box.h = round(right) - box.x, round(bottom) - box.y - 1
        return box

    def draw(
        self,
        surface: pygame.Surface,
        field: FieldPainter,
        values: tuple[Array, float, float],
        levels: Levels,
        snapshot: Snapshot,
        carriers: Carriers | None,
        rate: float,
    ) -> None:
        """Fill the bores with the colour at their mouths and draw the marks of the oil.

        Args:
            surface: to draw on.
            field: gives the colours.
            values: values (nz, nr) of the cells, and the ends of their scale.
            levels: how high the oil stands.
            snapshot: of the rig.
            carriers: of the section: they know how much oil has passed as drawn.
            rate: slow motion.
        """
        flow, share = snapshot.element_m3s + unfiltered_m3s(snapshot), unfiltered_share(snapshot)
        for way in self.ways:
            into = way.side == self.ways[0].side
            level = levels.dirty_z if into else levels.clean_z
            self._fill(surface, field, values, way, level)
            if carriers is None or flow <= 0.0 or level < way.z1:
                continue
            marks, speed = self.marks(way, into, getattr(carriers, "passed_m3", 0.0), flow, share)
            velocity = np.stack([rate * speed, np.zeros_like(speed)], axis=1)
            side = np.full(len(speed), way.side)
            clip = self.rect(way).clip(surface.get_clip())
            self.streaks.draw(surface, marks, velocity, self.view, clip, None, side)

    def _fill(
        self,
        surface: pygame.Surface,
        field: FieldPainter,
        values: tuple[Array, float, float],
        way: SideWay,
        level_z: float,
    ) -> None:
        first, end = np.searchsorted(self._z, [way.z0 + 1e-9, way.z1 - 1e-9]).tolist()
        rows = np.arange(first - 1, end)
        column = int(np.searchsorted(self._r, way.r + 1e-9)) - 1 + min(way.inward, 0)
        shown, low, span = values
        mouth = np.asarray(shown)[rows, column]
        middles = (self._z[rows] + self._z[rows + 1]) / 2
        colours = field.colours(mouth, low, span, middles > level_z)[::-1]
        strip = pygame.surfarray.make_surface(colours[None, :, :])
        box = self.rect(way)
        surface.blit(pygame.transform.smoothscale(strip, box.size), box)

    def marks(
        self, way: SideWay, into: bool, passed_m3: float, flow: float, share: float
    ) -> tuple[BoreMarks, Array]:
        """Marks where the oil that has passed has carried them, and their speeds along r, m/s."""
        radius, length = (way.z1 - way.z0) / 2, way.end_r - way.r
        n = max(round(2 * radius * length / MARK_M2), 6)
        across = np.linspace(-1.0, 1.0, 201)
        ends = np.cumsum(1.0 - across**2)
        y = np.interp((np.arange(n) * GOLDEN) % 1.0, ends / ends[-1], across)
        area = np.pi * radius**2
        profile = 2.0 * (1.0 - y**2)
        gone = np.arange(n) / n * length + profile * passed_m3 / area
        turns, along = np.divmod(gone, length)
        outward = along if not into else length - along
        at = np.stack([way.r + outward, (way.z0 + way.z1) / 2 + y * radius], axis=1)
        past = ((np.arange(n) * GOLDEN + turns * GOLDEN**2) % 1.0) < share
        kind = np.full(n, DIRTY_MARK) if into else np.where(past, PAST_MARK, CLEAN_MARK)
        return BoreMarks(at, kind), (-1.0 if into else 1.0) * profile * flow / area
