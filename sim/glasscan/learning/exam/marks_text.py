"""Marks of a paper in words, for the one who sat it."""

from __future__ import annotations

from collections.abc import Mapping

from glasscan.learning.exam.paper_marking import Keyed, Outcome
from glasscan.learning.question import PosedQuestion
from glasscan.learning.question_type import type_of


def in_words(asked: PosedQuestion, given: str) -> str:
    """A stored answer as people read it: the text of the lines chosen, not their ids."""
    return type_of(asked).words(asked, given) or "-"


def reasons(outcome: Outcome, questions: Mapping[str, Keyed]) -> str:
    """Every question with answer, mark and reason."""
    given = {item.prompt: item.given for item in outcome.results.items}
    lines = [f"{outcome.results.nickname}: {outcome.verdict.line}"]
    for name, result in outcome.told:
        lines += [
            "",
            name,
            questions[name].asked.text,
            f"answer: {in_words(questions[name].asked, given[name])}",
        ]
        lines.append(f"{result.marks:.3g} of {result.out_of:g}. {result.reason}")
    return "\n".join(lines) + "\n"
