"""A short log entry against its checklist: words are looked for, numbers are read; a person may mark it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Literal

from pydantic import Field

from glasscan.content import nearest
from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.content.unit_words import UnitWord, unit_of_word
from glasscan.learning.marking import Band, Result, quantity_text
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import AskedOf, QuestionType, ids_once, question_type
from glasscan.learning.record_base import Id, Prose, Record, Text
from glasscan.learning.run_quantities import read
from glasscan.learning.run_schema import NumberOfRun

HOLE = re.compile(r"\{([a-z0-9-]{1,60})\}")
"""Place of an item's number in the example of a log entry."""


class EntryNumber(NumberOfRun):
    """A number of the run that the entry must give, with its unit."""


class EntryItem(Record):
    """One thing the entry must say: one of some words, a number of the run, or both."""

    id: Id
    text: Prose = Field(description="Name of the item, for the feedback")
    words: tuple[Text, ...] = Field(default=(), description="One of these must stand in the entry")
    number: EntryNumber | None = None
    because: Prose = ""


class Forbidden(Record):
    """Words that must not stand in the entry: a gate."""

    words: tuple[Text, ...] = Field(min_length=1)
    because: Prose


class EntryForm(Record):
    """A short entry in the technical log, compared with a checklist; a person may mark it instead."""

    form: Literal["entry"]
    items: tuple[EntryItem, ...] = Field(min_length=2, max_length=12)
    forbidden: tuple[Forbidden, ...] = ()
    most_letters: int = Field(default=1200, ge=80, le=4000)
    example: Prose = Field(default="", description="A good entry; {item} becomes its number")


class LogEntry(Marked, EntryForm):
    """Write a short entry in the technical log."""

    kind: Literal["log-entry"]
    form: Literal["entry"] = "entry"


_NUMBER = re.compile(r"(?<![\d.,])([-+−]?\d+(?:[.,]\d+)?)\s*([^\d\s,;.()]+(?:/[a-z0-9²³]+)?)?")
_DENIED = re.compile(r"(?:\bno|\bnot|\bwithout|\bnever)\s+(?:\w+\s+)?\Z")
_BE = "(?:was|were|is|are|has|have|been|could|yet|still|also)"
_NOT = "(?:not|never|wasn't|weren't|isn't|aren't|hasn't|haven't|couldn't|cannot)"
_DONE = (
    "(?:done|made|carried|performed|fitted|available|changed|replaced|renewed|used|checked|needed|informed)"
)
_LEFT = "(?:skipped|omitted|forgotten|outstanding|unavailable)"
# A denial may follow: "leak check not done", "new seals not available"; "reset did not hold" is an outcome.
_DENIED_AFTER = re.compile(
    rf"\A\s+(?:(?:\w+\s+)?(?:{_BE}\s+)*{_NOT}\s+(?:(?:yet|been|be)\s+)*{_DONE}|(?:{_BE}\s+)*{_LEFT})\b"
)
NOTE = "The machine looks for words and numbers only; an instructor may mark the entry instead."


