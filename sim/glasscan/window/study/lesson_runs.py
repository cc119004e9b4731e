"""Runs of the lessons of a session, worked out beside the window, one after another."""

from __future__ import annotations

from collections.abc import Iterable
from typing import TYPE_CHECKING

from glasscan.ui.worker_process import WorkerProcess
from glasscan.window.questions.key_run import AnswersAwaitedError, AnswersMissingError, work_out

if TYPE_CHECKING:
    from glasscan.learning.marking_log import MarkingLog
    from glasscan.learning.scenario_schema import Scenario


class Runs:
    """Gives the run of a lesson as soon as it is there; `update` must be called now and then.

    Args:
        scenarios: in the order in which their runs are needed.
    """

    def __init__(self, scenarios: Iterable[Scenario]) -> None:
        self._waiting = {s.scenario: s for s in scenarios}
        self._logs: dict[str, MarkingLog] = {}
        self._trouble: dict[str, str] = {}
        self._name, self._helper = "", None  # type: tuple[str, WorkerProcess | None]

    def update(self) -> None:
        """See how far the run under way is, and begin the next."""
        if self._helper is not None:
            self._helper.poll()
            if self._helper.done:
                self._logs[self._name] = self._helper.result
            elif self._helper.trouble:
                self._trouble[self._name] = self._helper.trouble
            if not self._helper.busy:
                self._helper = None
        if self._helper is None and self._waiting:
            self._name = next(iter(self._waiting))
            self._helper = WorkerProcess(work_out, self._waiting.pop(self._name))
            self._helper.start()

    def ready(self, name: str) -> bool:
        """Whether a run is there."""
        return name in self._logs

    def share(self, name: str) -> float:
        """How far the run of a lesson is, 0..1."""
        if name in self._logs:
            return 1.0
        return self._helper.share if self._helper is not None and self._name == name else 0.0

    def __call__(self, scenario: Scenario) -> MarkingLog:
        """The run of a lesson.

        Raises:
            AnswersAwaitedError: it is not there yet.
            AnswersMissingError: it will not come; asked for again, it is tried again.
        """
        name = scenario.scenario
        if name in self._logs:
            return self._logs[name]
        if name in self._trouble:
            trouble = self._trouble.pop(name)
            self._waiting = {name: scenario} | self._waiting
            raise AnswersMissingError(f"The run could not be worked out ({trouble}). It is tried again.")
        raise AnswersAwaitedError(f"Working out the run: {self.share(name):.0%} done.")

    def stop(self) -> None:
        """Give up what is under way."""
        self._waiting.clear()
        if self._helper is not None:
            self._helper.stop()
            self._helper = None
