"""The next run after a job, beside the run after the job done well; both by the model. No window here."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glasscan.rig.params import si_params
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import run
from glasscan.rig.setup import Ramp, RigSetup
from glasscan.rig.supply import seal_m3s
from glasscan.window.bench.filter_sources import sound_rig
from glasscan.workshop.inspection.inspection_data import FilterKind
from glasscan.workshop.procedures.job import Job, best_way
from glasscan.workshop.procedures.next_run import next_run
from glasscan.workshop.procedures.procedure_walk import walk

Floats = NDArray[np.float64]
Tell = Callable[[float, str], None]
END_S = 75.0
LOADED_KG = 0.0065  # stack that is due for turning
TURN_S, DRAIN_S = 15.0, 30.0
SERIES: tuple[tuple[str, str, str], ...] = (
    ("gauge", "Oil pressure (gauge)", "kPa"),
    ("dp", "Across the filter (differential)", "kPa"),
    ("lost", "Oil lost at the seal", "L"),
    ("unfiltered", "Oil past the bypass valve", "L"),
)
"""What is compared: name, words, unit."""


def silent(share: float, what: str) -> None:
    """Tell nobody."""
    del share, what


@dataclass(frozen=True)
class Compared:
    """Two runs on one clock.

    Attributes:
        times_s: (N,) s.
        well: (N,) of each series after the job done well, by name.
        yours: the same after the job as it was done.
        acting, silent: conditions that move a number of the model, and those for which it has none.
    """

    times_s: Floats
    well: dict[str, Floats]
    yours: dict[str, Floats]
    acting: tuple[str, ...]
    silent: tuple[str, ...]


def hydraulic(job: str) -> bool:
    """Whether a job is done on a hydraulic system."""
    return job == "hydraulic-filter-change"


def after_work(kind: FilterKind, job: str) -> RigSetup:
    """The run after good work: cool oil, a fast idle, then cruise speed."""
    setup = sound_rig(kind, hydraulic(job))
    fast = 3600.0 if hydraulic(job) else 2400.0
    timeline: tuple[Ramp, ...] = (Ramp(1.0, "rpm", 900.0, 3.0), Ramp(25.0, "rpm", fast, 5.0))
    dirt = LOADED_KG if job == "scraper-service" else 0.0
    if job == "scraper-service":
        timeline += (Ramp(TURN_S, "scraper_turns", 3.0), Ramp(DRAIN_S, "drain_bowl", 1.0))
    return replace(
        setup, air_c=15.0, oil_c=30.0, gallery_fill=0.6, can_fill=1.0, rpm=0.0, timeline=timeline,
        end_s=END_S, dirt_kg=dirt,
    )  # fmt: skip


def compare(job: Job, kind: FilterKind, tell: Tell = silent) -> Compared:
    """Run both; a job that left nothing for the model is the same run twice."""
    sound = after_work(kind, job.procedure.name)
    good = next_run(walk(job.procedure, best_way(job), job.present or ()).conditions, sound, kind)
    tell(0.05, "Running the job done well")
    well = _series(good.setup, _run(good.setup, tell, 0.05, "The job done well"))
    left = next_run(job.outcome().conditions, sound, kind)
    if set(left.acting) == set(good.acting):
        return Compared(well["t"], well, well, left.acting, left.silent)
    yours = _series(left.setup, _run(left.setup, tell, 0.5, "The job as you did it"))
    return Compared(well["t"], well, yours, left.acting, left.silent)


def _run(setup: RigSetup, tell: Tell, begin: float, what: str) -> RunLog:
    return run(setup, progress=lambda t, end: tell(begin + 0.45 * t / end, what))


def _series(setup: RigSetup, log: RunLog) -> dict[str, Floats]:
    """The curves of a run; oil lost is the plant's own loss at the seal, summed up."""
    trace, t, rho = log.trace, log.times_s, log.final.rho_kg_m3
    params = si_params(setup.plant)
    inlet, nu = trace["inlet"] * 1e3, trace["viscosity"] * 1e-6
    flow = [seal_m3s(params, p, v * rho, rho) for p, v in zip(inlet.tolist(), nu.tolist(), strict=True)]
    lost = np.cumsum(np.array(flow) * np.gradient(t)) * 1e3
    return {
        "t": t,
        "gauge": trace["gauge"],
        "dp": trace["dp"],
        "lost": lost,
        "unfiltered": trace["unfiltered"],
    }
