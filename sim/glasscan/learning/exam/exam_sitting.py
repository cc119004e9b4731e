"""Sit a paper: answers on the disk before they are acknowledged, and a clock that survives a crash."""

from __future__ import annotations

import time
from collections.abc import Callable

from glasscan.learning.exam.answer_codec import read_line
from glasscan.learning.exam.paper import Paper, PaperQuestion
from glasscan.learning.question import in_order_of
from glasscan.learning.store.rows import Sitting, StoredAnswer
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

TICK_S = 2.0
"""Time between two notes of the time left: a crash gives back no more than this (PRACTICE)."""

Clock = Callable[[], float]
"""Seconds that never run backwards."""


class TimeIsUp(Exception):
    """The answer came after the end; it is not stored."""


class ExamSitting:
    """One person at one paper; a window or a terminal asks, this keeps.

    Args:
        store: where answers go.
        paper: the questions.
        sitting: new, or begun before and not handed in.
        clock: only its steps forward count.
    """

    def __init__(self, store: Store, paper: Paper, sitting: Sitting, clock: Clock = time.monotonic) -> None:
        self.store, self.sitting, self.clock = store, sitting, clock
        self.paper = in_order_of_sitting(paper, sitting)
        left_s = paper.limit_s if sitting.left_s is None else sitting.left_s
        self._left_s = min(left_s, paper.limit_s)
        self._seen = clock()
        self._unnoted_s = 0.0
        self._answers = {a.given.prompt: a.given.given for a in store.answers(sitting)}

    @property
    def left_s(self) -> float:
        """Time left, s; 0 when it is up. A clock that is set back gives none back."""
        now = self.clock()
        passed_s, self._seen = max(0.0, now - self._seen), now
        self._left_s = max(0.0, self._left_s - passed_s)
        self._unnoted_s += passed_s
        return self._left_s

    @property
    def answers(self) -> dict[str, str]:
        """The last stored answer to each question."""
        return dict(self._answers)

    @property
    def open_questions(self) -> list[PaperQuestion]:
        """Questions without an answer, in order."""
        return [q for q in self.paper.questions if q.asked.id not in self._answers]

    def tick(self) -> None:
        """Note the time left; call it often, it writes every two seconds."""
        left_s = self.left_s
        if self._unnoted_s >= TICK_S:
            self._unnoted_s = 0.0
            self.store.tick(self.sitting, left_s)

    def give(self, question: PaperQuestion, line: str, spent_s: float) -> str:
        """Store a typed answer; when this returns it is on the disk.

        Returns:
            The answer as stored.

        Raises:
            ValueError: it is no answer to this question.
            TimeIsUp: too late.
            StoreProblem: the disk refuses it.
        """
        stored = read_line(question.asked, line)
        left_s = self.left_s
        if left_s <= 0.0:
            raise TimeIsUp
        self.store.answer(
            self.sitting,
            StoredAnswer(question.asked.id, stored, spent_s=min(max(spent_s, 0.0), 1e6), left_s=left_s),
        )
        self._unnoted_s = 0.0
        self._answers[question.asked.id] = stored
        return stored

    def hand_in(self) -> Sitting:
        """End the sitting; nothing can be added afterwards."""
        self.store.tick(self.sitting, self.left_s)
        self.store.end(self.sitting)
        return self.store.sitting(self.sitting.id)


def in_order_of_sitting(paper: Paper, sitting: Sitting) -> Paper:
    """The paper with the lines of every question as this sitting lists them."""
    questions = tuple(
        q.model_copy(update={"asked": in_order_of(sitting.salt, q.asked.id, q.asked)})
        for q in paper.questions
    )
    return paper.model_copy(update={"questions": questions})


def handed_in(store: Store, person: int, paper: Paper) -> Sitting | None:
    """The last sitting of this variant that a person handed in, or None."""
    mine = [s for s in store.handed_in(paper.paper) if s.person == person and _same(s, paper)]
    return mine[-1] if mine else None


def begin(store: Store, person: int, paper: Paper, clock: Clock = time.monotonic) -> ExamSitting:
    """Go on with an unfinished sitting of this variant, or begin one.

    Raises:
        StoreProblem: the store cannot be written.
    """
    unfinished = [s for s in store.unfinished(person) if s.paper == paper.paper and _same(s, paper)]
    if unfinished:
        sitting = unfinished[0]
        _belongs(store, sitting, paper)
    else:
        sitting = store.begin(person, "exam", paper.paper, paper.seed, paper.limit_s)
    return ExamSitting(store, paper, sitting, clock)


def _same(sitting: Sitting, paper: Paper) -> bool:
    return sitting.kind == "exam" and sitting.seed == paper.seed


def _belongs(store: Store, sitting: Sitting, paper: Paper) -> None:
    known = {q.asked.id for q in paper.questions}
    strange = [a.given.prompt for a in store.answers(sitting) if a.given.prompt not in known]
    if strange:
        raise StoreProblem(
            f"{paper.paper}: an unfinished sitting answers '{strange[0]}', which this paper does not ask"
        )
