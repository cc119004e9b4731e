"""Faults that come while the rig runs: at their moment, in stages, and a rewind takes them back.

No outside number: a fault that has come is compared with the rig that had it from the start, and a run that
was taken back with one that was not, bit by bit.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from glasscan.faults.apply import apply
from glasscan.faults.fault_data import acting, faults
from glasscan.faults.schedule import FaultProgress, at_start_only, moved_on, next_stage_s
from glasscan.faults.scheduled_fault import STAGES, ScheduledFault
from glasscan.rig.recorder import Recorder
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp, RigSetup

from tests.faults.rigs import FILES, rig


def hot(*coming: ScheduledFault, timeline: tuple[Ramp, ...] = ()) -> RigSetup:
    """A can's rig that idles with hot oil, and faults to come."""
    sound = replace(rig("can", "after"), air_c=15.0, oil_c=85.0, gallery_fill=1.0, rpm=900.0)
    return replace(sound, coming=coming, timeline=timeline)


def words(of: Rig) -> list[tuple[str, float]]:
    """Events of faults, with their times to a millisecond."""
    return [(e.word, round(e.t_s, 3)) for e in of.events if e.word.startswith("fault-")]


def test_it_comes_at_its_moment_and_is_the_whole_fault() -> None:
    """Weak regulator at 6 s: sound before; long after, the pressures of the rig that had it all along."""
    come = Rig(hot(ScheduledFault(faults()["F23b"], 0.8, at_s=6.0)))
    sound, ill = Rig(hot()), Rig(apply(faults()["F23b"], 0.8, hot()))
    for one in (come, sound, ill):
        one.advance_to(5.999)
    assert come.snapshot().gauge_pa == pytest.approx(sound.snapshot().gauge_pa, rel=1e-9)
    for one in (come, ill):
        one.advance_to(20.0)
    assert come.snapshot().gallery_pa == pytest.approx(ill.snapshot().gallery_pa, rel=2e-3)
    assert words(come) == [("fault-begins", 6.0)]


def test_it_grows_in_even_stages() -> None:
    """A clog over 10 s: even in the logarithm, at its full size at the end, and told twice."""
    run = Rig(hot(ScheduledFault(faults()["F06"], 0.5, at_s=4.0, over_s=10.0)))
    clean = run.network.segment_r.mean()
    sizes = []
    for t_s in (3.0, 9.0, 14.5):
        run.advance_to(t_s)
        sizes.append(run.network.segment_r.mean() / clean)
    full = apply(faults()["F06"], 0.5, hot()).network.segment_r.mean() / clean
    assert sizes == pytest.approx([1.0, full**0.5, full])
    assert words(run) == [("fault-begins", 4.0), ("fault-grown", 14.0)]
    assert run.ledger().volume_error_rel < 1e-9
    assert run.ledger().mass_error_rel < 1e-9


@pytest.mark.parametrize(
    "coming",
    [
        ScheduledFault(faults()["F19"], 0.5, at_s=3.0, over_s=5.0),
        ScheduledFault(faults()["F15"], 0.5, at_s=1.0, on_pulse=True),
        ScheduledFault(faults()["F26b"], 0.5, at_s=4.0, over_s=3.0),
    ],
    ids=["growing", "pulse", "oil"],
)
def test_a_rewind_takes_it_back_and_the_future_is_the_same(coming: ScheduledFault) -> None:
    """Back to before it, into the middle of its growth and to after it: bit by bit the first run."""
    setup = hot(coming, timeline=(Ramp(5.0, "rpm", 2300.0, 1.0),))
    recorder = Recorder(setup, keep_every=15)
    for _ in range(90):
        recorder.step(0.1)
    first, events = recorder.trace.columns(), recorder.rig.events
    assert any(e.word == "fault-begins" for e in events)
    for back_s in (2.05, 5.05, 7.05):
        recorder.rewind(back_s)
        while recorder.t_s < 9.0 - 1e-9:
            recorder.step(0.1)
        again = recorder.trace.columns()
        assert all(np.array_equal(first[name], again[name]) for name in first)
        assert recorder.rig.events == events


def test_what_was_set_by_hand_stays() -> None:
    """A number moved by hand and a fresh oil are kept when a fault comes that moves others."""
    thick = replace(hot().fluid, name="another", kv_points=((40.0, 300.0), (100.0, 25.0)))
    run = Rig(
        hot(ScheduledFault(faults()["F26b"], 0.5, at_s=2.0), ScheduledFault(faults()["F25"], 0.5, at_s=3.0))
    )
    run.advance_to(1.0)
    run.set("plant.gauge.scale", 0.9)
    run.set("fluid", thick)
    run.advance_to(4.0)
    controls = run.state.controls
    assert controls.plant.gauge.scale == 0.9
    assert controls.fluid == thick
    assert controls.plant.gallery.bearing_mm3 > 1.2 * hot().plant.gallery.bearing_mm3


def test_courses_of_a_pulse() -> None:
    """Not before its earliest moment, not below its pressure; then it stays, whatever the pressure does."""
    seal = ScheduledFault(faults()["F15"], 0.5, at_s=10.0, on_pulse=True)
    high = faults()["F15"].pulse_kpa * 1e3  # type: ignore[operator]
    none = (FaultProgress(),)
    assert moved_on((seal,), none, 9.9, 2 * high, 0.0) == (none, [])
    assert moved_on((seal,), none, 10.0, 0.99 * high, 0.0) == (none, [])
    after, told = moved_on((seal,), none, 11.0, high, 0.0)
    assert (after, told) == ((FaultProgress(11.0, 1.0),), ["fault-begins"])
    assert moved_on((seal,), after, 12.0, 0.0, 0.0) == (after, [])


def test_the_next_stage() -> None:
    """Begin, then every fiftieth of the way, then never."""
    grows = ScheduledFault(faults()["F06"], 0.5, at_s=4.0, over_s=10.0)
    assert next_stage_s((grows,), (FaultProgress(),)) == 4.0
    assert next_stage_s((grows,), (FaultProgress(4.0, 10 / STAGES),)) == pytest.approx(
        4.0 + 11 * 10.0 / STAGES
    )
    assert next_stage_s((grows,), (FaultProgress(4.0, 1.0),)) == np.inf


@pytest.mark.parametrize("kind", FILES)
def test_every_fault_that_may_come_does(kind: str) -> None:
    """Each fault whose data give it an onset is put into a running rig: finite, books closed.

    What the can has too is tried on the can alone.
    """
    shared = {f.fault for f in acting("can", "after")} if kind != "can" else set()
    mine = [f for f in acting(kind, "after") if f.fault not in shared]
    start = replace(rig(kind, "after"), air_c=70.0, gallery_fill=1.0, rpm=900.0)
    for fault in mine:
        if fault.onset != "at-start" and not at_start_only(fault):
            run = Rig(replace(start, coming=(ScheduledFault(fault, 1.0, 0.2),)))
            run.advance_to(0.3)
            assert np.isfinite(run.state.y).all(), fault.fault
            assert run.ledger().volume_error_rel < 1e-9, fault.fault
            assert run.ledger().mass_error_rel < 1e-9, fault.fault
