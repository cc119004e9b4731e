"""Sit a paper: answers on the disk before they are acknowledged, and a clock that survives a crash."""

from __future__ import annotations

from collections.abc import Callable

from glasscan.learning.answer_recorder import AnswerRecorder
from glasscan.learning.exam.answer_codec import read_line
from glasscan.learning.exam.paper import Paper, PaperQuestion
from glasscan.learning.question import in_order_of
from glasscan.learning.store.rows import Sitting
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem
from glasscan.learning.store.two_clocks import DISAGREE_S, Moment, gap, moment, ticks_s

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

    def __init__(self, store: Store, paper: Paper, sitting: Sitting, clock: Clock = ticks_s) -> None:
        self.store, self.sitting, self.clock = store, sitting, clock
        self._key = paper.record_key
        self._recorder = AnswerRecorder(
            store, sitting.person, "exam", paper.paper, paper.seed, sitting=sitting, key=self._key
        )
        self.paper = self._ordered(paper)
        left_s = paper.limit_s if sitting.left_s is None else sitting.left_s
        self._left_s = min(left_s, paper.limit_s) - self._open()
        self._seen = clock()
        self._unnoted_s = 0.0
        self._answers = {a.given.prompt: a.given.given for a in store.answers(sitting)}
        store.tick(sitting, max(0.0, self._left_s), self._key)

    def _ordered(self, paper: Paper) -> Paper:
        """The paper as this sitting lists it."""
        return in_order_of_sitting(paper, self.sitting)

    def _open(self) -> float:
        """Note that it is opened and whether its record was changed; the time that counts as used, s."""
        if self._is_new():
            self.store.note(self.sitting, "opened", key=self._key)
            return 0.0
        altered = not self.store.is_as_left(self.sitting, self._key)
        passed = gap(self._last_seen(), moment())
        if altered:
            self.store.note(self.sitting, "altered", key=self._key)
        if passed.was_set:
            self.store.note(self.sitting, "clock-set", passed, self._key)
        self.store.note(self.sitting, "opened", passed, self._key)
        return passed.seconds if self.paper.clock == "runs-on" else 0.0

    def _is_new(self) -> bool:
        """Nothing of it was ever used: no record, the whole time left, and begun just now."""
        row = self.store.rows("SELECT head, begun_utc FROM sittings WHERE id = ?", self.sitting.id)[0]
        used = self.store.answers(self.sitting) or self.sitting.left_s != self.paper.limit_s
        since = gap(Moment(row["begun_utc"], 0.0, ""), moment())
        return not row["head"] and not used and since.seconds < DISAGREE_S and not since.was_set

    def _last_seen(self) -> Moment:
        query = "SELECT seen_utc, seen_ticks, seen_boot FROM sittings WHERE id = ?"
        row = self.store.rows(query, self.sitting.id)[0]
        return Moment(row["seen_utc"], row["seen_ticks"], row["seen_boot"])

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
            self.store.tick(self.sitting, left_s, self._key)

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
        self._recorder.keep(question.asked.id, stored, spent_s=spent_s, left_s=left_s)
        self._unnoted_s = 0.0
        self._answers[question.asked.id] = stored
        return stored

    def hand_in(self) -> Sitting:
        """End the sitting; nothing can be added afterwards."""
        self.store.tick(self.sitting, self.left_s, self._key)
        self.store.end(self.sitting, self._key)
        return self.store.sitting(self.sitting.id)

    def leave(self) -> None:
        """Note that it is left for now."""
        self.store.tick(self.sitting, self.left_s, self._key)
        self.store.note(self.sitting, "left", key=self._key)


def in_order_of_sitting(paper: Paper, sitting: Sitting) -> Paper:
    """The paper with the lines of every question as this sitting lists them."""
    questions = tuple(
        q.model_copy(update={"asked": in_order_of(sitting.salt, q.asked.id, q.asked)})
        for q in paper.questions
    )
    return paper.model_copy(update={"questions": questions})


def handed_in(store: Store, person: int, paper: Paper) -> Sitting | None:
    """The sitting of this paper that a person handed in, or None."""
    mine = [s for s in store.handed_in(paper.paper) if s.person == person and _same(s, paper)]
    return mine[0] if mine else None


def under_way(store: Store, person: int, paper: Paper) -> list[Sitting]:
    """Unfinished sittings of this paper, the newest first."""
    return [s for s in store.unfinished(person) if s.paper == paper.paper and _same(s, paper)]


def begin(store: Store, person: int, paper: Paper, clock: Clock = ticks_s) -> ExamSitting:
    """Go on with an unfinished sitting of this variant, or begin one.

    Raises:
        StoreProblem: the store cannot be written.
    """
    unfinished = under_way(store, person, paper)
    if unfinished:
        sitting = unfinished[0]
        _belongs(store, sitting, paper)
    else:
        sitting = store.begin(person, "exam", paper.paper, paper.seed, paper.limit_s, digest=paper.digest)
    return ExamSitting(store, paper, sitting, clock)


def _same(sitting: Sitting, paper: Paper) -> bool:
    return sitting.kind == "exam" and sitting.digest == paper.digest


def _belongs(store: Store, sitting: Sitting, paper: Paper) -> None:
    known = {q.asked.id for q in paper.questions}
    strange = [a.given.prompt for a in store.answers(sitting) if a.given.prompt not in known]
    if strange:
        raise StoreProblem(
            f"{paper.paper}: an unfinished sitting answers '{strange[0]}', which this paper does not ask"
        )
