"""Cost of a frame of fields and of a simulated second against the number of element segments."""

from __future__ import annotations

import numpy as np
import yaml
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.filters.section import Section
from glasscan.paths import asset
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.bench.bench_bodies import cpu_s
from tests.bench.bench_field import state
from tests.bench.table import Row
from tests.rig.standin import setup

COUNTS = (5, 10, 20, 40)
SIMULATED_S = 6.0


def measure() -> list[Row]:
    """Growth exponents from 5 to 40 segments of the can's element; a constant share keeps them below 1."""
    sections = [_can(k) for k in COUNTS]
    frames = [cpu_s(lambda s=s: s.frame(state(s)), repeats=4, calls=10) for s in sections]
    seconds = [cpu_s(lambda s=s: _cold_start(s), repeats=2, calls=1) / SIMULATED_S for s in sections]
    return [_row("frame of fields", frames), _row("simulated second of a cold start", seconds)]


def _row(what: str, times: list[float]) -> Row:
    slope = float(np.polyfit(np.log(COUNTS), np.log(times), 1)[0])
    name = f"{what}: exponent against segments"
    return Row(name, times[-1], f"{COUNTS[0]} segments", times[0], slope, "<= 1.1")


def _can(segments: int) -> Section:
    data = yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text())
    data["element"]["segments"] = segments
    return build(FilterData.model_validate(data))


def _cold_start(section: Section) -> None:
    rig = Rig(setup(network=section.network, timeline=(Ramp(0.5, "rpm", 900, 1.0),)))
    while rig.t_s < SIMULATED_S - 1e-9:
        rig.step(0.25)
