"""The stage: the cutaway in its place with part names, port arrows and their captions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import cast

import numpy as np
import pygame

from glasscan.filters.hole_picture import unfiltered_m3s, unfiltered_share
from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import DisplayUnit
from glasscan.window.contract import Array, Carriers, Frame, Part, Section
from glasscan.window.cutaway import part_labels
from glasscan.window.cutaway.cutaway import Cutaway, PressureScale, wet_cells
from glasscan.window.cutaway.debris_drawing import draw_bodies
from glasscan.window.cutaway.deposit import FULL_G_M2, is_pleated, loads_g_m2
from glasscan.window.cutaway.dye import dye_facts
from glasscan.window.cutaway.field_painter import nice_ceiling
from glasscan.window.cutaway.leak_drops import draw_drops
from glasscan.window.cutaway.port_arrows import PortPlace, arrow, ports
from glasscan.window.cutaway.section_view import View, extent, fit
from glasscan.window.cutaway.share_field import ShareField
from glasscan.window.cutaway.streaks import rate_for
from glasscan.window.lesson.debris_controller import DebrisController
from glasscan.window.lesson.flakes import NO_FLAKES, Flakes
from glasscan.window.lesson.window_layout import Layout

NAMES = {1: "names_right", -1: "names_left"}
LEAST_SPAN_PA = 1e4
SPAN_OVER_CRACKING = (
    1.6  # the drop of a filter with its valve on the stop, over where it opens: it seldom goes on
)
FLOWING_M3S = 1e-6  # 0.06 L/min: less is called no flow
LAPSE = 10.0  # from this speed on the drawn oil would lag behind the model
JUMP_S = 30.0
SHARE_NOTICED = 0.15
HURRY_S, HURRY_FRAMES = 0.02, 40
HURRY_M = 0.004  # way of fast oil in one long step: what the sub-steps of the marks can follow
KEPT = 4  # cutaways kept for going back to: drawer open and shut, both themes
NOMINAL_DP = 560.0  # height of a filter on the screen for which the slow motion of a lesson is chosen
COMMON_PERCENT = 78.0  # so much of the oil goes at a pace the eye follows; faster oil makes long streaks
USUAL_M3S = 6e-4  # flow it is chosen for where the lesson names none
SIDE_ROOM_DP = 76  # for the arrow of a port in the side
ARROW_DP = (12.0, 54.0)  # width of a port's arrow for next to no flow, and for the largest of the lesson
TURNED = {
    "dome-down": "drawn turned: on the engine the dome is down",
    "level": "drawn turned: on the engine the right side is up",
}


def pressure_scale(
    snapshot: Snapshot, peak_dp_pa: float, cracking_pa: float | None, unit: DisplayUnit
) -> PressureScale:
    """Colours run from the outlet's pressure up; one span for a lesson, above where the valve opens.

    One span keeps a warm filter visibly darker than a cold one. A larger difference than it holds makes it
    grow, and the window says so. It is round in `unit`.
    """
    peak = max(peak_dp_pa, SPAN_OVER_CRACKING * (cracking_pa or 0.0), LEAST_SPAN_PA)
    span = unit.si(nice_ceiling(unit.shown(peak)))
    return PressureScale(min(snapshot.outlet_pa, snapshot.inlet_pa), span)


def slow_motion(section: Section, snapshot: Snapshot, full_m3s: float) -> float:
    """How much slower than life the oil of a lesson is drawn: chosen once, for the lesson's largest flow.

    It looks at the whole flow going through the element and knows nothing of the moment, so that cold and
    warm, A and B, are drawn in true proportion to one another.
    """
    q = np.asarray(snapshot.segment_m3s, dtype=float)
    even = np.full(q.shape, full_m3s / max(q.size, 1))
    frame = section.frame(
        replace(snapshot, segment_m3s=even, element_m3s=full_m3s, bypass_m3s=0.0, lift_m=0.0)
    )
    _, low, high = extent(section.parts)
    return rate_for(fast_m_s(frame, COMMON_PERCENT), NOMINAL_DP / (high - low))


def fast_m_s(frame: Frame, percent: float = 90.0) -> float:
    """Speed that so many per cent of the moving oil do not reach, m/s."""
    pace = np.hypot(np.asarray(frame.u_r_m_s), np.asarray(frame.u_z_m_s))
    moving = pace[np.isfinite(pace) & (pace > 0)]
    return float(np.percentile(moving, percent)) if moving.size else 0.0


def hurry(carriers: Carriers, frame: Frame, steps: int) -> None:
    """Move the oil on in long steps that are not drawn one by one."""
    dt_s = min(HURRY_S, HURRY_M / max(fast_m_s(frame), 1e-9))
    for _ in range(steps):
        carriers.step(frame, dt_s)


@dataclass(frozen=True)
class Lettered:
    """A part as its label sees it, under a letter instead of its name."""

    key: str
    name: str
    label_at: tuple[float, float]
    lifts: bool
    direction: tuple[float, float]
    mirrored: bool


def lettered(parts: Sequence[Part], letters: dict[str, str]) -> list[Part]:
    """The parts that have a letter, named by it."""
    return [
        cast("Part", Lettered(p.key, letters[p.key], p.label_at, p.lifts, p.direction, p.mirrored))
        for p in parts
        if p.key in letters
    ]


def law_words(section: Section, snapshot: Snapshot) -> str:
    """How the oil's motion was worked out, where that is not plain creeping flow; a stand-in knows none."""
    told = getattr(section, "flow_law", None)
    if told is None:
        return ""
    law = told(snapshot)
    if law.name == "creeping":
        return "" if law.holds else f"drawn as creeping flow; Re {law.re:,.0f}"
    steady = f"laminar, steady, Re {law.re:,.0f}"
    return steady if law.holds else f"drawn as {steady}; in truth unsteady"


