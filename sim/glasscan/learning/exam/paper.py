"""An exam paper as a file in two parts: the questions, and apart from them what the keys are worked out from.

Sealed, a start word opens the questions, and the instructor's private key alone opens the rest. A digest of
the questions ties the two together and to the results. Not sealed, the second part is packed so that no one
reads a key by accident; it hides nothing from someone who means to look.
"""

from __future__ import annotations

import base64
import binascii
import hashlib
import json
import re
import zlib
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, Self, TypeVar

from pydantic import BaseModel, Field, ValidationError, model_validator

from glasscan.content import BadInput
from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes
from glasscan.learning.cases.case_file_kind import is_case_file
from glasscan.learning.exam.readings_table import Readings
from glasscan.learning.prompts import PosedQuestion
from glasscan.learning.record_base import Id, Prose, Record, Text
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.scoring.verdict import PASS_SHARE
from glasscan.learning.seals.instructor_key import PrivateKey, PublicKey, open_box, public_key, seal_to
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.seals.start_word import lock, unlock

LARGEST_BYTES = 20_000_000
"""A paper of fifty scenarios is smaller."""

MOST_MARKS = 1e6
"""Marks of one question in a file at most: what a results file takes (PRACTICE)."""

_INSIDE = re.compile(r"(function-\w+\[|Paper$|str$)")
"""Steps of the reader on the way to a place in a file, which are no keys of it."""

Hex64 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]

StartWord = Callable[[], str]
"""Asked for only where a paper is sealed."""
OpenKey = Callable[[], PrivateKey]
"""The instructor's key, asked for only where a paper is sealed."""

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
    """What the one who sits the exam gets.

    Attributes:
        seed: draws the variant of a rehearsal; of a sealed paper it is a number to tell papers apart.
        clock: whether the time runs on while the paper is not open.
        record_key: keys the chain of a sitting's record.
    """

    paper: Id
    seed: Annotated[int, Field(ge=0, lt=2**31)]
    clock: Literal["runs-on", "stands"] = "runs-on"
    record_key: Hex64
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

    @property
    def digest(self) -> str:
        """SHA-256 of all of it: ties questions, sources and results together."""
        return hashlib.sha256(self.bytes()).hexdigest()

    def bytes(self) -> bytes:
        """All of it in one form."""
        return json.dumps(self.model_dump(mode="json"), sort_keys=True, separators=(",", ":")).encode()


class Sources(Record):
    """What the keys are worked out from; opened only to mark."""

    questions: Paper
    scenarios: tuple[Scenario, ...] = Field(min_length=1)

    @property
    def paper(self) -> str:
        """Id of the paper."""
        return self.questions.paper

    @property
    def limit_s(self) -> float:
        """Time limit, s."""
        return self.questions.limit_s

    @property
    def pass_share(self) -> float:
        """Pass mark, 0..1."""
        return self.questions.pass_share


class PaperFile(Record):
    """The whole file; `instructor` is the public key of a sealed one."""

    exam_paper_format: Literal[2]
    sealed: bool
    digest: Hex64
    instructor: Text | None = None
    questions: Paper | str
    sources: str

    @model_validator(mode="after")
    def _is_one_thing(self) -> Self:
        """A file is sealed in every part or in none: nothing half open passes as sealed."""
        if self.sealed != isinstance(self.questions, str) or self.sealed != (self.instructor is not None):
            raise ValueError("expected every part sealed, or none")
        return self


@dataclass(frozen=True)
class OpenPaper:
    """The questions of a paper, and the instructor to whom its results are sealed, where it is."""

    paper: Paper
    instructor: PublicKey | None


