"""The turbine's lesson: a lamp that is dark in the cold and lit at take-off power, each for its own reason.

Outside facts: an indicator is locked out in cold oil (TM 1-1500-204-23-2); a trip counts only at normal
temperature and flow (NAVEDTRA 14105); oil pressure of small turboprops, 80 to 100 psi at power (from memory).
"""

from __future__ import annotations

import numpy as np
import pytest

from tests.learning.playing import shipped_run

PSI_KPA = 6.894757
LOCKOUT_C = 38.0


def test_the_lockout_hides_an_open_valve() -> None:
    """The valve opens in the cold, far above the setting, and the indicator waits for warm oil."""
    log = shipped_run("impending-bypass")
    cracks = next(e for e in log.events if e.word == "bypass-cracks")
    first = next(e for e in log.events if e.word == "indicator-pops")
    assert cracks.oil_c < 0.0
    assert float(np.interp(60.0, log.times_s, log.trace["dp"])) > 70.0
    assert first.oil_c == pytest.approx(LOCKOUT_C, abs=0.5)


def test_the_second_trip_comes_with_the_valve_shut() -> None:
    """Warm oil at take-off flow: that, and not the valve, is what impending means."""
    log = shipped_run("impending-bypass")
    pops = [e for e in log.events if e.word == "indicator-pops"]
    assert len(pops) == 2
    assert pops[1].oil_c > 65.0
    late = log.times_s > 401.0
    assert log.trace["lift"][late].max() < 0.02


def test_pressure_and_flow_are_those_of_the_class() -> None:
    """80 to 100 psi and 20 to 30 L/min at full speed; the least pressure at idle is kept."""
    log = shipped_run("impending-bypass")
    at = {name: float(np.interp(450.0, log.times_s, log.trace[name])) for name in ("gauge", "pump_flow")}
    assert 80.0 < at["gauge"] / PSI_KPA < 100.0
    assert 20.0 < at["pump_flow"] < 30.0
    assert float(np.interp(415.0, log.times_s, log.trace["gauge"])) / PSI_KPA > 40.0
