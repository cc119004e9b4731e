"""What lies in the middle of the window: the cutaway with its key, or what is laid over them."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

import pygame

from glasscan.ui.canvas import Canvas
from glasscan.window.circuit.circuit_of_session import rig_numbers
from glasscan.window.circuit.circuit_view import draw_circuit
from glasscan.window.cutaway.debris_drawing import draw_legend, legend_rows
from glasscan.window.cutaway.legend import draw_key
from glasscan.window.cutaway.shades import shade
from glasscan.window.lesson import side_panel
from glasscan.window.lesson.window_layout import Layout

if TYPE_CHECKING:
    from glasscan.window.contract import Frame
    from glasscan.window.cutaway.cutaway import PressureScale
    from glasscan.window.lesson.intents import Intents

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
    names = desk.names and not screen.spot.key
    stage.draw(
        canvas, layout, s, frame, tint.scale, session.carriers, names, session.loose, letters, tint.values,
        session.flakes, session.dye, tint.load,
    )  # fmt: skip
    if screen.spot.key and not letters:
        screen.spot.draw(canvas, stage.cutaway(canvas, layout).view, s.lift_m)
    if desk.drawer:
        return
    box = layout["key"].copy()
    combed_kg = s.readings.get("combed_kg") if session.has_scraper else None
    if legend_rows(session.loose, combed_kg=combed_kg):  # the key stands over the legend of debris
        box.h -= draw_legend(canvas, box, session.loose, combed_kg) + canvas.dp(16)
    draw_key(canvas, box, tint.scale, desk.units, stage.rate, tint, stage.deposit_words(canvas, layout))


def _draw_circuit(screen: Intents, canvas: Canvas, box: pygame.Rect, drawn_s: float) -> None:
    """The whole circuit of the oil."""
    session, desk = screen.session, screen.desk
    moved_s = drawn_s if session.playing and not desk.still else 0.0
    rig = rig_numbers(session)
    draw_circuit(canvas, box, session.snapshot, desk.units, rig, screen.circuit_moved, moved_s)


def _draw_graph(screen: Intents, canvas: Canvas, box: pygame.Rect) -> None:
    """The trace over the whole cutaway, in larger text."""
    large = Canvas(canvas.surface, canvas.theme, canvas.text_scale * GRAPH_TEXT)
    side_panel.draw_trace(screen, large, box)
    canvas.texts += large.texts
