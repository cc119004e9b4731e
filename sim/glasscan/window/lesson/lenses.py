"""Two lenses on the section: the bypass valve at five times its size with live forces, and the pleats cut.

Each is joined by lines to the place it enlarges. The valve's lens is the section itself, drawn again in a
view five times as large: same fields, same marks, same slow motion.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import MILLIMETRE, NEWTON
from glasscan.window.contract import Array, Carriers, Frame, Section
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale, wet_cells
from glasscan.window.cutaway.port_arrows import arrow
from glasscan.window.cutaway.section_view import View, all_points
from glasscan.window.lesson.valve_state import state_of

TIMES = 5.0
FAINT_N = 0.05
COLOURS = (("oil", "pressure_n", "warn"), ("spring", "spring_n", "good"), ("flow", "flow_n", "bar"),
           ("friction", "friction_n", "dirty"), ("seat/stop", "seat_n", "soft"))  # fmt: skip
LIP = 0.62  # of the valve's radius: there disc, jet and spring are in view
LEAST_DP = 220.0  # a smaller lens is not worth drawing


class Lenses:
    """Keeps the large cutaway of the valve for the present box and theme."""

    def __init__(self, section: Section, snapshot: Snapshot, max_lift_m: float) -> None:
        self.section, self.max_lift_m = section, max_lift_m
        self._wet = wet_cells(section, snapshot, max_lift_m)
        self._kept: tuple[object, Cutaway] | None = None

    def middle_m(self) -> Array | None:
        """Place that the lens looks at (r, z), m: of a valve on the axis its lip; None without a valve."""
        valve = [p for p in self.section.parts if p.lifts]
        if not valve:
            return None
        every = all_points(valve)
        on_axis = every[:, 0].min() <= 1e-6
        r = LIP * float(every[:, 0].max()) if on_axis else float(every[:, 0].mean())
        return np.array([r, float(every[:, 1].mean())])

    def draw_valve(
        self,
        canvas: Canvas,
        box: pygame.Rect,
        view: View,
        s: Snapshot,
        frame: Frame,
        scale: PressureScale,
        carriers: Carriers | None,
        rate: float,
    ) -> None:
        """Draw the valve into a box, joined to its place in the section's `view`."""
        middle = self.middle_m()
        if middle is None or s.valve is None or min(box.size) < canvas.dp(LEAST_DP):
            return
        line = canvas.measure("Ag")[1]
        area = pygame.Rect(box.x, box.y, box.w, box.h - 2 * line)
        near = pygame.Rect(0, 0, round(area.w / TIMES), round(area.h / TIMES))
        near.center = tuple(np.rint(view.points(middle[None])[0]).astype(int).tolist())
        _joined(canvas, near, area)
        canvas.panel(box.inflate(6, 6), "sheet", "accent", 10, 3)
        cut = self._cutaway(canvas, area, view.px_m * TIMES, middle)
        old = canvas.surface.get_clip()
        canvas.surface.set_clip(area)
        cut.draw_ground(canvas.surface)
        cut.draw(canvas.surface, frame, s, scale, carriers, rate)
        cut.draw_valve(canvas.surface, s.lift_m)
        self._forces(canvas, cut, s)
        canvas.surface.set_clip(old)
        state = state_of(s, self.max_lift_m)
        canvas.record("valve_state", state)
        canvas.record("lens_lift_px", round(s.lift_m * cut.view.px_m, 2))
        head = pygame.Rect(box.x, area.bottom, box.w, line)
        canvas.text(state, head, align="centre", bold=True, shorten=True)
        lift = f"× {TIMES:.0f}, lift {MILLIMETRE.text(s.lift_m)} mm"
        canvas.text(lift, head.move(0, line), align="centre", colour="soft", shorten=True)

    def _cutaway(self, canvas: Canvas, area: pygame.Rect, px_m: float, middle: Array) -> Cutaway:
        key = (tuple(area), canvas.theme.name, round(px_m))
        if self._kept is None or self._kept[0] != key:
            view = View(area.centerx - middle[0] * px_m, area.centery + middle[1] * px_m, px_m, area)
            made = Cutaway(
                self.section, self._wet, view, canvas.theme, canvas.scale, self.max_lift_m, "sheet"
            )
            self._kept = key, made
        return self._kept[1]

    def _forces(self, canvas: Canvas, cut: Cutaway, s: Snapshot) -> None:
        """Arrows of the forces with their newtons, all to one scale, on the two faces of the valve."""
        valve = [p for p in self.section.parts if p.lifts]
        way = np.array(valve[0].direction, dtype=float)
        body = all_points(valve) + s.lift_m * way
        along = body @ way
        middle = self.middle_m()
        assert middle is not None
        found = [(word, float(getattr(s.valve, key)), colour) for word, key, colour in COLOURS]
        largest = max(abs(n) for _, n, _ in found)
        longest = 0.24 * (cut.view.area.h if way[0] == 0 else cut.view.area.w)
        told = {}
        for sign, face in ((1, along.min()), (-1, along.max())):
            group = [f for f in found if f[1] * sign > FAINT_N]
            at = cut.view.points((middle + (face - middle @ way) * way)[None])[0]
            point = sign * way * np.array([1, -1])
            for i, (word, newton, colour) in enumerate(group):
                length = max(canvas.dp(26), round(abs(newton) / largest * longest))
                told[word] = round(newton, 3)
                _force(
                    canvas, at, point, length, (i, len(group)), colour, f"{word} {NEWTON.text(abs(newton))} N"
                )
        canvas.record("forces_n", told)

    def draw_pleats(self, canvas: Canvas, box: pygame.Rect, view: View, closer: Any) -> None:
        """The closer look at the pleats in a box, joined to the middle of the element."""
        picture = closer.lens(canvas, box)
        if picture is None:
            return
        layout: Any = self.section.layout
        middle = np.array([[(layout.r_dirty + layout.r_clean) / 2, float(np.mean(layout.bands))]])
        near = pygame.Rect(0, 0, canvas.dp(34), canvas.dp(20))
        near.center = tuple(np.rint(view.points(middle, -1)[0]).astype(int).tolist())
        _joined(canvas, near, box)
        pygame.draw.rect(canvas.surface, canvas.theme["accent"], box.inflate(6, 6), canvas.dp(3))