def entry_result(form: EntryForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark an entry by its checklist: items found over items asked.

    Raises:
        ValueError: the answer is no text, is empty or too long.
    """
    if not isinstance(answer, str) or not answer.strip():
        raise ValueError("expected an entry in words")
    if len(answer) > form.most_letters:
        raise ValueError(f"expected at most {form.most_letters} letters, found {len(answer)}")
    text = plain(answer)
    found = [item for item in form.items if has_item(item, text, log)]
    missing = [item for item in form.items if item not in found]
    gates = tuple(f.because for f in form.forbidden if any(has_words(text, w) for w in f.words))
    share = 0.0 if gates else len(found) / len(form.items)
    told = [_head(found, form), *(_missed(item, log) for item in missing), *gates]
    good = [f"A good entry: {example(form, log)}"] if form.example and share < 1.0 else []
    reason = " ".join([*told, *good, NOTE])
    key = "; ".join(_named(item, log) for item in form.items)
    rights, wrongs = tuple(i.text for i in found), tuple(i.text for i in missing)
    return Result(share, share * out_of, out_of, key, reason, rights, wrongs, None, gates, True)


def example(form: EntryForm, log: MarkingLog) -> str:
    """The file's good entry, with the numbers of this run in place of `{item}`."""
    texts = {item.id: _number_text(item, log) for item in form.items}
    return HOLE.sub(lambda hole: texts.get(hole[1], hole[0]), form.example)


def _number_text(item: EntryItem, log: MarkingLog) -> str:
    truth = _truth(item.number, log) if item.number else None
    return quantity_text(*truth) if truth else "never"


def by_hand(result: Result, share: float, assessor: str, note: str) -> Result:
    """The same answer with a person's mark; the machine's stays in the reason.

    Args:
        result: of a prompt that may be marked by hand.
        share: 0..1 as the person judges.
        assessor: nickname of the person.
        note: why; it is kept with the mark.

    Raises:
        ValueError: not a prompt for hand marking, a share outside 0..1, or no name or note.
    """
    if not result.by_hand or not 0.0 <= share <= 1.0:
        raise ValueError("expected a log entry and a share from 0 to 1")
    if not assessor.strip() or not note.strip():
        raise ValueError("expected the assessor's name and a note that says why")
    said = f"Marked by {assessor.strip()}: {note.strip()} (by the checklist: {result.share:.0%})."
    return replace(result, share=share, marks=share * result.out_of, reason=f"{said} {result.reason}")


def plain(text: str) -> str:
    """Small letters, one space between words, print minus as a hyphen."""
    return " ".join(text.lower().replace("−", "-").replace("’", "'").split())


def has_item(item: EntryItem, text: str, log: MarkingLog) -> bool:
    """Whether an entry holds what an item asks for."""
    worded = not item.words or any(has_words(text, words) for words in item.words)
    return worded and (item.number is None or has_number(item.number, text, log))


def has_words(text: str, words: str) -> bool:
    """Whether whole words stand in the text somewhere without a denial just before or after them."""
    asked = plain(words)
    pattern = re.compile(rf"(?<!\w){re.escape(asked)}(?!\w)")
    return any(not _denied(text, m) for m in pattern.finditer(text))


def _denied(text: str, found: re.Match[str]) -> bool:
    return bool(_DENIED.search(text[: found.start()]) or _DENIED_AFTER.search(text[found.end() :]))


def has_number(asked: EntryNumber, text: str, log: MarkingLog) -> bool:
    """Whether the text gives the number of the run, with a unit that measures the same."""
    truth = _truth(asked, log)
    if truth is None:
        return has_words(text, "never") or has_words(text, "did not")
    value, unit = truth
    band = Band(asked.tol_abs, asked.tol_rel)
    return any(band.share(x, value) == 1.0 for x in _numbers(text, unit))


def _numbers(text: str, wanted: UnitWord | None) -> list[float]:
    """Numbers of a text that carry a unit of the wanted kind, in that unit."""
    found = []
    for number, word in _NUMBER.findall(text):
        unit = unit_of_word(word) if word else None
        value = float(number.replace(",", "."))
        if wanted is None:
            found.append(value)
        elif unit is not None and unit.kind == wanted.kind:
            found.append(unit.to(wanted, value))
    return found


def _truth(asked: EntryNumber, log: MarkingLog) -> tuple[float, UnitWord | None] | None:
    reading, unit = read(asked.quantity, log), unit_of_word(asked.unit)
    if reading.value is None:
        return None
    return (reading.unit.to(unit, reading.value) if reading.unit and unit else reading.value), unit


def _head(found: list[EntryItem], form: EntryForm) -> str:
    return f"{len(found)} of {len(form.items)} items found."


def _named(item: EntryItem, log: MarkingLog) -> str:
    truth = _truth(item.number, log) if item.number else None
    return f"{item.text} ({quantity_text(*truth)})" if truth else item.text


def _missed(item: EntryItem, log: MarkingLog) -> str:
    return f"Not found: {_named(item, log)}. {item.because}".strip()


def _entry_fits(form: EntryForm, here: Path) -> Iterator[Finding]:
    yield from ids_once([item.id for item in form.items], (*here, "items"))
    for i, item in enumerate(form.items):
        if not item.words and item.number is None:
            yield (*here, "items", i), "expected words, a number, or both", None
    numbers = [item.id for item in form.items if item.number]
    for name in HOLE.findall(form.example):
        if name not in numbers:
            yield (*here, "example"), f"{{{name}}} is no item with a number", nearest(name, numbers)


@question_type
class Entry(QuestionType):
    """An entry in the technical log."""

    form = "entry"
    schema = EntryForm
    kinds = (LogEntry,)
    ruled = 8

    def check(self, form: EntryForm, here: Path) -> Iterator[Finding]:
        yield from _entry_fits(form, here)

    def put(self, form: EntryForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del of
        return replace(shown, most_letters=form.most_letters)

    def mark(self, form: EntryForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return entry_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return "-"

    def how(self, asked: PosedQuestion) -> str:
        return f"Your entry, in words, on one line of at most {asked.most_letters} letters."

    def read(self, asked: PosedQuestion, line: str) -> str:
        if len(line) > asked.most_letters:
            raise ValueError(f"expected at most {asked.most_letters} letters, found {len(line)}")
        return line
