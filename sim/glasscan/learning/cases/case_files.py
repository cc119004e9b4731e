"""A case in a file: the record of what was done, and a commitment to the fault instead of the fault."""

from __future__ import annotations

import json
from collections.abc import Callable
from math import isclose
from pathlib import Path
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from glasscan.content import BadInput
from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes, write_whole
from glasscan.learning.cases.case_play import ACTS, CANNOT_TELL, Case, CaseEntry, help_price, sealed
from glasscan.learning.cases.likelihood import Result

FORMAT = "glasscan case 1"
MOST_BYTES = 1_000_000
Line = Annotated[str, Field(max_length=600)]


class EntryData(BaseModel):
    """One line of the record."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    what: Literal["hypothesis", "act", "test", "help", "unsafe", "verdict", "action", "log"]
    words: Annotated[tuple[Line, ...], Field(min_length=1, max_length=60)]
    result: Annotated[tuple[float, ...], Field(max_length=20)] = ()


class CaseData(BaseModel):
    """The file."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    format: Literal["glasscan case 1"]
    seed: Annotated[int, Field(ge=0, lt=2**31)]
    kind: Literal["can", "cartridge", "disc"]
    level: Annotated[int, Field(ge=1, le=3)]
    salt: Annotated[str, Field(pattern="^[0-9a-f]{32}$")]
    seal: Annotated[str, Field(pattern="^[0-9a-f]{64}$")]
    entries: Annotated[tuple[EntryData, ...], Field(max_length=1000)] = ()
    running: bool
    trapped: bool
    ended: Line | None
    spent_s: Annotated[float, Field(ge=0, le=1e8)] = 0.0  # older files have neither this nor the next
    replayed: bool = False


def save(case: Case, path: Path) -> None:
    """Write a case; a reader never meets half a file.

    Raises:
        BadInput: it cannot be written.
    """
    text = json.dumps({"format": FORMAT, **case.as_data()}, indent=1)
    try:
        write_whole(path, text + "\n")
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or error
        raise BadInput([f"{str(path)!r}: cannot be written: {told}"]) from None


def read(path: Path) -> Case:
    """Read a case back.

    Raises:
        BadInput: no case, damaged, altered, or made by another version whose seed gives another fault.
    """
    data = _data(path)
    entries = [CaseEntry(e.what, e.words, e.result) for e in data.entries]
    case = Case(
        data.seed,
        data.kind,
        data.level,
        data.salt,
        data.seal,
        entries,
        data.running,
        data.trapped,
        data.ended,
        data.spent_s,
        data.replayed,
    )
    if sealed(case.hidden, case.salt, case.level) != case.seal:
        raise BadInput(
            [f"{path}: seal: altered, or made by another version: its seed now gives another case"]
        )
    _check(case, path)
    return case


def _data(path: Path) -> CaseData:
    try:
        raw = bounded_bytes(path, MOST_BYTES)
        if len(raw) > MOST_BYTES:
            raise BadInput([f"{path}: expected a saved case of at most {MOST_BYTES} bytes"])
        return CaseData.model_validate_json(raw)
    except ValidationError as error:
        first = error.errors(include_url=False)[0]
        where = dotted(first["loc"]) or "file"
        raise BadInput([f"{path}: {where}: {first['msg']}"]) from None
    except (OSError, ValueError) as error:
        told = getattr(error, "strerror", None) or error
        raise BadInput([f"{str(path)!r}: cannot be read: {told}"]) from None


def _same(own: Result, found: Result) -> bool:
    """Equal but for the last digits, in which two computers may differ."""
    return len(own) == len(found) and all(
        isclose(a, b, rel_tol=1e-6) for a, b in zip(own, found, strict=True)
    )


def _check(case: Case, path: Path) -> None:
    """Every line of the record could have been made by playing this case."""
    over = any(entry.what in ("verdict", "unsafe") for entry in case.entries)
    if over != (case.ended is not None):
        raise BadInput([f"{path}: ended: expected as the record of the case tells"])
    done: set[str] = set()
    for number, entry in enumerate(case.entries):
        wrong = _twice(entry, done) or _RULES.get(entry.what, _nothing)(case, entry)
        if wrong:
            raise BadInput([f"{path}: entries.{number}: expected {wrong}"])


def _twice(entry: CaseEntry, done: set[str]) -> str:
    """A test is ordered once, a verdict given once."""
    once = {"test": entry.words[0], "verdict": "+"}.get(entry.what)
    if once in done:
        return "each test and the verdict once"
    if once:
        done.add(once)
    return ""


def _nothing(case: Case, entry: CaseEntry) -> str:  # noqa: ARG001 - the signature of all rules
    return ""


def _suspected(case: Case, entry: CaseEntry) -> str:
    known = set(case.suspects) | ({CANNOT_TELL} if entry.what == "verdict" else set())
    return "" if set(entry.words) <= known else "suspects of this case"


def _acted(case: Case, entry: CaseEntry) -> str:  # noqa: ARG001 - the signature of all rules
    return "" if entry.words[0] in ACTS else f"one of {', '.join(ACTS)}"


def _helped(case: Case, entry: CaseEntry) -> str:
    right = entry.result == (help_price(case.level, entry.words[0]),)
    return "" if right else "help of this level at its own price"


def _tested(case: Case, entry: CaseEntry) -> str:
    test = case.menu.get(entry.words[0])
    new = case.on_new_filter().get(entry.words[0], False)
    right = test is not None and _same(case.hidden.result(test, case.level, new), entry.result)
    return "" if right else "a test of this case with its own result"


_RULES: dict[str, Callable[[Case, CaseEntry], str]] = {
    "hypothesis": _suspected,
    "verdict": _suspected,
    "act": _acted,
    "help": _helped,
    "test": _tested,
}
"""What is wrong with an entry, in words after "expected", or nothing."""
