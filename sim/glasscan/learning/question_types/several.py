"""Tick all that is true: partial credit by the rules of several answers."""

from __future__ import annotations

from glasscan.learning.facts import all_hold
from glasscan.learning.form_schema import Option, SeveralForm
from glasscan.learning.marking import Result
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.question_types.answer_text import as_ids
from glasscan.learning.scoring.several import several

NONE = "none of them"


def keys(form: SeveralForm, log: MarkingLog) -> tuple[str, ...]:
    """Ids of the options that are true of a run; none may be."""
    return tuple(option.id for option in form.options if all_hold(option.true_when, log))


def several_result(form: SeveralForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark the ticks; each wrong tick and each missed key is told with its reason.

    Raises:
        ValueError: the answer names an option that is not shown.
    """
    ticked, shown = as_ids(answer), {option.id: option for option in form.options}
    strange = [name for name in ticked if name not in shown]
    if strange:
        raise ValueError(f"expected some of {', '.join(shown)}, found '{strange[0]}'")
    true = keys(form, log)
    unsafe = [o.id for o in form.options if o.unsafe]
    share, gates = _credit(form, ticked, true, unsafe)
    key = "; ".join(shown[name].text for name in true) or NONE
    wrong = [o for o in form.options if (o.id in ticked) != (o.id in true)]
    reason = " ".join([_head(share), *(_told(o, o.id in true) for o in wrong)])
    rights = tuple(shown[name].text for name in true if name in ticked)
    return Result(
        share, share * out_of, out_of, key, reason, rights, tuple(o.text for o in wrong), gates=gates
    )


def _credit(
    form: SeveralForm, ticked: tuple[str, ...], true: tuple[str, ...], unsafe: list[str]
) -> tuple[float, tuple[str, ...]]:
    """Share and gates; where nothing is true, leaving all empty is the one right answer."""
    shown = [o.id for o in form.options]
    if true:
        credit = several(ticked, true, shown, unsafe=unsafe, rule=form.rule)
        return credit.share, credit.gates
    return float(not ticked), tuple(name for name in ticked if name in unsafe)


def _head(share: float) -> str:
    return "Right." if share == 1.0 else "Partly right." if share > 0.0 else "Not right."


def _told(option: Option, true: bool) -> str:
    verdict = "is true, and was not ticked" if true else "is not true"
    danger = (
        " It would hurt someone, so the whole answer earns nothing." if option.unsafe and not true else ""
    )
    return f"“{option.text.rstrip('.')}” {verdict}. {option.because}{danger}".strip()
