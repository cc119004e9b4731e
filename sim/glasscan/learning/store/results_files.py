"""Results files: how one sitting goes from a trainee's computer to the instructor's."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal, TypeVar

from pydantic import AfterValidator, BaseModel, Field, ValidationError

from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes
from glasscan.learning.identity import identity
from glasscan.learning.record_base import Prose, Record, Text
from glasscan.learning.seals.instructor_key import (
    PrivateKey,
    PublicKey,
    desk_mac,
    is_of_this_desk,
    open_box,
    seal_to,
)
from glasscan.learning.seals.seal_problems import SealProblem
from glasscan.learning.store.rows import Answered, Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.rows_sql import put_answer, put_mark, put_over
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem, in_one_line

LARGEST_BYTES = 5_000_000
"""A results file of 2000 long answers is smaller."""

EVENTS = "SELECT what, at_utc, away_s, by FROM events WHERE sitting = ? ORDER BY id"

UNSAFE = "unsafe act"
"""Slip of an answer that hurt the rules of safety: its reason is a gate of the results file."""

Uid = Annotated[str, Field(pattern=r"^[0-9a-f]{32}$")]
OpenKey = Callable[[], PrivateKey]
"""The instructor's key, asked for only where something is sealed."""
Model = TypeVar("Model", bound=BaseModel)
Share = Annotated[float, Field(ge=0, le=1)]
Positive = Annotated[float, Field(ge=0, le=1e6)]


class StoredMark(Record):
    """The mark of an answer; safety faults (`gates`) count apart from the score."""

    share: Share
    out_of: Positive
    key: Prose
    slip: Text | None = None
    codes: tuple[Text, ...] = ()
    gates: tuple[Prose, ...] = ()


class Item(Record):
    """One answer; `mark` is empty before marking, and with it the key."""

    prompt: Text
    given: Prose
    confidence: Annotated[int, Field(ge=1, le=3)] | None = None
    spent_s: Positive = 0.0
    mark: StoredMark | None = None


def _printable(name: str) -> str:
    """A name from another computer goes to terminals and pages: nothing in it may move a cursor."""
    if not name.isprintable():
        raise ValueError("expected printable characters")
    return name


class Opening(Record):
    """A time a sitting was opened, or an event of its record.

    Attributes:
        what: "opened", "left", "altered" (the record was changed with another program) or "clock-set".
        at_utc: by the calendar of that computer.
        away_s: how long it was not open before, s.
        by: "counter" or "calendar": the clock this was taken from.
    """

    what: Literal["opened", "left", "altered", "clock-set"]
    at_utc: Text
    away_s: Annotated[float, Field(ge=0, le=1e12)] = 0.0
    by: Literal["", "counter", "calendar"] = ""


class Results(Record):
    """One sitting of one person."""

    origin: Uid
    sitting: Uid
    nickname: Annotated[str, Field(min_length=1, max_length=40), AfterValidator(_printable)]
    kind: Literal["lesson", "practice", "exam"]
    paper: Text
    digest: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    seed: Annotated[int, Field(ge=-(2**63), lt=2**63)]
    begun_utc: Text
    ended_utc: Text
    openings: Annotated[tuple[Opening, ...], Field(max_length=2000)] = ()
    items: Annotated[tuple[Item, ...], Field(max_length=2000)]

    @property
    def without_marks(self) -> Results:
        """The same, as it is before marking."""
        return self.model_copy(
            update={"items": tuple(i.model_copy(update={"mark": None}) for i in self.items)}
        )


class ResultsFile(Record):
    """The whole file: open, or sealed to the instructor of the paper.

    Attributes:
        results: where the file is open.
        digest: of the paper, which a sealed file is bound to.
        box: where it is sealed.
        marked_here: proof of the computer that marked it.
    """

    results_format: Literal[2]
    results: Results | None = None
    digest: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""
    box: str = ""
    marked_here: Annotated[str, Field(pattern=r"^([0-9a-f]{64})?$")] = ""