def turned_words(section: Section) -> str:
    """Where up on the engine lies in the picture, if not up."""
    return TURNED.get(getattr(section, "hangs", ""), "")


class CutawayView:
    """Keeps the cutaway for the present window and theme, and the pace at which the oil is drawn."""

    def __init__(
        self, section: Section, snapshot: Snapshot, max_lift_m: float, full_m3s: float = USUAL_M3S
    ) -> None:
        self.section, self.max_lift_m, self.full_m3s = section, max_lift_m, full_m3s
        self.slow = slow_motion(section, snapshot, full_m3s)
        self.wet = wet_cells(section, snapshot, max_lift_m)
        self.inlet, self.outlet = ports(section)
        self.rate = self.slow
        self.share = ShareField(section)
        self.full_g_m2 = FULL_G_M2[is_pleated(section)]
        self.placed: Sequence[part_labels.Label] = ()
        self._cutaways: dict[object, Cutaway] = {}
        self.by_letter: dict[str, str] = {}
        self._labels: tuple[object, list[part_labels.Label]] | None = None
        self._t_s, self._share, self._hurry = snapshot.t_s, 0.0, 0
        self._refills = 0
        self._grain_s = 0.0  # screen time for which the grain of the oil is still to be carried
        self.outside = pygame.Rect(0, 0, 0, 0)  # the outlet's arrow and word beside the filter

    def cutaway(self, canvas: Canvas, layout: Layout) -> Cutaway:
        """Layers for this window size and theme."""
        key = (tuple(layout["can"]), canvas.surface.get_size(), canvas.theme.name)
        if key not in self._cutaways:
            area = layout["can"].inflate(canvas.dp(30), 0)
            room = canvas.dp(68) + canvas.tp(32)
            tops = {port.on_top for port in (self.inlet, self.outlet) if not port.side}
            across = 2 * canvas.dp(SIDE_ROOM_DP) * any(port.side for port in (self.inlet, self.outlet))
            place = layout["can"].inflate(-across, 0)
            over = canvas.tp(44) if self.outlet.side else room * (True in tops)
            view = fit(self.section.parts, place, room * (False in tops), over)
            view = View(view.axis_x, view.zero_y, view.px_m, area)
            if len(self._cutaways) >= KEPT:
                self._cutaways.pop(next(iter(self._cutaways)))
            self._cutaways[key] = Cutaway(
                self.section, self.wet, view, canvas.theme, canvas.scale, self.max_lift_m
            )
        return self._cutaways[key]

    def pace(self, speed: float) -> None:
        """The slow motion of the lesson; in a run slower than that, the oil goes with the run."""
        self.rate = min(self.slow, speed)

    law = ""  # by which law the velocities were drawn last and how the picture is turned, in words

    def drift(self, carriers: Carriers, frame: Frame, drawn_s: float, speed: float) -> None:
        """Let the carriers drift for `drawn_s` of screen time, slowed until the eye can follow."""
        self.pace(speed)
        carriers.step(frame, drawn_s * self.rate)
        self._grain_s += drawn_s

    def catch_up(
        self, carriers: Carriers, frame: Frame, snapshot: Snapshot, speed: float, refills: int = 0
    ) -> None:
        """In a time lapse, or after a jump in time, hurry the oil on once its share by the valve changes.

        Marks spread anew (`refills` counts how often) are hurried on until each is where it belongs.
        """
        share = unfiltered_share(snapshot)
        jumped = snapshot.t_s < self._t_s or snapshot.t_s - self._t_s > JUMP_S
        self._t_s = snapshot.t_s
        if abs(share - self._share) > SHARE_NOTICED:
            self._share = share
            self._hurry = HURRY_FRAMES if speed >= LAPSE or jumped else 0
        if refills != self._refills:
            self._refills = refills
            self._hurry = HURRY_FRAMES if snapshot.element_m3s + snapshot.bypass_m3s > FLOWING_M3S else 0
        if self._hurry > 0:
            self._hurry -= 1
            hurry(carriers, frame, 1)

    def draw(
        self,
        canvas: Canvas,
        layout: Layout,
        snapshot: Snapshot,
        frame: Frame,
        scale: PressureScale,
        carriers: Carriers | None,
        names: bool,
        loose: DebrisController | None = None,
        letters: dict[str, str] | None = None,
        values: Array | None = None,
        flakes: Flakes = NO_FLAKES,
        dye: Carriers | None = None,
        by_load: bool = False,
        grain: bool = True,
    ) -> None:
        """Draw the section, debris, the arrows at its ports and, where `names` is set, the part names.

        Letters by key of a part stand instead of the names while a part is to be pointed at.
        """
        cut = self.cutaway(canvas, layout)
        cut.draw_ground(canvas.surface)
        held = loose.lift_m() if loose is not None else 0.0
        if grain:
            cut.texture.move(frame, self._grain_s, self.rate)
        self._grain_s = 0.0
        cut.draw(
            canvas.surface, frame, snapshot, scale, carriers, self.rate, held, values, dye,
            flakes.falling_kg, grain,
        )  # fmt: skip
        cut.draw_deposit(canvas.surface, loads_g_m2(self.section, snapshot), by_load)
        cut.draw_valve(canvas.surface, max(snapshot.lift_m, held))
        if cut.scraper is not None:
            cut.scraper.draw_over(canvas, snapshot, flakes.outlines)
        canvas.record("slow_motion", self.rate)
        law, turned = law_words(self.section, snapshot), turned_words(self.section)
        canvas.record("flow_law", law)
        canvas.record("turned", turned)
        self.law = "\n".join(words for words in (law, turned) if words)
        canvas.record("deposit_g_m2", cut.deposit.told)
        if dye is not None:
            canvas.record("dye", dye_facts(dye))
        canvas.record("oil_level_mm", cut.level_mm())
        if (air := cut.air_box()) is not None and air.h > 2 * canvas.measure("Ag")[1]:
            canvas.text("air", air, colour="soft", align="centre")
        if cut.drawn_lift_m is not None:
            canvas.record("valve_lift_mm", 1e3 * cut.drawn_lift_m)
        if loose is not None:
            draw_bodies(canvas, loose.bodies(), cut.view)
        draw_drops(canvas, self.section, cut.view, snapshot)
        self._draw_ports(canvas, cut, snapshot)
        shown = bool(names or letters)
        self.placed = self._names(canvas, layout, cut, snapshot.lift_m, letters or {}) if shown else []
        part_labels.draw(self.placed, canvas)

    def deposit_words(self, canvas: Canvas, layout: Layout) -> str:
        """What the deposit is drawn as: its largest load, how much thicker than life; or nothing."""
        deposit = self.cutaway(canvas, layout).deposit
        most = max(deposit.told, default=0.0)
        if most < 1.0:
            return ""
        return f"dirt up to {most:.0f} g/m², drawn {deposit.thicker:.0f} × thicker"

    def nearest(self, at: tuple[int, int]) -> str | None:
        """Key of the part whose mark, or whose letter, is nearest to a pixel."""
        if not self.placed or not self.by_letter:
            return None
        inside = next((p for p in self.placed if p.box.collidepoint(at)), None)
        point = np.array(at)
        label = inside or min(self.placed, key=lambda p: float(np.hypot(*(np.array(p.leader[-1]) - point))))
        return self.by_letter.get(label.text)

    def _names(
        self, canvas: Canvas, layout: Layout, cut: Cutaway, lift_m: float, letters: dict[str, str]
    ) -> list[part_labels.Label]:
        self.by_letter = {letter: key for key, letter in letters.items()}
        key = (id(cut), canvas.text_scale, tuple(letters.items()))
        parts = lettered(self.section.parts, letters) if letters else self.section.parts
        if self._labels is None or self._labels[0] != key:
            over_m = self.outlet.z_m if self.outlet.side > 0 else np.inf
            columns = {side: layout[name] for side, name in NAMES.items() if layout[name].w > 0}
            self._labels = (key, part_labels.place(parts, canvas, cut.view, columns, over_m))
        return part_labels.moved(self._labels[1], parts, cut.view, lift_m)

    def _draw_ports(self, canvas: Canvas, cut: Cutaway, s: Snapshot) -> None:
        """Arrows and words outside the ports: dirty oil in, filtered or mixed oil out."""
        flow = s.element_m3s + unfiltered_m3s(s)
        if flow <= FLOWING_M3S:
            self._word_at_outlet(canvas, cut, "no flow", "soft")
            return
        share = unfiltered_share(s)
        canvas.record("unfiltered_share", round(share, 4))
        mixed = share > 0.005
        colour = "warn" if mixed else "good"
        text = f"out: {100 * share:.0f} % unfiltered" if mixed else "out: filtered"
        wide = canvas.dp(ARROW_DP[0] + (ARROW_DP[1] - ARROW_DP[0]) * min(flow / self.full_m3s, 1.0))
        canvas.record("port_arrow_px", wide)
        ways = {"inlet": self._points(self.inlet, into=True), "outlet": self._points(self.outlet, into=False)}
        canvas.record(
            "ports", {name: {"arrow": way, "lpm": round(6e4 * flow, 3)} for name, way in ways.items()}
        )
        for box, side in _arrow_boxes(canvas, cut, self.inlet, wide):
            _blit_arrow(canvas, box, self._points(self.inlet, into=True), "dirty", False)
            self._word_beside(canvas, box, side)
        for box, _ in _arrow_boxes(canvas, cut, self.outlet, wide):
            _blit_arrow(canvas, box, self._points(self.outlet, into=False), colour, mixed)
        self._word_at_outlet(canvas, cut, text, colour)

    @staticmethod
    def _points(port: PortPlace, into: bool) -> str:
        """Where the arrow of a port points."""
        if port.side:
            return "right" if (port.side > 0) != into else "left"
        return "up" if port.on_top != into else "down"

    def _word_beside(self, canvas: Canvas, arrow_box: pygame.Rect, side: int) -> None:
        """The word "in" on the outer side of an inlet arrow."""
        w, h = canvas.measure("in", bold=True)
        w += 4
        if self.inlet.side:
            place = pygame.Rect(arrow_box.centerx - w // 2, arrow_box.y - canvas.dp(2) - h, w, h)
            canvas.text("in", place, colour="dirty", bold=True, align="centre")
            return
        place = pygame.Rect(arrow_box.right, arrow_box.y, w, arrow_box.h)
        place.x = arrow_box.right + canvas.dp(6) if side > 0 else arrow_box.x - canvas.dp(6) - w
        canvas.text("in", place, colour="dirty", bold=True, align="centre")

    def _word_at_outlet(self, canvas: Canvas, cut: Cutaway, text: str, colour: str) -> None:
        """What leaves, beyond the outlet's arrow on the axis."""
        arrow_box = _arrow_boxes(canvas, cut, self.outlet)[0][0]
        if self.outlet.side:
            self.outside = arrow_box.union(_word_over_outlet(canvas, arrow_box, text, colour))
            return
        w, h = canvas.measure(text, bold=True)
        if w > cut.view.area.w:  # the arrow says that it goes out, and the key of colours what it is
            text = text.removeprefix("out: ").removesuffix(" unfiltered")
            w, h = canvas.measure(text, bold=True)
        place = pygame.Rect(0, 0, w + 4, h)
        place.centerx = round(cut.view.axis_x)
        if self.outlet.on_top:
            place.bottom = arrow_box.top - canvas.dp(2)
        else:
            place.top = arrow_box.bottom + canvas.dp(2)
        canvas.text(text, place, colour=colour, align="centre", bold=True)


def _word_over_outlet(canvas: Canvas, arrow_box: pygame.Rect, text: str, colour: str) -> pygame.Rect:
    """What leaves by the side, over the arrow in two lines, on paper of its own; returns its box."""
    head, _, rest = text.rpartition(" ")
    lines = [line for line in (head, rest) if line]
    sizes = [canvas.measure(line, bold=True) for line in lines]
    w, h = max(size[0] for size in sizes), sum(size[1] for size in sizes)
    place = pygame.Rect(arrow_box.x, arrow_box.y - canvas.dp(2) - h, w + 4, h)
    canvas.surface.fill(canvas.theme["paper"], place)
    for i, line in enumerate(lines):
        row = pygame.Rect(place.x, place.y + i * h // len(lines), place.w, h // len(lines))
        canvas.text(line, row, colour=colour, bold=True)
    return place


def _arrow_boxes(
    canvas: Canvas, cut: Cutaway, port: PortPlace, wide: int = 0
) -> list[tuple[pygame.Rect, int]]:
    """Box and side of each arrow of a port, just outside the filter."""
    box = pygame.Rect(0, 0, wide or canvas.dp(42), canvas.dp(56))
    gap = canvas.dp(4)
    boxes = []
    for side in port.sides if port.side else ():
        x, y = cut.view.points(np.array([(port.r_m, port.z_m)]), side)[0]
        box = pygame.Rect(0, round(y) - box.w // 2, box.h, box.w)
        boxes.append((box.move(round(x) + gap if side > 0 else round(x) - gap - box.w, 0), side))
    for side in () if port.side else port.sides:
        x, _ = cut.view.points(np.array([(port.r_m, port.z_m)]), side)[0]
        top = cut.rect.top - gap - box.h if port.on_top else cut.rect.bottom + gap
        boxes.append((box.move(round(x) - box.w // 2, top), side))
    return boxes


def _blit_arrow(canvas: Canvas, box: pygame.Rect, way: str, colour: str, dashed: bool) -> None:
    theme = canvas.theme
    long, wide = (box.h, box.w) if way in ("up", "down") else (box.w, box.h)
    picture = arrow(long, wide, way != "down", theme[colour], theme["paper"], dashed)
    if way in ("left", "right"):
        picture = pygame.transform.rotate(picture, 90 if way == "left" else -90)
    canvas.surface.blit(picture, picture.get_rect(center=box.center))
