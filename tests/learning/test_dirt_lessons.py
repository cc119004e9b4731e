"""What the lessons on dirt must show: order of events and masses of common practice (no source)."""

from __future__ import annotations

import numpy as np
import pytest

from tests.learning.playing import shipped_run


def test_a_clogging_element_is_told_before_it_is_passed() -> None:
    """Indicator first, then the bypass, after some 10 to 20 g of test dust; the gauge hides it."""
    log = shipped_run("element-clogs")
    assert [e.word for e in log.events][-2:] == ["indicator-pops", "bypass-cracks"]
    held_g = np.interp(log.events[-1].t_s, log.times_s, log.trace["deposit"]) * 1e-3
    assert 10.0 < held_g < 20.0
    assert abs(log.trace["gauge"][-1] / log.trace["gauge"][3] - 1.0) < 0.01


def test_a_slug_of_dust_opens_the_bypass_within_minutes() -> None:
    """The dirty funnel: shut before the dust comes in, open within two minutes after it."""
    cracks = [e.t_s for e in shipped_run("cartridge-clogs").events if e.word == "bypass-cracks"]
    assert 60.0 < cracks[0] < 180.0


def test_only_the_night_makes_a_leaking_diaphragm_slow() -> None:
    """Pressure comes about as fast after ten minutes as after a minute, and far later after the night."""
    green = [e.t_s for e in shipped_run("after-the-night").events if e.word == "pressure-green"]
    first, second, third = green[0] - 2.0, green[1] - 660.0, green[2] - 60000.0
    assert second < 1.5 * first
    assert third > 3.0 * second


def test_turning_starts_at_twenty_psi_and_pays_less_each_time() -> None:
    """20 psi before the first turn; one turn takes more than the next, and three more take the rest."""
    log = shipped_run("twenty-psi")
    psi = np.interp([59.0, 139.0, 219.0, 299.0], log.times_s, log.trace["dp"]) / 6.894757
    assert abs(psi[0] - 20.0) < 1.0
    first, second, three = -np.diff(psi)
    assert first > second > three / 3.0 > 0.0


@pytest.mark.parametrize("name", ["scraper-day", "turn-the-handle", "twenty-psi", "what-the-bowl-keeps"])
def test_nobody_turns_a_handle_or_drains_beside_a_running_machine(name: str) -> None:
    """The shaft stands and the pressure is gone when a hand goes to the filter (rule of the house)."""
    log = shipped_run(name)
    hands = [e for e in log.events if e.word in ("scraper-turned", "bowl-drained")]
    assert hands or name == "scraper-day"
    for event in hands:
        assert np.interp(event.t_s, log.times_s, log.trace["rpm"]) == 0.0
        assert np.interp(event.t_s, log.times_s, log.trace["inlet"]) < 100.0  # kPa: a head of oil, no more
