"""The run from which every key is read: worked out once, here or in a process of its own."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from glasscan.ui.worker_process import Tell, WorkerProcess

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.rig.run_log import RunLog
    from glasscan.rig.setup import RigSetup

STEPS = 50  # how many times a run says how far it is


class AnswersAwaitedError(Exception):
    """The keys are still being worked out; the message is a notice for the learner."""


class AnswersMissingError(Exception):
    """The keys cannot be worked out; the message says why in one line."""


def work_out(scenario: Scenario, tell: Tell) -> RunLog:
    """Run a scenario as its file says (in the helper's process)."""
    from glasscan.learning.assemble import rig_setup
    from glasscan.rig.runner import run

    return run(rig_setup(scenario), progress=_seldom(tell))


def _seldom(tell: Tell) -> Callable[[float, float], bool]:
    said = [-1]

    def progress(t_s: float, end_s: float) -> bool:
        step = int(STEPS * t_s / end_s)
        if step > said[0]:
            said[0] = step
            tell(t_s / end_s)
        return True

    return progress


class KeyRun:
    """Marks answers against the run of the scenario file.

    Args:
        scenario: whose prompts are marked.
        setup: of its rig.
        work: what a helper does to get the run.
    """

    def __init__(self, scenario: Scenario, setup: RigSetup, work: Callable[..., RunLog] = work_out) -> None:
        self.scenario, self.setup = scenario, setup
        self.helper = WorkerProcess(work, scenario)
        self._log: RunLog | None = None

    def begin(self) -> None:
        """Start working the run out beside the window."""
        self.helper.start()

    def peek(self) -> RunLog | None:
        """The finished run, or None as long as it is not there; begins on it, but never twice."""
        if self._log is None:
            helper = self.helper
            if not helper.busy and not helper.trouble:
                helper.start()
            helper.poll()
            if helper.done:
                self._log = helper.result
        return self._log

    def stop(self) -> None:
        """Give up what is under way."""
        self.helper.stop()

    def log(self) -> RunLog:
        """The finished run.

        Raises:
            AnswersAwaitedError: it is not there yet.
            AnswersMissingError: it will not come; asked for again, it is tried again.
        """
        if self._log is None:
            self._log = self._fetched()
        return self._log

    def _fetched(self) -> Any:
        helper = self.helper
        helper.poll()
        if helper.done:
            return helper.result
        if helper.trouble:
            trouble, helper.trouble = helper.trouble, ""
            raise AnswersMissingError(f"The answers could not be worked out ({trouble}). Press to try again.")
        helper.start()
        raise AnswersAwaitedError(f"Working out the answers: {helper.share:.0%} done.")

    def mark(self, prompt: Any, answer: Any, shown: Any = None) -> Any:
        """Mark an answer against the run, told in the order shown; see `log` for what it raises."""
        from glasscan.learning.prompts import mark

        return mark(prompt, answer, self.log(), shown)
