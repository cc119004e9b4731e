"""Say for each window of time whether the valve is open or shut."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog, column
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import (
    SEPARATORS,
    AskedOf,
    QuestionType,
    question_type,
)
from glasscan.learning.record_base import Number, Record, Seconds
from glasscan.learning.run_schema import Column

if TYPE_CHECKING:
    import numpy as np

OPEN_WORDS, SHUT_WORDS = ("o", "open"), ("s", "shut", "closed")


class StripForm(Record):
    """Commit for each window of time whether the valve is open or shut."""

    form: Literal["valve-strip"]
    edges_s: tuple[Seconds, ...] = Field(min_length=2, max_length=13)
    lift: Column = "lift_mm"
    open_above: Number = Field(
        default=0.01, ge=0, description="Lift from which the valve counts as open, unit of `lift`"
    )


def open_share(form: StripForm, log: MarkingLog) -> tuple[float, ...]:
    """Share of each window of time in which the valve is open, 0..1."""
    lifted = column(log, form.lift) > form.open_above
    return tuple(_share(log.times_s, lifted, a, b) for a, b in pairwise(form.edges_s))


def _share(times_s: np.ndarray, lifted: np.ndarray, start_s: float, end_s: float) -> float:
    """Time-weighted share; each sample stands until the next one."""
    import numpy as np

    stops = np.append(times_s[1:], np.inf)
    spans = np.clip(np.minimum(stops, end_s) - np.maximum(times_s, start_s), 0.0, None)
    whole = float(spans.sum())
    return float((spans * lifted).sum() / whole) if whole > 0 else 0.0


def strip_result(form: StripForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
    """Mark open and shut for each window.

    Raises:
        ValueError: not one answer for each window.
    """
    shares = open_share(form, log)
    if isinstance(answer, str) or len(answer) != len(shares):
        raise ValueError(f"expected open or shut for each of {len(shares)} windows of time")
    key = [s >= 0.5 for s in shares]
    right = [k == bool(a) for k, a in zip(key, answer, strict=True)]
    share = sum(right) / len(right)
    named = [f"{_window(form, i)} {'open' if k else 'shut'}" for i, k in enumerate(key)]
    good = tuple(n for n, r in zip(named, right, strict=True) if r)
    bad = tuple(n for n, r in zip(named, right, strict=True) if not r)
    reason = f"{len(good)} of {len(named)} windows right; the run shows: {', '.join(named)}."
    return Result(share, share * out_of, out_of, ", ".join(named), reason, good, bad)


def _window(form: StripForm, i: int) -> str:
    return f"{form.edges_s[i]:g}–{form.edges_s[i + 1]:g} s"


@question_type
class ValveStrip(QuestionType):
    """Open or shut, for each window of time."""

    form = "valve-strip"
    schema = StripForm

    def check(self, form: StripForm, here: Path) -> Iterator[Finding]:
        if list(form.edges_s) != sorted(set(form.edges_s)):
            yield (*here, "edges_s"), "expected rising times", None

    def put(self, form: StripForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del of
        return replace(shown, edges_s=form.edges_s)

    def mark(self, form: StripForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return strip_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        return [False] * (len(asked.edges_s) - 1)

    def lines(self, asked: PosedQuestion) -> list[str]:
        return [f"  {a:g} to {b:g} s" for a, b in pairwise(asked.edges_s)]

    def how(self, asked: PosedQuestion) -> str:
        return f"{len(asked.edges_s) - 1} words, open or shut, such as: s o o s s"

    def read(self, asked: PosedQuestion, line: str) -> str:
        words = line.lower().translate(SEPARATORS).split()
        windows = len(asked.edges_s) - 1
        if len(words) != windows or not set(words) <= {*OPEN_WORDS, *SHUT_WORDS}:
            raise ValueError(f"expected {windows} words, each open or shut (o or s)")
        return " ".join("open" if word in OPEN_WORDS else "shut" for word in words)

    def stored(self, text: str) -> Answer:
        return [word == "open" for word in text.split()]
