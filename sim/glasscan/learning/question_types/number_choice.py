"""Choose a number among three: the key and two slips, of which neither size nor place tells the key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from hashlib import sha256
from itertools import combinations
from typing import Literal

from glasscan.content.unit_words import UnitWord, unit_of_word
from glasscan.learning.marking import Band, Result, quantity_text
from glasscan.learning.marking_log import MarkingLog, column
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import AskedOf, QuestionType, question_type
from glasscan.learning.question_types.slips import TENFOLD, Slip, slips
from glasscan.learning.run_quantities import read
from glasscan.learning.run_schema import NumberOfRun


class NumberChoiceForm(NumberOfRun):
    """Choose the number among three; the two wrong ones are made from slips of procedure."""

    form: Literal["number-choice"]


class NumericChoice(Marked, NumberChoiceForm):
    """Choose a number of the run among three."""

    kind: Literal["numeric-choice"]
    form: Literal["number-choice"] = "number-choice"


WRONG = 2
"""Wrong numbers beside the key: three options (Part-66 Appendix II, from memory)."""

NEVER_TEXT = "It does not happen in this run."
RIGHT = "This is the number of the run."
NEVER_WRONG = "The event asked about did come."
NEVER_RIGHT = "The event asked about did not come."


@dataclass(frozen=True)
class SlipChoice:
    """One of the numbers shown.

    Attributes:
        id: of the line.
        text: number and unit.
        because: what gives this number.
        right: it is the key.
    """

    id: str
    text: str
    because: str
    right: bool


@dataclass(frozen=True)
class _Key:
    """The right number, its tolerance and its unit."""

    value: float
    band: Band
    unit: UnitWord | None

    @property
    def text(self) -> str:
        return quantity_text(self.value, self.unit)


def lines(form: NumberChoiceForm, log: MarkingLog, salt: str = "") -> tuple[SlipChoice, ...]:
    """The key and two wrong lines, the numbers rising.

    A sitting's salt draws whether the key is the least, the middle or the greatest number, and whether a
    question on an event offers that it never comes: it does so whether or not that is right.
    """
    key = _key(form, log)
    if key is None:
        return _never(form, log, unit_of_word(form.unit))
    draw = sha256(f"{salt} {form.quantity.model_dump_json()}".encode()).digest()
    with_never = hasattr(form.quantity, "event") and draw[0] % 2 == 1
    wrong = _chosen(_wrong(form, log, key), key, WRONG - with_never, draw[1])
    rows = sorted([*((s.value, s.because, False) for s in wrong), (key.value, RIGHT, True)])
    told = [(quantity_text(value, key.unit), why, right) for value, why, right in rows]
    return _named(told + ([(NEVER_TEXT, NEVER_WRONG, False)] if with_never else []))


def every_line(form: NumberChoiceForm, log: MarkingLog) -> tuple[SlipChoice, ...]:
    """Every line that any sitting may be shown."""
    key = _key(form, log)
    if key is None:
        return _never(form, log, unit_of_word(form.unit))
    wrong = [(quantity_text(s.value, key.unit), s.because, False) for s in _wrong(form, log, key)]
    return _named([(key.text, RIGHT, True), *wrong, (NEVER_TEXT, NEVER_WRONG, False)])


def _key(form: NumberChoiceForm, log: MarkingLog) -> _Key | None:
    reading, unit = read(form.quantity, log), unit_of_word(form.unit)
    if reading.value is None:
        return None
    value = reading.unit.to(unit, reading.value) if reading.unit and unit else reading.value
    return _Key(value, Band(form.tol_abs, form.tol_rel), unit)


def _wrong(form: NumberChoiceForm, log: MarkingLog, key: _Key) -> list[Slip]:
    return list(_usable(slips(form.quantity, log, key.value, key.unit), key))


def _usable(found: Iterable[Slip], key: _Key) -> Iterator[Slip]:
    """Slips that cannot be taken for the key or for each other, those of its own size first."""
    known: list[Slip] = []
    far = [s for s in found if abs(s.value) < 1e9 and key.band.share(s.value, key.value) == 0.0]
    for slip in sorted(far, key=lambda s: not _near_in_size(s.value, key.value)):
        texts = {key.text, *(quantity_text(k.value, key.unit) for k in known)}
        close = any(key.band.share(slip.value, k.value) > 0.0 for k in known)
        if quantity_text(slip.value, key.unit) not in texts and not close:
            known.append(slip)
            yield slip


def _near_in_size(value: float, key: float) -> bool:
    """Within an order of magnitude; at a key of nought nothing is."""
    return value != 0.0 and key / value > 0.0 and 1.0 / TENFOLD < key / value < TENFOLD


def _chosen(found: list[Slip], key: _Key, count: int, draw: int) -> list[Slip]:
    """So many slips that the key has the drawn place by size, where that can be; else the nearest to it.

    The likelier slips come first, those of the key's own size before the others.
    """
    wanted = draw % (count + 1)

    def cost(some: Sequence[Slip]) -> tuple[int, int, int]:
        below = sum(s.value < key.value for s in some)
        odd = sum(not _near_in_size(s.value, key.value) for s in some)
        return abs(below - wanted), odd, sum(found.index(s) for s in some)

    ways = [list(way) for way in combinations(found, count)]
    return min(ways, key=cost, default=[])


def _never(form: NumberChoiceForm, log: MarkingLog, unit: UnitWord | None) -> tuple[SlipChoice, ...]:
    """The event never comes: that statement, and what the run shows at its two ends."""
    rows: dict[str, tuple[float, str]] = {}
    for value, why in _edges(form, log, unit):
        rows.setdefault(quantity_text(value, unit), (value, why))
    told = [(text, why, False) for text, (_, why) in sorted(rows.items(), key=lambda row: row[1][0])]
    return _named([*told, (NEVER_TEXT, NEVER_RIGHT, True)])


def _edges(form: NumberChoiceForm, log: MarkingLog, unit: UnitWord | None) -> Iterator[tuple[float, str]]:
    name = getattr(form.quantity, "trace", "")
    values = column(log, name) if name else log.times_s
    own = read(form.quantity, log).unit
    for value, when in ((values[-1], "end"), (values[0], "start")):
        told = f"The run shows that at its {when}, but the event did not come then."
        yield (own.to(unit, float(value)) if own and unit else float(value)), told


def _named(rows: list[tuple[str, str, bool]]) -> tuple[SlipChoice, ...]:
    """Lines with ids that hang on their text alone: the same in every sitting, and silent on the key."""
    return tuple(SlipChoice(f"n-{sha256(row[0].encode()).hexdigest()[:8]}", *row) for row in rows)


def number_choice_result(form: NumberChoiceForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark the number chosen; a slip is named.

    Raises:
        ValueError: the answer is no line of the question.
    """
    shown = every_line(form, log)
    chosen = next((line for line in shown if line.id == answer), None)
    if chosen is None:
        raise ValueError("expected one of the numbers shown")
    key = next(line for line in shown if line.right)
    if chosen.right:
        return Result(1.0, out_of, out_of, key.text, f"Right: {key.text.rstrip('.')}.", (key.text,))
    reason = f"Not right: the run gives {key.text.rstrip('.')}. {chosen.because}"
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))


@question_type
class NumberChoice(QuestionType):
    """A number among three."""

    form = "number-choice"
    schema = NumberChoiceForm
    kinds = (NumericChoice,)
    needs_run = True
    one_line = True

    def put(self, form: NumberChoiceForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        if of.log is None:
            raise ValueError("the numbers to choose from come from the run")
        return replace(shown, choices=tuple((line.id, line.text) for line in lines(form, of.log, of.salt)))

    def mark(self, form: NumberChoiceForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return number_choice_result(form, answer, log, out_of)

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return "One letter."
