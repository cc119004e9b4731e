"""Point at a part: full marks for the part, half for a named neighbour."""

from __future__ import annotations

from collections.abc import Mapping

from glasscan.learning.facts import all_hold
from glasscan.learning.form_schema import PointForm, Target
from glasscan.learning.marking import HALF, Result
from glasscan.learning.marking_log import MarkingLog

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