@dataclass(frozen=True)
class Loaded:
    """A results file that was read.

    Attributes:
        results: without marks, unless they were made on this computer or are of practice.
        sealed: it came in a box that only this instructor opens.
        marked_here: its marks were made on this computer.
    """

    results: Results
    sealed: bool = False
    marked_here: bool = False

    @property
    def checked(self) -> bool:
        """Nobody can have altered it since it was sealed, or marked here."""
        return self.sealed or self.marked_here


def handed_in_text(
    store: Store, sitting: Sitting, instructor: PublicKey | None = None, record_key: str = ""
) -> str:
    """The results file of a sitting that was handed in; asked for again it is the same, byte by byte.

    Args:
        store: where it is.
        sitting: of whom.
        instructor: to whom it is sealed; None where its paper is not.
        record_key: of the chain of its record; a record that was changed since is told in the file.

    Raises:
        StoreProblem: the sitting was not handed in.
    """

    def make() -> str:
        results = results_of(store, sitting)
        if record_key and not store.is_as_left(sitting, record_key):
            told = Opening(what="altered", at_utc=store.stamp())
            results = results.model_copy(update={"openings": (*results.openings, told)})
        return file_text(results, instructor)

    return store.handed(sitting, make)


def file_text(results: Results, instructor: PublicKey | None = None) -> str:
    """Results as the text of a file, sealed where there is an instructor; marks are never sealed in."""
    if instructor is None:
        return _text(ResultsFile(results_format=2, results=results))
    box = seal_to(instructor, canonical(results.without_marks), "results", results.digest)
    return _text(ResultsFile(results_format=2, digest=results.digest, box=box))


def marked_text(results: Results, desk: Path) -> str:
    """Marked results as the text of a file, with the proof of this computer.

    Args:
        results: with marks.
        desk: data folder of this computer.
    """
    proof = desk_mac(desk, canonical(results))
    return _text(ResultsFile(results_format=2, results=results, marked_here=proof))


def _text(whole: ResultsFile) -> str:
    closed = {"results"} if whole.results is None else {"box", "digest"}
    return whole.model_dump_json(indent=1, exclude=closed) + "\n"


def load_results(path: Path, key: OpenKey | None = None, desk: Path | None = None) -> Loaded:
    """Read a results file. Marks that another computer gave an exam are left out.

    Args:
        path: of the file.
        key: opens what is sealed; asked for only where it is.
        desk: data folder of this computer, which knows the marks it made.

    Raises:
        StoreProblem: not to be read, no results file, altered, or sealed to somebody else.
    """
    data = _bytes_of(path)
    if len(data) > LARGEST_BYTES:
        raise StoreProblem(f"{path}: is larger than any results file")
    read = _record(path, data, ResultsFile)
    if read.results is None:
        return Loaded(_opened(path, read, key), sealed=True)
    here = desk is not None and is_of_this_desk(desk, canonical(read.results), read.marked_here)
    trusted = here or read.results.kind != "exam"
    return Loaded(read.results if trusted else read.results.without_marks, marked_here=here)


def is_box(path: Path) -> bool:
    """Whether a results file is sealed.

    Raises:
        StoreProblem: it cannot be read, or is none.
    """
    return _record(path, _bytes_of(path), ResultsFile).results is None


def _opened(path: Path, read: ResultsFile, key: OpenKey | None) -> Results:
    if key is None or not read.box:
        raise StoreProblem(f"{path}: is sealed: only its instructor opens it")
    try:
        data = open_box(key(), read.box, "results", read.digest)
    except SealProblem as problem:
        raise StoreProblem(f"{path}: {problem}") from None
    results = _record(path, data, Results).without_marks
    if results.digest != read.digest:
        raise StoreProblem(f"{path}: was altered: its parts are of different papers")
    return results


def _record(path: Path, data: bytes, model: type[Model]) -> Model:
    try:
        return model.model_validate_json(data)
    except ValidationError as error:
        raise StoreProblem(f"{path}: {_first(error)}") from error


