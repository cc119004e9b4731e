"""To and fro over a recorded run: the same states to the bit, nothing forgotten until something is done."""

from __future__ import annotations

import pickle
from dataclasses import replace

import pytest
from glasscan.rig.recorder import Recorder
from glasscan.rig.setup import Ramp

from tests.contaminant.standin import gaps
from tests.rig.standin import plant, setup

LINE = (Ramp(1.0, "rpm", 1200, 1.0), Ramp(4.0, "add_dirt_g", 3), Ramp(5.0, "scraper_turns", 1))


def recorded() -> Recorder:
    """Ten seconds with dust, a turn of the handle and a control moved by hand."""
    recorder = Recorder(setup(network=gaps(), plant=plant(), timeline=LINE, oil_c=50.0), keep_every=4)
    for number in range(40):
        if number == 30:
            recorder.set("rpm", 900)
        recorder.step(0.25)
    return recorder


def frozen(recorder: Recorder) -> bytes:
    """The whole state but the integrator's kept matrices, which a state put back has too."""
    return pickle.dumps(replace(recorder.rig.state, memory=None))  # type: ignore[arg-type]


def test_to_and_fro_is_the_same_to_the_bit() -> None:
    """Back, on, back again, in any order: every moment is as it was; the handle's angle too."""
    recorder = recorded()
    at = {10.0: frozen(recorder)}
    for moment in (6.5, 2.0, 8.0):
        recorder.seek(moment)
        at[moment] = frozen(recorder)
    assert recorder.known_s == 10.0
    for moment in (2.0, 10.0, 6.5, 8.0, 10.0, 6.5):
        recorder.seek(moment)
        assert recorder.t_s == moment
        assert frozen(recorder) == at[moment]
    assert 0.0 < recorder.rig.state.handle.disc_rad < 6.2


def test_a_kept_state_is_near_and_costs_no_step(monkeypatch: pytest.MonkeyPatch) -> None:
    """While a hand drags: within the distance of two kept states, and nothing is stepped."""
    recorder = recorded()
    monkeypatch.setattr(recorder.rig, "step", None)
    recorder.seek(6.6, exactly=False)
    assert 5.6 <= recorder.t_s <= 6.6


def test_a_control_moved_earlier_forgets_the_rest() -> None:
    """As a rewind does: from there it is another run."""
    recorder = recorded()
    recorder.seek(6.0)
    recorder.set("rpm", 1500)
    assert recorder.known_s == 6.0
    recorder.seek(9.0)
    assert recorder.t_s == 6.0
    recorder.step(1.0)
    assert recorder.known_s == 7.0
    assert recorder.snapshot().rpm == 1500
