"""Marks of a drawn curve: start, peak, direction of each stretch, settled value; never point by point."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING, Literal

from pydantic import Field

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.content.unit_words import unit_of_key
from glasscan.learning.answer_text import as_points
from glasscan.learning.marking import Result, quantity_text
from glasscan.learning.marking_log import MarkingLog, column
from glasscan.learning.prompt_base import Asking
from glasscan.learning.question import Answer, Axes, PosedQuestion
from glasscan.learning.question_type import (
    AskedOf,
    QuestionType,
    question_type,
)
from glasscan.learning.record_base import Number, Record, Seconds
from glasscan.learning.run_schema import Column

if TYPE_CHECKING:
    from glasscan.learning.marking_log import Floats

CurveFeature = Literal["start", "peak", "slope", "settle"]


class CurveForm(Record):
    """Draw a trace column against time; marked on its features, not on its points."""

    form: Literal["curve"]
    trace: Column
    from_s: Seconds = 0.0
    to_s: Seconds
    bottom: Number = Field(default=0.0, description="Foot of the axis, unit of `trace`")
    top: Number = Field(description="Head of the axis, unit of `trace`")
    features: tuple[CurveFeature, ...] = Field(default=("start", "peak", "slope", "settle"), min_length=1)
    edges_s: tuple[Seconds, ...] = Field(
        default=(), max_length=13, description="Borders of the slope windows"
    )
    tol_value: Number = Field(default=0.12, gt=0, le=0.5, description="Share of the height of the axis")
    tol_time: Number = Field(default=0.08, gt=0, le=0.5, description="Share of the width of the axis")
    level: Number = Field(default=0.04, gt=0, le=0.5, description="A change below this share counts as level")


class DrawCurve(Asking, CurveForm):
    """Draw a curve before the run, then see the run over it: a prediction."""

    kind: Literal["draw-the-curve"]
    form: Literal["curve"] = "curve"
    marks: Number = Field(default=0.0, ge=0, le=100)


SAMPLES = 481
"""Moments at which the drawn and the true curve are compared: finer than a hand draws."""

DEFAULT_WINDOWS = 3
"""Stretches of time whose direction is asked where the file names none."""


@dataclass(frozen=True)
class Curve:
    """A curve on its axes.

    Attributes:
        t: (N,) share of the axis' width, 0..1.
        v: (N,) share of the axis' height; may leave 0..1.
    """

    t: Floats
    v: Floats

    @property
    def top(self) -> float:
        """Largest value."""
        return float(self.v.max())

    def near_top(self, within: float) -> Floats:
        """Moments at which the curve is within `within` of its largest value."""
        return self.t[self.v >= self.top - within]

    def at(self, t: float) -> float:
        """Value at a moment."""
        import numpy as np

        return float(np.interp(t, self.t, self.v))


def curve_result(form: CurveForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark a drawn curve by its features.

    Raises:
        ValueError: the answer is no curve.
    """
    import numpy as np

    drawn, true = _drawn(form, answer), true_curve(form, log)
    told = [FEATURES[name](form, drawn, true) for name in form.features]
    share = float(np.mean([t[0] for t in told]))
    good = tuple(text for s, text in told if s == 1.0)
    bad = tuple(text for s, text in told if s < 1.0)
    reason = " ".join(text for _, text in told)
    return Result(share, share * out_of, out_of, describe(form, true), reason, good, bad)


def true_curve(form: CurveForm, log: MarkingLog) -> Curve:
    """The run's curve on the axes of the prompt."""
    import numpy as np

    end_s = min(form.to_s, float(log.times_s[-1]))
    at_s = np.linspace(form.from_s, end_s, SAMPLES)
    values = np.interp(at_s, log.times_s, column(log, form.trace))
    return Curve((at_s - form.from_s) / (form.to_s - form.from_s), _up(form, values))


def _drawn(form: CurveForm, answer: object) -> Curve:
    import numpy as np

    t, v = np.array(as_points(answer)).T
    wide = np.linspace(0.0, 1.0, SAMPLES)
    at_s = form.from_s + wide * (form.to_s - form.from_s)
    return Curve(wide, _up(form, np.interp(at_s, t, v)))


def _up(form: CurveForm, values: Floats) -> Floats:
    import numpy as np

    return np.asarray((values - form.bottom) / (form.top - form.bottom))


def _start(form: CurveForm, drawn: Curve, true: Curve) -> tuple[float, str]:
    return _value_at(form, drawn, true, true.t[0], "start")


def _settle(form: CurveForm, drawn: Curve, true: Curve) -> tuple[float, str]:
    return _value_at(form, drawn, true, true.t[-1], "end")


def _value_at(form: CurveForm, drawn: Curve, true: Curve, t: float, word: str) -> tuple[float, str]:
    off = drawn.at(t) - true.at(t)
    if abs(off) <= form.tol_value:
        return 1.0, f"The {word} is right."
    return 0.0, f"The {word} is too {'high' if off > 0 else 'low'}: the run shows {_text(form, true.at(t))}."


