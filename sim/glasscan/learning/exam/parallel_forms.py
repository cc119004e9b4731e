"""Whether a variant asks the same as its file: other numbers, but the same events and right lines."""

from __future__ import annotations

from collections.abc import Iterator

from glasscan.learning.facts import true_choice
from glasscan.learning.form_schema import ChoiceForm, NumberForm
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_schema import Numeric, Prompt, SingleChoice
from glasscan.learning.run_quantities import read
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
        for what in _differences(prompt, ours, theirs)
    ]


def _differences(prompt: Prompt, ours: MarkingLog, theirs: MarkingLog) -> Iterator[str]:
    form = getattr(prompt, "answer", prompt)
    if isinstance(form, (ChoiceForm, SingleChoice)):
        if true_choice(form.choices, ours).id != true_choice(form.choices, theirs).id:
            yield "right choice"
    elif isinstance(form, (NumberForm, Numeric)):
        never = [read(form.quantity, log).value is None for log in (ours, theirs)]
        if never[0] != never[1]:
            yield "kind of answer ('never')"
