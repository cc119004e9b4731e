"""Cases solved by the reference path over 1,000 seeds of each filter: share named right, minutes, time.

The peer plays the same cases with the tests in the order of the menu until a fault is sure: what a trainee
does who works down the list. `python -m tests.bench.bench_cases 1000` prints filters by levels.
"""

from __future__ import annotations

import sys
import time
from collections import Counter
from dataclasses import dataclass, field
from typing import NamedTuple

from glasscan.learning.cases.generate import Hidden, field_for, generate
from glasscan.learning.cases.reference import reference_path
from glasscan.learning.cases.solver import SURE, fault_belief, updated

SEEDS, LIST_EVERY = 1000, 10
SHORT = 100  # seeds of each filter in the table of all benches
KINDS = ("can", "cartridge", "disc")
LEVELS = (1, 2, 3)
AIM_SHARE, AIM_START_S = 0.95, 1.0


class Row(NamedTuple):
    """One line of the bench; a share named right stands in the column of the ratio."""

    name: str
    seconds: float
    peer: str
    peer_seconds: float
    ratio: float
    aim: str


@dataclass
class Tally:
    """Counts over the seeds of one filter at one level."""

    cases: int = 0
    right: int = 0
    cannot_tell: int = 0
    doubles: int = 0
    tests: int = 0
    cost_min: float = 0.0
    seconds: float = 0.0
    listed: int = 0
    list_min: float = 0.0
    list_own_min: float = 0.0
    list_seconds: float = 0.0
    refused: Counter[str] = field(default_factory=Counter)
    wrong: list[tuple[int, str, str | None]] = field(default_factory=list)


def down_the_list(hidden: Hidden, level: int) -> float:
    """Minutes spent by ordering the menu from the top until a fault is sure."""
    tests = field_for(hidden, level)
    belief, cost = updated(tests.prior, tests.complaint, hidden.complaint), 0.0
    for word, test in tests.tests.items():
        if max(fault_belief(tests, belief).values()) >= SURE:
            break
        belief = updated(belief, tests.sheets[word], hidden.result(test, level))
        cost += test.cost_min
    return cost


def tally(kind: str, seeds: range, level: int = 2) -> Tally:
    """Play every seed; every tenth down the list as well."""
    found = Tally()
    for seed in seeds:
        begun = time.process_time()
        hidden = generate(seed, kind, level=level)
        path = reference_path(hidden, level)
        found.seconds += time.process_time() - begun
        found.cases += 1
        found.right += path.verdict == hidden.code
        found.cannot_tell += path.verdict is None
        found.doubles += hidden.second is not None
        found.tests += len(path.steps)
        found.refused.update(hidden.refused)
        found.cost_min += path.cost_min
        if path.verdict != hidden.code:
            found.wrong.append((seed, hidden.code, path.verdict))
        if seed % LIST_EVERY == 0:
            _listed(found, hidden, level, path.cost_min)
    return found


def _listed(found: Tally, hidden: Hidden, level: int, own_min: float) -> None:
    begun = time.process_time()
    found.list_min += down_the_list(hidden, level)
    found.list_seconds += time.process_time() - begun
    found.list_own_min += own_min
    found.listed += 1


def rows(kind: str, seeds: range) -> list[Row]:
    """Share named right, and minutes against going down the list."""
    generate(0, kind)
    found, n = tally(kind, seeds), len(seeds)
    each, beside = found.seconds / n, found.list_seconds / max(found.listed, 1)
    drawn = n + found.refused.total()
    told = f"down the list ({n} decidable of {drawn} drawn; the ratio is the share named right)"
    return [
        Row(f"cases, {kind}, named right", each, told, beside, found.right / n, f">= {AIM_SHARE:g}"),
        Row(
            f"cases, {kind}, minutes of tests ({found.cost_min / n:.1f})",
            each,
            f"down the list ({found.list_min / max(found.listed, 1):.1f} min)",
            beside,
            found.list_min / max(found.list_own_min, 1e-9),
            ">= 1",
        ),
    ]


def measure() -> list[Row]:
    """All rows of this bench: some seeds of each filter (all: run this module), and the start of one case."""
    found = [row for kind in KINDS for row in rows(kind, range(SHORT))]
    begun = time.perf_counter()
    generate(SEEDS + 1, "can")
    start = time.perf_counter() - begun
    return [*found, Row("cases, start of one", start, "1 s", AIM_START_S, AIM_START_S / start, ">= 1")]


def table(count: int, kinds: tuple[str, ...] = KINDS, levels: tuple[int, ...] = LEVELS) -> None:
    """Print one line for each filter and level."""
    heads = ("filter", "level", "right", "cannot tell", "refused", "doubles", "tests", "min", "down the list")
    print("| " + " | ".join(heads) + " |\n" + "|---" * len(heads) + "|", flush=True)
    for kind in kinds:
        for level in levels:
            t = tally(kind, range(count), level)
            listed = t.list_min / max(t.listed, 1)
            print(
                f"| {kind} | {level} | {t.right / t.cases:.1%} of {t.cases} | {t.cannot_tell} | "
                f"{t.refused.total()} | {t.doubles} | {t.tests / t.cases:.1f} | {t.cost_min / t.cases:.1f} | "
                f"{listed:.0f} min |",
                flush=True,
            )
            print(
                f"  wrong: {t.wrong[:20]}; refused: {t.refused.most_common(8)}", file=sys.stderr, flush=True
            )


if __name__ == "__main__":
    words = sys.argv[1:]
    chosen = tuple(word for word in words if word in KINDS) or KINDS
    numbers = [int(word) for word in words if word.isdigit()]
    table(numbers[0] if numbers else SEEDS, chosen, tuple(numbers[1:]) or LEVELS)
