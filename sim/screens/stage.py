"""The stage: the cutaway in its place with part names, port arrows and their captions."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pygame

from sim.plant.records import Snapshot
from sim.screens import labels
from sim.screens.arrows import arrow, ports
from sim.screens.canvas import Canvas
from sim.screens.contract import Carriers, Frame, Section
from sim.screens.cutaway import Cutaway, PressureScale, wet_cells
from sim.screens.field import nice_ceiling
from sim.screens.layout import Layout
from sim.screens.quantities import Unit
from sim.screens.streaks import rate_for
from sim.screens.view import fit

NAMES = {1: "names_right", -1: "names_left"}
LEAST_SPAN_PA = 1e4
FLOWING_M3S = 1e-6  # 0.06 L/min: less is called no flow
LAPSE = 10.0  # from this speed on the drawn oil would lag behind the model
JUMP_S = 30.0
SHARE_NOTICED = 0.15
HURRY_S, HURRY_FRAMES = 0.02, 40
FRAME_S = 1 / 60
RATE_EVERY = 20  # frames between two looks at how fast the oil is


def pressure_scale(
    snapshot: Snapshot, peak_dp_pa: float, cracking_pa: float | None, unit: Unit
) -> PressureScale:
    """Colours run from the outlet's pressure up; the span holds the largest difference of the run so far.

    One span for the whole run keeps a warm filter visibly darker than a cold one. It is round in `unit`.
    """
    peak = max(peak_dp_pa, 1.02 * (cracking_pa or 0.0), LEAST_SPAN_PA)
    span = unit.si(nice_ceiling(unit.shown(peak)))
    return PressureScale(min(snapshot.outlet_pa, snapshot.inlet_pa), span)


def fast_m_s(frame: Frame) -> float:
    """Speed that nine tenths of the moving oil do not reach, m/s."""
    pace = np.hypot(np.asarray(frame.u_r_m_s), np.asarray(frame.u_z_m_s))
    moving = pace[np.isfinite(pace) & (pace > 0)]
    return float(np.percentile(moving, 90)) if moving.size else 0.0


class Stage:
    """Keeps the cutaway for the present window and theme, and the pace at which the oil is drawn."""

    def __init__(self, section: Section, snapshot: Snapshot, max_lift_m: float) -> None:
        self.section, self.max_lift_m = section, max_lift_m
        self.wet = wet_cells(section, snapshot, max_lift_m)
        frame = section.frame(snapshot)
        self.port_radii = ports(section, np.asarray(frame.region))
        self.rate = 1.0
        self.placed: Sequence[labels.Label] = ()
        self._cutaway: tuple[object, Cutaway] | None = None
        self._labels: tuple[object, list[labels.Label]] | None = None
        self._count = 0
        self._t_s, self._share, self._hurry = snapshot.t_s, 0.0, 0

    def cutaway(self, canvas: Canvas, layout: Layout) -> Cutaway:
        """Layers for this window size and theme."""
        key = (tuple(layout["can"]), canvas.surface.get_size(), canvas.theme.name)
        if self._cutaway is None or self._cutaway[0] != key:
            area = layout["can"].inflate(canvas.dp(30), 0)
            view = fit(self.section, layout["can"], canvas.dp(68) + canvas.tp(32))
            view = type(view)(view.axis_x, view.zero_y, view.px_m, area)
            made = Cutaway(self.section, self.wet, view, canvas.theme, canvas.scale, self.max_lift_m)
            self._cutaway = (key, made)
            self._labels = None
        return self._cutaway[1]

    def drift(
        self, canvas: Canvas, layout: Layout, carriers: Carriers, frame: Frame, drawn_s: float, speed: float
    ) -> None:
        """Let the carriers drift for `drawn_s` of screen time, slowed until the eye can follow."""
        cut = self.cutaway(canvas, layout)
        if self._count % RATE_EVERY == 0:
            self.rate = min(rate_for(fast_m_s(frame), cut.view, canvas.scale), max(min(speed, 1.0), 0.1))
        self._count += 1
        carriers.step(frame, drawn_s * self.rate)
        cut.streaks.moved(carriers, drawn_s)

    def catch_up(
        self,
        canvas: Canvas,
        layout: Layout,
        carriers: Carriers,
        frame: Frame,
        snapshot: Snapshot,
        speed: float,
    ) -> None:
        """In a time lapse, or after a jump in time, hurry the oil on once its share by the valve changes."""
        flow = snapshot.element_m3s + snapshot.bypass_m3s
        share = snapshot.bypass_m3s / flow if flow > FLOWING_M3S else 0.0
        jumped = snapshot.t_s < self._t_s or snapshot.t_s - self._t_s > JUMP_S
        self._t_s = snapshot.t_s
        if abs(share - self._share) > SHARE_NOTICED:
            self._share = share
            self._hurry = HURRY_FRAMES if speed >= LAPSE or jumped else 0
        if self._hurry > 0:
            self._hurry -= 1
            self.hurry(canvas, layout, carriers, frame, 1)

    def hurry(self, canvas: Canvas, layout: Layout, carriers: Carriers, frame: Frame, steps: int) -> None:
        """Move the oil on in long steps that are not drawn; its streaks start afresh."""
        for _ in range(steps):
            carriers.step(frame, HURRY_S)
        streaks = self.cutaway(canvas, layout).streaks
        streaks.forget()
        streaks.moved(carriers, 0.0)
        self._count = 0
        self.drift(canvas, layout, carriers, frame, FRAME_S, LAPSE)

    def draw(
        self,
        canvas: Canvas,
        layout: Layout,
        snapshot: Snapshot,
        frame: Frame,
        scale: PressureScale,
        carriers: Carriers | None,
        names: bool,
    ) -> None:
        """Draw the section, the arrows at its ports and, where `names` is set, the part names."""
        cut = self.cutaway(canvas, layout)
        cut.draw_ground(canvas.surface)
        cut.draw(canvas.surface, frame, snapshot, scale, carriers)
        self._draw_ports(canvas, cut, snapshot)
        self.placed = self._names(canvas, layout, cut, snapshot.lift_m) if names else []
        labels.draw(self.placed, canvas)

    def _names(self, canvas: Canvas, layout: Layout, cut: Cutaway, lift_m: float) -> list[labels.Label]:
        key = (id(cut), canvas.text_scale, round(lift_m * cut.view.px_m))
        if self._labels is None or self._labels[0] != key:
            columns = {side: layout[name] for side, name in NAMES.items() if layout[name].w > 0}
            placed = labels.place(self.section.parts, canvas, cut.view, columns, lift_m)
            self._labels = (key, placed)
        return self._labels[1]

    def _draw_ports(self, canvas: Canvas, cut: Cutaway, s: Snapshot) -> None:
        """Arrows and words below the can: dirty oil in, filtered or mixed oil out."""
        theme, view = canvas.theme, cut.view
        flow = s.element_m3s + s.bypass_m3s
        length, width = canvas.dp(56), canvas.dp(42)
        top = cut.rect.bottom + canvas.dp(4)
        inlet_r, outlet_r = self.port_radii
        line = canvas.measure("Ag")[1]
        below = top + length + canvas.dp(4)
        if flow > FLOWING_M3S:
            up = arrow(length, width, True, theme["dirty"], theme["paper"])
            for side in (1, -1):
                x = round(view.axis_x + side * inlet_r * view.px_m)
                canvas.surface.blit(up, (x - width // 2, top))
            share = s.bypass_m3s / flow
            colour = "warn" if share > 0.005 else "good"
            down = arrow(length, width, False, theme[colour], theme["paper"], share > 0.005)
            canvas.surface.blit(down, (round(view.axis_x + outlet_r * view.px_m) - width // 2, top))
            text = f"out: {100 * share:.0f} % unfiltered" if share > 0.005 else "out: filtered"
        else:
            text, colour = "no flow", "soft"
        w = canvas.measure(text, bold=True)[0] + 4
        out = pygame.Rect(round(view.axis_x) - w // 2, below, w, line)
        canvas.text(text, out, colour=colour, align="centre", bold=True)
        self._name_inlets(canvas, cut, pygame.Rect(0, top, width, length))

    def _name_inlets(self, canvas: Canvas, cut: Cutaway, arrow_box: pygame.Rect) -> None:
        """The word "in" on the inner side of each inlet arrow."""
        view, gap = cut.view, canvas.dp(6)
        w = canvas.measure("in", bold=True)[0] + 4
        for side in (1, -1):
            arrow_box.centerx = round(view.axis_x + side * self.port_radii[0] * view.px_m)
            place = pygame.Rect(0, arrow_box.y, w, arrow_box.h)
            place.x = arrow_box.x - gap - w if side > 0 else arrow_box.right + gap
            canvas.text("in", place, colour="dirty", bold=True, align="centre")
