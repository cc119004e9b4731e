"""The last act of a case: the repair that was decided, and the operational check after it on the same rig."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.faults.fault_data import parts_of
from glasscan.learning.cases.case_play import CANNOT_TELL, Case
from glasscan.learning.cases.case_words import PLAIN, result_lines
from glasscan.learning.cases.generate import after_repair
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.test_menu import MeasuredReading, menu


@dataclass(frozen=True)
class RepairCheck:
    """What the repair came to.

    Attributes:
        mended: codes of the faults that were mended.
        action, log: what the person wrote, or "".
        readings: what the flight line would note now.
        lines: the same in words, beside the sound rig.
        cured: every reading is as on the sound rig.
    """

    mended: tuple[str, ...]
    action: str
    log: str
    readings: Result
    lines: tuple[str, ...]
    cured: bool

    @property
    def words(self) -> tuple[str, ...]:
        """What is told, one sentence each."""
        said = [f"Your action: {self.action}"] if self.action else ["No action was written."]
        said += [f"Your log entry: {self.log}"] if self.log else ["No log entry was written."]
        if not self.mended:
            return (*said, "Nothing was repaired: the aircraft stays on the ground until somebody can tell.")
        done = f"Repaired: {' and '.join(f.title for code in self.mended for f in parts_of(code))}."
        if self.cured:
            return (*said, done, "Operational check, cold, hot idle and cruise: every reading is normal.")
        return (*said, done, "Operational check: the complaint is still there. The fault is another one.")


def repair_check(case: Case) -> RepairCheck | None:
    """Repair what the verdict named and run the check; None where the case was stopped before a verdict.

    Readings are those of the rig itself, without reading errors; leaks, gauges and the dipstick among them.
    """
    if case.verdict is None:
        return None
    mended = () if case.verdict == CANNOT_TELL else tuple(case.verdict.split("+"))
    values, sound = after_repair(case.hidden, mended), case.baseline
    reads = menu().complaint
    readings = tuple(values[r.what] for r in reads)
    cured = bool(mended) and all(_normal(r, values[r.what], sound[r.what]) for r in reads)
    left = {f.fault for f, _ in case.hidden.ill} - set(mended)
    texts = {
        what: next((e.words[0] for e in case.entries if e.what == what), "") for what in ("action", "log")
    }
    return RepairCheck(
        mended, texts["action"], texts["log"], readings, tuple(result_lines(reads, readings, sound)),
        cured and not left,
    )  # fmt: skip


def _normal(reading: MeasuredReading, value: float, sound: float) -> bool:
    """Whether a reading is no farther from the sound rig's than a pilot would let pass."""
    wide = 0.4 / PLAIN if reading.scale == "yes-no" else reading.deviation(1.0)
    return abs(reading.place(value) - reading.place(sound)) <= PLAIN * wide
