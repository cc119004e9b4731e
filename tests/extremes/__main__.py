"""Every key of every lesson at both ends of its range: `python -m tests.extremes [--lesson X] [--keys X]`."""

from __future__ import annotations

import argparse
import sys
import time
from collections.abc import Sequence
from dataclasses import dataclass, field

from glasscan.learning.catalogue import scenario_names

from tests.extremes.keys import Try, live, starts
from tests.extremes.ride import REFUSED, Lesson, Told, checked

SLOW_S = 0.1  # a frame that is felt
IN_WINDOW_ONLY = ("lodged_mm",)  # debris on the seat: no line of a lesson


@dataclass
class Row:
    """Counts of one lesson."""

    lesson: str
    tries: int = 0
    refused: int = 0
    slow: list[Told] = field(default_factory=list)
    lost: list[Told] = field(default_factory=list)
    longest: Told | None = None

    def add(self, told: Told) -> None:
        """Count one try."""
        self.tries += 1
        self.refused += told.word == REFUSED
        if told.lost:
            self.lost.append(told)
        if told.frame_s > SLOW_S:
            self.slow.append(told)
        if self.longest is None or told.frame_s > self.longest.frame_s:
            self.longest = told

    def line(self) -> str:
        """As a line of the table."""
        worst = self.longest
        ms = f"{1e3 * worst.frame_s:.0f} ms, `{worst.one}`" if worst else ""
        counts = (self.tries, self.refused, len(self.lost), len(self.slow))
        return f"| {self.lesson} | {' | '.join(map(str, counts))} | {ms} |"


def one_lesson(name: str, parts: Sequence[str] = ("",)) -> Row:
    """All keys of a lesson whose name holds one of some texts."""
    lesson, row = Lesson(name), Row(name)
    for one in [*live(lesson.scenario), *starts(lesson.scenario)]:
        if any(part in str(one) for part in parts):
            told = lesson.start(one) if one.start else agreed(name, lesson.live(one))
            row.add(told)
            if told.lost or told.frame_s > SLOW_S:
                print(f"{name}: {one}: {told.word}, {1e3 * told.frame_s:.0f} ms", file=sys.stderr, flush=True)
    lesson.close()
    return row


def agreed(name: str, told: Told) -> Told:
    """The same, or lost where `check` says otherwise than the running rig."""
    one: Try = told.one
    if told.lost or one.key in IN_WINDOW_ONLY:
        return told
    if told.word == REFUSED and checked(name, one):
        return Told(one, "refused live, admitted by check", told.frame_s)
    return told


def main(words: Sequence[str] | None = None) -> int:
    """Print the table; 1 where anything was lost."""
    ask = argparse.ArgumentParser(prog="python -m tests.extremes", description=__doc__)
    ask.add_argument("--lesson", action="append", help="one lesson; may be given again")
    ask.add_argument("--keys", action="append", help="only keys that hold this text; may be given again")
    told = ask.parse_args(words)
    print("| lesson | tries | refused | lost | frames above 100 ms | longest frame (processor time) |")
    print("|---|---|---|---|---|---|", flush=True)
    lost, begun = 0, time.process_time()
    for name in told.lesson or scenario_names():
        row = one_lesson(name, told.keys or [""])
        lost += len(row.lost)
        print(row.line(), flush=True)
    print(f"{time.process_time() - begun:.0f} s of processor time", file=sys.stderr)
    return 1 if lost else 0


if __name__ == "__main__":
    sys.exit(main())
