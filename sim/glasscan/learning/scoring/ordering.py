"""Order the steps: the longest run already in order is the credit; a dangerous reversal is a gate."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations, pairwise
from typing import TYPE_CHECKING

from glasscan.learning.scoring.credit import Credit

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Pair = tuple[str, str]
"""(earlier, later)."""


@dataclass(frozen=True)
class Order:
    """The steps and what must come before what.

    Attributes:
        steps: names of all steps.
        before: (earlier, later) pairs; what follows from them holds too. Steps that no pair ties are free.
        critical: pairs whose reversal hurts or spoils the work: a gate.
    """

    steps: tuple[str, ...]
    before: tuple[Pair, ...]
    critical: tuple[Pair, ...] = ()

    def __post_init__(self) -> None:
        """Refuse an order nobody can keep."""
        named = {step for pair in (*self.before, *self.critical) for step in pair}
        if not self.steps or len(set(self.steps)) < len(self.steps) or not named <= set(self.steps):
            raise ValueError("order: expected different steps, and pairs of these steps only")
        if any((later, earlier) in self.closure for earlier, later in self.closure):
            raise ValueError("order: the pairs run in a circle")

    @property
    def closure(self) -> frozenset[Pair]:
        """Every pair that the given ones imply, critical ones included."""
        pairs = set(self.before) | set(self.critical)
        for middle in self.steps:
            starts = [a for a, b in pairs if b == middle]
            pairs |= {(a, c) for b, c in tuple(pairs) if b == middle for a in starts}
        return frozenset(pairs)


def fixed_order(steps: Sequence[str], critical: Collection[Pair] = ()) -> Order:
    """An order with a single right answer."""
    return Order(tuple(steps), tuple(pairwise(steps)), tuple(critical))


@dataclass(frozen=True)
class PairCount:
    """Pairs of given steps that are tied by the order: in it, and against it."""

    right: int
    reversed: int

    @property
    def tau(self) -> float | None:
        """Kendall's tau, (right - reversed)/(right + reversed); None where nothing is tied."""
        tied = self.right + self.reversed
        return (self.right - self.reversed) / tied if tied else None


def pairs_right(answer: Sequence[str], order: Order) -> PairCount:
    """Count the tied pairs of an answer."""
    must = order.closure
    given = list(combinations(_known(answer, order), 2))
    return PairCount(sum(pair in must for pair in given), sum((b, a) in must for a, b in given))


def positions_right(answer: Sequence[str], steps: Sequence[str]) -> int:
    """Steps in their own place; told for comparison only, since one step shifted can make it 0."""
    return sum(given == step for given, step in zip(answer, steps, strict=False))


def longest_run(answer: Sequence[str], order: Order) -> tuple[str, ...]:
    """The largest set of given steps of which no two stand the wrong way round, in the order given.

    For a full order it is the longest rising run. 'Stands before but belongs after' is itself an order,
    so the set is a largest antichain of it, found by bipartite matching (Dilworth 1950, Koenig 1931).
    """
    import numpy as np

    steps = _known(answer, order)
    if not steps:
        return ()
    must = order.closure
    wrong = np.array([[j > i and (b, a) in must for j, b in enumerate(steps)] for i, a in enumerate(steps)])
    return tuple(step for step, kept in zip(steps, _antichain(wrong), strict=True) if kept)


def gate_faults(answer: Sequence[str], order: Order) -> tuple[Pair, ...]:
    """Critical pairs not kept: the later step was done before the earlier one, or without it."""
    place = {step: i for i, step in enumerate(answer)}
    late = len(place)
    return tuple((a, b) for a, b in order.critical if b in place and place.get(a, late) > place[b])


def ordering(answer: Sequence[str], order: Order) -> Credit:
    """Mark an order of steps: longest run / steps, and 0 where a critical pair is not kept.

    Steps that are left out, and steps that do not belong to the job, count as not in order.

    Raises:
        ValueError: a step is given twice.
    """
    if len(set(answer)) < len(answer):
        raise ValueError("order: a step is given twice")
    run = longest_run(answer, order)
    missing = [f"left out: {step}" for step in order.steps if step not in answer]
    out_of_place = [f"out of order: {step}" for step in _known(answer, order) if step not in run]
    strange = [f"not part of the job: {step}" for step in answer if step not in order.steps]
    gates = tuple(f"{a} comes before {b}" for a, b in gate_faults(answer, order))
    share = 0.0 if gates else len(run) / (len(order.steps) + len(strange))
    return Credit(share, run, (*missing, *out_of_place, *strange), gates)


def _known(answer: Iterable[str], order: Order) -> list[str]:
    return [step for step in answer if step in order.steps]


def _antichain(above: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Largest antichain of a strict order given as a matrix (n, n), as a mask (n,)."""
    import numpy as np
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import maximum_bipartite_matching

    n = len(above)
    match = maximum_bipartite_matching(csr_array(above.astype(np.int8)), perm_type="column")
    left = np.ones(n, dtype=bool)
    left[match >= 0] = True
    reached_left = match < 0
    reached_right = np.zeros(n, dtype=bool)
    owner = {int(column): row for row, column in enumerate(match) if column >= 0}
    queue = [int(row) for row in np.flatnonzero(reached_left)]
    while queue:
        for column in np.flatnonzero(above[queue.pop()] & ~reached_right):
            reached_right[column] = True
            row = owner.get(int(column))
            if row is not None and not reached_left[row]:
                reached_left[row] = True
                queue.append(row)
    return np.asarray(reached_left & ~reached_right)
