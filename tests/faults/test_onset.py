"""Faults that come after hours or on a pulse, and double faults: what each does alone and together."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from glasscan.faults.apply import apply, combined
from glasscan.faults.fault_data import Fault, acting, faults, joined, pairs_acting, partners, parts_of
from glasscan.faults.interpolation import interpolate_setup
from glasscan.faults.observables import observe, subject, subject_of
from glasscan.faults.onset import FaultyRun
from glasscan.faults.steady_state import SteadyState
from glasscan.learning.catalogue import load_fluid
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp, RigSetup
from pydantic import ValidationError

from tests.faults.rigs import FILES, rig

START = (Ramp(0.5, "rpm", 900.0, 1.0),)
CLOGGED, TORN = [("F06", 0.05)], [("F08", 1.0)]
PLACES = [(kind, layout) for kind in FILES for layout in ("after", "before")]


def cold_start(layout: str = "after") -> RigSetup:
    """A cold start of the can's rig on summer oil."""
    return replace(rig("can", layout), fluid=load_fluid("sae-50-mineral"), air_c=-5.0, timeline=START)


def ill(*codes: str, severity: float = 0.6) -> list[tuple[Fault, float]]:
    """Faults with a severity."""
    return [(faults()[code], severity) for code in codes]


def test_at_start_is_the_faulty_rig() -> None:
    """A fault that is there at the start: bit for bit the run of the faulty setup."""
    told = FaultyRun(ill("F02"), cold_start())
    alone = Rig(apply(faults()["F02"], 0.6, cold_start()))
    assert told.advance_to(5.0).dp_pa == pytest.approx((alone.advance_to(5.0), alone.snapshot().dp_pa)[1])
    assert told.came == {"F02": 0.0}


def test_a_pulse_tears_the_element() -> None:
    """Cold start, regulator after: the difference passes the strength of a seam, and it tears for good."""
    run = FaultyRun(ill("F08"), cold_start())
    before = run.advance_to(0.6)
    assert run.came == {}
    assert before.unfiltered_m3 < 1e-12
    run.advance_to(12.0)
    assert 0.6 < run.came["F08"] < 12.0
    assert run.rig.network.hole is not None
    assert run.rig.ledger().volume_error_rel < 1e-9


def test_without_the_pulse_nothing_happens() -> None:
    """Warm, regulator before: the difference stays small, and the seam holds."""
    warm = replace(rig("can", "before"), air_c=60.0, timeline=START)
    run = FaultyRun(ill("F08"), warm)
    run.advance_to(20.0)
    assert run.came == {}


def test_a_stuck_bypass_lets_the_element_collapse() -> None:
    """Dormant and double: the element that any cold start spares collapses where the bypass is stuck shut."""
    alone = FaultyRun(ill("F07"), cold_start())
    both = FaultyRun(ill("F01", "F07"), cold_start())
    peak = max(both.advance_to(float(t)).dp_pa for t in np.arange(0.25, 8.0, 0.25))
    alone.advance_to(8.0)
    assert "F07" not in alone.came
    assert "F07" in both.came
    assert both.rig.snapshot().dp_pa < 0.5 * peak


def test_a_leak_grows_over_its_hours() -> None:
    """Loose joint: nothing at first, then more and more, at last its full area; the books stay closed."""
    hot = replace(rig("can", "after"), air_c=15.0, oil_c=85.0, gallery_fill=1.0, rpm=700.0)
    run = FaultyRun(ill("F19", severity=0.0), hot, hours_scale=60.0 / 3600.0 / 15.0)
    leaks = [run.advance_to(float(t)).readings["leak_m3s"] for t in (1.0, 20.0, 40.0, 61.0)]
    assert leaks[0] == 0.0
    assert leaks == sorted(leaks)
    assert leaks[1] < 0.5 * leaks[3]
    assert run.came["F19"] == pytest.approx(60.0, abs=3.1)
    full = SteadyState(apply(faults()["F19"], 0.0, hot), 700.0, 85.0).settled().leak_m3s
    assert leaks[3] == pytest.approx(full, rel=0.1)
    assert run.rig.ledger().volume_error_rel < 1e-9


