"""Marks for an answer, with the reason; every key comes from the run."""

from __future__ import annotations

from dataclasses import dataclass

from glasscan.content.unit_words import BY_SUFFIX, UnitWord
from glasscan.learning.typed_numbers import Typed

HALF = 0.5
"""Share of the marks within twice the tolerance, and for a right number with a slip (PRACTICE)."""


NAUGHT = 1e-4
"""A number smaller than this, in the unit it is asked in, is shown as nought: nobody reads powers of ten."""


@dataclass(frozen=True)
class Result:
    """What an answer earned.

    Attributes:
        share: part of the full marks, 0..1.
        marks: what counts.
        out_of: full marks of the prompt (0 = kept for discussion, not marked).
        key: the right answer, as text.
        reason: why, one or two sentences.
        rights: what was right.
        wrongs: what was wrong.
        slip: name of a recognised slip, or None.
        gates: safety faults of the answer; they count apart from the score.
        by_hand: a person may put another mark in its place.
    """

    share: float
    marks: float
    out_of: float
    key: str
    reason: str
    rights: tuple[str, ...] = ()
    wrongs: tuple[str, ...] = ()
    slip: str | None = None
    gates: tuple[str, ...] = ()
    by_hand: bool = False


@dataclass(frozen=True)
class Band:
    """Tolerance: full marks within max(abs, rel |truth|), half within twice that."""

    tol_abs: float
    tol_rel: float

    def width(self, truth: float) -> float:
        """Half width of the full band."""
        return max(self.tol_abs, self.tol_rel * abs(truth))

    def share(self, x: float, truth: float) -> float:
        """1, 1/2 or 0. A rounding error of 1e-9 of the truth does not count."""
        off, width = abs(x - truth), self.width(truth)
        grain = 1e-9 * max(abs(truth), abs(x))
        return 1.0 if off <= width + grain else HALF if off <= 2 * width + grain else 0.0


@dataclass(frozen=True)
class Truth:
    """A number to compare with.

    Attributes:
        value: in `unit`.
        unit: in which the answer was asked, or None for a bare number.
        band: the tolerance, in that unit.
        alike: values (in `unit`) of quantities that are easily taken for this one, by name.
    """

    value: float
    unit: UnitWord | None
    band: Band
    alike: dict[str, float]


def number_result(answer: Typed, truth: Truth, out_of: float) -> Result:
    """Mark a number."""
    x = _in_asked_unit(answer, truth.unit)
    key = quantity_text(truth.value, truth.unit)
    if x is None:
        return _wrong_kind(answer, truth, key, out_of)
    share = truth.band.share(x, truth.value)
    if share == 1.0:
        return Result(1.0, out_of, out_of, key, f"Right: the run gives {key}.", (f"the value, {key}",))
    slip = _slip(answer, x, truth)
    if slip:
        text = f"{slip[1]} The run gives {key}."
        return Result(HALF, HALF * out_of, out_of, key, text, ("the number",), (slip[1],), slip[0])
    told = f"{quantity_text(x, truth.unit)} is {_how_far(x, truth)}; the run gives {key}."
    if share == HALF:
        reason = f"Near: {told} Half marks within twice the tolerance."
        return Result(HALF, HALF * out_of, out_of, key, reason, ("the size",), ("the last digits",))
    return Result(0.0, 0.0, out_of, key, f"Not right: {told}", (), ("the value",))


def never_result(said_never: bool, missing: str, at: str | None, out_of: float) -> Result:
    """Mark an answer where either the answer or the run says `never`.

    Args:
        said_never: the learner's answer is `never`.
        missing: the event asked for.
        at: the key as text where it does come, else None.
        out_of: full marks.
    """
    if at is None and said_never:
        reason = f"Right: in this run there is no {missing}."
        return Result(1.0, out_of, out_of, "never", reason, (f"no {missing}",))
    if at is None:
        reason = f"Not right: in this run there is no {missing}; the answer is 'never'."
        return Result(0.0, 0.0, out_of, "never", reason, (), (f"there is no {missing}",))
    return Result(
        0.0, 0.0, out_of, at, f"Not right: it does come; the run gives {at}.", (), ("it does come",)
    )


def quantity_text(value: float, unit: UnitWord | None) -> str:
    """A value with three figures and its unit, with the minus sign of print; never in powers of ten."""
    shown = value if abs(value) >= NAUGHT else 0.0
    figures = f"{shown:.0f}" if abs(shown) >= 999.5 else f"{shown:.3g}"
    return figures.replace("-", "−") + (f" {unit.sign}" if unit else "")


def _in_asked_unit(answer: Typed, asked: UnitWord | None) -> float | None:
    """The number in the unit asked for, or None where its unit measures something else."""
    if answer.unit is None:
        return answer.value
    same = asked is not None and answer.unit.kind == asked.kind
    return answer.unit.to(asked, answer.value) if same and asked else None


def _wrong_kind(answer: Typed, truth: Truth, key: str, out_of: float) -> Result:
    given = answer.unit.kind if answer.unit else "no unit"
    wanted = f"a {truth.unit.kind} in {truth.unit.sign}" if truth.unit else "a number without a unit"
    wrong = f"the answer is {wanted}, not a {given}"
    return Result(0.0, 0.0, out_of, key, f"Not right: {wrong}. The run gives {key}.", (), (wrong,), "kind")


def _how_far(x: float, truth: Truth) -> str:
    word = "too high" if x > truth.value else "too low"
    return f"{quantity_text(abs(x - truth.value), truth.unit)} {word}"


def _slip(answer: Typed, x: float, truth: Truth) -> tuple[str, str] | None:
    """Name and sentence of a recognised slip, or None; only where the slip lands within the full band."""
    if truth.value != 0 and truth.band.share(-x, truth.value) == 1.0:
        return "sign", "The number is right, the sign is not."
    if told := _unit_slip(answer, truth):
        return "unit", told
    for name, value in truth.alike.items():
        if truth.band.width(value) < abs(value) and truth.band.share(x, value) == 1.0:
            return name, f"That is another pressure at the same moment: {name}."
    return None


def _unit_slip(answer: Typed, truth: Truth) -> str:
    """What was typed is the right number with no unit or the wrong one; "" where it is not.

    It is a guess about what was typed, so an answer with the unit asked for is never one. At a key of nought,
    or one that the tolerance reaches down to nought, every small number would fit some unit.
    """
    asked = truth.unit
    if asked is None or truth.value == 0.0 or truth.band.width(truth.value) >= abs(truth.value):
        return ""
    if answer.unit is not None:
        right = answer.unit != asked and truth.band.share(answer.value, truth.value) == 1.0
        return f"The number is right in {asked.sign}; you wrote {answer.unit.sign}." if right else ""
    for unit in BY_SUFFIX.values():
        other = unit.kind == asked.kind and unit != asked
        if other and truth.band.share(unit.to(asked, answer.value), truth.value) == 1.0:
            return f"The number is right in {unit.sign}; the answer was asked in {asked.sign}."
    return ""
