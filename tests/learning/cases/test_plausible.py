"""Every reading that a test of a case can give is one that a technician could meet at a bench or an engine.

Ranges: particle counts end where ISO 4406:2021 ends its table (code 28, 2.5 million per millilitre; from
memory); metal of a filter stays within what such an element can hold (about 20 g, common practice, no
source); pressures of an oil system within 20 bar, temperatures within 200 degC, vacuum within one
atmosphere; the other ends are the ends of the tools (common practice, no source).
"""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.learning.cases.atlas import atlas
from glasscan.learning.cases.case_words import figures, shown
from glasscan.learning.cases.generate import generate
from glasscan.learning.cases.likelihood import draw
from glasscan.learning.cases.test_menu import MeasuredReading, menu
from glasscan.learning.cases.test_menu import tests_for as offered
from glasscan.ui.display_units import SYSTEMS
from glasscan.window.cases.reading_texts import figure

BY_UNIT = {
    "kPa": (0.0, 2000.0),
    "mL/min": (0.0, 40_000.0),
    "L/min": (0.0, 60.0),
    "1/mL": (0.0, 2.5e6),
    "mm2/s": (20.0, 1000.0),
    "degC": (-10.0, 200.0),
    "s": (0.0, 600.0),
    "mL": (0.0, 500.0),
    "mm": (0.0, 10.0),
    "um": (-1000.0, 1000.0),
    "N m": (0.0, 20.0),
    "L": (0.0, 22.0),  # a radial tank of 18 L, thinned by a sixth of fuel
}
BY_NAME = {
    "suction_pull_kpa": (0.0, 101.3),
    "suction_hot_kpa": (0.0, 101.3),
    "count_ratio": (0.0, 1.0),
    "still_count_ratio": (0.0, 1.0),
    "cake_ratio": (0.005, 100.0),
    "burst_ratio": (0.5, 1000.0),
    "turned_ratio": (0.0, 1.05),
    "drained_ratio": (0.0, 1.05),
    "bands_ratio": (0.5, 20.0),
    "widest_gap_ratio": (0.5, 5.0),
    "bearing_gap_ratio": (0.9, 1.5),
    "inlet_open_share": (0.0, 1.0),
    "iron_oil_mg_l": (0.0, 2000.0),
    "soft_oil_mg_l": (0.0, 2000.0),
    "grit_oil_mg_l": (0.0, 2000.0),
    "iron_held_mg": (0.0, 20_000.0),
    "soft_held_mg": (0.0, 20_000.0),
    "grit_held_mg": (0.0, 20_000.0),
}
PLACES = [("can", "after"), ("can", "before"), ("cartridge", "before"), ("disc", "after")]
"""Both layouts of one filter, one of each other: working the faults of a place out takes seconds."""


def limits(reading: MeasuredReading) -> tuple[float, float]:
    """Least and most that may be shown; a reading without limits fails the test that asks."""
    if reading.scale == "yes-no":
        return 0.0, 1.0
    return BY_NAME.get(reading.what) or BY_UNIT[reading.unit]


@pytest.mark.parametrize(("kind", "layout"), PLACES)
def test_every_reading_of_every_fault(kind: str, layout: str) -> None:
    """Mildest to gravest, alone and in pairs, as the dial shows it without error."""
    chart = atlas(kind, layout)  # type: ignore[arg-type]
    reads = [r for test in offered(kind) for r in test.reads] + list(menu().complaint)
    for reading in reads:
        least, most = limits(reading)
        columns = [chart.column(reading.what), chart.pair_column(reading.what)]
        true = np.concatenate([column.ravel() for column in columns])
        if reading.scale != "yes-no":
            true = np.array([reading.value(reading.place(value)) for value in true])
        assert np.isfinite(true).all(), reading.what
        assert true.min() >= least, (reading.what, true.min())
        assert true.max() <= most, (reading.what, true.max())


def test_results_over_many_seeds() -> None:
    """As drawn with their errors, at the hardest level: near the limits, told in plain figures."""
    kind = "can"
    for seed in range(1, 13):
        hidden = generate(seed, kind, level=3)
        told = [(test.reads, hidden.result(test, 3)) for test in offered(kind)]
        for reads, result in [*told, (menu().complaint, hidden.complaint)]:
            for reading, got in zip(reads, result, strict=True):
                least, most = limits(reading)
                assert 0.6 * least <= got + 1e-9, (seed, reading.what, got)
                assert got <= 1.7 * most, (seed, reading.what, got)
                assert "e+" not in shown(reading, got)
                assert "e-" not in shown(reading, got)


def test_a_full_bowl_no_longer_fills_the_oil() -> None:
    """The disc case of seed 5 once read 1.39 thousand million particles in a millilitre."""
    hidden = generate(5, "disc")
    counts = {t.test: t for t in menu().tests}["particle-count"]
    result = dict(zip((r.what for r in counts.reads), hidden.result(counts, 2), strict=True))
    assert max(v for name, v in result.items() if name.startswith("count_4")) <= 1e6


def test_past_its_end_a_tool_says_so() -> None:
    """A valve that cannot open: the bench stops at 7 bar each time, in text and at the window's page."""
    crack = next(r for t in menu().tests for r in t.reads if r.what == "bench_crack_kpa")
    rng = np.random.default_rng(1)
    drawn = {draw({crack.what: 18_000.0}, [crack], rng, 1.4)[0] for _ in range(20)}
    assert drawn == {700.0}
    assert shown(crack, 700.0) == "more than 700 kPa"
    assert figure(crack, 700.0, SYSTEMS[0], 1.0, None).value == "more than 700"
    assert "more" not in shown(crack, 172.0)


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (7730.0, "7 730"),
        (113_000.0, "113 000"),
        (12.34, "12.3"),
        (0.0807, "0.0807"),
        (2e-7, "0"),
        (999.6, "1 000"),
    ],
)
def test_figures(value: float, text: str) -> None:
    """Three digits, thousands apart, no powers of ten."""
    assert figures(value) == text
