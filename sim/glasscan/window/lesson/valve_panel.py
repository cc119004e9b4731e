"""Why the valve stands where it stands: the forces on it, drawn on a close-up, with numbers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import pygame

from glasscan.rig.records import Snapshot, ValveForces
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import NEWTON
from glasscan.ui.theme import Theme
from glasscan.window.contract import Array, Frame, Section
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale, wet_cells
from glasscan.window.cutaway.metal import movers
from glasscan.window.cutaway.port_arrows import arrow
from glasscan.window.cutaway.section_view import all_points, close_up
from glasscan.window.lesson.valve_state import state_of
from glasscan.window.lesson.window_layout import LARGE_TEXT

FAINT_N = 0.05  # a force smaller than this gets no arrow


def force_rows(forces: ValveForces) -> list[tuple[str, float, str]]:
    """Name, force (N, opening positive) and colour of each force on the valve."""
    return [
        ("pressure", forces.pressure_n, "warn"),
        ("spring", forces.spring_n, "good"),
        ("flow", forces.flow_n, "bar"),
        ("friction", forces.friction_n, "dirty"),
        ("seat/stop", forces.seat_n, "soft"),
    ]


def verdict(s: Snapshot, max_lift_m: float, short: bool = False) -> str:
    """One sentence on the balance."""
    if s.valve is None:
        return "This filter has no bypass valve."
    state = state_of(s, max_lift_m)
    return f"Valve {state}." if short else f"{state[0].upper()}{state[1:]}."


class ValvePanel:
    """Close-up of the valve with arrows to scale, and the list of forces."""

    def __init__(self, section: Section, snapshot: Snapshot, max_lift_m: float) -> None:
        self.section, self.max_lift_m = section, max_lift_m
        self.wet = wet_cells(section, snapshot, max_lift_m)
        self._view: tuple[object, Cutaway] | None = None

    def _cutaway(self, area: pygame.Rect, theme: Theme, scale: float) -> Cutaway:
        """The close-up's layers for this box."""
        key = (tuple(area), theme.name)
        if self._view is None or self._view[0] != key:
            view = close_up(self._strip(), area)
            made = Cutaway(self.section, self.wet, view, theme, scale, self.max_lift_m, "sheet")
            self._view = (key, made)
        return self._view[1]

    def _strip(self) -> tuple[float, float, float, float]:
        """Part of the half plane shown: the valve and its spring with room for the arrows, m."""
        every = all_points(movers(self.section))
        (r_low, low), (r_high, high) = every.min(axis=0), every.max(axis=0)
        if self._way()[0]:
            wide = float(r_high - r_low)
            return r_low - 0.35 * wide, r_high + 0.6 * wide, low - 0.1 * wide, high + 0.1 * wide
        tall = float(high - low)
        return -0.9 * tall, 0.9 * tall, low - 0.15 * tall, high + 0.55 * tall

    def _way(self) -> tuple[float, float]:
        """Direction (r, z) in which the valve opens."""
        return next((p.direction for p in self.section.parts if p.lifts), (0.0, -1.0))

    def draw(self, canvas: Canvas, box: pygame.Rect, s: Snapshot, frame: Frame, scale: PressureScale) -> None:
        """Draw into `box`."""
        canvas.panel(box, "sheet")
        line = canvas.measure("Ag")[1]
        pad = canvas.dp(16)
        foot = pygame.Rect(box.x + pad, box.bottom - line - canvas.dp(8), box.w - 2 * pad, line)
        rows = force_rows(s.valve) if s.valve else []
        cramped = (
            box.h < (len(rows) + 3) * line or canvas.text_scale > LARGE_TEXT
        )  # large text: the numbers alone, side by side
        canvas.text(
            f"Forces in newtons. {verdict(s, self.max_lift_m, True)}"
            if cramped
            else verdict(s, self.max_lift_m),
            foot,
            bold=not cramped,
        )
        if s.valve is None:
            return
        signs = _signs(self._way())
        if cramped:
            top = box.y + canvas.dp(8)
            wide = pygame.Rect(box.x + pad, top, box.w - 2 * pad, foot.y - top)
            _table(canvas, wide, rows, 2, signs)
            return
        names = canvas.tp(290)
        area = pygame.Rect(box.x + pad, box.y + pad, box.w - names - 3 * pad, foot.y - box.y - 2 * pad)
        old = canvas.surface.get_clip()
        canvas.surface.set_clip(area)
        close = self._cutaway(area, canvas.theme, canvas.scale)
        close.draw_ground(canvas.surface)
        close.draw(canvas.surface, frame, s, scale, None)
        self._arrows(canvas, close, s)
        canvas.surface.set_clip(old)
        table = pygame.Rect(box.right - names - pad, box.y + pad, names, area.h)
        _table(canvas, table, rows, 1, signs)

    def _arrows(self, canvas: Canvas, close: Cutaway, s: Snapshot) -> None:
        """Arrows on the valve: opening forces on its dirty face, closing ones behind it, to one scale."""
        assert s.valve is not None
        rows = [row for row in force_rows(s.valve) if abs(row[1]) > FAINT_N]
        largest = max((abs(r[1]) for r in rows), default=1.0)
        way = np.array(self._way())
        body = all_points([p for p in self.section.parts if p.lifts]) + s.lift_m * way
        along = body @ way
        axial = way[0] == 0
        centre = np.array([0.0, body[:, 1].mean()]) if axial else body.mean(axis=0)
        longest = 0.36 * (close.view.area.h if axial else close.view.area.w)
        for sign, face in ((1, along.min()), (-1, along.max())):
            group = [r for r in rows if r[1] * sign > 0]
            at = close.view.points((centre + (face - centre @ way) * way)[None])[0]
            _arrow_row(canvas, group, at, sign * way * np.array([1, -1]), longest / largest)


