"""An exam paper as a file in two parts: the questions, and apart from them what the keys are worked out from.

Whoever sits the paper opens the first part only. Sealed, both parts are encrypted, each on its own. Not
sealed, the second part is packed so that no one reads a key by accident; it hides nothing from someone who
means to look.
"""

from __future__ import annotations

import base64
import binascii
import re
import zlib
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, Self, TypeVar

from pydantic import BaseModel, Field, ValidationError, model_validator

from glasscan.content import BadInput
from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes
from glasscan.learning.exam.readings_table import Readings
from glasscan.learning.prompts import PosedQuestion
from glasscan.learning.record_base import Id, Number, Prose, Record, Text
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.verdict import PASS_SHARE
from glasscan.learning.sealing import ResultsKey, SealProblem, open_paper, seal

LARGEST_BYTES = 20_000_000
"""A paper of fifty scenarios is smaller."""

MOST_MARKS = 1e6
"""Marks of one question in a file at most: what a results file takes (PRACTICE)."""

_INSIDE = re.compile(r"(function-\w+\[|Paper$|str$)")
"""Steps of the reader on the way to a place in a file, which are no keys of it."""

PassPhrase = Callable[[], str]
"""Asked for only where a paper is sealed."""

Model = TypeVar("Model", bound=BaseModel)


class PaperSection(Record):
    """One scenario as it is told in the exam."""

    scenario: Id
    title: Text
    about: Prose
    safety: Prose = ""
    readings: Readings


class PaperQuestion(Record):
    """One question, without its key; the id of `asked` is SCENARIO/PROMPT."""

    section: Id
    asked: PosedQuestion


class Paper(Record):
    """What the one who sits the exam gets."""

    paper: Id
    seed: Annotated[int, Field(ge=0, lt=2**31)]
    limit_s: Annotated[float, Field(gt=0, le=86400)]
    pass_share: Annotated[float, Field(gt=0, le=1)] = PASS_SHARE
    sections: tuple[PaperSection, ...] = Field(min_length=1)
    questions: tuple[PaperQuestion, ...] = Field(min_length=1, max_length=500)

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        """Refuse what could only fail in the middle of an exam."""
        names = [q.asked.id for q in self.questions]
        if len(set(names)) < len(names):
            raise ValueError("expected each question once")
        strange = {q.section for q in self.questions} - {s.scenario for s in self.sections}
        if strange:
            raise ValueError(f"a question is of the section '{min(strange)}', which is not in the paper")
        if not all(0 < q.asked.marks <= MOST_MARKS for q in self.questions):
            raise ValueError(f"expected marks above 0 and at most {MOST_MARKS:g} for each question")
        return self

    @property
    def marks(self) -> float:
        """Full marks."""
        return sum(q.asked.marks for q in self.questions)


class Sources(Record):
    """What the keys are worked out from; opened only to mark."""

    paper: Id
    seed: int
    limit_s: Number
    marks: Number
    pass_share: float
    scenarios: tuple[Scenario, ...] = Field(min_length=1)


class PaperFile(Record):
    """The whole file."""

    exam_paper_format: Literal[1]
    sealed: bool
    questions: Paper | str
    sources: str


@dataclass(frozen=True)
class OpenPaper:
    """The questions of a paper, and the key for the digest of its results where it was sealed."""

    paper: Paper
    key: ResultsKey | None


def paper_text(paper: Paper, sources: Sources, passphrase: str | None = None) -> str:
    """The file to hand out.

    Raises:
        SealProblem: the pass-phrase is too short, or the library for sealing is missing.
    """
    hidden = sources.model_dump_json().encode()
    if passphrase is None:
        packed = base64.b64encode(zlib.compress(hidden, 9)).decode("ascii")
        whole = PaperFile(exam_paper_format=1, sealed=False, questions=paper, sources=packed)
    else:
        shown = seal(paper.model_dump_json().encode(), passphrase)
        closed = seal(hidden, passphrase)
        whole = PaperFile(exam_paper_format=1, sealed=True, questions=shown, sources=closed)
    return whole.model_dump_json(indent=1) + "\n"


def read_questions(path: Path, passphrase: PassPhrase) -> OpenPaper:
    """Open the questions of a paper, and nothing else of it.

    Raises:
        BadInput: not to be read, no paper, damaged, or another pass-phrase.
    """
    whole = _file(path)
    if isinstance(whole.questions, Paper):
        return OpenPaper(whole.questions, None)
    data, key = _opened(path, whole.questions, passphrase())
    return OpenPaper(_record(path, data, Paper), key)


def read_sources(path: Path, passphrase: PassPhrase) -> Sources:
    """Open what the keys of a paper are worked out from.

    Raises:
        BadInput: as `read_questions`.
    """
    whole = _file(path)
    data = _opened(path, whole.sources, passphrase())[0] if whole.sealed else _unpacked(path, whole.sources)
    return _record(path, data, Sources)


def is_sealed(path: Path) -> bool:
    """Whether a paper needs a pass-phrase.

    Raises:
        BadInput: not to be read, or no paper.
    """
    return _file(path).sealed


def _file(path: Path) -> PaperFile:
    try:
        data = bounded_bytes(path, LARGEST_BYTES)
    except (OSError, ValueError) as error:
        raise BadInput([f"{path}: {getattr(error, 'strerror', None) or error}"]) from None
    if len(data) > LARGEST_BYTES:
        raise BadInput([f"{path}: is larger than any exam paper"])
    return _record(path, data, PaperFile)


def _record(path: Path, data: bytes, model: type[Model]) -> Model:
    try:
        return model.model_validate_json(data)
    except ValidationError as error:
        fault = error.errors(include_url=False, include_context=False, include_input=False)[0]
        place = dotted(tuple(part for part in fault["loc"] if not _INSIDE.match(str(part))))
        raise BadInput([f"{path}: no exam paper, or damaged: {place}: {fault['msg']}"]) from None


def _opened(path: Path, closed: str, passphrase: str) -> tuple[bytes, ResultsKey]:
    try:
        return open_paper(closed, passphrase)
    except SealProblem as problem:
        raise BadInput([f"{path}: {problem}"]) from None


def _unpacked(path: Path, packed: str) -> bytes:
    try:
        return zlib.decompressobj().decompress(base64.b64decode(packed, validate=True), LARGEST_BYTES)
    except (zlib.error, binascii.Error, ValueError):
        raise BadInput([f"{path}: no exam paper, or damaged: sources"]) from None