def _bytes_of(path: Path) -> bytes:
    try:
        with in_one_line(path, ""):
            return bounded_bytes(path, LARGEST_BYTES)
    except ValueError as error:  # a name that no system takes
        raise StoreProblem(f"{path}: {error}") from error


def import_results(store: Store, results: Results) -> bool:
    """Enter a results file in the store; False where this sitting is there already.

    People of other computers are kept apart from those of the same nickname here.
    """
    who = identity(results.nickname)
    with store.writing() as db:
        if db.execute("SELECT 1 FROM sittings WHERE uid = ?", (results.sitting,)).fetchone():
            return False
        query = "INSERT OR IGNORE INTO people (origin, nickname, identity, made_utc) VALUES (?, ?, ?, ?)"
        db.execute(query, (results.origin, results.nickname, who, store.stamp()))
        query = "SELECT id FROM people WHERE origin = ? AND identity = ?"
        row = db.execute(query, (results.origin, who)).fetchone()
        what, when = (results.kind, results.paper, results.seed), (results.begun_utc, results.ended_utc)
        sitting = put_over(db, results.sitting, row["id"], what, when)
        for item in results.items:
            _enter(db, sitting, item, results.ended_utc)
    return True


def _enter(db: sqlite3.Connection, sitting: int, item: Item, when: str) -> None:
    given = StoredAnswer(item.prompt, item.given, item.confidence, item.spent_s)
    answer = put_answer(db, sitting, given, when)
    if item.mark is not None:
        mark = item.mark
        reason = "; ".join(mark.gates) if mark.slip == UNSAFE else ""
        marked = StoredMarks(mark.share, mark.out_of, mark.key, reason, mark.slip, tuple(mark.codes))
        put_mark(db, answer, marked, when)


def results_of(store: Store, sitting: Sitting) -> Results:
    """Results of a sitting that was handed in, own or imported, as a class report takes them.

    Raises:
        StoreProblem: the sitting was not handed in.
    """
    query = """SELECT s.*, p.nickname, p.origin, (SELECT store_uid FROM about) AS here
        FROM sittings s JOIN people p ON p.id = s.person WHERE s.id = ?"""
    row = store.rows(query, sitting.id)[0]
    if row["ended_utc"] is None:
        raise StoreProblem(f"{store.path}: this sitting is not handed in yet")
    return Results(
        origin=row["origin"] or row["here"],
        sitting=row["uid"],
        nickname=row["nickname"],
        kind=row["kind"],
        paper=row["paper"],
        digest=row["digest"],
        seed=row["seed"],
        begun_utc=row["begun_utc"],
        ended_utc=row["ended_utc"],
        openings=tuple(Opening(**dict(event)) for event in store.rows(EVENTS, sitting.id)),
        items=tuple(_item(one) for one in store.answers(sitting)),
    )


def _item(one: Answered) -> Item:
    given = one.given
    return Item(
        prompt=given.prompt,
        given=given.given,
        confidence=given.confidence,
        spent_s=given.spent_s,
        mark=_mark(one.mark) if one.mark else None,
    )


def _mark(mark: StoredMarks) -> StoredMark:
    gates = (mark.reason,) if mark.slip == UNSAFE else ()
    return StoredMark(
        share=mark.share, out_of=mark.out_of, key=mark.key, slip=mark.slip, codes=mark.codes, gates=gates
    )


def canonical(results: Results) -> bytes:
    """The bytes that seals and proofs cover: every field, in one form."""
    return json.dumps(results.model_dump(mode="json"), sort_keys=True, separators=(",", ":")).encode()


def _first(error: ValidationError) -> str:
    """The first fault of a file, by its place."""
    fault = error.errors(include_url=False, include_context=False, include_input=False)[0]
    place = dotted(fault["loc"])
    return f"{place}: {fault['msg']}" if place else str(fault["msg"])