def paper_text(sources: Sources, instructor: PublicKey | None = None, start_word: str = "") -> str:
    """The file to hand out; sealed where there is an instructor's key.

    Raises:
        SealProblem: the start word is too short.
    """
    hidden, paper = zlib.compress(sources.model_dump_json().encode(), 9), sources.questions
    if instructor is None:
        packed = base64.b64encode(hidden).decode("ascii")
        whole = PaperFile(
            exam_paper_format=2, sealed=False, digest=paper.digest, questions=paper, sources=packed
        )
    else:
        whole = PaperFile(
            exam_paper_format=2,
            sealed=True,
            digest=paper.digest,
            instructor=instructor.letters,
            questions=lock(paper.bytes(), start_word, _about(paper.digest, instructor)),
            sources=seal_to(instructor, hidden, "sources", paper.digest),
        )
    return whole.model_dump_json(indent=1) + "\n"


def read_questions(path: Path, start_word: StartWord) -> OpenPaper:
    """Open the questions of a paper, and nothing else of it.

    Raises:
        BadInput: not to be read, no paper, damaged, or another start word.
    """
    whole = _file(path)
    if isinstance(whole.questions, Paper):
        paper, instructor = whole.questions, None
    else:
        instructor = _key(path, whole)
        with _one_line(path):
            data = unlock(whole.questions, start_word(), _about(whole.digest, instructor))
        paper = _record(path, data, Paper)
    if paper.digest != whole.digest:
        raise BadInput([f"{path}: no exam paper, or damaged: its parts are of different papers"])
    return OpenPaper(paper, instructor)


def read_sources(path: Path, key: OpenKey) -> Sources:
    """Open what the keys of a paper are worked out from, and its questions with it.

    Raises:
        BadInput: not to be read, no paper, damaged, or sealed to another instructor.
    """
    whole = _file(path)
    if whole.sealed:
        with _one_line(path):
            packed = open_box(key(), whole.sources, "sources", whole.digest)
    else:
        packed = _letters(path, whole.sources)
    sources = _record(path, _unpacked(path, packed), Sources)
    if sources.questions.digest != whole.digest:
        raise BadInput([f"{path}: no exam paper, or damaged: its parts are of different papers"])
    return sources


def is_sealed(path: Path) -> bool:
    """Whether a paper needs a start word.

    Raises:
        BadInput: not to be read, or no paper.
    """
    return _file(path).sealed


def _about(digest: str, instructor: PublicKey) -> str:
    return "\0".join(("questions", digest, instructor.letters))


def _key(path: Path, whole: PaperFile) -> PublicKey:
    with _one_line(path):
        return public_key(whole.instructor or "")


@contextmanager
def _one_line(path: Path) -> Iterator[None]:
    try:
        yield
    except SealProblem as problem:
        raise BadInput([f"{path}: {problem}"]) from None


def _file(path: Path) -> PaperFile:
    try:
        data = bounded_bytes(path, LARGEST_BYTES)
    except (OSError, ValueError) as error:
        raise BadInput([f"{path}: {getattr(error, 'strerror', None) or error}"]) from None
    if len(data) > LARGEST_BYTES:
        raise BadInput([f"{path}: is larger than any exam paper"])
    if is_case_file(path):
        raise BadInput(
            [f"{path}: is an assessed case: `glasscan case --paper {path.name} --who NICK` plays it"]
        )
    return _record(path, data, PaperFile)


def _record(path: Path, data: bytes, model: type[Model]) -> Model:
    try:
        return model.model_validate_json(data)
    except ValidationError as error:
        fault = error.errors(include_url=False, include_context=False, include_input=False)[0]
        place = dotted(tuple(part for part in fault["loc"] if not _INSIDE.match(str(part))))
        raise BadInput([f"{path}: no exam paper, or damaged: {place}: {fault['msg']}"]) from None


def _letters(path: Path, text: str) -> bytes:
    try:
        return base64.b64decode(text, validate=True)
    except (binascii.Error, ValueError):
        raise BadInput([f"{path}: no exam paper, or damaged: sources"]) from None


def _unpacked(path: Path, packed: bytes) -> bytes:
    try:
        return zlib.decompressobj().decompress(packed, LARGEST_BYTES)
    except zlib.error:
        raise BadInput([f"{path}: no exam paper, or damaged: sources"]) from None
