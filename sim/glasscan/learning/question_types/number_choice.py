"""Choose a number among three: the key and two slips, of which neither size nor place tells the key."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from hashlib import sha256
from itertools import combinations

from glasscan.content.unit_words import UnitWord, unit_of_word
from glasscan.learning.form_schema import NumberChoiceForm
from glasscan.learning.marking import Band, Result, quantity_text
from glasscan.learning.marking_log import MarkingLog, column
from glasscan.learning.question_types.slips import TENFOLD, Slip, slips
from glasscan.learning.run_quantities import read

WRONG = 2
"""Wrong numbers beside the key: three options (Part-66 Appendix II, from memory)."""

NEVER_TEXT = "It does not happen in this run."
NEVER_WRONG = "The event asked about did come."
NEVER_RIGHT = "The event asked about did not come."


@dataclass(frozen=True)
class SlipChoice:
    """One of the numbers shown.

    Attributes:
        id: "number-1" to "number-3", in rising order of the numbers.
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


def lines(form: NumberChoiceForm, log: MarkingLog) -> tuple[SlipChoice, ...]:
    """The key and two wrong lines, the numbers rising.

    Whether the key is the least, the middle or the greatest number is drawn from the question and its key.
    A question on an event may offer that it never comes, whether or not it does.
    """
    reading, unit = read(form.quantity, log), unit_of_word(form.unit)
    if reading.value is None:
        return _never(form, log, unit)
    value = reading.unit.to(unit, reading.value) if reading.unit and unit else reading.value
    key = _Key(value, Band(form.tol_abs, form.tol_rel), unit)
    draw = sha256(f"{form.quantity.model_dump_json()} {key.text}".encode()).digest()
    hangs_on_event = hasattr(form.quantity, "event")
    with_never = hangs_on_event and draw[0] % 2 == 1
    numbers = WRONG - with_never
    wrong = _chosen(list(_usable(slips(form.quantity, log, value, unit), key)), key, numbers, draw[1])
    rows = [(s.value, s.because, False) for s in wrong] + [(value, "This is the number of the run.", True)]
    told = [(quantity_text(v, unit), why, right) for v, why, right in sorted(rows)]
    return _named(told + ([(NEVER_TEXT, NEVER_WRONG, False)] if with_never else []))


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

    def cost(some: tuple[Slip, ...]) -> tuple[int, int, int]:
        below = sum(s.value < key.value for s in some)
        odd = sum(not _near_in_size(s.value, key.value) for s in some)
        return abs(below - wanted), odd, sum(found.index(s) for s in some)

    ways: list[tuple[Slip, ...]] = list(combinations(found, count))
    return list(min(ways, key=cost, default=()))


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
    return tuple(SlipChoice(f"number-{i}", *row) for i, row in enumerate(rows, 1))


def number_choice_result(form: NumberChoiceForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark the number chosen; a slip is named.

    Raises:
        ValueError: the answer is no line of the question.
    """
    shown = lines(form, log)
    chosen = next((line for line in shown if line.id == answer), None)
    if chosen is None:
        raise ValueError(f"expected one of {', '.join(line.id for line in shown)}")
    key = next(line for line in shown if line.right)
    if chosen.right:
        return Result(1.0, out_of, out_of, key.text, f"Right: {key.text.rstrip('.')}.", (key.text,))
    reason = f"Not right: the run gives {key.text.rstrip('.')}. {chosen.because}"
    return Result(0.0, 0.0, out_of, key.text, reason, (), (chosen.text,))
