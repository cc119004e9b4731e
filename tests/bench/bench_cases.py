"""Cases solved by the reference path over 1,000 seeds: share named right, minutes, time of a case.

The peer plays the same cases with the tests in the order of the menu until a fault is sure: what a trainee
does who works down the list.
"""

from __future__ import annotations

import time
from typing import NamedTuple

from sim.lessons.cases.generate import Hidden, field, generate
from sim.lessons.cases.reference import reference_path
from sim.lessons.cases.solve import SURE, fault_belief, updated

SEEDS = 1000
KINDS = ("can", "cartridge", "disc")
AIM_SHARE, AIM_START_S = 0.95, 1.0


class Row(NamedTuple):
    """One line of the bench; a share named right stands in the column of the ratio."""

    name: str
    seconds: float
    peer: str
    peer_seconds: float
    ratio: float
    aim: str


class Tally:
    """Counts over the seeds of one filter."""

    def __init__(self) -> None:
        self.right = self.refused = 0
        self.cost_min = self.list_min = self.seconds = self.list_seconds = 0.0


def down_the_list(hidden: Hidden) -> float:
    """Minutes spent by ordering the menu from the top until a fault is sure."""
    tests = field(hidden.kind, hidden.layout, 2, hidden.runnable)
    belief, cost = updated(tests.prior, tests.complaint, hidden.complaint), 0.0
    for word, test in tests.tests.items():
        if max(fault_belief(tests, belief).values()) >= SURE:
            break
        belief = updated(belief, tests.sheets[word], hidden.result(test, 2))
        cost += test.cost_min
    return cost


def tally(kind: str, seeds: range) -> Tally:
    """Play every seed."""
    found = Tally()
    for seed in seeds:
        begun = time.process_time()
        hidden = generate(seed, kind)
        path = reference_path(hidden, 2)
        found.seconds += time.process_time() - begun
        found.right += path.verdict == hidden.fault.fault
        found.refused += len(hidden.refused)
        found.cost_min += path.cost_min
        begun = time.process_time()
        found.list_min += down_the_list(hidden)
        found.list_seconds += time.process_time() - begun
    return found


def rows(kind: str, seeds: range) -> list[Row]:
    """Share named right, and minutes against going down the list."""
    generate(0, kind)
    found, n = tally(kind, seeds), len(seeds)
    each = found.seconds / n
    share = found.right / n
    drawn = n + found.refused
    minutes = found.list_min / max(found.cost_min, 1e-9)
    told = f"down the list ({n} decidable of {drawn} drawn; the ratio is the share named right)"
    return [
        Row(f"cases, {kind}, named right", each, told, found.list_seconds / n, share, f">= {AIM_SHARE:g}"),
        Row(
            f"cases, {kind}, minutes of tests ({found.cost_min / n:.1f})",
            each,
            f"down the list ({found.list_min / n:.1f} min)",
            found.list_seconds / n,
            minutes,
            ">= 1",
        ),
    ]


def measure() -> list[Row]:
    """All rows of this bench: 1,000 seeds shared by the three filters, and the start of one case."""
    found = [row for k, kind in enumerate(KINDS) for row in rows(kind, range(k, SEEDS, len(KINDS)))]
    begun = time.perf_counter()
    generate(SEEDS + 1, "can")
    start = time.perf_counter() - begun
    return [*found, Row("cases, start of one", start, "1 s", AIM_START_S, AIM_START_S / start, ">= 1")]


if __name__ == "__main__":
    for row in measure():
        print(row)
