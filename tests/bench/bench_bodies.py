"""Debris: cost of a step of 1/120 s with a valve, walls and flow, and how it grows with the number of bodies."""

from __future__ import annotations

import numpy as np
import pymunk

from sim.plant.bodies import Debris
from tests.bench.bench_field import shipped, state
from tests.bench.table import Row, best_of

STEP_S = 1 / 120
KINDS = ("D2", "D3", "D5", "D9", "D10", "D14", "D18")
LAID_STEPS = 240  # before the clock starts: bodies are falling, drifting and piling up


def measure() -> list[Row]:
    """A step of 400 bodies against real time and against a bare pymunk space, and the growth exponent."""
    section = shipped("can-full-flow")
    moment = state(section)
    frame = section.frame(moment)
    counts, times = (100, 200, 400, 800), []
    for count in counts:
        debris = _stirred(section, frame, count)
        times.append(best_of(lambda d=debris: _step(d, frame), repeats=5, seconds=0.5))
    slope = float(np.polyfit(np.log(counts), np.log(times), 1)[0])
    bare = bare_space_s(_stirred(section, frame, 400))
    return [
        Row("400 bodies, a step of 1/120 s", times[2], "real time", STEP_S, times[2] / STEP_S, "<= 1"),
        Row("400 bodies, a step of 1/120 s", times[2], "bare pymunk step", bare, times[2] / bare, "<= 6"),
        Row("bodies: exponent against their number", times[-1], "linear", times[0], slope, "<= 1.2"),
    ]


def bare_space_s(debris: Debris) -> float:
    """Time of one step of a pymunk space with the same outlines at the same places on a plain floor, s."""
    space = pymunk.Space()
    space.gravity = (0.0, -9.81e-3)
    space.add(pymunk.Segment(space.static_body, (0, 3), (40, 3), 1.0))
    for i in range(len(debris)):
        corners = [tuple(p) for p in ((debris.outlines(i) - debris.positions[i]) * 1e3).tolist()]
        body = pymunk.Body(1.0, pymunk.moment_for_poly(1.0, corners))
        body.position = tuple((debris.positions[i] * 1e3).tolist())
        space.add(body, pymunk.Poly(body, corners))
    return best_of(lambda: space.step(STEP_S * 1e3 / 8), repeats=5, seconds=0.5)


def _stirred(section, frame, count):  # type: ignore[no-untyped-def]
    debris = Debris(section, 1)
    for k, kind in enumerate(KINDS):
        debris.add(kind, count // len(KINDS) + (k < count % len(KINDS)), "dirty")
    for _ in range(LAID_STEPS):
        _step(debris, frame)
    return debris


def _step(debris: Debris, frame: object) -> None:
    debris.step(frame, 0.05, 870.0, 0.0, STEP_S)
