"""What lies in the middle of the window: the cutaway with its key, or what is laid over them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.widgets import ring
from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.circuit.circuit_view import draw_circuit
from glasscan.window.cutaway.debris_drawing import draw_legend, legend_rows
from glasscan.window.cutaway.legend import draw_key
from glasscan.window.cutaway.section_view import View
from glasscan.window.cutaway.shades import shade
from glasscan.window.faults.drawing import draw_in_circuit, draw_in_section
from glasscan.window.lesson import side_panel
from glasscan.window.lesson.why import Link
from glasscan.window.lesson.window_layout import Layout
from glasscan.window.presenter.spotlight import frame_part

if TYPE_CHECKING:
    from glasscan.window.contract import Frame
    from glasscan.window.cutaway.cutaway import PressureScale
    from glasscan.window.lesson.intents import Intents

HERO_SHARE = 1.35  # of the column of names: a number as wide is set in the largest letters
GRAPH_TEXT = 1.35  # text of the large trace against that of the window


def draw_middle(
    screen: Intents, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale, drawn_s: float
) -> None:
    """The one thing that fills the middle now; the drawer over its left part."""
    desk, session, box = screen.desk, screen.session, layout["closer"]
    if desk.hands and screen.hands is not None:
        screen.hands.draw(canvas, screen.hands_box(layout))
    elif screen.wide():
        pass  # the question lies over the cutaway
    elif desk.graph:
        _draw_graph(screen, canvas, box)
    elif screen.rivalry.on and not screen.letters():
        moved_s = drawn_s if session.playing and not desk.still else 0.0
        screen.rivalry.draw(canvas, box, frame, scale, desk.units, screen.stage.rate, moved_s)
    elif desk.closer and not screen.letters():
        screen.closer.draw(canvas, box, desk.units.pressure, drawn_s, session.playing)
    elif desk.circuit == "whole" and not screen.letters():
        _draw_circuit(screen, canvas, box, drawn_s)
    else:
        _draw_cutaway(screen, canvas, layout, frame, scale)
        if desk.circuit == "strip":
            _draw_circuit(screen, canvas, layout["circuit"], drawn_s)
    if desk.drawer:
        canvas.panel(layout["drawer"], "sheet", "edge", 12, 2)


def _draw_cutaway(
    screen: Intents, canvas: Canvas, layout: Layout, frame: Frame, scale: PressureScale
) -> None:
    session, desk, stage, s = screen.session, screen.desk, screen.stage, screen.session.snapshot
    share = partial(stage.share.look, frame)
    tint = shade(desk.colours, frame, scale, desk.units, share, stage.full_g_m2)
    letters = screen.letters()
    lens = desk.slot == "valve" and not letters and layout["names_right"].w > 0
    link = screen.links()[desk.why - 1] if desk.why else None
    names = desk.names and not (screen.spot.key or lens or link)
    stage.draw(
        canvas, layout, s, frame, tint.scale, session.carriers, names, session.loose, letters, tint.values,
        session.flakes, session.dye, tint.load, not screen.desk.still,
    )  # fmt: skip
    if screen.spot.key and not letters:
        screen.spot.draw(canvas, stage.cutaway(canvas, layout).view, s.lift_m)
    view = stage.cutaway(canvas, layout).view
    if not letters:
        draw_in_section(canvas, session.section, view, s, frame, screen.seen_faults())
    if link is not None:
        _light(screen, canvas, layout, view, link)
    if lens:
        box = _lens_box(canvas, layout, 1)
        if box.colliderect(stage.outside):  # below the arrow of a port in the side
            lower = stage.outside.bottom + canvas.dp(12)
            box = pygame.Rect(box.x, lower, box.w, min(box.h, layout["can"].bottom - lower))
        screen.lenses.draw_valve(canvas, box, view, s, frame, scale, session.carriers, stage.rate)
        if layout["names_left"].w > 0:
            screen.lenses.draw_pleats(canvas, _lens_box(canvas, layout, -1), view, screen.closer)
    if layout["key"].colliderect(layout["drawer"]) and desk.drawer:
        return  # large text leaves no room beside the controls
    box = layout["key"].copy()
    combed_kg = s.readings.get("combed_kg") if session.has_scraper else None
    if legend_rows(session.loose, combed_kg=combed_kg):  # the key stands over the legend of debris
        box.h -= draw_legend(canvas, box, session.loose, combed_kg) + canvas.dp(16)
    deposit = stage.deposit_words(canvas, layout)
    draw_key(canvas, box, tint.scale, desk.units, stage.rate, tint, deposit, stage.law)


def _lens_box(canvas: Canvas, layout: Layout, side: int) -> pygame.Rect:
    """Box of a lens: over the part names of a side, and somewhat into the picture."""
    names = layout["names_right" if side > 0 else "names_left"]
    into = round(0.22 * layout["can"].w)
    box = pygame.Rect(names.x - (into if side > 0 else 0), names.y, names.w + into, 0)
    box.h = min(names.h, round(1.5 * box.w))
    if side < 0:
        box.h = min(box.h, box.w)
        box.bottom = names.bottom
    return box.inflate(-canvas.dp(10), -canvas.dp(10))


def _light(screen: Intents, canvas: Canvas, layout: Layout, view: View, link: Link) -> None:
    """The part a link speaks of is framed, and its number stands in letters for the last row."""
    section = screen.session.section
    part = next((p for key in link.parts for p in section.parts if p.key == key), None)
    lit = part.key if part is not None else link.circuit
    canvas.record("lit", lit)
    tip: tuple[float, float] | None = None
    if part is not None:
        frame_part(canvas, part, view, screen.session.snapshot.lift_m)
        at = view.points(np.array([part.label_at]))[0]
        tip = (float(at[0]), float(at[1]))
    elif link.circuit and "circuit" in layout.boxes and screen.desk.circuit == "strip":
        ring(canvas, layout["circuit"])
    if not link.number:
        return
    side = layout["names_right"] if layout["names_right"].w > 0 else layout["can"]
    role = "hero" if canvas.measure(link.number, "hero", True)[0] < HERO_SHARE * side.w else "number"
    w, h = canvas.measure(link.number, role, True)
    box = pygame.Rect(0, side.y, w + canvas.dp(36), h + canvas.dp(8))
    box.right = side.right
    if tip is not None:
        box.centery = round(min(max(tip[1], side.y + box.h / 2), side.bottom - box.h / 2))
        pygame.draw.line(canvas.surface, canvas.theme["accent"], tip, (box.x, box.centery), canvas.dp(4))
    canvas.panel(box, "sheet", "accent", 12, 3)
    canvas.text(link.number, box, role=role, bold=True, align="centre")


def _draw_circuit(screen: Intents, canvas: Canvas, box: pygame.Rect, drawn_s: float) -> None:
    """The whole circuit of the oil."""
    session, desk = screen.session, screen.desk
    moved_s = drawn_s if session.playing and not desk.still else 0.0
    rig, faults = rig_numbers(session), screen.seen_faults()
    draw_circuit(
        canvas, box, session.snapshot, desk.units, rig, screen.circuit_moved, moved_s,
        over=lambda on, at: draw_in_circuit(on, at, faults),
    )  # fmt: skip


def _draw_graph(screen: Intents, canvas: Canvas, box: pygame.Rect) -> None:
    """The trace over the whole cutaway, in larger text."""
    large = Canvas(canvas.surface, canvas.theme, canvas.text_scale * GRAPH_TEXT)
    side_panel.draw_trace(screen, large, box)
    canvas.texts += large.texts
