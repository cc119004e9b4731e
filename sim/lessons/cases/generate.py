"""A case from a seed: layout, fault, severity, what the flight line noted. Undecidable draws are refused."""

from __future__ import annotations

import zlib
from dataclasses import dataclass
from functools import lru_cache

import numpy as np

from sim.lessons.cases.atlas import Atlas, Say, atlas, sound_rig
from sim.lessons.cases.likelihood import Result, draw
from sim.lessons.cases.menu import Test, menu
from sim.lessons.cases.solve import Field, decidable
from sim.plant.faults.apply import apply
from sim.plant.faults.data import Fault, faults
from sim.plant.faults.observe import Values, observe, subject
from sim.plant.setup import Place, RigSetup

ERRORS = {1: 0.7, 2: 1.0, 3: 1.4}
"""Factor on reading errors by level (invented); a case must be decidable at the hardest."""
LEAST_RUN_KPA, MOST_LEAK_ML_MIN = 50.0, 500.0
"""A rig that shows less pressure at hot idle, or loses more oil, must not be run for a test (invented)."""
TRIES = 200
_COMPLAINT = 7919  # stream of random numbers of the complaint


class NoCaseError(RuntimeError):
    """No decidable case was found for a seed: a fault of the data."""


@dataclass(frozen=True)
class Hidden:
    """What only the generator and the verdict know.

    Attributes:
        seed, kind, layout: of the case.
        fault, severity: what is wrong.
        values: true observables.
        complaint: what the flight line noted, one number for each reading.
        refused: faults drawn before that no available test separates.
    """

    seed: int
    kind: str
    layout: Place
    fault: Fault
    severity: float
    values: Values
    complaint: Result
    refused: tuple[str, ...] = ()

    @property
    def runnable(self) -> bool:
        """Whether the rig may be run for a test."""
        return may_run(self.complaint)

    def result(self, test: Test, level: int) -> Result:
        """Result of a test: the same whenever it is ordered in this case."""
        stream = np.random.default_rng([self.seed, zlib.crc32(test.test.encode())])
        return draw(self.values, test.reads, stream, ERRORS[level])


def may_run(complaint: Result) -> bool:
    """Whether what the flight line noted allows running the rig."""
    noted = dict(zip((reading.what for reading in menu().complaint), complaint, strict=True))
    enough = noted["gauge_idle_kpa"] >= LEAST_RUN_KPA
    return enough and noted["leak_cruise_ml_min"] <= MOST_LEAK_ML_MIN


@lru_cache(maxsize=32)
def field(kind: str, layout: Place, level: int, runnable: bool) -> Field:
    """Tests and sheets of a level, made once."""
    return Field(atlas(kind, layout), ERRORS[level], runnable)


def generate(seed: int, kind: str, say: Say | None = None) -> Hidden:
    """The case of a seed; the level changes reading errors and help, not the fault.

    Raises:
        NoCaseError: nothing decidable in many draws.
    """
    rng = np.random.default_rng([seed, zlib.crc32(kind.encode())])
    layout: Place = "after" if rng.random() < 0.5 else "before"
    chart = atlas(kind, layout, say) if say else atlas(kind, layout)
    refused: list[str] = []
    for _ in range(TRIES):
        drawn = _drawn(seed, chart, rng, tuple(refused))
        if decidable(field(kind, layout, max(ERRORS), drawn.runnable), drawn.fault.fault, drawn.values):
            return drawn
        refused.append(drawn.fault.fault)
    raise NoCaseError(f"seed {seed}: no decidable case in {TRIES} draws")


def rigs(hidden: Hidden) -> tuple[RigSetup, RigSetup]:
    """The rig of a case with its fault, and without: for a run and its ghost (`sim.plant.faults.ghost`)."""
    sound = sound_rig(hidden.kind, hidden.layout)
    return apply(hidden.fault, hidden.severity, sound), sound


def _drawn(seed: int, chart: Atlas, rng: np.random.Generator, refused: tuple[str, ...]) -> Hidden:
    weight = np.array([faults()[code].prior for code in chart.codes])
    code = chart.codes[int(rng.choice(len(weight), p=weight / weight.sum()))]
    severity = float(rng.random())
    values = observe(subject(faults()[code], severity, sound_rig(chart.kind, chart.layout)))
    noted = draw(values, menu().complaint, np.random.default_rng([seed, _COMPLAINT, len(refused)]))
    return Hidden(seed, chart.kind, chart.layout, faults()[code], severity, values, noted, refused)
