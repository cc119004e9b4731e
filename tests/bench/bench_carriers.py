"""Moving the points that make oil visible: cost of one frame and how it grows with their number."""

from __future__ import annotations

import numpy as np
from glasscan.filters.carriers import Carriers
from scipy.ndimage import map_coordinates

from tests.bench.bench_field import shipped, state
from tests.bench.table import Row, best_of

SLOWED_S = 1 / 60 / 20  # the window draws oil at a twentieth of its speed


def measure() -> list[Row]:
    """One frame of 5,000 points against scipy's bilinear look-ups of as many, and the growth exponent."""
    section = shipped("can-full-flow")
    frame = section.frame(state(section))
    counts, times = (1250, 2500, 5000, 10000), []
    for count in counts:
        carriers = Carriers(section, count, seed=1)
        times.append(best_of(lambda c=carriers: c.step(frame, SLOWED_S)))
    slope = float(np.polyfit(np.log(counts), np.log(times), 1)[0])
    field = np.random.default_rng(0).random((200, 70))
    places = np.random.default_rng(1).random((2, 5000)) * [[199], [69]]
    # a midpoint step looks up two components twice
    peer = 4 * best_of(lambda: map_coordinates(field, places, order=1))
    return [
        Row(
            "5,000 points, one frame",
            times[2],
            "4 look-ups by map_coordinates",
            peer,
            times[2] / peer,
            "<= 5",
        ),
        Row("points: exponent against their number", times[-1], "linear", times[0], slope, "<= 1.1"),
    ]
