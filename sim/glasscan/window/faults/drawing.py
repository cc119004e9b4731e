"""Draws the faults of a moment where they are, names them, and takes them down as facts of the picture."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

import numpy as np
import pygame

from glasscan.rig.records import Snapshot
from glasscan.ui.canvas import Canvas
from glasscan.window.circuit.circuit_layout import Places
from glasscan.window.contract import DIRTY, Array, Frame, Section
from glasscan.window.cutaway.section_view import View, all_points
from glasscan.window.faults.circuit_glyphs import CIRCUIT_GLYPHS
from glasscan.window.faults.fault_pictures import ShownFault
from glasscan.window.faults.section_glyphs import GLYPHS, Glyph

WET_POINTS = 400
SEED = 3


def _part_boxes(
    section: Section, keys: Sequence[str], view: View, lift_m: float
) -> tuple[pygame.Rect, pygame.Rect] | None:
    """Box of the first of these parts on the right half, and over both."""
    for key in keys:
        part = next((p for p in section.parts if p.key == key), None)
        if part is None:
            continue
        shift = lift_m * np.asarray(part.direction) if part.lifts else np.zeros(2)
        points = all_points([part]) + shift
        px = view.points(points)
        low, high = np.floor(px.min(axis=0)).astype(int), np.ceil(px.max(axis=0)).astype(int)
        right = pygame.Rect(*low.tolist(), *np.maximum(high - low, 2).tolist())
        whole = right.copy()
        if part.mirrored:
            whole.x = min(right.x, round(2 * view.axis_x) - right.right)
            whole.w = max(right.right, round(2 * view.axis_x) - whole.x) - whole.x
        return right, whole
    return None


def wet_points(section: Section, frame: Frame, view: View) -> Array:
    """Points of the dirty side's oil, px, spread by chance but the same for each picture."""
    region = np.asarray(frame.region)
    j, i = np.nonzero(region == DIRTY)
    random = np.random.default_rng(SEED)
    if len(i) == 0:
        return np.zeros((0, 2))
    r = (np.asarray(section.r_edges_m)[1:] + np.asarray(section.r_edges_m)[:-1]) / 2
    z = (np.asarray(section.z_edges_m)[1:] + np.asarray(section.z_edges_m)[:-1]) / 2
    weight = np.diff(np.asarray(section.r_edges_m))[i] * np.diff(np.asarray(section.z_edges_m))[j]
    pick = random.choice(len(i), size=WET_POINTS, p=weight / weight.sum())
    at = np.stack([r[i[pick]], z[j[pick]]], axis=1)
    side = np.where(random.random(WET_POINTS) < 0.5, 1, -1)
    px = np.where(side[:, None] > 0, view.points(at), view.points(at, -1))
    return np.asarray(px)


def wet_px2(section: Section, frame: Frame, view: View) -> float:
    """What the dirty side's oil takes of the picture, both halves, px2."""
    cells = np.diff(np.asarray(section.z_edges_m))[:, None] * np.diff(np.asarray(section.r_edges_m))[None, :]
    return float(2.0 * cells[np.asarray(frame.region) == DIRTY].sum() * view.px_m**2)


def hole_mm2(section: Any, s: Snapshot, faults: Sequence[ShownFault]) -> float:
    """Open area past the media now, mm2: the faults' own holes, or what has torn under pressure."""
    from glasscan.faults.fault_data import faults as known

    found = 1e6 * s.readings.get("torn_m2", 0.0)
    for shown in (f for f in faults if not f.by_pressure):
        for change in known()[shown.code].changes:
            if change.set in ("element.tear_mm2", "element.end_gap_mm2", "element.foot_gap_mm2"):
                found = max(found, change.at(shown.severity))
    del section
    return found


