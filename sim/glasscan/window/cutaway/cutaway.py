"""The cutaway: cut metal to scale, oil coloured by pressure, oil in motion, the valve on its spring."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.theme import Theme
from glasscan.window.contract import KINDS, MEDIUM, NONE, THROAT, Array, Carriers, Frame, Part, Section
from glasscan.window.cutaway import metal
from glasscan.window.cutaway.deposit import DepositPainter
from glasscan.window.cutaway.dye import draw_dye
from glasscan.window.cutaway.field_painter import FieldPainter, oil_mask
from glasscan.window.cutaway.oil_levels import Levels, OilLevels
from glasscan.window.cutaway.oil_texture import OilTexture
from glasscan.window.cutaway.scraper_drawing import ScraperPainter, mean_cake_m
from glasscan.window.cutaway.section_view import View, all_points
from glasscan.window.cutaway.side_ports import SidePorts, come_round
from glasscan.window.cutaway.streaks import StreakPainter, sides

SHADOW_DP = 16
UNFILTERED = KINDS.index("unfiltered")
SHOWN_BESIDE_DYE = 3  # one mark of so many is shown while dye is in the oil
SHOWN_IN_MEDIUM = 5  # odd, so that both sides get theirs; one mark of so many is shown inside the medium
COARSE = 4  # the shadow is blurred on so many times fewer pixels across
LIFT_STEP = 0.25  # pixels of lift between two cached pictures of the valve


@dataclass(frozen=True)
class PressureScale:
    """The ramp's two ends: `low_pa` (dark, gauge) and `span_pa` above it (light, differential)."""

    low_pa: float
    span_pa: float


def wet_cells(section: Section, snapshot: Snapshot, max_lift_m: float) -> Array:
    """Cells (nz, nr) that hold oil with the valve shut or open."""
    frames = (section.frame(replace(snapshot, lift_m=lift)) for lift in (0.0, max_lift_m))
    return np.asarray(np.logical_or.reduce([np.asarray(f.region) != NONE for f in frames]))


def within(still: pygame.Surface, bores: Sequence[pygame.Rect] = ()) -> Array:
    """Pixels (w, h) within the outermost metal of their row; a row without metal counts whole.

    Bores in the side of a head count as metal: what lies behind them is inside.
    """
    metal_px = pygame.surfarray.array_alpha(still) > 127
    for bore in bores:
        metal_px[max(bore.x, 0) : bore.right, max(bore.y, 0) : bore.bottom] = True
    w = metal_px.shape[0]
    first = np.argmax(metal_px, axis=0)
    last = w - 1 - np.argmax(metal_px[::-1], axis=0)
    bare = ~metal_px.any(axis=0)
    first[bare], last[bare] = 0, w
    x = np.arange(w)[:, None]
    return np.asarray((x >= first) & (x <= last))


