"""The lesson of the double fault: four engines in one frost, and only the one with both faults is late.

The trade's teaching table (common practice, no source): a bypass stuck shut shows nothing, a clog shows no
delay, both together with the regulator before the filter delay the oil more than tenfold. The other numbers
are the model's.
"""

from __future__ import annotations

import pytest
from glasscan.learning.marking_log import MarkingLog, events_of, value_at
from glasscan.learning.scenario_loading import load_scenario

from tests.learning.playing import run_of, shipped_run

NAME = "double-fault"
SHORT_S = 16.0


def full_s(log: MarkingLog) -> float:
    """When the oil passages were full, s."""
    return events_of(log, "gallery-full")[0].t_s


@pytest.mark.parametrize("kept", [(), ("F01",), ("F06",)])
def test_one_fault_alone_is_in_time(kept: tuple[str, ...]) -> None:
    """Sound, or with one of the two: full at about 11 s, "to a second or two", as the lesson says."""
    lesson = load_scenario(NAME)
    faults = tuple(ill for ill in lesson.faults if ill.fault in kept)
    log = run_of(lesson.model_copy(update={"faults": faults}), for_s=SHORT_S)
    assert full_s(log) == pytest.approx(11.5, abs=1.5)


def test_both_are_ten_times_as_late() -> None:
    """The pump starts at 2 s: ten times the nine seconds of the others, and nothing at the gauge."""
    log = shipped_run(NAME)
    assert full_s(log) - 2.0 > 10 * 9.0
    assert value_at(log, "gauge_kpa", 60.0) < 5.0
    assert value_at(log, "inlet_kpa", 60.0) > 400.0
    assert log.unfiltered_m3 < 1e-6
