"""One recorder of answers: lesson, self-study and paper keep what is answered through it, in the store."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.learning.marking import Result
from glasscan.learning.shuffling import new_salt
from glasscan.learning.store.rows import Answered, Kind, Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.store import Store

LONGEST_S = 1e6
"""Time at one answer that is told at most, s."""


class AnswerRecorder:
    """Keeps the answers of one person at one paper; the sitting begins with the first answer.

    Args:
        store: where they go.
        person: whose.
        kind: lesson, practice or exam.
        paper: id of the lesson or paper.
        seed: of the variant.
        salt: secret of the sitting; a fresh one where none is given.
        sitting: one that is gone on with.
        key: of the chain of its record, where it has one.
    """

    def __init__(
        self,
        store: Store,
        person: int,
        kind: Kind,
        paper: str,
        seed: int = 0,
        salt: str | None = None,
        sitting: Sitting | None = None,
        key: str = "",
    ) -> None:
        self.store, self.person, self.sitting = store, person, sitting
        self._what: tuple[Kind, str, int] = (kind, paper, seed)
        self.salt = sitting.salt if sitting else new_salt() if salt is None else salt
        self._key = key

    def keep(
        self,
        prompt: str,
        given: str,
        confidence: int | None = None,
        spent_s: float = 0.0,
        left_s: float | None = None,
    ) -> int:
        """Store an answer; when this returns it is on the disk. Returns its number in the store.

        Raises:
            StoreProblem: the disk refuses it.
        """
        if self.sitting is None:
            kind, paper, seed = self._what
            self.sitting = self.store.begin(self.person, kind, paper, seed, salt=self.salt)
        spent = min(max(spent_s, 0.0), LONGEST_S)
        return self.store.answer(
            self.sitting, StoredAnswer(prompt, given, confidence, spent, left_s), self._key
        )

    def mark(self, number: int, result: Result, codes: Sequence[str]) -> None:
        """Store the mark of a kept answer."""
        marked = StoredMarks(
            result.share, result.out_of, result.key, result.reason, result.slip, tuple(codes)
        )
        self.store.mark(number, marked)

    def answers(self) -> list[Answered]:
        """What was kept so far, the last answer to each question."""
        return self.store.answers(self.sitting) if self.sitting else []

    def close(self) -> None:
        """End the sitting."""
        if self.sitting is not None:
            self.store.end(self.sitting, self._key)


def gone_on_with(store: Store, person: int, kind: Kind, paper: str) -> Sitting | None:
    """The newest sitting of a person at a paper that is not over, or None."""
    mine = [s for s in store.unfinished(person) if (s.kind, s.paper) == (kind, paper)]
    return mine[0] if mine else None
