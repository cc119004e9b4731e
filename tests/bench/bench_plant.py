"""Timing of the plant against scipy's Radau on the same right-hand side, as ratios at equal error."""

from __future__ import annotations

import time
from statistics import median
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from sim.plant import layout as at
from sim.plant.rig import Rig
from sim.plant.setup import Ramp
from tests.plant.standin import setup

Floats = NDArray[np.float64]
FRAME_S = 1 / 60
SPAN_S = 2.0
WATCHED = (at.CAN, at.GALLERY, at.LIFT, at.GAUGE, at.T_SUMP, at.T_FILTER, at.T_GALLERY)


class Row(NamedTuple):
    """One line of the bench."""

    name: str
    seconds: float
    peer: str
    peer_seconds: float
    ratio: float
    aim: str


def prepared(cold: bool) -> Rig:
    """A rig a minute after the start: cold with the bypass open, or hot with it shut; its speed then changes."""
    air = -5.0 if cold else 60.0
    rig = Rig(setup(air_c=air, rpm=900.0, timeline=(Ramp(60.0, "rpm", 1200.0, 1.0),)), accuracy)
    rig.step(60.0)
    return rig


def by_frames(rig: Rig) -> tuple[Floats, float, list[float]]:
    """States at every frame, (N, n), whole time, s, and the time of each frame, s."""
    states, times = [], []
    begun = time.perf_counter()
    for _ in range(round(SPAN_S / FRAME_S)):
        start = time.perf_counter()
        rig.step(FRAME_S)
        times.append(time.perf_counter() - start)
        states.append(rig.state.y)
    return np.array(states), time.perf_counter() - begun, times


def by_radau(rig: Rig, tolerance: float) -> tuple[Floats, float]:
    """The same stretch by scipy's Radau, restarted where the shaft's ramp begins and ends; (N, n) and time, s."""
    t0, y = rig.t_s, np.array(rig.state.y)
    frames = t0 + FRAME_S * np.arange(1, round(SPAN_S / FRAME_S) + 1)
    scale = np.full(len(y), 1e-9)
    scale[: len(rig.weight)] = 1.0 / rig.weight
    begun, found = time.perf_counter(), []
    stops = [t0, *(t0 + mark for mark in (RAMP_AT_S, RAMP_AT_S + RAMP_S)), frames[-1]]
    for a, b in zip(stops[:-1], stops[1:], strict=True):
        inside = frames[(frames > a) & (frames <= b)]
        answer = solve_ivp(
            lambda t, y: rates_at(rig, t, t0, y), (a, b), y, "Radau",
            t_eval=np.append(inside, b), rtol=1e-13, atol=tolerance * scale,
        )
        found.append(answer.y.T[: len(inside)])
        y = answer.y[:, -1]
    return np.concatenate(found), time.perf_counter() - begun
