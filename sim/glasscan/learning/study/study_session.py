"""One self-study session: ask, keep, mark, set the next review."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from glasscan.learning.answer_recorder import AnswerRecorder
from glasscan.learning.exam.answer_codec import as_answer, read_line
from glasscan.learning.exam.paper_making import Run, question_id
from glasscan.learning.exam.paper_marking import Keyed, codes_of, key_of
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_schema import Prompt
from glasscan.learning.prompts import PosedQuestion, asked, mark, needs_run
from glasscan.learning.review import memory
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.store.review_cards import review
from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store

PAPER = "self-study"
"""Name of the paper of every session."""

Load = Callable[[str, int], Scenario]
"""A lesson by its id, as the seed asks it."""


@dataclass(frozen=True)
class Item:
    """One question of a session."""

    lesson: str
    prompt: Prompt

    @property
    def name(self) -> str:
        """SCENARIO/PROMPT."""
        return f"{self.lesson}/{self.prompt.id}"


class KeptAnswer(NamedTuple):
    """A stored answer: its number in the store, and the text."""

    number: int
    given: str


class StudySession:
    """Keeps one session; a window or a terminal asks.

    Args:
        store: where answers go.
        person: whose session.
        seed: of the variants of the lessons.
        load: gives a lesson.
        run: runs it.
        today: day of the reviews.
    """

    def __init__(self, store: Store, person: int, seed: int, load: Load, run: Run, today: date) -> None:
        self.store, self.person, self.seed, self.today = store, person, seed, today
        self._load, self._run = load, run
        self._lessons: dict[str, Scenario] = {}
        self._logs: dict[str, MarkingLog] = {}
        self.recorder = AnswerRecorder(store, person, "practice", PAPER, seed)
        self.salt = self.recorder.salt

    def lesson(self, name: str) -> Scenario:
        """A lesson as this session asks it."""
        if name not in self._lessons:
            self._lessons[name] = self._load(name, self.seed)
        return self._lessons[name]

    def log(self, name: str) -> MarkingLog:
        """Its run, worked out once."""
        if name not in self._logs:
            self._logs[name] = self._run(self.lesson(name))
        return self._logs[name]

    def items(self, names: Iterable[str]) -> list[Item]:
        """Questions by name, those of one lesson together in the order of its file."""
        wanted = list(names)
        lessons = dict.fromkeys(name.partition("/")[0] for name in wanted)
        found = []
        for name in lessons:
            found += [Item(name, p) for p in self.lesson(name).prompts if f"{name}/{p.id}" in wanted]
        return found

    def before_run(self, item: Item) -> bool:
        """Whether a question is asked before the run is shown."""
        return not needs_run(item.prompt) and self.asked(item).when == "before"

    def asked(self, item: Item) -> PosedQuestion:
        """A question as it is put."""
        log = self.log(item.lesson) if needs_run(item.prompt) else None
        shown = asked(item.prompt, self.lesson(item.lesson), log, self.salt)
        return replace(shown, id=question_id(self.lesson(item.lesson), shown.id))

    def readable(self, item: Item, line: str) -> str:
        """A typed line as it would be stored.

        Raises:
            ValueError: it is no answer to this question.
        """
        return read_line(self.asked(item), line)

    def keep(self, item: Item, line: str, confidence: int | None, spent_s: float) -> KeptAnswer:
        """Store a typed answer; when this returns it is on the disk.

        Raises:
            ValueError: it is no answer to this question.
            StoreProblem: the disk refuses it.
        """
        given = self.readable(item, line)
        return KeptAnswer(self.recorder.keep(item.name, given, confidence, spent_s), given)

    def mark(self, item: Item, kept: KeptAnswer, confidence: int | None) -> Result:
        """Mark a kept answer against the run, and set the day of its next review."""
        lesson = self.lesson(item.lesson)
        shown = self.asked(item)
        result = mark(item.prompt, as_answer(shown, kept.given), self.log(item.lesson), shown)
        self.recorder.mark(kept.number, result, codes_of(lesson, item.prompt))
        grade = memory.grade_of(result.share, confidence)
        review(self.store, self.person, item.name, lesson.filter, grade, self.today)
        return result

    def key(self, item: Item) -> str:
        """The right answer in words, to compare with what was said aloud."""
        lesson, log = self.lesson(item.lesson), self.log(item.lesson)
        shown = asked(item.prompt, lesson, log, self.salt)
        return key_of(Keyed(lesson, item.prompt, shown, log))

    def grade(self, item: Item, grade: int) -> None:
        """Set the day of the next review from a grade 1..4 that the learner gave an answer said aloud.

        It is no mark: weak codes and calibration do not see it.
        """
        review(self.store, self.person, item.name, self.lesson(item.lesson).filter, grade, self.today)

    def close(self) -> None:
        """End the session."""
        self.recorder.close()


def left_over(store: Store, person: int) -> Sequence[Sitting]:
    """Sessions that were cut off."""
    return [s for s in store.unfinished(person) if s.kind == "practice" and s.paper == PAPER]


def settle(store: Store, sitting: Sitting, desk: StudySession, known: Callable[[str], bool]) -> int:
    """Mark what a session that was cut off had kept but not marked, and end it.

    Args:
        store: where it is.
        sitting: the session.
        desk: with the seed of that session.
        known: whether a question still exists.

    Returns:
        Answers marked now.
    """
    rest = [a for a in store.answers(sitting) if a.mark is None and known(a.given.prompt)]
    for one in rest:
        for item in desk.items([one.given.prompt]):
            desk.mark(item, KeptAnswer(one.id, one.given.given), one.given.confidence)
    store.end(sitting)
    return len(rest)
