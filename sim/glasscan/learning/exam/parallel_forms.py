"""Whether a variant asks the same as its file: other numbers, but the same events and right lines."""

from __future__ import annotations

from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompts import form_of
from glasscan.learning.question_type import type_of
from glasscan.learning.scenario_schema import Scenario


def uneven(scenario: Scenario, ours: MarkingLog, theirs: MarkingLog) -> list[str]:
    """What makes a variant easier or harder than the file it was drawn from, one line each.

    Args:
        scenario: the variant or the file; the prompts are the same.
        ours: run of the variant.
        theirs: run of the file.
    """
    told = []
    if [e.word for e in ours.events] != [e.word for e in theirs.events]:
        told.append(f"{scenario.scenario}: the events of this variant are others than those of the file")
    return told + [
        f"{scenario.scenario}/{prompt.id}: this variant has another {what} than the file"
        for prompt in scenario.prompts
        if (what := type_of(form_of(prompt)).differs(form_of(prompt), ours, theirs))
    ]