def _softened(shade: pygame.Surface, reach: int) -> pygame.Surface:
    """A picture blurred over `reach` pixels; on a quarter of its size, as no detail is left to lose."""
    small = pygame.transform.smoothscale(
        shade, (-(-shade.get_width() // COARSE), -(-shade.get_height() // COARSE))
    )
    soft = pygame.transform.gaussian_blur(small, max(1, reach // COARSE))
    return pygame.transform.smoothscale(soft, shade.get_size())


class Cutaway:
    """Layers of one section in one view and theme; everything that does not move is drawn once.

    `wet` (nz, nr) says which cells ever hold oil, see `wet_cells`.
    """

    def __init__(
        self,
        section: Section,
        wet: Array,
        view: View,
        theme: Theme,
        scale: float,
        max_lift_m: float,
        backdrop: str = "paper",
    ) -> None:
        self.section, self.view, self.theme, self.scale = section, view, theme, scale
        self.max_lift_m = max_lift_m
        self.field = FieldPainter(section, view, theme)
        self.texture = OilTexture(section, view, self.field.rect, scale)
        self.streaks = StreakPainter(theme, scale)
        self.ports = SidePorts(section, view, theme, scale)
        fixed = metal.still_parts(section)
        self.rect = self._reach(fixed)
        still = metal.parts_layer(fixed, view, self.rect, theme, scale)
        self.ground = self._ground(still, backdrop)
        self.overlay = self._overlay(still, wet)
        self.deposit = DepositPainter(section, view)
        self.valve_rect = metal.moving_rect(section, max_lift_m, view)
        self._valves: dict[int, pygame.Surface] = {}
        self._levels: OilLevels | None = None
        self.scraper = ScraperPainter.of(section, view, theme, scale)
        self.one_sided = any(part.lifts and not part.mirrored for part in section.parts)

    def _reach(self, parts: list[Part]) -> pygame.Rect:
        """Pixels that parts and field can cover."""
        every = all_points(parts)
        box = self.view.box(float(every[:, 0].max()), float(every[:, 1].min()), float(every[:, 1].max()))
        return box.inflate(6, 6).union(self.field.rect).clip(self.view.area)

    def _ground(self, still: pygame.Surface, backdrop: str) -> pygame.Surface:
        """Paper with the soft shadow of the filter."""
        ground = pygame.Surface(self.view.area.size)
        ground.fill(self.theme[backdrop])
        reach = round(SHADOW_DP * self.scale)
        silhouette = pygame.mask.from_surface(still, 40)
        shade = pygame.Surface(self.view.area.size)
        shade.fill((0, 0, 0))
        offset = (self.rect.x - self.view.area.x + reach // 3, self.rect.y - self.view.area.y + reach // 2)
        silhouette.to_surface(shade, setcolor=(255, 255, 255), unsetcolor=None, dest=offset)
        soft = _softened(shade, reach)
        weight = pygame.surfarray.array3d(soft)[:, :, :1].astype(np.float32) / 255 * 0.55
        pixels = pygame.surfarray.pixels3d(ground)
        dark = np.array(self.theme["shadow"], dtype=np.float32)
        pixels[...] = (pixels * (1 - weight) + dark * weight).astype(np.uint8)
        del pixels
        return ground

    def _overlay(self, still: pygame.Surface, wet: Array) -> pygame.Surface:
        """Parts on top of ground, with a hole wherever there is oil."""
        layer = pygame.Surface(self.rect.size, pygame.SRCALPHA)
        layer.blit(self.ground, (self.view.area.x - self.rect.x, self.view.area.y - self.rect.y))
        alpha = pygame.surfarray.pixels_alpha(layer)
        holes = oil_mask(self.section, wet, self.view, self.rect)
        if self.rect.w < self.view.area.w:  # the whole width is in view: nothing shows outside the shell
            holes &= within(still, [box.move(-self.rect.x, -self.rect.y) for box in self.ports.rects])
        alpha[holes] = 0
        del alpha
        layer.blit(still, (0, 0))
        return layer

    def draw_deposit(self, surface: pygame.Surface, loads_g_m2: Array, coloured: bool = False) -> None:
        """The dirt on the media, over everything that stands still."""
        clip = surface.get_clip()
        surface.set_clip(self.rect.clip(clip))
        self.deposit.draw(surface, loads_g_m2, coloured)
        surface.set_clip(clip)

    def draw_ground(self, surface: pygame.Surface) -> None:
        """Paper and shadow over the whole area."""
        surface.blit(self.ground, self.view.area)

    def draw(
        self,
        surface: pygame.Surface,
        frame: Frame,
        snapshot: Snapshot,
        scale: PressureScale,
        carriers: Carriers | None,
        rate: float = 1.0,
        held_m: float = 0.0,
        values: Array | None = None,
        dye: Carriers | None = None,
        falling_kg: float = 0.0,
        grain: bool = False,
    ) -> None:
        """Draw the section for one snapshot, back to front; `rate` slows the oil as drawn.

        The valve is drawn at its lift, or at `held_m` where debris keeps it further off its seat.
        Of the sludge `falling_kg` is still on its way down: it is not in the heap yet.
        `grain` lays the moving grain of the oil over its colours.
        The oil is coloured by pressure, or by other `values` of the cells, for which `scale` is then made.
        """
        levels = self._levels_of(frame, snapshot)
        self.field.paint(surface, frame, scale.low_pa, scale.span_pa, values, levels)
        if grain:
            self.texture.draw(surface, frame, levels)
        if carriers is not None:
            self._draw_oil(surface, frame, levels, carriers, rate, 1 if dye is None else SHOWN_BESIDE_DYE)
        if dye is not None:
            draw_dye(surface, dye, self.view, self.field.rect, self.theme, self.scale)
        if self.scraper is not None:
            self.scraper.draw_under(surface, snapshot, falling_kg, mean_cake_m(snapshot, self.section))
        surface.blit(self.overlay, self.rect)
        told = np.asarray(frame.pressure_pa if values is None else values), scale.low_pa, scale.span_pa
        self.ports.draw(surface, self.field, told, levels, snapshot, carriers, rate)
        self.draw_valve(surface, max(snapshot.lift_m, held_m))

    def _levels_of(self, frame: Frame, snapshot: Snapshot) -> Levels:
        """How high the oil stands on both sides."""
        if self._levels is None:
            self._levels = OilLevels(self.section, frame)
        return self._levels.of(snapshot)

    def level_mm(self) -> dict[str, float]:
        """Height of the oil drawn on each side above the foot of that side, mm; a full side to its top."""
        assert self._levels is not None
        found = {}
        for side in ("dirty", "clean"):
            low, high = self._levels.ends(side)
            top = min(max(self.field.drawn_z.get(side, high), low), high)
            found[side] = round(1e3 * (top - low), 1)
        return found

    def air_box(self) -> pygame.Rect | None:
        """The lower half of the air drawn in the centre, for a word; None where it is full."""
        r_clean = getattr(self.section.layout, "r_clean", None)
        if self._levels is None or r_clean is None or "clean" not in self.field.drawn_z:
            return None
        if self._levels.hangs != "dome-up":
            return None
        low, high = self._levels.ends("clean")
        z = max(self.field.drawn_z["clean"], low)
        return self.view.box(r_clean, z, (z + high) / 2)

    def _draw_oil(
        self,
        surface: pygame.Surface,
        frame: Frame,
        levels: Levels,
        carriers: Carriers,
        rate: float,
        one_of: int,
    ) -> None:
        """The marks of the oil, each as long as its way in a short time at the drawn pace."""
        ir, iz = self._cells(carriers)
        region = np.asarray(frame.region)[iz, ir]
        # in the medium most marks are left out: slow oil would crowd the pleats
        hidden = (region == MEDIUM) & (np.arange(len(ir)) % SHOWN_IN_MEDIUM != 0)
        hidden |= np.arange(len(ir)) % one_of != 0
        if not levels.full:
            where = np.asarray(carriers.positions_m)
            hidden |= levels.dry(region, where[:, 1], sides(len(ir)) * where[:, 0])
        alive = getattr(carriers, "alive", None)
        if alive is not None:
            hidden |= ~alive
        velocity = rate * np.stack(
            [np.asarray(frame.u_r_m_s)[iz, ir], np.asarray(frame.u_z_m_s)[iz, ir]], axis=1
        )
        side = sides(len(ir))
        if self.one_sided:  # the way past the element is one hole, on the right
            side[(region == THROAT) | (np.asarray(carriers.kind) == UNFILTERED)] = 1
        hidden |= come_round(self.section, np.asarray(carriers.positions_m), side)
        self.streaks.draw(surface, carriers, velocity, self.view, self.field.rect, hidden, side)

    def _cells(self, carriers: Carriers) -> tuple[Array, Array]:
        """Column and row of the cell that holds each carrier."""
        at = np.asarray(carriers.positions_m)
        r, z = np.asarray(self.section.r_edges_m), np.asarray(self.section.z_edges_m)
        ir = np.clip(np.searchsorted(r, at[:, 0]) - 1, 0, len(r) - 2)
        return ir, np.clip(np.searchsorted(z, at[:, 1]) - 1, 0, len(z) - 2)

    def draw_valve(self, surface: pygame.Surface, lift_m: float) -> None:
        """The valve and its spring at a lift, kept as `drawn_lift_m`."""
        self.drawn_lift_m: float | None = None
        if self.valve_rect.w == 0:
            return
        key = round(min(max(lift_m, 0.0), self.max_lift_m) * self.view.px_m / LIFT_STEP)
        if key not in self._valves:
            lift = key * LIFT_STEP / self.view.px_m
            self._valves[key] = metal.moving_layer(
                self.section, lift, self.view, self.valve_rect, self.theme, self.scale
            )
        self.drawn_lift_m = key * LIFT_STEP / self.view.px_m
        surface.blit(self._valves[key], self.valve_rect)
