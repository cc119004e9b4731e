"""Ask a prompt and mark its answer against a run."""

from __future__ import annotations

from dataclasses import replace
from functools import singledispatch

from glasscan.content.unit_words import BY_SUFFIX, UnitWord, unit_of_key, unit_of_word
from glasscan.learning import prompt_schema as ask
from glasscan.learning.ask_wording import fill
from glasscan.learning.facts import from_trade, open_share, true_choice
from glasscan.learning.manual import told as manual_told
from glasscan.learning.marking import Band, Result, Truth, never_result, number_result, quantity_text
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.part_names import part_names, parts_beside
from glasscan.learning.question import NEVER, Answer, Axes, PosedQuestion, TestShown, in_order_of
from glasscan.learning.question_types.curve import curve_result
from glasscan.learning.question_types.log_entry import entry_result
from glasscan.learning.question_types.number_choice import lines, number_choice_result
from glasscan.learning.question_types.order import order_result
from glasscan.learning.question_types.point import letters, point_result
from glasscan.learning.question_types.several import several_result
from glasscan.learning.run_quantities import look_alikes, read
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.typed_numbers import Typed, typed

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
    return isinstance(_form(prompt), ask.NumberChoiceForm)


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
    form = _form(prompt)
    unit = unit_of_word(form.unit) if isinstance(form, ask.NumberForm) else None
    shown = PosedQuestion(
        prompt.id,
        "before" if isinstance(prompt, ask.PREDICTIONS) else "after",
        "\n".join(p for p in (fill(prompt.ask, scenario), manual_told(prompt.sheet, "\n")) if p),
        form.form,
        unit=unit.sign if unit else "",
        units=tuple(u.sign for u in BY_SUFFIX.values() if unit and u.kind == unit.kind),
        marks=prompt.marks,
    )
    return in_order_of(salt, f"{scenario.scenario}/{prompt.id}", _dressed(form, shown, scenario, log, salt))


def _dressed(
    form: ask.Form, shown: PosedQuestion, scenario: Scenario, log: MarkingLog | None, salt: str
) -> PosedQuestion:
    """What each form shows beside the question."""
    if isinstance(form, ask.StripForm):
        return replace(shown, edges_s=form.edges_s)
    if isinstance(form, ask.PointForm):
        names = part_names(scenario.filter)
        given = letters(names)
        return replace(shown, parts=tuple((given[key], key, name) for key, name in names.items()))
    if isinstance(form, ask.CurveForm):
        unit = unit_of_key(form.trace)
        sign = unit.sign if unit else ""
        return replace(
            shown, axes=Axes(form.from_s, form.to_s, form.bottom, form.top, sign, form.trace), unit=sign
        )
    if isinstance(form, ask.EntryForm):
        return replace(shown, most_letters=form.most_letters)
    if isinstance(form, ask.CaseForm):
        return _case_shown(form, shown)
    last = [line.id for line in _listed(form) if line.last]
    return replace(shown, choices=_choices(form, scenario, log, salt), last=tuple(last))


def _case_shown(form: ask.CaseForm, shown: PosedQuestion) -> PosedQuestion:
    """The complaint after the question, suspects as choices, and the tests with their results."""
    from glasscan.learning.cases.short_case import short_case  # only here: it needs the fault engine

    case = short_case(form)
    suspects = tuple((code, f"{code}  {fault.title}") for code, fault in case.suspects.items())
    tests = tuple(
        TestShown(word, t.test.title, t.test.cost_min, t.test.risk, t.result)
        for word, t in case.tests.items()
    )
    text = f"{shown.text} Flight line: {case.complaint}"
    return replace(shown, text=text, choices=suspects, tests=tests)


def _choices(
    form: ask.Form, scenario: Scenario, log: MarkingLog | None, salt: str
) -> tuple[tuple[str, str], ...]:
    if isinstance(form, ask.NumberChoiceForm):
        if log is None:
            raise ValueError("the numbers to choose from come from the run")
        return tuple((line.id, line.text) for line in lines(form, log, salt))
    if isinstance(form, ask.OrderForm):
        return tuple((s.id, fill(s.text, scenario)) for s in form.steps)
    return tuple((line.id, fill(line.text, scenario)) for line in _listed(form))


