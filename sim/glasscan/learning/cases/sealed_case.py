"""An assessed case as a sealed file: what the one who plays it needs, and apart from it what is wrong.

A start word opens the sheet: complaint, and the reading of every test. What is wrong, and the secret of 128
bits that drew it, is sealed to the instructor. No number that `--seed` takes draws the same case.
"""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import Annotated, Literal, TypeVar

from pydantic import BaseModel, Field, ValidationError

from glasscan.content import BadInput
from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes
from glasscan.learning.cases.atlas import Say
from glasscan.learning.cases.case_file_kind import LARGEST_BYTES
from glasscan.learning.cases.generate import Hidden, generate, may_run
from glasscan.learning.cases.likelihood import Result
from glasscan.learning.cases.test_menu import Test, tests_for
from glasscan.learning.record_base import Id, Record
from glasscan.learning.seals.instructor_key import PrivateKey, PublicKey, open_box, public_key, seal_to
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.seals.start_word import lock, unlock

SECRET_BITS = 128
BLOCK_BYTES = 8192  # a sheet and its secret take less than half of it
ROLE = "case"
Kind = Literal["can", "cartridge", "disc"]
Level = Literal[2, 3]
"""The first level shows a short list with the fault in it, and help: it is for practice."""
Hex64 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
Reading = Annotated[tuple[float, ...], Field(max_length=20)]
Model = TypeVar("Model", bound=BaseModel)
OpenKey = Callable[[], PrivateKey]


class Readings(Record):
    """What one test reads: on the filter as it is, and with a new filter and seal."""

    found: Reading
    renewed: Reading


class CaseSheet(Record):
    """All that playing a case needs; the fault is not named in it.

    Attributes:
        paper: name of the case; `limit_s`, `clock`, `record_key` are those of an exam paper.
        seed: a number to tell cases apart; it draws nothing.
        complaint: what the flight line noted.
        tests: readings by word of the test.
    """

    paper: Id
    seed: Annotated[int, Field(ge=0, lt=2**31)]
    clock: Literal["runs-on", "stands"] = "runs-on"
    record_key: Hex64
    limit_s: Annotated[float, Field(gt=0, le=86400)]
    kind: Kind
    level: Level
    layout: Literal["before", "after"]
    complaint: Reading
    tests: Mapping[Id, Readings]

    @property
    def runnable(self) -> bool:
        """Whether the rig may be run for a test."""
        return may_run(self.complaint)

    def result(self, test: Test, level: int, new_filter: bool = False) -> Result:
        """Result of a test, as it was drawn when the case was made."""
        assert level == self.level
        read = self.tests[test.test]
        return read.renewed if new_filter else read.found

    @property
    def digest(self) -> str:
        """SHA-256 of all of it: ties sheet, secret and results together."""
        return hashlib.sha256(self.bytes()).hexdigest()

    def bytes(self) -> bytes:
        """All of it in one form."""
        return json.dumps(self.model_dump(mode="json"), sort_keys=True, separators=(",", ":")).encode()


class CaseSecret(Record):
    """What marks the case: its sheet, and the secret that draws its fault again."""

    sheet: CaseSheet
    secret: Annotated[str, Field(pattern=r"^[0-9a-f]{32}$")]
    code: str

    @cached_property
    def number(self) -> int:
        """The secret as the number that draws."""
        return int(self.secret, 16)

    @property
    def hidden(self) -> Hidden:
        """What is wrong, drawn again.

        Raises:
            BadInput: this version of the program draws another case.
        """
        hidden = generate(self.number, self.sheet.kind, level=self.sheet.level)
        if hidden.code != self.code:
            raise BadInput([f"{self.sheet.paper}: made by another version, which drew another fault"])
        return hidden


class CaseFile(Record):
    """The whole file."""

    sealed_case_format: Literal[2]
    digest: Hex64
    instructor: str
    sheet: str
    secret: str


@dataclass(frozen=True)
class OpenCase:
    """The sheet of a case, and the instructor to whom its results are sealed."""

    sheet: CaseSheet
    instructor: PublicKey


