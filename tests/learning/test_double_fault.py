"""The lesson of the double fault: four engines on one cold morning, only the one with both faults is late.

The trade's teaching table (common practice, no source): a bypass stuck shut shows nothing, a clog shows no
delay, both together with the regulator before the filter delay the oil many times over. The limit of 30 s is
a line of the invented manual; the other numbers are the model's.
"""

from __future__ import annotations

import pytest
from glasscan.learning.manual import manual_line
from glasscan.learning.marking_log import MarkingLog, events_of, value_at
from glasscan.learning.scenario_loading import load_scenario

from tests.learning.playing import run_of, shipped_run

NAME = "double-fault"
SHORT_S = 16.0


def full_s(log: MarkingLog) -> float:
    """When the gallery was full, s."""
    return events_of(log, "gallery-full")[0].t_s


@pytest.mark.parametrize("kept", [(), ("F01",), ("F06",)])
def test_one_fault_alone_is_in_time(kept: tuple[str, ...]) -> None:
    """Sound, or with one of the two: full within five seconds of the start at 2 s, like the sound one."""
    lesson = load_scenario(NAME)
    faults = tuple(ill for ill in lesson.faults if ill.fault in kept)
    log = run_of(lesson.model_copy(update={"faults": faults}), for_s=SHORT_S)
    assert full_s(log) == pytest.approx(6.6, abs=0.5)


def test_both_are_past_the_limit_of_the_manual() -> None:
    """Eight times the filling time of the others, past the manual's limit, nothing at the gauge till then."""
    log, limit_s = shipped_run(NAME), manual_line("piston.pressure-time").value
    assert full_s(log) - 2.0 > 8 * 4.6
    assert limit_s is not None
    assert events_of(log, "pressure-green")[0].t_s > 2.0 + limit_s
    assert value_at(log, "gauge_kpa", 25.0) < 5.0
    assert value_at(log, "inlet_kpa", 25.0) > 400.0
    assert not events_of(log, "element-collapses")
    assert log.unfiltered_m3 < 1e-6
