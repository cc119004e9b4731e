"""Point at a part: full marks for the part, half for a named neighbour."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from typing import Literal

from pydantic import Field

from glasscan.content import nearest
from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.learning.facts import all_hold
from glasscan.learning.marking import HALF, Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.part_names import part_names, parts_beside
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import (
    AskedOf,
    QuestionType,
    question_type,
)
from glasscan.learning.record_base import Id, Prose, Record
from glasscan.learning.run_schema import Fact


class Target(Record):
    """A part the learner may have to point at; the key is the first whose facts all hold."""

    part: Id
    true_when: tuple[Fact, ...] = ()
    because: Prose = ""


class Near(Record):
    """A neighbour of the right part: worth half, with its own reason."""

    part: Id
    because: Prose


class PointForm(Record):
    """Point at a part of the section; the last target has no facts: it stands for anything else."""

    form: Literal["point"]
    targets: tuple[Target, ...] = Field(min_length=1, max_length=6)
    near: tuple[Near, ...] = Field(default=(), max_length=8)


class PointAtPart(Marked, PointForm):
    """Point at a part of the section."""

    kind: Literal["point-at-part"]
    form: Literal["point"] = "point"


LETTERS = "abcdefghijklmnopqrstuvwxyz"


def true_target(form: PointForm, log: MarkingLog) -> Target:
    """The part the run asks for: the first whose facts hold, else the last."""
    return next((t for t in form.targets[:-1] if all_hold(t.true_when, log)), form.targets[-1])


def point_result(
    form: PointForm, answer: object, log: MarkingLog, out_of: float, names: Mapping[str, str] | None = None
) -> Result:
    """Mark the part pointed at.

    Args:
        form: the question.
        answer: key of a part.
        log: the run.
        out_of: full marks.
        names: trade names of the parts by key; without them the keys stand for themselves.

    Raises:
        ValueError: the answer is no part of this section.
    """
    if not isinstance(answer, str) or not answer or (names is not None and answer not in names):
        raise ValueError("expected a part of the section")
    said = dict(names or {})
    target = true_target(form, log)
    key, given = said.get(target.part, target.part), said.get(answer, answer)
    if answer == target.part:
        return Result(1.0, out_of, out_of, key, f"Right: {key}. {target.because}".strip(), (key,))
    why = reason_for(form, answer)
    near = any(n.part == answer for n in form.near)
    share = HALF if near else 0.0
    word = "Near: that is" if near else "Not right: that is"
    reason = f"{word} the {given}. {why} Look for: {key}. {target.because}"
    return Result(share, share * out_of, out_of, key, " ".join(reason.split()), (), (given,))


def reason_for(form: PointForm, part: str) -> str:
    """What the file says about a part that is not the right one, or ""."""
    told = {t.part: t.because for t in form.targets} | {n.part: n.because for n in form.near}
    return told.get(part, "")


def letters(names: Mapping[str, str]) -> dict[str, str]:
    """A letter of the keyboard for each part: the first free one of its name, else the first free of all.

    Args:
        names: trade names by key, in the order shown.

    Raises:
        ValueError: more parts than letters.
    """
    free = list(LETTERS)
    if len(names) > len(free):
        raise ValueError("more parts than letters")
    given: dict[str, str] = {}
    for key, name in names.items():
        own = [c for c in name.lower() if c in free]
        given[key] = (own or free)[0]
        free.remove(given[key])
    return given


def _targets_fit(form: PointForm, here: Path) -> Iterator[Finding]:
    for i, target in enumerate(form.targets[:-1]):
        if not target.true_when:
            yield (*here, "targets", i), "missing key true_when: only the last target goes without", None
    if form.targets[-1].true_when:
        path = (*here, "targets", len(form.targets) - 1, "true_when")
        yield path, "the last target stands for anything else: expected no true_when", None
    asked = [t.part for t in form.targets]
    for i, near in enumerate(form.near):
        if near.part in asked:
            yield (*here, "near", i, "part"), f"'{near.part}' is a target already", None


@question_type
class Point(QuestionType):
    """A part of the section."""

    form = "point"
    schema = PointForm
    kinds = (PointAtPart,)
    one_line = True
    ruled = 1

    def check(self, form: PointForm, here: Path) -> Iterator[Finding]:
        yield from _targets_fit(form, here)

    def check_filter(self, form: PointForm, here: Path, filter_name: str) -> Iterator[Finding]:
        known = part_names(filter_name)
        named = [("targets", i, t.part) for i, t in enumerate(form.targets)]
        named += [("near", i, n.part) for i, n in enumerate(form.near)]
        for where, i, part in named:
            if part not in known:
                text = f"this filter has no part '{part}': expected one of {', '.join(known)}"
                yield (*here, where, i, "part"), text, nearest(part, known)

    def put(self, form: PointForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del form
        names = part_names(of.filter)
        given = letters(names)
        return replace(shown, parts=tuple((given[key], key, name) for key, name in names.items()))

    def mark(self, form: PointForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        named = [*(line.part for line in form.targets), *(line.part for line in form.near)]
        return point_result(form, answer, log, out_of, parts_beside(named))

    def any_answer(self, asked: PosedQuestion) -> Answer:
        return asked.parts[0][1]

    def lines(self, asked: PosedQuestion) -> list[str]:
        return [f"  {letter}  {name}" for letter, _, name in asked.parts]

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return "The letter of one part."

    def letters(self, asked: PosedQuestion) -> dict[str, str]:
        return {letter: key for letter, key, _ in asked.parts}