def make_case(name: str, kind: Kind, level: Level, minutes: float, say: Say | None = None) -> CaseSecret:
    """Draw an assessed case by a fresh secret."""
    secret = secrets.randbits(SECRET_BITS) | 1 << (SECRET_BITS - 1)  # never a number that --seed takes
    hidden = generate(secret, kind, say, level)
    tests = {t.test: _readings(hidden, t, level) for t in tests_for(kind)}
    sheet = CaseSheet(
        paper=name,
        seed=secrets.randbelow(2**31),
        record_key=secrets.token_hex(32),
        limit_s=60.0 * minutes,
        kind=kind,
        level=level,
        layout=hidden.layout,
        complaint=hidden.complaint,
        tests=tests,
    )
    return CaseSecret(sheet=sheet, secret=f"{secret:032x}", code=hidden.code)


def _readings(hidden: Hidden, test: Test, level: int) -> Readings:
    return Readings(found=hidden.result(test, level), renewed=hidden.result(test, level, True))


def case_text(case: CaseSecret, instructor: PublicKey, start_word: str) -> str:
    """The file to hand out."""
    sheet, digest = case.sheet, case.sheet.digest
    whole = CaseFile(
        sealed_case_format=2,
        digest=digest,
        instructor=instructor.letters,
        sheet=lock(sheet.bytes(), start_word, _about(digest, instructor)),
        secret=seal_to(instructor, _padded(case.model_dump_json().encode()), ROLE, digest),
    )
    return whole.model_dump_json(indent=1) + "\n"


def _padded(data: bytes) -> bytes:
    """Spaces to a round length: the length of a box must not tell one fault from two."""
    return data.ljust(-(-len(data) // BLOCK_BYTES) * BLOCK_BYTES)


def read_sheet(path: Path, start_word: Callable[[], str]) -> OpenCase:
    """Open what the one who plays needs.

    Raises:
        BadInput: not to be read, no case, damaged, or another start word.
    """
    whole = _file(path)
    try:
        instructor = public_key(whole.instructor)
        data = unlock(whole.sheet, start_word(), _about(whole.digest, instructor))
    except SealProblem as problem:
        raise BadInput([f"{path}: {problem}"]) from None
    sheet = _record(path, data, CaseSheet)
    _of_one(path, sheet, whole)
    return OpenCase(sheet, instructor)


def read_secret(path: Path, key: OpenKey) -> CaseSecret:
    """Open what marks the case.

    Raises:
        BadInput: not to be read, no case, damaged, or sealed to another instructor.
    """
    whole = _file(path)
    try:
        data = open_box(key(), whole.secret, ROLE, whole.digest)
    except SealProblem as problem:
        raise BadInput([f"{path}: {problem}"]) from None
    secret = _record(path, data, CaseSecret)
    _of_one(path, secret.sheet, whole)
    return secret


def _of_one(path: Path, sheet: CaseSheet, whole: CaseFile) -> None:
    words = {test.test for test in tests_for(sheet.kind)}
    if sheet.digest != whole.digest:
        raise BadInput([f"{path}: no sealed case, or damaged: its parts are of different cases"])
    if set(sheet.tests) != words:
        raise BadInput([f"{path}: made by another version, which has other tests"])


def _about(digest: str, instructor: PublicKey) -> str:
    return "\0".join(("case sheet", digest, instructor.letters))


def _file(path: Path) -> CaseFile:
    try:
        data = bounded_bytes(path, LARGEST_BYTES)
    except (OSError, ValueError) as error:
        raise BadInput([f"{path}: {getattr(error, 'strerror', None) or error}"]) from None
    if len(data) > LARGEST_BYTES:
        raise BadInput([f"{path}: is larger than any sealed case"])
    return _record(path, data, CaseFile)


def _record(path: Path, data: bytes, model: type[Model]) -> Model:
    try:
        return model.model_validate_json(data)
    except ValidationError as error:
        fault = error.errors(include_url=False, include_context=False, include_input=False)[0]
        raise BadInput(
            [f"{path}: no sealed case, or damaged: {dotted(fault['loc'])}: {fault['msg']}"]
        ) from None
