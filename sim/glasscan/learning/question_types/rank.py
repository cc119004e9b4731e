"""Put readings of the run in order of size: as one compares gauges to find a restriction."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from pydantic import Field

from glasscan.content.problems import Path
from glasscan.content.record_loading import Finding
from glasscan.content.unit_words import UnitWord
from glasscan.learning.answer_text import as_ids
from glasscan.learning.ask_wording import fill
from glasscan.learning.marking import Result, quantity_text
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.prompt_base import Marked
from glasscan.learning.question import Answer, PosedQuestion
from glasscan.learning.question_type import AskedOf, QuestionType, ids_once, question_type, with_choices
from glasscan.learning.record_base import Id, Number, Prose, Record
from glasscan.learning.run_quantities import read, unit_of
from glasscan.learning.run_schema import Quantity
from glasscan.learning.scoring.ordering import Order, ordering


class RankItem(Record):
    """One reading of the run."""

    id: Id
    text: Prose
    quantity: Quantity
    because: Prose = Field(default="", description="Why it stands where it stands")


class RankForm(Record):
    """Put readings in order, the highest first; the run gives the order."""

    form: Literal["rank"]
    items: tuple[RankItem, ...] = Field(min_length=3, max_length=8)
    alike: Number = Field(
        default=0.0, ge=0, description="Readings nearer than this may change places, unit of the first one"
    )


class RankReadings(Marked, RankForm):
    """Put readings of the run in order of size."""

    kind: Literal["rank-the-readings"]
    form: Literal["rank"] = "rank"


@dataclass(frozen=True)
class Ranked:
    """The order of a run.

    Attributes:
        order: what must come before what.
        values: of each item, in the unit of the first one.
        unit: of the values, or None.
    """

    order: Order
    values: dict[str, float]
    unit: UnitWord | None

    @property
    def falling(self) -> list[str]:
        """Ids, the highest first."""
        return sorted(self.values, key=lambda name: -self.values[name])


def ranked(form: RankForm, log: MarkingLog) -> Ranked:
    """Read the order off a run.

    Raises:
        ValueError: the run never gives one of the readings.
    """
    unit, values = unit_of(form.items[0].quantity), dict[str, float]()
    for item in form.items:
        reading = read(item.quantity, log)
        if reading.value is None:
            raise ValueError(f"in this run there is no {reading.missing}, so '{item.id}' cannot be read")
        values[item.id] = reading.unit.to(unit, reading.value) if reading.unit and unit else reading.value
    apart = tuple((a, b) for a in values for b in values if values[a] - values[b] > form.alike)
    return Ranked(Order(tuple(values), apart), values, unit)


def rank_result(form: RankForm, answer: object, log: MarkingLog, out_of: float) -> Result:
    """Mark an order of readings: the longest run in order over all readings.

    Raises:
        ValueError: the answer names an unknown reading, or one twice.
    """
    given, items = as_ids(answer), {item.id: item for item in form.items}
    if not set(given) <= set(items) or len(set(given)) < len(given):
        raise ValueError(f"expected each of {', '.join(items)} once at most")
    true = ranked(form, log)
    credit = ordering(given, true.order)
    texts = {name: item.text.rstrip(".") for name, item in items.items()}
    key = " > ".join(f"{texts[n]} ({quantity_text(true.values[n], true.unit)})" for n in true.falling)
    off = [name for name in true.falling if name not in credit.rights]
    head = "Right." if not off else f"{len(credit.rights)} of {len(items)} stand in order."
    told = [f"“{texts[name]}”: {items[name].because}" for name in off if items[name].because]
    reason = " ".join([head, f"The run gives {key}.", *told])
    rights, wrongs = (tuple(texts[n] for n in names) for names in (credit.rights, off))
    return Result(credit.share, credit.share * out_of, out_of, key, reason, rights, wrongs)


@question_type
class Rank(QuestionType):
    """Readings in order of size."""

    form = "rank"
    schema = RankForm
    kinds = (RankReadings,)
    several_lines = True
    ordered = True

    def check(self, form: RankForm, here: Path) -> Iterator[Finding]:
        yield from ids_once([item.id for item in form.items], (*here, "items"))
        first = unit_of(form.items[0].quantity)
        for i, item in enumerate(form.items):
            unit = unit_of(item.quantity)
            if (unit and unit.kind) != (first and first.kind):
                text = f"expected a reading of {first.kind if first else 'no unit'}, as the first one is"
                yield (*here, "items", i, "quantity"), text, None

    def put(self, form: RankForm, shown: PosedQuestion, of: AskedOf) -> PosedQuestion:
        return with_choices(shown, form.items, of.scenario, fill)

    def mark(self, form: RankForm, answer: Answer, log: MarkingLog, out_of: float) -> Result:
        return rank_result(form, answer, log, out_of)

    def any_answer(self, asked: PosedQuestion) -> Answer:
        del asked
        return ()

    def differs(self, form: RankForm, ours: MarkingLog, theirs: MarkingLog) -> str:
        return "" if ranked(form, ours).falling == ranked(form, theirs).falling else "order of readings"

    def how(self, asked: PosedQuestion) -> str:
        del asked
        return "The letters in order, the highest reading first, such as: b a c."
