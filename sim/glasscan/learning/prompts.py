"""Ask a prompt and mark its answer against a run."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from glasscan.learning import prompt_schema as ask
from glasscan.learning.ask_wording import fill
from glasscan.learning.manual import told as manual_told
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.question import NEVER, Answer, Axes, PosedQuestion, TestShown, in_order_of
from glasscan.learning.question_type import AskedOf, type_of
from glasscan.learning.scenario_schema import Scenario

__all__ = [
    "NEVER",
    "Answer",
    "Axes",
    "PosedQuestion",
    "TestShown",
    "asked",
    "mark",
    "needs_run",
]


def needs_run(prompt: ask.Prompt) -> bool:
    """Whether a prompt can be put only when its run is known: the numbers to choose from come from it."""
    return type_of(form_of(prompt)).needs_run


def asked(prompt: ask.Prompt, scenario: Scenario, log: MarkingLog | None, salt: str) -> PosedQuestion:
    """A prompt with the scenario's own values in its text, its lines in the order of a sitting.

    Args:
        prompt: of that scenario.
        scenario: as it will be run.
        log: its run; only prompts that `needs_run` look at it.
        salt: secret of the sitting, which decides the order of all that is listed.

    Raises:
        ValueError: the prompt needs the run and none is given.
    """
    form = form_of(prompt)
    shown = PosedQuestion(
        prompt.id,
        "before" if isinstance(prompt, ask.PREDICTIONS) else "after",
        "\n".join(p for p in (fill(prompt.ask, scenario), manual_told(prompt.sheet, "\n")) if p),
        form.form,
        marks=prompt.marks,
    )
    put = type_of(form).put(form, shown, AskedOf(scenario, scenario.filter, log, salt))
    return in_order_of(salt, f"{scenario.scenario}/{prompt.id}", put)


def mark(prompt: ask.Prompt, answer: Answer, log: MarkingLog, shown: PosedQuestion | None = None) -> Result:
    """Mark an answer; the key is read from the run.

    Args:
        prompt: of the scenario that was run.
        answer: see `Answer`.
        log: the whole run, to its end.
        shown: as it was asked; reasons follow its order.

    Raises:
        Unreadable: the answer is no clear number; ask again.
        ValueError: the answer is not of the prompt's form.
        KeyError: the run keeps no such column.
    """
    form = form_of(prompt)
    kind = type_of(form)
    result = kind.mark(kind.as_shown(form, shown) if shown else form, answer, log, prompt.marks)
    return replace(result, reason=_sentences(result.reason, prompt.why, manual_told(prompt.manual)))


def form_of(prompt: ask.Prompt) -> Any:
    """What decides how a prompt is answered: itself, or the answer of a prediction."""
    return prompt.answer if isinstance(prompt, ask.Predict) else prompt


def _sentences(*parts: str) -> str:
    return " ".join(p for p in parts if p)
