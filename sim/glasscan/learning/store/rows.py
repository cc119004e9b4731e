"""Rows of the store as records."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Kind = Literal["lesson", "practice", "exam"]


@dataclass(frozen=True)
class Sitting:
    """One person at one paper.

    Attributes:
        id: in this store.
        uid: the same on every computer.
        person: id of the person.
        kind: lesson, practice or exam.
        paper: id of the scenario or paper.
        seed: of the variant; with the paper it gives the questions again.
        left_s: time left when last stored, s; None without a limit. It does not follow the clock.
        ended: whether it was handed in.
        salt: secret that decides the order of all that is listed.
        digest: of the paper, "" where there is none.
    """

    id: int
    uid: str
    person: int
    kind: Kind
    paper: str
    seed: int
    left_s: float | None
    ended: bool
    salt: str = ""
    digest: str = ""


@dataclass(frozen=True)
class StoredAnswer:
    """An answer to store.

    Attributes:
        prompt: id of the prompt.
        given: the answer as text (JSON where it is more than a word or number).
        confidence: 1..3, or None where it was not asked.
        spent_s: time spent on it, s.
        left_s: time left of the sitting, s, or None.
    """

    prompt: str
    given: str
    confidence: int | None = None
    spent_s: float = 0.0
    left_s: float | None = None


@dataclass(frozen=True)
class StoredMarks:
    """A mark to store; the key is first written here.

    Attributes:
        share: of the full marks, 0..1.
        out_of: full marks.
        key: right answer, as text.
        reason: why.
        slip: name of a recognised slip, or None.
        codes: syllabus codes of the prompt.
    """

    share: float
    out_of: float
    key: str
    reason: str = ""
    slip: str | None = None
    codes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Answered:
    """A stored answer with its mark, if it has one."""

    id: int
    given: StoredAnswer
    mark: StoredMarks | None
