"""Pictures without a display: a frame of the window, the trace and the section of a finished run."""

from __future__ import annotations

from collections.abc import Sequence
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING, cast

import numpy as np
import pygame

from glasscan.ui.canvas import Canvas
from glasscan.ui.display_units import SYSTEMS, clock
from glasscan.ui.theme import load_theme
from glasscan.ui.view_options import ViewOptions
from glasscan.window.cutaway.cutaway_view import CutawayView, hurry, pressure_scale
from glasscan.window.cutaway.legend import draw_key
from glasscan.window.lesson.lesson_screen import Screen
from glasscan.window.lesson.lesson_session import LessonSession
from glasscan.window.lesson.picture_facts import FACTS
from glasscan.window.lesson.trace_log import TraceLog
from glasscan.window.lesson.trace_plot import TracePlot
from glasscan.window.lesson.window_layout import arrange

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.run_log import RunLog
    from glasscan.window import contract

SETTLE_STEPS = 150  # long steps of the oil before a still picture: every kind has reached its place
PICTURE_PX = (1600, 900)


def draw_frame(
    scenario: Scenario | LessonSession,
    at_s: float,
    path: Path | None = None,
    size: tuple[int, int] = (1920, 1080),
    theme: str = "dark",
    view: str = "section",
    names: bool = True,
) -> pygame.Surface:
    """Draw the window's frame of one moment; saved as PNG where `path` is given.

    Args:
        scenario: a scenario, or a session that is run on to `at_s`.
        at_s: model time, s; at most the end of the run.
        path: file to write.
        size: width and height, px.
        theme: "dark" or "light".
        view: one of `picture_facts.VIEWS`.
        names: write the names of the parts.

    Raises:
        OSError: the file cannot be written.
        BadInput: a data file of the scenario is missing or bad.
    """
    return drawn_frame(scenario, at_s, path, size, theme, view, names)[0]


def drawn_frame(
    scenario: Scenario | LessonSession,
    at_s: float,
    path: Path | None,
    size: tuple[int, int],
    theme: str,
    view: str,
    names: bool,
    moves: Sequence[tuple[float, str, object]] = (),
) -> tuple[pygame.Surface, dict[str, object]]:
    """As `draw_frame`, with the facts that the drawing code took down; None for what was not drawn."""
    session = scenario if isinstance(scenario, LessonSession) else _session(scenario)
    at_s = min(at_s, session.facts.end_s)
    screen = Screen(session, ViewOptions(theme=theme, names=names), predict=False)
    surface = pygame.Surface(size)
    for moment, key, value in sorted(moves, key=lambda move: move[0]):
        session.jump_to(min(moment, at_s))
        session.change(key, value)
    session.jump_to(at_s)
    prepare = getattr(session.section, "prepare_laminar", None)  # a stand-in has none
    if prepare is not None:
        prepare()
    hurry(session.carriers, session.section.frame(session.snapshot), SETTLE_STEPS)
    _turn_to(screen, view, size)
    canvas = screen.draw(surface)
    _save(surface, path)
    return surface, {**dict.fromkeys(FACTS), **canvas.drawn}


def _turn_to(screen: Screen, view: str, size: tuple[int, int]) -> None:
    """Show what a view is called by, and wait for what takes longer than a frame."""
    screen.layout(size)
    if view == "closer":
        screen.desk.closer = True
        screen.closer.look(screen.session.snapshot)
        screen.closer.wait()
    elif view == "circuit":
        screen.desk.circuit = "whole"
    elif view == "valve":
        screen.desk.show("valve")
    elif view == "beside":
        screen.rivalry.next()
        screen.rivalry.wait()


def _session(scenario: Scenario) -> LessonSession:
    from glasscan.window.lesson.lesson_loading import open_session

    return open_session(scenario, keys=False).session


def trace_picture(
    log: RunLog, scenario: Scenario, path: Path | None = None, theme: str = "light"
) -> pygame.Surface:
    """Draw the trace of a finished run with its events."""
    surface = pygame.Surface(PICTURE_PX)
    canvas = Canvas(surface, load_theme(theme))
    surface.fill(canvas.theme["paper"])
    box = _titled(canvas, scenario, log.final.t_s)
    lift = float(np.max(log.trace["lift"], initial=0.0)) * 1e-3
    plot = TracePlot()
    plot.draw(canvas, box, trace_log(log), log.events, SYSTEMS[0], max(lift, 1e-3))
    _save(surface, path)
    return surface


def trace_log(log: RunLog) -> TraceLog:
    """The columns that are drawn, in SI units, from a run's trace."""
    return TraceLog.of_trace(log.times_s, log.trace)


def section_picture(
    log: RunLog, scenario: Scenario, path: Path | None = None, theme: str = "light"
) -> pygame.Surface:
    """Draw the section of the filter as the run left it, with its key and part names."""
    from glasscan.filters.carriers import Carriers
    from glasscan.learning.assemble import section
    from glasscan.window.lesson.lesson_loading import CARRIERS, facts_of

    solved = section(scenario)
    solved.prepare_laminar()
    facts = facts_of(scenario, solved)
    shown = cast("contract.Section", solved)
    surface = pygame.Surface((1920, 1080))
    canvas = Canvas(surface, load_theme(theme))
    surface.fill(canvas.theme["paper"])
    layout = arrange(surface.get_size(), 1.0)
    s, units = log.final, SYSTEMS[0]
    frame = shown.frame(s)
    carriers = Carriers(solved, CARRIERS, scenario.seed)
    stage = CutawayView(shown, s, facts.max_lift_m)
    hurry(carriers, frame, SETTLE_STEPS)
    scale = pressure_scale(s, float(np.max(log.trace["dp"])) * 1e3, facts.cracking_pa, units.pressure)
    stage.draw(canvas, layout, s, frame, scale, carriers, True)
    draw_key(canvas, layout["key"], scale, units, stage.rate, law=stage.law)
    canvas.text(f"{scenario.title}, {clock(s.t_s)}", layout["title"], role="title", bold=True, wrap=True)
    width = layout["names_right"].right + layout["key"].x
    cropped = surface.subsurface(pygame.Rect(0, 0, width, layout["body"].bottom + canvas.dp(12)))
    _save(cropped, path)
    return cropped


def _titled(canvas: Canvas, scenario: Scenario, t_end_s: float) -> pygame.Rect:
    """Write the title; returns the box left for the drawing."""
    w, h = canvas.surface.get_size()
    pad = canvas.dp(36)
    head = pygame.Rect(pad, canvas.dp(20), w - 2 * pad, canvas.dp(60))
    canvas.text(f"{scenario.title}, {clock(t_end_s)}", head, role="title", bold=True)
    return pygame.Rect(pad, head.bottom + canvas.dp(12), w - 2 * pad, h - head.bottom - canvas.dp(36))


def _save(surface: pygame.Surface, path: Path | None) -> None:
    if path is None:
        return
    made = BytesIO()  # the picture first: into a full disk pygame would print a line for every piece
    pygame.image.save(surface, made, "shot.png")
    path.write_bytes(made.getvalue())
