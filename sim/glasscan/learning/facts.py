"""Statements about a run that are true or false: the keys of choices."""

from __future__ import annotations

from collections.abc import Iterable
from functools import singledispatch
from typing import TYPE_CHECKING

from glasscan.learning import run_schema as ask
from glasscan.learning.marking_log import MarkingLog, events_of
from glasscan.learning.run_quantities import read

if TYPE_CHECKING:
    pass


@singledispatch
def holds(fact: object, log: MarkingLog) -> bool:  # noqa: ARG001 - the signature of all its cases
    """Whether a fact is true of a run.

    Raises:
        TypeError: not a fact of the schema.
        KeyError: the run keeps no such column.
    """
    raise TypeError(f"not a fact: {fact!r}")


@holds.register
def _(fact: ask.Happens, log: MarkingLog) -> bool:
    return _occurs(fact, log)


@holds.register
def _(fact: ask.Never, log: MarkingLog) -> bool:
    return not _occurs(fact, log)


def _occurs(spell: ask.Spell, log: MarkingLog) -> bool:
    import numpy as np

    start_s = spell.from_s
    if spell.after is not None:
        marks = events_of(log, spell.after)
        start_s = max(start_s, marks[0].t_s) if marks else np.inf
    return bool(events_of(log, spell.event, start_s, spell.to_s))


@holds.register
def _(fact: ask.Between, log: MarkingLog) -> bool:
    import numpy as np

    value = read(fact.quantity, log).value
    if value is None:
        return False
    low = -np.inf if fact.at_least is None else fact.at_least
    high = np.inf if fact.at_most is None else fact.at_most
    return bool(low <= value <= high)


@holds.register
def _(fact: ask.Compare, log: MarkingLog) -> bool:
    ours, than = read(fact.quantity, log), read(fact.than, log)
    if ours.value is None or than.value is None:
        return False
    there = than.unit.to(ours.unit, than.value) if than.unit and ours.unit else than.value
    gap = ours.value - fact.times * there
    return bool((gap if fact.side == "above" else -gap) > fact.by)


@holds.register
def _(fact: ask.GivenFact, log: MarkingLog) -> bool:  # noqa: ARG001 - the trade says it, whatever the run does
    return fact.holds


def all_hold(facts: Iterable[ask.Fact], log: MarkingLog) -> bool:
    """Whether every fact of a list is true of a run."""
    return all(holds(fact, log) for fact in facts)


def from_trade(facts: Iterable[ask.Fact]) -> bool:
    """Whether a key comes from the trade alone, not from the run."""
    listed = list(facts)
    return bool(listed) and all(isinstance(fact, ask.GivenFact) for fact in listed)