def _listed(form: ask.Form) -> tuple[ask.Choice | ask.Option, ...]:
    if isinstance(form, ask.ChoiceForm):
        return form.choices
    return form.options if isinstance(form, ask.SeveralForm) else ()


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
    result = _mark(_as_shown(_form(prompt), shown), answer, log, prompt.marks)
    return replace(result, reason=_sentences(result.reason, prompt.why, manual_told(prompt.manual)))


def _as_shown(form: ask.Form, shown: PosedQuestion | None) -> ask.Form:
    """The same form with its statements in the order shown; a choice keeps its order, which finds its key."""
    if shown is None or not isinstance(form, ask.SeveralForm):
        return form
    place = {name: i for i, (name, _) in enumerate(shown.choices)}
    return form.model_copy(update={"options": tuple(sorted(form.options, key=lambda o: place[o.id]))})


def _form(prompt: ask.Prompt) -> ask.Form:
    """Every prompt seen as one of the forms of answer."""
    if isinstance(prompt, ask.Predict):
        return prompt.answer
    if isinstance(prompt, ask.SingleChoice):
        return ask.ChoiceForm(form="choice", choices=prompt.choices)
    if not isinstance(prompt, ask.Numeric):
        return prompt
    return ask.NumberForm(
        form="number",
        quantity=prompt.quantity,
        unit=prompt.unit,
        tol_abs=prompt.tol_abs,
        tol_rel=prompt.tol_rel,
    )


@singledispatch
def _mark(form: object, answer: Answer, log: MarkingLog, out_of: float) -> Result:  # noqa: ARG001 - for all cases
    raise ValueError(f"not a form of answer: {form!r}")


@_mark.register
def _(form: ask.ChoiceForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
    chosen = next((c for c in form.choices if c.id == answer), None)
    if chosen is None:
        raise ValueError(f"expected one of {', '.join(c.id for c in form.choices)}")
    key = true_choice(form.choices, log)
    if chosen is key:
        return Result(1.0, out_of, out_of, key.text, _sentences("Right.", key.because), (key.text,))
    facts = [fact for choice in form.choices for fact in choice.true_when]
    head = "Not right. The answer is:" if from_trade(facts) else "The run shows something else:"
    reason = _sentences(head, key.text, chosen.because)
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))


@_mark.register
def _(form: ask.NumberForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
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


def _mark_number(form: ask.NumberForm, given: Typed, log: MarkingLog, truth: Truth, out_of: float) -> Result:
    alike = {n: _to(BY_SUFFIX["kpa"], truth.unit, v) for n, v in look_alikes(form.quantity, log).items()}
    return number_result(given, Truth(truth.value, truth.unit, truth.band, alike), out_of)


@_mark.register
def _(form: ask.StripForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
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


@_mark.register
def _(form: ask.PointForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
    named = [*(line.part for line in form.targets), *(line.part for line in form.near)]
    return point_result(form, answer, log, out_of, parts_beside(named))


_mark.register(ask.SeveralForm, several_result)
_mark.register(ask.NumberChoiceForm, number_choice_result)
_mark.register(ask.OrderForm, order_result)
_mark.register(ask.CurveForm, curve_result)
_mark.register(ask.EntryForm, entry_result)


@_mark.register
def _(form: ask.CaseForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
    from glasscan.learning.question_types.diagnose import case_result  # only here: it needs the fault engine

    return case_result(form, answer, log, out_of)


def _window(form: ask.StripForm, i: int) -> str:
    return f"{form.edges_s[i]:g}–{form.edges_s[i + 1]:g} s"


def _to(given: UnitWord | None, asked_unit: UnitWord | None, value: float) -> float:
    return given.to(asked_unit, value) if given and asked_unit else value


def _sentences(*parts: str) -> str:
    return " ".join(p for p in parts if p)