def draw_in_section(
    canvas: Canvas,
    section: Section,
    view: View,
    s: Snapshot,
    frame: Frame,
    faults: Sequence[ShownFault],
    words: bool = True,
) -> None:
    """Draw the faults that the section shows."""
    told: list[dict[str, object]] = []
    area = hole_mm2(section, s, faults)
    for shown in faults:
        picture = shown.picture
        boxes = _part_boxes(section, picture.part, view, s.lift_m) if picture.view == "section" else None
        if boxes is None:
            continue
        wet = wet_points(section, frame, view) if picture.draw in WANTS_OIL else np.zeros((0, 2))
        glyph = Glyph(
            canvas,
            view,
            *boxes,
            shown.severity,
            s,
            wet,
            area,
            wet_px2(section, frame, view) if len(wet) else 0.0,
        )
        old = canvas.surface.get_clip()
        canvas.surface.set_clip(view.area)
        box = GLYPHS[picture.draw](glyph)
        canvas.surface.set_clip(old)
        if words:
            whole = shown.by_pressure and area <= 0.0
            said = picture.words.split(",")[0] if whole else picture.words
            _name(canvas, _left_room(view, canvas), box, said, len(told))
        told.append({"fault": shown.code, "drawn": picture.draw, "px": [box.w, box.h]})
    if told:
        _tell(canvas, told)


WANTS_OIL = ("bubbles", "water", "steel", "soft-metal", "dust")


def draw_in_circuit(canvas: Canvas, at: Places, faults: Sequence[ShownFault], words: bool = True) -> None:
    """Draw the faults that the circuit shows."""
    told: list[dict[str, object]] = []
    for shown in faults:
        picture = shown.picture
        if picture.view != "circuit":
            continue
        box = CIRCUIT_GLYPHS[picture.draw](canvas, at, at.piece(picture.part[0]), shown.severity)
        if words:
            _name(canvas, _circuit_room(at), box, picture.words, len(told))
        told.append({"fault": shown.code, "drawn": picture.draw, "px": [box.w, box.h]})
    if told:
        _tell(canvas, told)


def _tell(canvas: Canvas, told: list[dict[str, object]]) -> None:
    before = canvas.drawn.get("faults", [])
    assert isinstance(before, list)
    canvas.record("faults", before + told)


def _name(canvas: Canvas, room: pygame.Rect, box: pygame.Rect, words: str, number: int) -> None:
    """The words of a fault on a plate in a room of its own, with a line to it."""
    pad = canvas.dp(10)
    h = canvas.measure(words, bold=True, wrap=room.w - 2 * pad)[1] + pad
    plate = pygame.Rect(room.x, 0, room.w, h)
    plate.centery = min(max(box.centery + number * (h + pad), room.y + h // 2), room.bottom - h // 2)
    end = (plate.right if box.centerx > plate.centerx else plate.x, plate.centery)
    near = min((box.midleft, box.midright), key=lambda at: abs(at[0] - end[0]))
    pygame.draw.line(canvas.surface, canvas.theme["warn"], end, near, canvas.dp(3))
    canvas.panel(plate, "sheet", "warn", 8, 3)
    inside = plate.inflate(-2 * pad, 0)
    canvas.text(words, inside, align="centre", bold=True, colour="warn", wrap=True)


def _left_room(view: View, canvas: Canvas) -> pygame.Rect:
    """Where the words of the section stand: over its left half, as faults are drawn on the right one."""
    wide = max(round(0.42 * view.area.w), canvas.tp(190))
    right = min(view.axis_x - 4, view.area.x + wide)
    return pygame.Rect(view.area.x, view.area.y, round(right) - view.area.x, view.area.h)


def _circuit_room(at: Places) -> pygame.Rect:
    """Where the words of the circuit stand: between its pipes, on the side without the regulator."""
    low = round(at.back_y - 0.6 * at.pipe)
    top = round(at.main_y + 0.7 * at.pipe)
    if at.before:
        left, right = at.filter.right + 6, round(at.x("gallery") - 0.12 * at.box.w)
    else:
        left, right = round(at.x("relief") + 0.7 * at.pipe), at.filter.x - 6
    return pygame.Rect(left, top, right - left, low - top)