def _peak(form: CurveForm, drawn: Curve, true: Curve) -> tuple[float, str]:
    """Half for the height, half for the time; a flat run asks for no time, a flat drawing has none."""
    import numpy as np

    high = abs(drawn.top - true.top) <= form.tol_value
    flat, level = (c.top - float(c.v.min()) <= form.level for c in (true, drawn))
    when = true.near_top(form.tol_value / 2)
    apart = np.abs(drawn.near_top(1e-9)[:, None] - when[None, :]).min()
    timely = flat or (not level and bool(apart <= form.tol_time))
    if high and timely:
        return 1.0, "The peak is right."
    from_s = form.from_s + float(when[0]) * (form.to_s - form.from_s)
    place = "" if flat else f" at about {from_s:.0f} s"
    wrong = "" if high else " in height" if timely else " in height and in time"
    told = f"The peak is off{wrong or ' in time'}: the run reaches {_text(form, true.top)}{place}."
    return (float(high) + float(timely)) / 2, told


def _slope(form: CurveForm, drawn: Curve, true: Curve) -> tuple[float, str]:
    edges = _edges(form)
    ours, theirs = (_directions(c, edges, form.level) for c in (drawn, true))
    right = [a == b for a, b in zip(ours, theirs, strict=True)]
    share = sum(right) / len(right)
    if share == 1.0:
        return 1.0, "Every stretch goes the right way."
    spans = [
        f"{form.from_s + a * _width(form):.0f} to {form.from_s + b * _width(form):.0f} s" for a, b in edges
    ]
    wrong = [f"from {s} the run {w}" for s, w, r in zip(spans, theirs, right, strict=True) if not r]
    return share, f"{sum(right)} of {len(right)} stretches go the right way: {'; '.join(wrong)}."


def _width(form: CurveForm) -> float:
    return form.to_s - form.from_s


def _edges(form: CurveForm) -> list[tuple[float, float]]:
    import numpy as np

    if form.edges_s:
        return list(pairwise([(t - form.from_s) / _width(form) for t in form.edges_s]))
    return list(pairwise(np.linspace(0.0, 1.0, DEFAULT_WINDOWS + 1).tolist()))


def _directions(curve: Curve, edges: list[tuple[float, float]], level: float) -> list[str]:
    changes = [curve.at(b) - curve.at(a) for a, b in edges]
    return ["stays level" if abs(c) <= level else "rises" if c > 0 else "falls" for c in changes]


Judge = Callable[[CurveForm, Curve, Curve], tuple[float, str]]
FEATURES: dict[str, Judge] = {"start": _start, "peak": _peak, "slope": _slope, "settle": _settle}
"""How each feature is judged: share and sentence."""


def describe(form: CurveForm, curve: Curve) -> str:
    """A curve in words: start, peak, end."""
    first, top, last = (_text(form, v) for v in (curve.v[0], curve.top, curve.v[-1]))
    return f"starts at {first}, reaches {top}, ends at {last}"


def _text(form: CurveForm, share: float) -> str:
    value = form.bottom + float(share) * (form.top - form.bottom)
    grain = 1e-3 * abs(form.top - form.bottom)
    return quantity_text(0.0 if abs(value) < grain else value, unit_of_key(form.trace))


def _axes_fit(form: CurveForm, here: Path) -> Iterator[Finding]:
    if form.to_s <= form.from_s:
        yield (*here, "to_s"), f"expected a time after from_s = {form.from_s:g} s", None
    if form.top <= form.bottom:
        yield (*here, "top"), f"expected more than bottom = {form.bottom:g}", None
    inside = all(form.from_s <= t <= form.to_s for t in form.edges_s)
    if list(form.edges_s) != sorted(set(form.edges_s)) or not inside or len(form.edges_s) == 1:
        yield (*here, "edges_s"), "expected two or more rising times between from_s and to_s", None


@question_type
class DrawnCurve(QuestionType):
    """A curve on empty axes."""

    form = "curve"
    schema = CurveForm
    kinds = (DrawCurve,)

    def check(self, form: CurveForm, here: Path) -> Iterator[Finding]:
        yield from _axes_fit(form, here)

    def put(self, form: CurveForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        del of
        unit = unit_of_key(form.trace)
        sign = unit.sign if unit else ""
        axes = Axes(form.from_s, form.to_s, form.bottom, form.top, sign, form.trace)
        return replace(shown, axes=axes, unit=sign)

    def mark(self, form: CurveForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return curve_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        assert asked.axes is not None
        return ((asked.axes.from_s, asked.axes.bottom), (asked.axes.to_s, asked.axes.bottom))

    def lines(self, asked: PosedQuestion) -> list[str]:
        del asked
        return []

    def how(self, asked: PosedQuestion) -> str:
        a = asked.axes
        assert a is not None
        span = f"times {a.from_s:g} to {a.to_s:g} s, values {a.bottom:g} to {a.top:g}"
        return f"Points time:value ({span} {asked.unit}), such as: 0:0 5:80 60:20"

    def read(self, asked: PosedQuestion, line: str) -> str:
        del asked
        as_points(line)
        return line
