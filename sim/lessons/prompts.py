"""Ask a prompt and mark its answer against a run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import singledispatch
from typing import Literal

from sim.lessons import prompt_schema as ask
from sim.lessons.facts import open_share, true_choice
from sim.lessons.marking import Band, Result, Truth, never_result, number_result, quantity_text
from sim.lessons.numbers import Typed, typed
from sim.lessons.quantities import look_alikes, read
from sim.lessons.runlog import RunLog
from sim.lessons.schema import Scenario
from sim.lessons.wording import fill
from sim.loading.unitwords import BY_SUFFIX, Unit, unit_of_word

NEVER = "never"
"""What a learner answers where the event asked for does not come."""

Answer = str | Sequence[bool]
"""Id of a choice, a typed number (or `never`), or open/shut for each window of time."""


@dataclass(frozen=True)
class Asked:
    """A prompt as it is put to the learner.

    Attributes:
        id: of the prompt.
        when: "before" the run is shown, or "after" it.
        text: the question, with the scenario's own values in it.
        form: "choice", "number" or "valve-strip".
        choices: (id, text) for a choice.
        unit: sign of the unit in which a number is asked, or "".
        units: signs of the units the learner may choose instead.
        edges_s: borders of the windows of a valve strip, s.
        marks: full marks.
    """

    id: str
    when: Literal["before", "after"]
    text: str
    form: Literal["choice", "number", "valve-strip"]
    choices: tuple[tuple[str, str], ...] = ()
    unit: str = ""
    units: tuple[str, ...] = ()
    edges_s: tuple[float, ...] = ()
    marks: float = 0.0


def asked(prompt: ask.Prompt, scenario: Scenario) -> Asked:
    """A prompt with the scenario's own values in its text."""
    form = _form(prompt)
    when: Literal["before", "after"] = "before" if isinstance(prompt, ask.Predict) else "after"
    unit = unit_of_word(form.unit) if isinstance(form, ask.NumberForm) else None
    return Asked(
        prompt.id,
        when,
        fill(prompt.ask, scenario),
        form.form,
        tuple((c.id, fill(c.text, scenario)) for c in form.choices)
        if isinstance(form, ask.ChoiceForm)
        else (),
        unit.sign if unit else "",
        tuple(u.sign for u in BY_SUFFIX.values() if unit and u.kind == unit.kind),
        form.edges_s if isinstance(form, ask.StripForm) else (),
        prompt.marks,
    )


def mark(prompt: ask.Prompt, answer: Answer, log: RunLog) -> Result:
    """Mark an answer; the key is read from the run.

    Args:
        prompt: of the scenario that was run.
        answer: see `Answer`.
        log: the whole run, to its end.

    Raises:
        Unreadable: the answer is no clear number; ask again.
        ValueError: the answer is not of the prompt's form.
        KeyError: the run keeps no such column.
    """
    result = _mark(_form(prompt), answer, log, prompt.marks)
    why = f" {prompt.why}" if prompt.why else ""
    return Result(**(vars(result) | {"reason": result.reason + why}))


def _form(prompt: ask.Prompt) -> ask.ChoiceForm | ask.NumberForm | ask.StripForm:
    """Every prompt seen as one of the three forms of answer."""
    if isinstance(prompt, ask.Predict):
        return prompt.answer
    if isinstance(prompt, ask.SingleChoice):
        return ask.ChoiceForm(form="choice", choices=prompt.choices)
    return ask.NumberForm(
        form="number",
        quantity=prompt.quantity,
        unit=prompt.unit,
        tol_abs=prompt.tol_abs,
        tol_rel=prompt.tol_rel,
    )


@singledispatch
def _mark(form: object, answer: Answer, log: RunLog, out_of: float) -> Result:  # noqa: ARG001 - for all cases
    raise ValueError(f"not a form of answer: {form!r}")


@_mark.register
def _(form: ask.ChoiceForm, answer: Answer, log: RunLog, out_of: float) -> Result:
    chosen = next((c for c in form.choices if c.id == answer), None)
    if chosen is None:
        raise ValueError(f"expected one of {', '.join(c.id for c in form.choices)}")
    key = true_choice(form.choices, log)
    if chosen is key:
        return Result(1.0, out_of, out_of, key.text, _sentences("Right.", key.because), (key.text,))
    reason = _sentences("The run shows something else:", key.text, chosen.because)
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))


@_mark.register
def _(form: ask.NumberForm, answer: Answer, log: RunLog, out_of: float) -> Result:
    if not isinstance(answer, str):
        raise ValueError("expected a typed number")
    said_never = answer.strip().lower() == NEVER
    given = None if said_never else typed(answer)
    reading, unit = read(form.quantity, log), unit_of_word(form.unit)
    truth = None if reading.value is None else _to(reading.unit, unit, reading.value)
    if truth is None or given is None:
        at = None if truth is None else quantity_text(truth, unit)
        return never_result(said_never, reading.missing, at, out_of)
    return _mark_number(form, given, log, Truth(truth, unit, Band(form.tol_abs, form.tol_rel), {}), out_of)


def _mark_number(form: ask.NumberForm, given: Typed, log: RunLog, truth: Truth, out_of: float) -> Result:
    alike = {n: _to(BY_SUFFIX["kpa"], truth.unit, v) for n, v in look_alikes(form.quantity, log).items()}
    return number_result(given, Truth(truth.value, truth.unit, truth.band, alike), out_of)


@_mark.register
def _(form: ask.StripForm, answer: Answer, log: RunLog, out_of: float) -> Result:
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


def _window(form: ask.StripForm, i: int) -> str:
    return f"{form.edges_s[i]:g}–{form.edges_s[i + 1]:g} s"


def _to(given: Unit | None, asked_unit: Unit | None, value: float) -> float:
    return given.to(asked_unit, value) if given and asked_unit else value


def _sentences(*parts: str) -> str:
    return " ".join(p for p in parts if p)