def test_a_doubled_seal_is_dry_at_first_and_then_gone() -> None:
    """Hot idle: dry. Cruise: it extrudes, and the sump empties although the pressure falls."""
    hot = replace(rig("can", "after"), air_c=15.0, oil_c=85.0, gallery_fill=1.0, rpm=700.0)
    run = FaultyRun(ill("F15"), replace(hot, timeline=(Ramp(20.0, "rpm", 2300.0, 2.0),)))
    idle = run.advance_to(19.0)
    assert idle.readings["leak_m3s"] == 0.0
    assert run.came == {}
    late = run.advance_to(140.0)
    assert 20.0 < run.came["F15"] < 30.0
    assert late.readings["sump_m3"] < 5e-4
    assert late.gauge_pa < 0.2 * idle.gauge_pa


@pytest.mark.parametrize("share", [0.0, 0.5, 1.0])
def test_between_two_setups(share: float) -> None:
    """Even in the logarithm above nought, straight from nought; the ends are the ends."""
    sound = rig("can", "after")
    full = apply(faults()["F25"], 0.5, apply(faults()["F08"], 0.5, sound))
    made = interpolate_setup(sound, full, share)
    start, end = (s.plant.gallery.bearing_mm3 for s in (sound, full))
    assert made.plant.gallery.bearing_mm3 == pytest.approx(start ** (1 - share) * end**share)
    assert made.network.hole.area_m2 == pytest.approx(share * full.network.hole.area_m2)


@pytest.mark.parametrize(
    "change",
    [
        {"onset": "after-hours"},
        {"onset": "on-pulse"},
        {"hours": 5.0},
        {"onset": "on-pulse", "pulse_kpa": 1.0, "pulse_dp_kpa": 1.0},
    ],
)
def test_an_onset_without_its_number_is_refused(change: dict) -> None:
    """Hours need hours, a pulse one pressure, a start neither."""
    with pytest.raises(ValidationError, match="expected"):
        Fault.model_validate(faults()["F02"].model_dump() | change)


def fill_s(*pairs: tuple[str, float], layout: str = "before") -> float:
    """Time to fill at -5 degC."""
    setup = combined([(faults()[code], severity) for code, severity in pairs], rig("can", layout))
    return SteadyState(setup, 900.0, -5.0).fill_s(setup.gallery_fill, setup.can_fill)


def test_clogged_and_stuck_shut_together_are_slow() -> None:
    """Regulator before, -5 degC: either alone fills as always, both take several times as long."""
    alone = fill_s()
    assert fill_s(("F01", 0.5)) == pytest.approx(alone, rel=0.05)
    assert fill_s(("F06", 0.6)) == pytest.approx(alone, rel=0.25)
    assert fill_s(("F01", 0.5), ("F06", 0.6)) > 5 * alone


def test_a_lost_anti_drain_valve_delays_the_pressure() -> None:
    """Overnight it takes about twice as long, after ten minutes as long as ever (trade: 7 to 12 s)."""
    sound = observe(subject(None, 0.0, rig("can", "after")))
    lost = observe(subject(faults()["F13"], 0.6, rig("can", "after")))
    assert lost["green_overnight_s"] > 1.6 * sound["green_overnight_s"]
    assert lost["green_restart_s"] == pytest.approx(sound["green_restart_s"], rel=1e-9)


def test_clogged_and_torn_looks_healthier_than_it_is() -> None:
    """The tear takes part of the clog's drop away while dirt passes through it.

    A sign-check model of the trade found such a pair "healthy-ish"; here a tear of 15 mm2 hides a seventh of
    the drop only, and the hole of a collapsed core (F07), at the same clog, about half of it.
    """
    sound, clogged, torn, both = (
        observe(subject_of([(faults()[code], size) for code, size in codes], rig("can", "after")))
        for codes in ((), CLOGGED, TORN, CLOGGED + TORN)
    )
    assert sound["dp_cruise_kpa"] < both["dp_cruise_kpa"] < 0.9 * clogged["dp_cruise_kpa"]
    collapsed = observe(subject(faults()["F07"], 0.6, rig("can", "after")))
    assert collapsed["dp_cruise_kpa"] < 0.6 * clogged["dp_cruise_kpa"]
    assert both["count_ratio"] > 2 * sound["count_ratio"]
    assert both["count_ratio"] > torn["count_ratio"]


def test_partners_read_both_ways() -> None:
    """`may_join` makes pairs, lower code first, each once, and each of two faults that act there."""
    for kind, layout in PLACES:
        codes = [joined(*pair) for pair in pairs_acting(kind, layout)]
        assert len(set(codes)) == len(codes)
        here = {fault.fault for fault in acting(kind, layout)}
        for one, other in pairs_acting(kind, layout):
            assert one.fault < other.fault
            assert {one.fault, other.fault} <= here
            assert other in partners(one, kind, layout)
            assert parts_of(joined(other, one)) == (one, other)
