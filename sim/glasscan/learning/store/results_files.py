"""Results files: how one sitting goes from a trainee's computer to the instructor's."""

from __future__ import annotations

import json
import sqlite3
from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field, ValidationError

from glasscan.content.problems import dotted
from glasscan.files import bounded_bytes
from glasscan.learning.record_base import Prose, Record, Text
from glasscan.learning.sealing import ResultsKey, digest, is_unaltered, results_key
from glasscan.learning.store.rows import Answered, Sitting, StoredAnswer, StoredMarks
from glasscan.learning.store.rows_sql import put_answer, put_mark, put_over
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem, in_one_line

LARGEST_BYTES = 5_000_000
"""A results file of 2000 long answers is smaller."""

UNSAFE = "unsafe act"
"""Slip of an answer that hurt the rules of safety: its reason is a gate of the results file."""

Uid = Annotated[str, Field(pattern=r"^[0-9a-f]{32}$")]
Hex64 = Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
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


class Results(Record):
    """One sitting of one person."""

    origin: Uid
    sitting: Uid
    nickname: Annotated[str, Field(min_length=1, max_length=40), AfterValidator(_printable)]
    kind: Literal["lesson", "practice", "exam"]
    paper: Text
    seed: Annotated[int, Field(ge=-(2**63), lt=2**63)]
    begun_utc: Text
    ended_utc: Text
    items: Annotated[tuple[Item, ...], Field(max_length=2000)]


class Digest(Record):
    """Keyed digest of the results."""

    salt: Uid
    hmac_sha256: Hex64


class ResultsFile(Record):
    """The whole file."""

    results_format: Literal[1]
    results: Results
    digest: Digest | None = None


@dataclass(frozen=True)
class Loaded:
    """A results file that was read; `checked` tells that its digest was right."""

    results: Results
    checked: bool


def results_text(store: Store, sitting: Sitting, key: ResultsKey | None = None) -> str:
    """The results file of a sitting that was handed in.

    Args:
        store: where it is.
        sitting: of whom.
        key: from the sealed paper, for a digest that shows alterations; None = no digest.

    Raises:
        StoreProblem: the sitting was not handed in.
    """
    return file_text(results_of(store, sitting), key)


def file_text(results: Results, key: ResultsKey | None = None) -> str:
    """Results as the text of a file, with a digest where there is a key."""
    stated = None
    if key is not None:
        stated = Digest(salt=key.salt.hex(), hmac_sha256=digest(_canonical(results), key))
    return ResultsFile(results_format=1, results=results, digest=stated).model_dump_json(indent=1) + "\n"


def load_results(path: Path, passphrase: str | None = None) -> Loaded:
    """Read a results file; with a pass-phrase its digest must be there and right.

    Raises:
        StoreProblem: not to be read, no results file, no digest, or altered.
    """
    data = _bytes_of(path)
    if len(data) > LARGEST_BYTES:
        raise StoreProblem(f"{path}: is larger than any results file")
    try:
        read = ResultsFile.model_validate_json(data)
    except ValidationError as error:
        raise StoreProblem(f"{path}: {_first(error)}") from error
    if passphrase is None:
        return Loaded(read.results, checked=False)
    return _checked(path, read, passphrase)


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
    person = (results.origin, results.nickname)
    with store.writing() as db:
        if db.execute("SELECT 1 FROM sittings WHERE uid = ?", (results.sitting,)).fetchone():
            return False
        query = "INSERT OR IGNORE INTO people (origin, nickname, made_utc) VALUES (?, ?, ?)"
        db.execute(query, (*person, store.stamp()))
        row = db.execute("SELECT id FROM people WHERE origin = ? AND nickname = ?", person).fetchone()
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
        seed=row["seed"],
        begun_utc=row["begun_utc"],
        ended_utc=row["ended_utc"],
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


def _canonical(results: Results) -> bytes:
    """The bytes that the digest covers: every field, in one form."""
    return json.dumps(results.model_dump(mode="json"), sort_keys=True, separators=(",", ":")).encode()


def _checked(path: Path, read: ResultsFile, passphrase: str) -> Loaded:
    if read.digest is None:
        raise StoreProblem(f"{path}: has no digest; it was not made from a sealed paper")
    key = results_key(passphrase, bytes.fromhex(read.digest.salt))
    if not is_unaltered(_canonical(read.results), key, read.digest.hmac_sha256):
        raise StoreProblem(f"{path}: was altered after it was made, or this is another pass-phrase")
    return Loaded(read.results, checked=True)


def _first(error: ValidationError) -> str:
    """The first fault of a file, by its place."""
    fault = error.errors(include_url=False, include_context=False, include_input=False)[0]
    place = dotted(fault["loc"])
    return f"{place}: {fault['msg']}" if place else str(fault["msg"])
