"""The run after a job as a lesson file: the rig as the work has left it, to be watched in the cutaway."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import yaml

from glasscan.faults.apply import apply
from glasscan.faults.fault_data import faults
from glasscan.rig.setup import RigSetup
from glasscan.window.bench.filter_sources import HYDRAULIC, RIGS
from glasscan.window.bench.job_run import after_work, hydraulic
from glasscan.workshop.inspection.inspection_data import FilterKind
from glasscan.workshop.procedures.job import Job
from glasscan.workshop.procedures.next_run import MIDDLE, acting_fault
from glasscan.workshop.procedures.procedure_catalogue import load_conditions
from glasscan.workshop.procedures.procedure_data import Condition

MOST_FAULTS = 4
"""As many as a scenario file takes; the first left behind come first."""
MOST_NOTES, NOTE_LETTERS = 100, 200
"""Notes that a file takes, and letters of each."""
HEAD = "# The run after a job, as the work has left the machine. World and aircraft are invented.\n"
SAFETY = (
    "Teaching model only: real work needs the approved maintenance data and a licensed release. Stop the "
    "engine if the oil pressure does not come in time or oil runs out. Keep clear of the propeller."
)


def lesson_after(job: Job, kind: FilterKind, word: str) -> dict[str, Any]:
    """The scenario of the next run, as a file holds it.

    Args:
        job: as far as it has been done.
        kind: of filter.
        word: id of the scenario, the name of its file.
    """
    name, title = job.procedure.name, job.procedure.title
    setup, known = after_work(kind, name), load_conditions()
    # what loses oil or hurts somebody comes first: a file takes few faults
    left = sorted((known[word] for word in job.outcome().conditions), key=lambda c: c.harms is None)
    words = "; ".join(c.title.lower() for c in left) or "nothing was left behind"
    file, plant, oil = RIGS[kind]
    if hydraulic(name):
        plant, oil = HYDRAULIC
    return {
        "scenario": word,
        "title": f"After the job: {title}",
        "about": f"The first run after the work as it was done. Left on the machine: {words}.",
        "world": "invented",
        "safety": SAFETY,
        "filter": file,
        "fluid": oil,
        "air_c": setup.air_c,
        "plant": {"rig": plant, "regulator": setup.regulator},
        "start": _start(setup, left),
        "faults": _faults(setup, left, kind),
        "timeline": _timeline(setup, left),
        "end_s": setup.end_s,
        "notes": _notes(job, left),
    }


def lesson_text(job: Job, kind: FilterKind, word: str) -> str:
    """The same as text of a file."""
    told = lesson_after(job, kind, word)
    text: str = yaml.safe_dump(told, sort_keys=False, allow_unicode=True, width=110)
    return HEAD + text


def write_lesson(job: Job, kind: FilterKind, folder: Path) -> Path:
    """Write it into a folder under the name of the job; the last run after that job is replaced."""
    folder.mkdir(parents=True, exist_ok=True)
    word = f"after-{job.procedure.name}"
    path = folder / f"{word}.yaml"
    path.write_text(lesson_text(job, kind, word), encoding="utf-8")
    return path


def _notes(job: Job, left: list[Condition]) -> list[dict[str, Any]]:
    """Everything that was left and the step that left it, for whoever presents; no class sees it."""
    steps = {x.condition: x.step for x in reversed(job.outcome().left)}
    by = {s.id: s.do for s in job.procedure.steps} | {t.id: t.do for t in job.procedure.tempting}
    lines = []
    for condition in left:
        text = f"Left behind: {condition.title}. {condition.effect}"
        step = by.get(steps[condition.id], "")
        whole = f"{text} By: {step}" if step else text
        lines.append({"at_s": 0.0, "say": whole if len(whole) <= NOTE_LETTERS else text[:NOTE_LETTERS]})
    return lines[:MOST_NOTES]


def _start(setup: RigSetup, left: list[Condition]) -> dict[str, Any]:
    start: dict[str, Any] = {
        "oil_c": setup.oil_c,
        "gallery_fill": setup.gallery_fill,
        "can_fill": min([setup.can_fill, *(c.can_fill for c in left if c.can_fill is not None)]),
        "dirt_g": 1e3 * setup.dirt_kg,
    }
    oil = [c.plant["sump.volume_l"] for c in left if "sump.volume_l" in c.plant]
    return start | ({"sump_l": min(oil)} if oil else {})


def _faults(setup: RigSetup, left: list[Condition], kind: str) -> list[dict[str, Any]]:
    """Each fault once; of several at one seal the one with the larger opening."""
    found: list[str] = []
    opening: dict[str, float] = {}
    for condition in left:
        fault = acting_fault(condition.fault, kind, setup)
        if fault is None or fault.fault in found:
            continue
        area = apply(faults()[fault.fault], MIDDLE, setup).plant.seal.area_mm2
        if area > setup.plant.seal.area_mm2:
            opening[fault.fault] = area
        found.append(fault.fault)
    widest = max(opening, key=lambda code: opening[code], default="")
    kept = [code for code in found if code not in opening or code == widest]
    return [{"fault": code, "severity": MIDDLE} for code in kept[:MOST_FAULTS]]


def _timeline(setup: RigSetup, left: list[Condition]) -> list[dict[str, Any]]:
    """The ramps of the run, with less done by hand where the work was left in part."""
    by_hand: dict[str, float] = {
        str(key): float(to) for condition in left for key, to in condition.actions.items()
    }
    lines: list[dict[str, Any]] = []
    for ramp in setup.timeline:
        to = by_hand.get(ramp.key, ramp.to)
        if ramp.key in by_hand and not to:
            continue
        line = {"at_s": ramp.at_s, "set": ramp.key, "to": to}
        lines.append(line | ({"over_s": ramp.over_s} if ramp.over_s else {}))
    return lines
