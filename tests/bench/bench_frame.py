"""Time of one 1920x1080 frame and its parts, as shares of a 60 Hz frame.

The display driver is SDL's dummy, so the final flip is not in it (0.7 ms on Linux with plain surfaces).
"""

from __future__ import annotations

import gc
import os
import time
from collections.abc import Callable, Iterator

os.environ.setdefault("SDL_VIDEODRIVER", "dummy")

import numpy as np
import pygame
from glasscan.window.lesson import side_panel
from glasscan.window.lesson.lesson_screen import Screen

from tests.bench.table import Row

SIZE = (1920, 1080)
FRAME_60_HZ_S = 1 / 60
ROUNDS = 150
PIECES = 60
MARKS, CROWD = 5000, 300


def timed(
    work: Callable[[], object], rounds: int = ROUNDS, clock: Callable[[], float] = time.perf_counter
) -> np.ndarray:
    """Seconds of each round, (rounds,)."""
    times = []
    for _ in range(rounds):
        start = clock()
        work()
        times.append(clock() - start)
    return np.array(times)


def scene() -> tuple[Screen, pygame.Surface]:
    """The shipped cold start at 20 s in the window, running."""
    from glasscan.learning.scenario_loading import load_scenario
    from glasscan.window.lesson.lesson_loading import open_session

    pygame.display.init()
    pygame.font.init()
    pygame.display.set_mode(SIZE)
    session = open_session(load_scenario("cold-start"), keys=False).session
    session.run_to(20.0)
    session.playing = True
    return Screen(session), pygame.Surface(SIZE)


def measure() -> list[Row]:
    """Rows of the whole frame and its parts; ratio = share of a 60 Hz frame."""
    from glasscan.window import gc_policy

    screen, surface = scene()
    thresholds = gc.get_threshold()
    gc_policy.clear_up()
    try:
        return list(_rows(screen, surface))
    finally:
        gc.unfreeze()
        gc.set_threshold(*thresholds)
        pygame.display.quit()


def _rows(screen: Screen, surface: pygame.Surface) -> Iterator[Row]:
    def whole() -> None:
        screen.update(FRAME_60_HZ_S)
        screen.draw(surface, FRAME_60_HZ_S)

    timed(whole, 30)
    own = timed(whole, clock=time.thread_time)  # leaves out what other programs on the machine take
    yield _row("1920x1080 frame, own processor time, p95", np.percentile(own, 95), "<= 1")
    frames = timed(whole)
    yield _row("1920x1080 frame, median", np.median(frames), "<= 1")
    yield _row("1920x1080 frame, p95", np.percentile(frames, 95), "<= 1")
    crowd(screen)
    timed(whole, 30)
    own = timed(whole, clock=time.thread_time)
    name = f"{MARKS} marks, {screen.session.loose.count} pieces: own processor time"
    yield _row(f"{name}, median", np.median(own), "<= 1")
    yield _row(f"{name}, p95", np.percentile(own, 95), "<= 1")
    window = pygame.display.get_surface()
    bare = float(np.median(timed(lambda: window.blit(surface, (0, 0)))))
    frame = float(np.median(frames))
    yield Row("1920x1080 frame, median", frame, "one bare blit of it", bare, frame / bare, "<= 20")
    for name, work in _parts(screen, surface):
        yield _row(f"frame: {name}", np.median(timed(work)), "-")


def crowd(screen: Screen) -> None:
    """Fill the picture with many marks of oil and pieces of debris."""
    from glasscan.filters.carriers import Carriers
    from glasscan.window.cutaway.cutaway_view import hurry

    session = screen.session
    session.carriers = Carriers(session.section, MARKS, 1)
    hurry(session.carriers, session.section.frame(session.snapshot), 100)
    for kind in ("steel-flake", "bronze-speck", "carbon-lump"):
        session.drop(kind, CROWD // 3)


def _row(name: str, seconds: float, aim: str) -> Row:
    return Row(name, float(seconds), "60 Hz frame", FRAME_60_HZ_S, float(seconds / FRAME_60_HZ_S), aim)


def _parts(screen: Screen, surface: pygame.Surface) -> list[tuple[str, Callable[[], object]]]:
    """Name and work of each part."""
    from glasscan.window.cutaway.cutaway_view import pressure_scale
    from glasscan.window.cutaway.debris_drawing import draw_bodies
    from glasscan.window.cutaway.legend import draw_key
    from glasscan.window.lesson.debris_controller import DebrisController

    session, stage = screen.session, screen.stage
    canvas = screen.draw(surface)
    layout = screen.layout(SIZE)
    s = session.snapshot
    frame = session.section.frame(s)
    units = screen.desk.units
    scale = pressure_scale(s, session.peak_dp_pa, session.facts.cracking_pa, units.pressure)
    cut = stage.cutaway(canvas, layout)
    speed = session.speed
    still = np.zeros(session.carriers.positions_m.shape)
    loose = DebrisController(session.section, 1)
    loose.drop("steel-flake", PIECES, 0.0)

    def debris() -> None:
        loose.carry(s, FRAME_60_HZ_S * stage.rate)
        draw_bodies(canvas, loose.bodies(), cut.view)

    return [
        ("engine, 1/60 s of model time", lambda: session.update(FRAME_60_HZ_S)),
        ("field of the moment", lambda: session.section.frame(s)),
        ("field to pixels", lambda: cut.field.paint(surface, frame, scale.low_pa, scale.span_pa)),
        ("oil drifts", lambda: stage.drift(session.carriers, frame, 1 / 60, speed)),
        ("oil drawn", lambda: cut.streaks.draw(surface, session.carriers, still, cut.view, cut.field.rect)),
        ("stage with names", lambda: stage.draw(canvas, layout, s, frame, scale, session.carriers, True)),
        ("key", lambda: draw_key(canvas, layout["key"], scale, units, 1.0)),
        (f"{PIECES} pieces of debris carried and drawn", debris),
        ("gauges and trace", lambda: side_panel.draw_right(screen, canvas, layout, frame, scale)),
    ]
