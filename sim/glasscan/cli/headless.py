"""Run a scenario without a window, with progress on a terminal and a clean stop from the keyboard."""

from __future__ import annotations

import os
import signal
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor
from contextlib import contextmanager
from multiprocessing import get_context
from types import FrameType
from typing import TYPE_CHECKING

from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.run_log import RunLog

PROGRESS_S = 0.2
"""Time between two progress lines, s of the wall clock."""

Watch = Callable[[float, float], bool]
"""Called with the model time and the end, s; False asks the run to stop there."""


def run_scenario(scenario: Scenario, for_s: float | None, watch: Watch) -> RunLog:
    """Run to the end of the scenario, or for `for_s` seconds.

    Raises:
        BadInput: a data file it names is missing or bad.
    """
    from glasscan.learning.assemble import rig_setup
    from glasscan.rig.runner import run

    return run(rig_setup(scenario), for_s=for_s, progress=watch)


def run_to_end(scenario: Scenario) -> RunLog:
    """Run to the end of the scenario; the keys of its questions need the whole run.

    Raises:
        BadInput: a data file is missing or bad, or the model cannot go on.
        KeyboardInterrupt: stopped from the keyboard.
    """
    progress = Progress(scenario.scenario)
    with keyboard_stops(progress):
        log = run_scenario(scenario, None, progress)
    if progress.asked_to_stop:
        raise KeyboardInterrupt
    if log.ended != "completed":
        raise BadInput([f"{scenario.scenario}: the run {log.ended}: {log.why}"])
    return log


def run_together(scenarios: Sequence[Scenario]) -> Callable[[Scenario], RunLog]:
    """What gives the run of each of some scenarios, worked out beside each other on all cores.

    Raises:
        BadInput: as `run_to_end`.
    """
    workers = min(os.cpu_count() or 1, len(scenarios))
    if workers < 2:
        return run_to_end
    with ProcessPoolExecutor(workers, get_context("spawn")) as pool:
        logs = dict(zip((s.scenario for s in scenarios), pool.map(run_to_end, scenarios), strict=True))
    return lambda scenario: logs[scenario.scenario]


class Progress:
    """Says on a terminal how far the run is; silent elsewhere.

    Attributes:
        asked_to_stop: set from the keyboard; the run ends at its next step and keeps all it has.
    """

    def __init__(self, name: str) -> None:
        self.name = name
        self.asked_to_stop = False
        self._shown = sys.stderr.isatty()
        self._last = 0.0

    def __call__(self, t_s: float, end_s: float) -> bool:
        """Take note of the model time; False where the run shall stop."""
        now = time.monotonic()
        if self._shown and now - self._last >= PROGRESS_S:
            self._last = now
            self._write(f"{self.name}: {t_s:.0f} of {end_s:.0f} s ({min(t_s / end_s, 1.0):.0%})")
        return not self.asked_to_stop

    def close(self) -> None:
        """Clear the line."""
        if self._shown:
            self._write("")

    def _write(self, text: str) -> None:
        print(f"\r\x1b[K{text}", end="", file=sys.stderr, flush=True)


@contextmanager
def keyboard_stops(progress: Progress) -> Iterator[None]:
    """Ctrl-C ends the run at its next step; a second one ends the program."""
    if threading.current_thread() is not threading.main_thread():
        yield
        return

    def stop(_number: int, _frame: FrameType | None) -> None:
        if progress.asked_to_stop:
            raise KeyboardInterrupt
        progress.asked_to_stop = True

    before = signal.signal(signal.SIGINT, stop)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
        progress.close()