def _joined(canvas: Canvas, near: pygame.Rect, far: pygame.Rect) -> None:
    """The place that is enlarged, framed, with lines to the lens."""
    surface, colour, wide = canvas.surface, canvas.theme["accent"], canvas.dp(2)
    right = far.centerx > near.centerx
    for one, other in (
        (near.topright if right else near.topleft, far.topleft if right else far.topright),
        (near.bottomright if right else near.bottomleft, far.bottomleft if right else far.bottomright),
    ):
        pygame.draw.line(surface, colour, one, other, wide)
    pygame.draw.rect(surface, colour, near, canvas.dp(3))


def _force(
    canvas: Canvas, face: Array, point: Array, length: int, place: tuple[int, int], colour: str, words: str
) -> None:
    """One arrow whose tip stands on a face, with its words at its tail."""
    i, number = place
    width = canvas.dp(38)
    side = np.array([-point[1], point[0]])
    picture = arrow(length, width, True, canvas.theme[colour], canvas.theme["paper"])
    turned = pygame.transform.rotate(picture, float(-90 - np.degrees(np.arctan2(point[1], point[0]))))
    shift = (i - (number - 1) / 2) * canvas.tp(118)
    middle = face - point * length / 2 + side * shift
    canvas.surface.blit(turned, turned.get_rect(center=(round(middle[0]), round(middle[1]))))
    tail = face - point * (length + canvas.dp(4)) + side * shift
    word, _, rest = words.partition(" ")
    line = canvas.measure("Ag")[1]
    box = pygame.Rect(0, 0, canvas.tp(116), 2 * line)
    if abs(point[1]) > 0:
        box.midbottom = (
            (round(tail[0]), round(tail[1])) if point[1] > 0 else (round(tail[0]), round(tail[1]) + 2 * line)
        )
    else:
        box.center = round(tail[0] - point[0] * box.w / 2), round(tail[1])
    box.clamp_ip(canvas.surface.get_clip())
    canvas.panel(box, "sheet", None, 6)
    canvas.text(word, pygame.Rect(box.x, box.y, box.w, line), align="centre", colour="soft", shorten=True)
    canvas.text(rest, pygame.Rect(box.x, box.y + line, box.w, line), align="centre", bold=True, shorten=True)
