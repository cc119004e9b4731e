"""Timing of the plant against scipy's Radau on the same right-hand side, as a ratio at equal error.

Two jobs: the whole cold start in one go, where both choose their steps freely, and the live job of the
window, where a control may move at any frame, so that whoever integrates must stop at every frame.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp
from numpy.typing import NDArray
from scipy.integrate import solve_ivp

from tests.rig.standin import network, plant, setup

Floats = NDArray[np.float64]
Solver = Callable[[Rig, list[float]], Floats]
FRAME_S = 1 / 60
AIM_RATIO, AIM_FRAME_S = 10.0, 1e-3
LADDER = (100.0, 30.0, 10.0, 3.0, 1.0, 0.3, 0.1, 0.03)  # Radau's tolerances, in units of the rig's own
RUN_UP = (Ramp(1.0, "rpm", 900, 3.0),)
SPEED_UP = (Ramp(60.0, "rpm", 1200.0, 1.0),)


class Row(NamedTuple):
    """One line of the bench: our time, the peer's, and how many times faster we are."""

    name: str
    seconds: float
    peer: str
    peer_seconds: float
    ratio: float
    aim: str


def cold_start(regulator: str) -> Rig:
    """A rig soaked to -5 degC, about to be started."""
    clean = plant(dirt__start_mg=0.0, dirt__wear_mg_h=0.0)
    rig = Rig(setup(air_c=-5.0, regulator=regulator, timeline=RUN_UP, plant=clean))
    rig.step(1.0)
    return rig


def running(air_c: float) -> Rig:
    """A rig a minute after the start, its shaft about to go from 900 to 1200 rev/min in a second."""
    clean = plant(dirt__start_mg=0.0, dirt__wear_mg_h=0.0)
    rig = Rig(setup(air_c=air_c, rpm=900.0, timeline=SPEED_UP, plant=clean))
    rig.step(60.0)
    return rig


def ours(rig: Rig, marks: list[float]) -> Floats:
    """States at the marks by the rig itself, (N, n)."""
    states = []
    for mark in marks:
        rig.advance_to(mark)
        states.append(rig.state.y)
    return np.array(states)


def radau(tolerance: float, every_mark: bool) -> Solver:
    """The same by Radau; begun anew at every mark (a live control may have moved) or only where ramps end."""

    def solve(rig: Rig, marks: list[float]) -> Floats:
        y, found, begin = np.array(rig.state.y), [], rig.t_s
        scale = np.full(len(y), 1e-6)  # running totals: 1 mL, 1 mg, 1 uJ: never what limits the step
        scale[: len(rig.weight)] = 1.0 / rig.weight
        corner = rig.state.controls.rpm.to_s
        stops = marks if every_mark else [corner, marks[-1]]
        for stop in stops:
            inside = [mark for mark in marks if begin < mark < stop]
            with np.errstate(over="ignore"):  # Radau's own Jacobian meets numbers that feed nothing back
                answer = solve_ivp(
                    rig.rates,
                    (begin, stop),
                    y,
                    "Radau",
                    t_eval=[*inside, stop],
                    rtol=1e-12,
                    atol=tolerance * scale,
                )
            found.append(answer.y.T[: None if stop in marks else -1])
            begin, y = stop, answer.y[:, -1]
        return np.concatenate(found)

    return solve


def timed(solver: Solver, rig: Rig, marks: list[float]) -> tuple[Floats, float]:
    """A solver's states and its processor time, s: other work on the machine does not count."""
    begun = time.process_time()
    states = solver(rig, marks)
    return states, time.process_time() - begun


def worst(states: Floats, truth: Floats, weight: Floats) -> float:
    """Largest error of any implicit number at any mark, in units of the rig's tolerances."""
    n = len(weight)
    return float((np.abs(states[:, :n] - truth[:, :n]) * weight).max())


def compared(name: str, make: Callable[[], Rig], marks: list[float], every_mark: bool) -> Row:
    """Our time against that of the loosest Radau which is at least as accurate."""
    truth = radau(1e-4, False)(make(), marks)
    rig = make()
    states, seconds = timed(ours, rig, marks)
    error = worst(states, truth, rig.weight)
    for tolerance in LADDER:
        peer_states, peer_s = timed(radau(tolerance, every_mark), make(), marks)
        peer_error = worst(peer_states, truth, rig.weight)
        if peer_error <= error:
            break
    peer = f"Radau (error {peer_error:.2g} against our {error:.2g} tolerances)"
    return Row(f"plant, {name}", seconds, peer, peer_s, peer_s / seconds, f">= {AIM_RATIO:g}")


def frame_row() -> Row:
    """Median time of one frame of the window in steady running."""
    rig, times = running(-5.0), []
    for _ in range(240):
        begun = time.process_time()
        rig.step(FRAME_S)
        times.append(time.process_time() - begun)
    median = float(np.median(times))
    return Row("plant, one frame of 1/60 s", median, "1 ms", AIM_FRAME_S, AIM_FRAME_S / median, ">= 1")


def growth_row() -> Row:
    """Exponent of a frame's cost against the number of segments of the element."""
    counts, times = (6, 12, 24, 48, 96), []
    for count in counts:
        rig = Rig(setup(air_c=60.0, rpm=900.0, network=network(k=count)))
        rig.step(10.0)
        begun = time.process_time()
        for _ in range(60):
            rig.step(FRAME_S)
        times.append((time.process_time() - begun) / 60)
    slope = float(np.polyfit(np.log(counts), np.log(times), 1)[0])
    return Row("plant: exponent against segments", times[-1], "linear", times[0], slope, "<= 1")


def measure() -> list[Row]:
    """All rows of this bench."""
    start = [1.0 + 0.75 * k for k in range(1, 21)]
    frames = [60.0 + FRAME_S * k for k in range(1, 121)]
    return [
        compared("cold start of 15 s, regulator after", lambda: cold_start("after"), start, False),
        compared("cold start of 15 s, regulator before", lambda: cold_start("before"), start, False),
        compared("2 s live, bypass open", lambda: running(-5.0), frames, True),
        compared("2 s live, bypass shut", lambda: running(60.0), frames, True),
        frame_row(),
        growth_row(),
    ]


if __name__ == "__main__":
    for row in measure():
        print(row)
