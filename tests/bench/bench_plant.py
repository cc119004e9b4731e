"""Timing of the plant against the best of scipy's stiff solvers on the same right-hand side, at equal error.

Peers are Radau, BDF and LSODA, each with the Jacobian of the numbers that feed back (by differences, as ours)
and Newton's usual tolerance, each at its loosest tolerance that is at least as accurate; the quickest counts.

Two jobs: the whole cold start in one go, where both choose their steps freely, and the live job of the
window, where a control may move at any frame, so that whoever integrates must stop at every frame.
"""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any, NamedTuple

import numpy as np
from glasscan.rig.esdirk import numeric_jacobian
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp
from numpy.typing import NDArray
from scipy.integrate import BDF, LSODA, Radau, solve_ivp

from tests.rig.standin import network, plant, setup

Floats = NDArray[np.float64]
Solver = Callable[[Rig, list[float]], Floats]
FRAME_S = 1 / 60
AIM_RATIO, AIM_FRAME_S = 3.0, 1e-3
LADDER = tuple(100.0 / 10 ** (k / 3) for k in range(15))  # tolerances of the peers, in units of the rig's own
PAIRS = 3  # timed one after the other; the middle ratio counts
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


class UsualRadau(Radau):
    """Radau with the Newton tolerance it has for ordinary relative tolerances."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.newton_tol = 0.03


class UsualBdf(BDF):
    """BDF likewise."""

    def __init__(self, *args: Any, **options: Any) -> None:
        super().__init__(*args, **options)
        self.newton_tol = 0.03


PEERS: dict[str, Any] = {"Radau": UsualRadau, "BDF": UsualBdf, "LSODA": LSODA}


def peer(method: Any, tolerance: float, every_mark: bool) -> Solver:
    """A solver of scipy; begun anew at every mark (a live control may have moved) or only where ramps end."""

    def solve(rig: Rig, marks: list[float]) -> Floats:
        y, found, begin = np.array(rig.state.y), [], rig.t_s
        n = len(rig.weight)
        scale = np.full(len(y), 1e-6)  # running totals: 1 mL, 1 mg, 1 uJ: never what limits the step
        scale[:n] = 1.0 / rig.weight

        def jacobian(t: float, y: Floats) -> Floats:
            full = np.zeros((len(y), len(y)))
            full[:, :n] = numeric_jacobian(rig.rates, t, y, 1e-3 * scale[:n])
            return full

        corner = rig.state.controls.rpm.to_s
        stops = marks if every_mark else sorted({min(corner, marks[-1]), marks[-1]})
        for stop in stops:
            inside = [mark for mark in marks if begin < mark < stop]
            how = {"rtol": 1e-12, "atol": tolerance * scale, "jac": jacobian}
            answer = solve_ivp(rig.rates, (begin, stop), y, method, t_eval=[*inside, stop], **how)
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
    """Our time against that of the quickest peer at its loosest tolerance which is at least as accurate."""
    truth = peer(UsualRadau, 1e-4, False)(make(), marks)
    states, _ = timed(ours, make(), marks)
    error = worst(states, truth, make().weight)
    found = [
        (seconds, method, tolerance, peer_error)
        for method in PEERS
        for seconds, tolerance, peer_error in [_loosest(method, make, marks, every_mark, truth, error)]
    ]
    _, method, tolerance, peer_error = min(found)
    pairs = []
    for _ in range(PAIRS):
        mine = timed(ours, make(), marks)[1]
        pairs.append((mine, timed(peer(PEERS[method], tolerance, every_mark), make(), marks)[1]))
    mine, theirs = sorted(pairs, key=lambda pair: pair[1] / pair[0])[PAIRS // 2]
    told = ", ".join(f"{m} {s / mine:.2g}" for s, m, _, _ in sorted(found))
    words = f"{method} (error {peer_error:.2g} against our {error:.2g} tolerances; ratios: {told})"
    return Row(f"plant, {name}", mine, words, theirs, theirs / mine, f">= {AIM_RATIO:g}")


def _loosest(
    method: str, make: Callable[[], Rig], marks: list[float], every_mark: bool, truth: Floats, error: float
) -> tuple[float, float, float]:
    """Time, tolerance and error of a peer that is at least as accurate; of its last try where none is."""
    for tolerance in LADDER:
        states, seconds = timed(peer(PEERS[method], tolerance, every_mark), make(), marks)
        found = worst(states, truth, make().weight)
        if found <= error:
            return seconds, tolerance, found
    return np.inf, tolerance, found


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
