"""An assessed case under way: every line that was taken is kept before it is answered, marks come later."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, cast

from glasscan.learning.cases.case_play import Case, RefusedError
from glasscan.learning.cases.generate import Hidden
from glasscan.learning.cases.sealed_case import CaseSheet
from glasscan.learning.cases.text_table import Table
from glasscan.learning.exam.exam_sitting import ExamSitting, TimeIsUp, under_way

if TYPE_CHECKING:
    from glasscan.learning.exam.paper import Paper
    from glasscan.learning.store.store import Store

STEP = "step-"
LONGEST_LINE = 600  # characters of a line that is kept
MOST_STEPS = 999
MOVES = ("think", "start", "stop", "release", "test", "action", "log", "verdict")
"""Commands that change the case; only these are kept."""
NO_HELP = "an assessed case gives no help"
OVER = "The case is over; your instructor marks it."


def as_paper(sheet: CaseSheet) -> Paper:
    """A sheet where a paper is expected for its name, digest, time limit and key of the record."""
    return cast("Paper", sheet)


@dataclass
class AssessedCase(Case):
    """A case that is played from a sheet: what is wrong is not on this computer."""

    sheet: CaseSheet = field(kw_only=True)

    @property
    def hidden(self) -> Hidden:
        """What the play needs of the hidden part: the sheet, which names no fault."""
        return cast("Hidden", self.sheet)

    @classmethod
    def of(cls, sheet: CaseSheet) -> AssessedCase:
        """A case of a sheet, from its beginning."""
        return cls(sheet.seed, sheet.kind, sheet.level, "", "", sheet=sheet)

    def helped(self, word: str) -> float:
        """Help is refused, as in an exam.

        Raises:
            RefusedError: always.
        """
        del word
        raise RefusedError(NO_HELP)


class AssessedTable(Table):
    """The table of an assessed case: no help, no marks, no saving under another name."""

    def say(self, line: str) -> list[str]:
        """Do what a line asks, unless it asks for help."""
        word = line.strip().partition(" ")[0]
        if word in ("hint", "alike"):
            return [NO_HELP]
        if word == "save":
            return ["every line is kept by itself; the same command goes on"]
        return super().say(line)

    def _ended(self) -> list[str]:
        stopped = [f"The case stops here: {text}." for text in self.case.unsafe]
        return [*stopped, OVER] if self.case.ended else []


def play_lines(table: Table, answers: Mapping[str, str]) -> None:
    """Play what was kept, line by line; a line that was refused is refused again."""
    for prompt in sorted(answers):
        table.say(answers[prompt])


class CaseSitting(ExamSitting):
    """One person at one assessed case: the clock, the chained record and the breaks of an exam."""

    def __init__(self, store: Store, sheet: CaseSheet, person: int) -> None:
        paper = as_paper(sheet)
        mine = under_way(store, person, paper)
        sitting = mine[0] if mine else store.begin(
            person, "exam", sheet.paper, sheet.seed, sheet.limit_s, digest=sheet.digest
        )  # fmt: skip
        super().__init__(store, paper, sitting)
        self.table = AssessedTable(AssessedCase.of(sheet))
        play_lines(self.table, self._answers)

    def _ordered(self, paper: Paper) -> Paper:
        """Nothing is listed that a sitting would mix up."""
        return paper

    def say(self, line: str, spent_s: float) -> list[str]:
        """Do what a line asks; what changes the case is on the disk before it is answered.

        Raises:
            TimeIsUp: too late; the line was not taken.
            StoreProblem: the disk refuses it.
        """
        line = line.strip()[:LONGEST_LINE]
        if line.partition(" ")[0] not in MOVES:
            return self.table.say(line)
        if len(self._answers) >= MOST_STEPS:
            return ["no more lines are taken; verdict and log stand as they are"]
        left_s = self.left_s
        if left_s <= 0.0:
            raise TimeIsUp
        prompt = f"{STEP}{len(self._answers) + 1:03d}"
        self._recorder.keep(prompt, line, spent_s=spent_s, left_s=left_s)
        self._answers[prompt] = line
        return self.table.say(line)
