"""What turns in a stacked-disc filter and what stands: handle, shaft, discs, the comb of blades, the cake.

Everything is drawn from two angles of the rig, the handle's and the discs', and from the load of each sector
of the rim. The section plane goes through the blades, on the right. Marks that turn are bright in front and
dim behind.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pygame

from glasscan.laws.combing import SECTORS, STEP, TURN
from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.theme import Theme
from glasscan.window.contract import Array, Section
from glasscan.window.cutaway import metal
from glasscan.window.cutaway.heap import HeapPainter
from glasscan.window.cutaway.section_view import View

BLADE_DP = 2.2  # drawn thickness of a blade: to scale it would be half a pixel
KNOB_DP = 13.0
FLAT = 0.16  # a lever seen end on keeps this share of its length: it is as thick as that
FLAKE_TIMES = 2.0  # flakes are drawn so much larger than life: to scale they would be specks
LOOKED = 5  # sectors on either side over which the cake beside the section plane is averaged


@dataclass(frozen=True)
class ScraperShapes:
    """Sizes of what is drawn, m: taken from the parts of the section."""

    arm: float
    bar: tuple[float, float]
    shaft: float
    shaft_z: tuple[float, float]
    stack: tuple[float, float]
    rim: float
    blades: tuple[tuple[float, float, float], ...]
    post: tuple[float, float, float, float]

    @classmethod
    def of(cls, section: Section) -> ScraperShapes | None:
        """The shapes; None where the filter has no scraper."""
        parts = {p.key: p for p in section.parts}
        if "handle" not in parts or "blades" not in parts:
            return None
        box = {key: _extent(parts[key].outlines) for key in (*metal.TURNED, "shaft", "discs")}
        r0, r1, z0, z1 = box["blade-post"]
        blades = tuple(
            (_extent([o])[0], _extent([o])[1], float(np.mean(o[:, 1]))) for o in parts["blades"].outlines
        )
        top = max(_extent(parts[k].outlines)[3] for k in ("gland", "cover") if k in parts)
        return cls(
            arm=box["handle"][1],
            bar=box["handle"][2:],
            shaft=box["shaft"][1],
            shaft_z=(top, box["handle"][2]),
            stack=box["discs"][2:],
            rim=box["discs"][1],
            blades=blades,
            post=(r0, r1, z0, z1),
        )


def _extent(outlines: object) -> tuple[float, float, float, float]:
    every = np.vstack([np.asarray(o, dtype=float) for o in outlines])  # type: ignore[attr-defined]
    low, high = every.min(axis=0), every.max(axis=0)
    return float(low[0]), float(high[0]), float(low[1]), float(high[1])


class ScraperPainter:
    """Draws the scraper of one section in one view and theme."""

    def __init__(
        self, section: Section, shapes: ScraperShapes, view: View, theme: Theme, scale: float
    ) -> None:
        self.shapes, self.view, self.theme, self.scale = shapes, view, theme, scale
        self.heap = HeapPainter(section, view, theme, scale)
        self._comb: tuple[pygame.Surface, pygame.Rect] | None = None

    @classmethod
    def of(cls, section: Section, view: View, theme: Theme, scale: float) -> ScraperPainter | None:
        """The painter; None where there is no scraper to draw."""
        shapes = ScraperShapes.of(section)
        return cls(section, shapes, view, theme, scale) if shapes is not None else None

    def grip_rect(self, round_px: float) -> pygame.Rect:
        """Where the pointer takes the handle: the sweep of its lever as seen from the side, px."""
        view, reach = self.view, self.shapes.arm * self.view.px_m
        z0, z1 = (view.zero_y - z * view.px_m for z in self.shapes.bar)
        box = pygame.Rect(round(view.axis_x - reach), round(z1), round(2 * reach), round(z0 - z1))
        return box.inflate(2 * round_px, 2 * round_px)

    def share_of_arm(self, x: float) -> float:
        """Where a pixel column lies along the lever: 1 at the right end of its sweep, -1 at the left."""
        return (x - self.view.axis_x) / (self.shapes.arm * self.view.px_m)

    # --- under the metal ---------------------------------------------------------------------------

    def draw_under(self, surface: pygame.Surface, s: Snapshot, falling_kg: float, ring_m: float) -> None:
        """The sludge that is down, and the cake round the rim, before the metal is laid over them."""
        sludge_kg, sludge_m3 = s.readings.get("sludge_down_kg", 0.0), s.readings.get("sludge_m3", 0.0)
        down = max(1.0 - falling_kg / sludge_kg, 0.0) if sludge_kg > 0.0 else 0.0
        self.heap.draw(surface, sludge_m3 * down)
        for side, angle in ((1, STEP * LOOKED), (-1, np.pi)):
            self._draw_cake(surface, side, ring_m * beside(s, angle))

    def _draw_cake(self, surface: pygame.Surface, side: int, thick_m: float) -> None:
        """The cake on the edges of the discs, as thick as the sectors that lie there now are loaded."""
        px = thick_m * self.view.px_m
        if px < 0.5:
            return
        low, high = self.shapes.stack
        z = np.linspace(low, high, 3 * (len(self.shapes.blades) + 1))
        rough = thick_m * (0.85 + 0.15 * np.cos(np.arange(len(z)) * 2.4))
        edge = np.stack([self.shapes.rim + rough, z], axis=1)
        foot = np.array([(self.shapes.rim - 1e-3, high), (self.shapes.rim - 1e-3, low)])
        shape = self.view.points(np.concatenate([edge, foot]), side)
        pygame.draw.polygon(surface, self.theme["sludge"], shape.tolist())
        line = self.view.points(edge, side).tolist()
        pygame.draw.lines(surface, self.theme["sludge-edge"], False, line, max(1, round(1.5 * self.scale)))

    # --- over the metal ----------------------------------------------------------------------------

    def draw_over(self, canvas: Canvas, s: Snapshot, flakes: Array) -> None:
        """Comb, index marks, handle, and flakes (n, k, 2) of (r, z), m; what was drawn is noted."""
        handle, disc = s.readings.get("handle_rad", 0.0), s.readings.get("disc_rad", 0.0)
        layer, box = self._comb_layer()
        canvas.surface.blit(layer, box)
        self._draw_flakes(canvas.surface, flakes)
        drawn_disc = self._draw_index(canvas.surface, self.shapes.rim, self.shapes.stack, disc, True)
        self._draw_index(canvas.surface, self.shapes.shaft, self.shapes.shaft_z, handle, False)
        canvas.record("handle_deg", round(np.degrees(self._draw_handle(canvas.surface, handle)), 2))
        canvas.record("disc_deg", round(np.degrees(drawn_disc), 2))
        canvas.record("heap_mm3", round(self.heap.drawn_mm3, 1))

    def _draw_flakes(self, surface: pygame.Surface, flakes: Array) -> None:
        """Falling cake, dark with a light rim: before the oil, which is lighter, and before the post."""
        rim = max(1, round(1.4 * self.scale))
        for outline in flakes:
            middle = outline.mean(axis=0)
            corners = self.view.points(middle + FLAKE_TIMES * (outline - middle)).tolist()
            pygame.draw.polygon(surface, self.theme["sludge"], corners)
            pygame.draw.polygon(surface, self.theme["inlet"], corners, rim)

    def _draw_index(
        self, surface: pygame.Surface, r_m: float, z: tuple[float, float], angle: float, ticks: bool
    ) -> float:
        """A line filed into shaft or stack, where the turn has brought it; returns the angle drawn."""
        front = np.sin(angle) <= 0.0
        x = self.view.axis_x + r_m * np.cos(angle) * self.view.px_m
        top, foot = (self.view.zero_y - height * self.view.px_m for height in (z[1], z[0]))
        wide = max(2, round((5 if front else 3) * self.scale))
        colour = self.theme["accent" if front else "bar"]
        step = (
            max(3.0, (z[1] - z[0]) * self.view.px_m / (len(self.shapes.blades) + 1)) if ticks else foot - top
        )
        y = top
        while y < foot - 0.3 * step:
            long = max(2, round(step * (0.6 if ticks else 1.0)))
            surface.fill(colour, (round(x) - wide // 2, round(y), wide, long))
            y += step * (1 if front or not ticks else 2)
        return angle

    def _draw_handle(self, surface: pygame.Surface, angle: float) -> float:
        """The lever and its grip, seen from the side; returns the angle drawn."""
        view, shapes = self.view, self.shapes
        material = self.theme.material("steel")
        reach = shapes.arm * np.cos(angle) * view.px_m
        half = max(abs(reach), FLAT * shapes.arm * view.px_m)
        z0, z1 = (view.zero_y - z * view.px_m for z in shapes.bar)
        bar = pygame.Rect(0, 0, round(2 * half), max(3, round(z0 - z1)))
        bar.center = (round(view.axis_x), round((z0 + z1) / 2))
        near = np.sin(angle) <= 0.0
        knob = KNOB_DP * self.scale * (1.0 - 0.25 * np.sin(angle))
        at = (view.axis_x + reach, float(bar.centery))
        if not near:
            self._draw_knob(surface, at, knob, "soft")
        pygame.draw.rect(surface, material.fill, bar, border_radius=bar.h // 3)
        pygame.draw.rect(surface, self.theme["outline"], bar, max(1, round(2 * self.scale)), bar.h // 3)
        if near:
            self._draw_knob(surface, at, knob, "accent")
        return angle

    def _draw_knob(self, surface: pygame.Surface, at: tuple[float, float], size: float, colour: str) -> None:
        pygame.draw.circle(surface, self.theme["outline"], at, size + max(1.0, 2 * self.scale))
        pygame.draw.circle(surface, self.theme[colour], at, size)

    def _comb_layer(self) -> tuple[pygame.Surface, pygame.Rect]:
        """The blades in the gaps on the right, and the post that holds them; drawn once."""
        if self._comb is None:
            self._comb = self._made_comb()
        return self._comb

    def _made_comb(self) -> tuple[pygame.Surface, pygame.Rect]:
        shapes, view = self.shapes, self.view
        r0, r1, z0, z1 = shapes.post
        inner = min(b[0] for b in shapes.blades)
        corners = view.points(np.array([(inner, z1), (r1, z0)]))
        box = pygame.Rect(
            *np.floor(corners[0]).astype(int), *np.ceil(corners[1] - corners[0]).astype(int)
        ).inflate(4, 4)
        big = pygame.Surface((box.w * metal.SUPER, box.h * metal.SUPER), pygame.SRCALPHA)
        big.fill((*self.theme["outline"], 0))

        def px(r: float, z: float) -> Array:
            return np.asarray((view.points(np.array([(r, z)]))[0] - box.topleft) * metal.SUPER)

        brass, steel = self.theme.material("brass"), self.theme.material("steel")
        wide = max(2, round(BLADE_DP * self.scale * metal.SUPER))
        for start, end, z in shapes.blades:
            pygame.draw.line(big, brass.hatch, px(start, z), px(end, z), wide + 2)
            pygame.draw.line(big, brass.fill, px(start, z), px(end, z), wide)
        a, b = px(r0, z1), px(r1, z0)
        post = pygame.Rect(round(a[0]), round(a[1]), round(b[0] - a[0]), round(b[1] - a[1]))
        pygame.draw.rect(big, steel.fill, post)
        pygame.draw.rect(big, self.theme["outline"], post, max(2, round(2 * self.scale * metal.SUPER)))
        return pygame.transform.smoothscale(big, box.size), box


def beside(s: Snapshot, angle_rad: float) -> float:
    """Load over the mean in the sectors that stand at an angle from the blade now; 1 where none is told."""
    rim = np.asarray(s.rim)
    if len(rim) != SECTORS:
        return 1.0
    middle = int(((angle_rad - s.readings.get("disc_rad", 0.0)) % TURN) / STEP)
    return float(rim[np.arange(middle - LOOKED, middle + LOOKED + 1) % SECTORS].mean())


def mean_cake_m(s: Snapshot, section: Section) -> float:
    """Thickness of the cake if it lay evenly round the rims of all gaps, m."""
    scraper = section.network.dirt_side.scraper  # type: ignore[attr-defined]
    comb = scraper.comb
    one_kg = float(s.deposit_kg.sum()) / len(s.deposit_kg)
    return float(one_kg / (TURN * comb.rim_m * comb.ring_m * comb.bulk_kg_m3))
