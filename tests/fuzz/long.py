"""Long robustness runs: `python -m tests.fuzz.long loader 20000`, or `rigs`, `faulty`, `results`, `cases`,
`papers`, `seals`, and a first seed.

The suite runs a few of each; the counts of the last long runs stand in tests/README.md.
"""

from __future__ import annotations

import random
import sys
import time
from collections import Counter
from collections.abc import Callable

import numpy as np
from glasscan.learning.catalogue import load_fluid, names
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.fuzz.faulty import one_faulty_rig
from tests.fuzz.feeding import one_case, one_paper, one_results, one_seal
from tests.fuzz.test_scenario_fuzz import TEXTS, try_load
from tests.rig.standin import network, plant, setup

SPICES = [
    ": ",
    "- ",
    "&a ",
    "*a",
    "!!x ",
    "[",
    "{",
    "]",
    "}",
    "'",
    '"',
    "|",
    "#",
    "%",
    "@",
    "?",
    "---\n",
    "\t",
    "\n",
    ".nan",
]
SPICES += [
    "1e999",
    "0x1",
    "null",
    "true",
    "no",
    "~",
    "<<:",
    "\x00",
    "\x1b",
    "\u2028",
    "9" * 50,
    "é",
    "12 psi",
    "-1",
    ",",
]
ALL_BOUND_S = 5.0  # no file of this size may take longer


def mutated(text: str, dice: random.Random) -> str:
    """A text with one to six pieces cut, doubled, moved or spiced."""
    for _ in range(dice.randint(1, 6)):
        at = dice.randint(0, len(text))
        to = min(len(text), at + dice.randint(0, 20))
        piece = dice.choice([dice.choice(SPICES), text[at:to] * 2, "", text[to:at:-1]])
        text = text[:at] + piece + text[to:]
    return text


def one_file(number: int) -> str:
    """Load one mutated file; the word says what came of it."""
    dice = random.Random(number)
    start = time.perf_counter()
    record = try_load(mutated(dice.choice(TEXTS), dice))
    assert time.perf_counter() - start < ALL_BOUND_S, "too slow"
    return "refused in clear lines" if record is None else "a record"


def one_rig(number: int) -> str:
    """Run one random rig for some seconds and check that all is finite and the books close."""
    dice = random.Random(number)
    rig = Rig(_random_setup(dice))
    dt = dice.choice([1e-3, 1 / 60, 0.5, 20.0])
    for _ in range(12):
        rig.step(dt)
    seen, books = rig.snapshot(), rig.ledger()
    numbers = [
        seen.inlet_pa,
        seen.outlet_pa,
        seen.dp_pa,
        seen.element_m3s,
        seen.bypass_m3s,
        seen.lift_m,
        seen.sump_c,
    ]
    assert np.isfinite([*numbers, *seen.segment_m3s]).all(), "not finite"
    assert abs(books.volume_error_rel) < 1e-9, "volume"
    assert abs(books.mass_error_rel) < 1e-9, "mass"
    power = seen.dp_pa * (seen.element_m3s + seen.bypass_m3s)
    assert power >= -1e-9 * (abs(seen.inlet_pa) + 1), "the filter gives power"
    return "valve open" if seen.lift_m > 1e-5 else "valve shut"


def _random_setup(dice: random.Random):
    oil = load_fluid(dice.choice(names("fluids")))
    changes = {
        "pump__volumetric_efficiency": dice.uniform(0.3, 1.0),
        "gauge__scale": dice.uniform(0.5, 1.5),
    }
    filter_ = network(
        k=dice.randint(2, 20),
        total_r=10 ** dice.uniform(6, 14),
        valve=None if dice.random() < 0.1 else network().valve,
    )
    return setup(
        fluid=oil,
        network=filter_,
        plant=plant(**changes),
        air_c=dice.uniform(-54, 60),
        oil_c=dice.uniform(-54, 150),
        gallery_fill=dice.random(),
        dirt_kg=dice.choice([0.0, 0.0, 0.001, 0.02]),
        regulator=dice.choice(["before", "after"]),
        rpm=dice.choice([0.0, 600.0, 4000.0]),
        timeline=(Ramp(0.5, "rpm", dice.uniform(0, 4000), dice.choice([0.0, 2.0])),),
    )


def many(work: Callable[[int], str], count: int, first: int = 0) -> Counter[str]:
    """Do it `count` times; counts of what came of it. The number of a failing case is its seed."""
    outcome: Counter[str] = Counter()
    for number in range(first, first + count):
        try:
            outcome[work(number)] += 1
        except Exception as fault:
            raise AssertionError(f"case {number}: {type(fault).__name__}: {fault}") from fault
        if sys.stderr.isatty():
            print(f"\r{number + 1 - first} of {count}", end="", file=sys.stderr)
    return outcome


WORK = {
    "loader": one_file,
    "rigs": one_rig,
    "faulty": one_faulty_rig,
    "results": one_results,
    "cases": one_case,
    "papers": one_paper,
    "seals": one_seal,
}

if __name__ == "__main__":
    which, numbers = sys.argv[1], [int(word) for word in sys.argv[2:4]]
    print(which, *numbers, dict(many(WORK[which], *numbers)))