def _arrow_row(
    canvas: Canvas, group: Sequence[tuple[str, float, str]], face: Array, point: Array, px_per_n: float
) -> None:
    """Arrows side by side whose tips stand on a face; `point` is their direction on the screen."""
    width = canvas.dp(34)
    side = np.array([-point[1], point[0]])
    for i, (_, force, colour) in enumerate(group):
        length = max(canvas.dp(24), round(abs(force) * px_per_n))
        picture = arrow(length, width, True, canvas.theme[colour], canvas.theme["paper"])
        turned = pygame.transform.rotate(picture, float(-90 - np.degrees(np.arctan2(point[1], point[0]))))
        middle = face - point * length / 2 + side * (i - (len(group) - 1) / 2) * width * 1.15
        canvas.surface.blit(turned, turned.get_rect(center=(round(middle[0]), round(middle[1]))))


def _signs(way: tuple[float, float]) -> tuple[str, str]:
    """Arrow signs of an opening and of a closing force."""
    if way[0]:
        return ("←", "→") if way[0] < 0 else ("→", "←")
    return ("↓", "↑") if way[1] < 0 else ("↑", "↓")


def _table(
    canvas: Canvas,
    box: pygame.Rect,
    rows: Sequence[tuple[str, float, str]],
    columns: int,
    signs: tuple[str, str],
) -> None:
    """Names and newtons; the sum last, which is nought when the valve stands still."""
    total = sum(force for _, force, _ in rows)
    shown = [*rows, ("sum", total, "ink")]
    deep = -(-len(shown) // columns)
    line = canvas.measure("Ag")[1]
    step = min(round(line * 1.5), box.h // deep)
    gap = canvas.dp(24)
    width = (box.w - gap * (columns - 1)) // columns
    for i, (name, force, colour) in enumerate(shown):
        place = pygame.Rect(box.x + i // deep * (width + gap), box.y + i % deep * step, width, step)
        way = f"{signs[0]} " if force > FAINT_N else f"{signs[1]} " if force < -FAINT_N else ""
        number = f"{way}{NEWTON.text(abs(force))}"
        _row(canvas, place, name, number + " N" if columns == 1 else number, colour)


def _row(canvas: Canvas, place: pygame.Rect, name: str, number: str, colour: str) -> None:
    """One force: a sample of its arrow's colour, its name, its way and size."""
    sample = pygame.Rect(place.x, place.centery - canvas.tp(9), canvas.tp(18), canvas.tp(18))
    canvas.panel(sample, colour, "edge", 4, 1)
    name_box = pygame.Rect(sample.right + canvas.dp(10), place.y, canvas.tp(118), place.h)
    canvas.text(name, name_box)
    number_box = pygame.Rect(name_box.right, place.y, place.right - name_box.right, place.h)
    canvas.text(number, number_box, align="right", bold=True)
