"""The session: the clock that drives the engine, and what a person may ask of it."""

import numpy as np
import pytest
from glasscan.window.contract import EngineStoppedError
from glasscan.window.lesson.lesson_session import BUDGET_S, SPEEDS
from glasscan.window.lesson.trace_log import TraceLog, decimate

from tests.window import standin


def test_nothing_moves_while_paused(make_session):
    """Freeze while talking: wall time passes, model time does not."""
    session = make_session(5.0)
    session.update(3.0)
    assert session.snapshot.t_s == 5.0


@pytest.mark.parametrize("speed", [0.1, 1.0, 10.0])
def test_model_time_follows_the_wall_clock(make_session, speed):
    """Sixty frames of 1/60 s at a speed make that many seconds of model time."""
    session = make_session(0.0, wall=lambda: 0.0)
    session.speed_index = SPEEDS.index(speed)
    session.toggle()
    for _ in range(60):
        session.update(1 / 60)
    assert session.snapshot.t_s == pytest.approx(speed, rel=1e-6)
    assert not session.late


def test_speeds_reach_from_a_tenth_to_a_hundred_thousand(make_session):
    """The promised range, and the ends hold."""
    session = make_session()
    for _ in range(30):
        session.faster()
    assert session.speed == 1e5
    for _ in range(30):
        session.faster(-1)
    assert session.speed == 0.1


def test_a_slow_engine_never_stalls_the_window(make_session):
    """Where an engine step costs 3 ms, a frame stops at its budget, says so, and drops the rest."""
    now = [0.0]

    def slow_clock():
        now[0] += 0.003
        return now[0]

    session = make_session(0.0, wall=slow_clock)
    session.speed_index = SPEEDS.index(1e3)
    session.toggle()
    start = now[0]
    session.update(1 / 60)
    assert now[0] - start <= BUDGET_S + 2 * 0.003
    assert session.late
    before = session.snapshot.t_s
    session.toggle()
    session.update(1 / 60)
    assert session.snapshot.t_s == before


def test_run_stops_at_its_end_and_starts_again(make_session):
    """The end of the scenario pauses; running again begins at zero."""
    session = make_session(899.9, wall=lambda: 0.0)
    session.toggle()
    for _ in range(30):
        session.update(0.1)
    assert session.finished
    assert not session.playing
    assert session.snapshot.t_s == pytest.approx(900.0)
    session.toggle()
    assert session.snapshot.t_s == 0.0
    assert session.playing


def test_step_pauses_and_moves_a_little(make_session):
    """The step key stops the run and shows the next moment."""
    session = make_session(5.0)
    session.toggle()
    session.step()
    assert not session.playing
    assert session.snapshot.t_s == pytest.approx(5.05)


def test_going_back_keeps_the_future_until_a_control_moves(make_session):
    """Back and on over the recorded run as often as wanted; a control moved earlier forgets the rest."""
    session = make_session(20.0)
    first = [session.trace.column(c).copy() for c in ("t_s", "dp", "lift")]
    session.rewind(10.0)
    assert session.is_past
    session.rewind(15.0)
    assert session.snapshot.t_s == 15.0
    session.run_to(20.0)
    assert not session.is_past
    for name, column in zip(("t_s", "dp", "lift"), first, strict=True):
        assert np.array_equal(session.trace.column(name), column)
    session.rewind(10.0)
    session.change("rpm", 500)
    assert session.trace.column("t_s")[-1] <= 10.0
    assert session.ghost.column("t_s")[-1] == 20.0
    session.rewind(20.0)
    assert session.snapshot.t_s == 10.0


def test_rewinding_never_leaves_the_run(make_session):
    """Before the start or after what is recorded: the nearest moment there is."""
    session = make_session(20.0)
    session.rewind(-5.0)
    assert session.snapshot.t_s == 0.0
    session.rewind(99.0)
    assert session.snapshot.t_s == 20.0


def test_an_engine_that_cannot_go_on_pauses_with_its_reason(make_session, monkeypatch):
    """The window stays open and says why; going back makes a new start."""
    session = make_session(5.0)

    def fail(_):
        raise EngineStoppedError("no step could be made.")

    monkeypatch.setattr(session.engine, "advance", fail)
    session.toggle()
    session.update(0.1)
    assert not session.playing
    assert session.trouble == "no step could be made."
    session.rewind(0.0)
    assert session.trouble == ""


def test_decimation_keeps_every_peak():
    """A spike of one sample among 100,000 survives, and the curve gets short."""
    t = np.arange(100_000.0)
    y = np.sin(t / 5000)
    y[61_234] = 7.0
    y[61_299] = -7.0
    tt, yy = decimate(t, y, 400)
    assert len(tt) < 2000
    assert np.all(np.diff(tt) > 0)
    assert yy.max() == 7.0
    assert yy.min() == -7.0
    assert tt[0] == t[0]
    assert tt[-1] == t[-1]


def test_a_long_trace_is_thinned_and_stays_in_order():
    """Past its limit the trace drops every second old row and keeps the newest."""
    log = TraceLog(limit=200)
    for t in range(1000):
        log.add(standin.snapshot_at(float(t)))
    times = log.column("t_s")
    assert log.rows <= 201
    assert np.all(np.diff(times) > 0)
    assert times[0] == 0.0
    assert times[-1] == 999.0


def test_a_sitting_is_repeated_with_its_changes(make_session):
    """Carried on, the controls are moved at the moments they were moved, and rewinding forgets later ones."""
    session = make_session(3.0)
    session.change("rpm", 1200)
    session.run_to(6.0)
    session.change("rpm", 500)
    again = make_session(0.0)
    again.repeat(6.0, session.changes, lambda _: None)
    assert again.changes == session.changes
    assert again.snapshot.t_s == pytest.approx(6.0)
    assert again.snapshot.rpm == session.snapshot.rpm
    session.rewind(4.0)
    assert [c[2] for c in session.moved] == [1200]
    assert [c[2] for c in session.changes] == [1200, 500]
    session.change("rpm", 700)
    assert [c[2] for c in session.changes] == [1200, 700]
