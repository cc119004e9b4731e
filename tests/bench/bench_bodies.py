"""Debris: cost of a step of 1/120 s with valve, walls and flow, and growth with the number of bodies.

The valve is open and lets small pieces out, so bodies are added until the stated number is in the filter.
Times are those of the one core.
"""

from __future__ import annotations

import time
from collections.abc import Callable

import numpy as np
from glasscan.debris import Debris
from glasscan.debris.debris_data import catalogue
from glasscan.debris.swarm import UNITS
from glasscan.debris.world import World

from tests.bench.bench_field import shipped, state
from tests.bench.table import Row

STEP_S = 1 / 120
KINDS = ("D2", "D3", "D5", "D9", "D10", "D14", "D18")
LIFT_M = 8e-4  # of the valve in that moment
TOP_UPS = 8  # times that what has left is made good
LAID_STEPS = 240  # before the clock starts: bodies are falling, drifting and piling up


def measure() -> list[Row]:
    """A step of 400 bodies against real time and bare pymunk spaces, and the growth exponents of both."""
    section = shipped("can-full-flow")
    frame = section.frame(state(section))
    counts, times, bare = (100, 200, 400, 800), [], []
    for count in counts:
        debris = _stirred(section, frame, count)
        times.append(cpu_s(lambda d=debris: _step(d, frame)))
        bare.append(UNITS * bare_space_s(_stirred(section, frame, count)))
    slope, bare_slope = (float(np.polyfit(np.log(counts), np.log(t), 1)[0]) for t in (times, bare))
    name, growth = "400 bodies, a step of 1/120 s", "bodies: exponent against their number"
    return [
        Row(name, times[2], "real time", STEP_S, times[2] / STEP_S, "<= 1"),
        Row(name, times[2], f"{UNITS} bare pymunk steps", bare[2], times[2] / bare[2], "<= 6"),
        Row(growth, times[-1], f"bare pymunk: {bare_slope:.2f}", bare[-1], slope, "<= 1.2"),
    ]


def cpu_s(work: Callable[[], object], repeats: int = 6, calls: int = 24) -> float:
    """Time of one core for one call, s: best of some averages, so that other programs do not count."""
    best = float("inf")
    for _ in range(repeats):
        start = time.process_time()
        for _ in range(calls):
            work()
        best = min(best, (time.process_time() - start) / calls)
    return best


def bare_space_s(debris: Debris) -> float:
    """Time of one step of pymunk alone, with the same bodies, places and walls, falling in a vacuum, s."""
    world = World(debris.scene, catalogue(), LIFT_M)
    world.add(debris._swarm.crowd, debris._swarm.motion, debris.masses_kg)
    world.space.gravity = (0.0, -9.81e-3)
    step_ms = STEP_S * 1e3 / UNITS
    for _ in range(LAID_STEPS):
        world.space.step(step_ms)
    return cpu_s(lambda: world.space.step(step_ms))


def _stirred(section, frame, count):  # type: ignore[no-untyped-def]
    debris = Debris(section, 1)
    for _ in range(TOP_UPS):
        missing = count - len(debris)
        for k, kind in enumerate(KINDS):
            share = missing // len(KINDS) + (k < missing % len(KINDS))
            if share:
                debris.add(kind, share, "dirty")
        for _ in range(LAID_STEPS // TOP_UPS):
            _step(debris, frame)
    return debris


def _step(debris: Debris, frame: object) -> None:
    debris.step(frame, 0.1, 870.0, LIFT_M, STEP_S)
