"""The run without the fault beside the run with it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from glasscan.faults.apply import apply
from glasscan.faults.counterfactual import ghost_run, mended
from glasscan.faults.fault_data import faults
from glasscan.rig.rig import Rig

from tests.faults.rigs import rig


def pair(code: str):
    """A faulty and a sound rig at hot idle."""
    sound = replace(rig("can", "after"), air_c=80.0, rpm=700.0)
    return apply(faults()[code], 0.6, sound), sound


def test_from_the_start_the_ghost_is_the_sound_run() -> None:
    """Taken away at 0 s: the second trace is that of a rig that never had the fault, bit for bit."""
    faulty, sound = pair("F20")
    told = ghost_run(faulty, sound, 0.0, 8.0, 1.0)
    alone = Rig(sound)
    for t_s, gauge in zip(told.times_s[1:], told.without["gauge"][1:], strict=True):
        alone.advance_to(float(t_s))
        assert gauge == alone.snapshot().gauge_pa * 1e-3


@pytest.mark.parametrize("code", ["F08", "F20", "F02", "F06"])
def test_mended_on_the_way(code: str) -> None:
    """Same up to the mending, another run after it, and at last as the rig that was never ill."""
    faulty, sound = pair(code)
    told = ghost_run(faulty, sound, 10.0, 40.0, 2.0)
    column = "gauge" if code == "F20" else "dp"
    ill, well = told.with_fault[column], told.without[column]
    early = told.times_s <= 10.0
    assert (ill[early] == well[early]).all()
    assert abs(ill[-1] - well[-1]) > 0.05 * well[-1]
    healthy = ghost_run(sound, sound, 0.0, 40.0, 40.0).with_fault[column][-1]
    assert well[-1] == pytest.approx(healthy, rel=0.02)


def test_mended_without_a_fault_nothing_changes() -> None:
    """A sound rig mended at 5 s runs on as before, to the integrator's tolerance."""
    _, sound = pair("F20")
    told = ghost_run(sound, sound, 5.0, 12.0, 1.0)
    assert told.without["gauge"] == pytest.approx(told.with_fault["gauge"], rel=2e-3, abs=0.5)


@pytest.mark.parametrize("code", ["F30a", "F33"])
def test_cake_and_sludge_go_with_their_fault(code: str) -> None:
    """A stack mended on the way loses what the fault had brought, and the mass books close."""
    sound = replace(rig("disc", "before"), air_c=60.0, gallery_fill=1.0, rpm=1500.0)
    faulty = apply(faults()[code], 0.6, sound)
    ill = Rig(faulty)
    ill.advance_to(15.0)
    well, never = mended(ill.state, sound, faulty), Rig(sound)
    well.advance_to(30.0)
    never.advance_to(30.0)
    assert well.snapshot().dp_pa == pytest.approx(never.snapshot().dp_pa, rel=0.03)
    assert ill.snapshot().dp_pa > 1.2 * well.snapshot().dp_pa
    assert well.ledger().mass_error_rel < 1e-9


def test_moments_out_of_order_are_refused() -> None:
    """The mending lies inside the run."""
    faulty, sound = pair("F20")
    with pytest.raises(ValueError, match="from_s"):
        ghost_run(faulty, sound, 9.0, 8.0)
    assert np.isfinite(ghost_run(faulty, sound, 2.0, 2.0).with_fault["gauge"]).all()


def test_mended_element_has_its_own_resistance_at_once() -> None:
    """At the moment of mending, before any step, a clogged element is the sound one with its dirt."""
    faulty, sound = pair("F06")
    ill = Rig(faulty)
    ill.step(2.0)
    well = mended(ill.state, sound)
    expected = well.element.resistance(ill.state.dirt.held)
    # the drop presses the soft cake: more than at rest, by 1.1e-8 here
    assert well.state.segment_r == pytest.approx(expected, rel=2e-8)
    assert (well.state.segment_r >= expected).all()
    assert well.snapshot().element_m3s > 2 * ill.snapshot().element_m3s
