"""Runs of shipped lessons, and the answer that is right for a prompt; sections are solved once."""

from __future__ import annotations

import hashlib
import os
import pickle
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
from glasscan.filters.section import Section
from glasscan.learning import prompt_schema as ask
from glasscan.learning.assemble import rig_setup, section
from glasscan.learning.marking_log import MarkingLog as Log
from glasscan.learning.marking_log import value_at
from glasscan.learning.prompts import mark
from glasscan.learning.question_types.diagnose import right_way
from glasscan.learning.question_types.log_entry import example
from glasscan.learning.question_types.number_choice import lines
from glasscan.learning.question_types.order import job
from glasscan.learning.question_types.point import true_target
from glasscan.learning.question_types.rank import RankForm, ranked
from glasscan.learning.question_types.several import keys
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import run


@cache
def solved(filter_name: str) -> Section:
    """The section of a filter."""
    return section(load_scenario("cold-start", (f"filter={filter_name}",)))


def run_of(scenario: Scenario, for_s: float | None = None) -> RunLog:
    """Run a scenario, or its first `for_s` seconds."""
    return run(rig_setup(scenario, solved(scenario.filter)), for_s=for_s)


shared: list[Path] = []
"""Folder in which the processes of one test run share their runs; none where there is one process."""

_runs: dict[str, RunLog] = {}


def kept_run(scenario: Scenario) -> RunLog:
    """Run a scenario to its end, once for all tests and all processes of a test run."""
    key = hashlib.sha256(scenario.model_dump_json().encode()).hexdigest()
    if key not in _runs:
        _runs[key] = _shared_run(shared[0] / key, scenario) if shared else run_of(scenario)
    return _runs[key]


def _shared_run(file: Path, scenario: Scenario) -> RunLog:
    """The run another process has made, or is making, or else one of our own for all."""
    with _claimed(file.with_suffix(".lock")):
        if file.exists():
            log: RunLog = pickle.loads(file.read_bytes())  # written by this very test run
            return log
        log = run_of(scenario)
        part = file.with_suffix(f".{os.getpid()}")
        part.write_bytes(pickle.dumps(log))
        part.replace(file)
        return log


@contextmanager
def _claimed(lock: Path) -> Iterator[None]:
    """Hold a lock that ends with the process; where the system has none, two may make the same run."""
    try:
        import fcntl
    except ImportError:
        yield
        return
    with lock.open("w") as file:
        fcntl.flock(file, fcntl.LOCK_EX)
        yield


@cache
def shipped_run(name: str) -> RunLog:
    """The run of a shipped lesson, to its end."""
    return kept_run(load_scenario(name))


def form_of(prompt: Any) -> Any:
    """What decides how a prompt is answered."""
    return prompt.answer if isinstance(prompt, ask.Predict) else prompt


def right_answer(prompt: Any, log: Log) -> Any:
    """The answer that must earn full marks, built from the run without looking at a mark where possible."""
    form = form_of(prompt)
    if isinstance(form, ask.SeveralForm):
        return keys(form, log)
    if isinstance(form, ask.PointForm):
        return true_target(form, log).part
    if isinstance(form, ask.OrderForm):
        return job(form, log).example
    if isinstance(form, RankForm):
        return ranked(form, log).falling
    if isinstance(form, ask.CurveForm):
        at_s = np.linspace(form.from_s, form.to_s, 161)
        return [(float(t), value_at(log, form.trace, float(t))) for t in at_s]
    if isinstance(form, ask.CaseForm):
        return right_way(form)
    if isinstance(form, ask.EntryForm):
        return example(form, log)
    if isinstance(form, ask.NumberChoiceForm):
        return next(line.id for line in lines(form, log) if line.right)
    return _of_older_forms(prompt, form, log)


def _of_older_forms(prompt: Any, form: Any, log: Log) -> Any:
    if isinstance(form, (ask.SingleChoice, ask.ChoiceForm)):
        key = mark(prompt, form.choices[0].id, log).key
        return next(c.id for c in form.choices if c.text == key)
    if isinstance(form, ask.StripForm):
        shown = mark(prompt, [False] * (len(form.edges_s) - 1), log).key
        return [window.endswith("open") for window in shown.split(", ")]
    return mark(prompt, "0", log).key.replace("−", "-")
