"""Event marks: crossings are interpolated, and chatter does not fill the list."""

from __future__ import annotations

import itertools

import pytest
from glasscan.rig.event_detection import EventSignals, EventWatch, Trip, watched

GREEN = 170e3


def look(
    t: float, lift: float = 0.0, over: float = -1.0, gauge: float = 0.0, dp: float = 0.0, oil: float = 20.0
) -> EventSignals:
    """A moment with everything at rest but what is given."""
    return EventSignals(t, lift, over, gauge, dp, oil)


def words(looks: list[EventSignals], trip: Trip | None = None) -> list[tuple[str, float]]:
    """Words and times along a row of moments."""
    watch, out = EventWatch(), []
    for a, b in itertools.pairwise(looks):
        watch, events = watched(watch, a, b, GREEN, trip)
        out += [(event.word, event.t_s) for event in events]
    return out


def test_crossing_time_and_pressure_are_interpolated() -> None:
    """A straight rise through the mark is found where it happens, with the pressure of that moment."""
    _, events = watched(
        EventWatch(), look(1.0, over=-0.3, dp=10.0), look(2.0, over=0.1, dp=50.0), GREEN, None
    )
    assert [(e.word, e.t_s, e.dp_pa) for e in events] == [("gallery-full", 1.75, 40.0)]


def test_valve_opens_fills_and_seats_once() -> None:
    """One opening gives cracks, full and seats, in that order."""
    lifts = [0.0, 0.5, 1.0, 0.5, 0.0, 0.0, 0.0]
    found = words([look(float(t), lift) for t, lift in enumerate(lifts)])
    assert [word for word, _ in found] == ["bypass-cracks", "bypass-full", "bypass-seats"]


def test_chatter_counts_as_one_opening() -> None:
    """Fifty bounces of 20 ms on the seat are one opening, and one seating once it stays shut."""
    looks = [look(0.01 * k, 0.5 * (k % 2)) for k in range(100)] + [look(1.0 + 0.1 * k) for k in range(6)]
    assert [word for word, _ in words(looks)] == ["bypass-cracks", "bypass-seats"]


def test_seating_is_timed_when_it_happened_not_when_believed() -> None:
    """The wait that keeps chatter quiet does not move the time in the list."""
    looks = [look(0.0), look(0.1, 0.5), look(0.2, 0.0), look(0.3), look(0.6)]
    assert dict(words(looks))["bypass-seats"] == pytest.approx(0.2, abs=1e-2)


def test_one_long_step_from_open_to_shut_is_seen() -> None:
    """In time lapse a whole closing may fall into one step."""
    assert [w for w, _ in words([look(0.0), look(1.0, 1.0), look(500.0)])][-1] == "bypass-seats"


def test_gauge_must_fall_well_below_green_before_it_counts_again() -> None:
    """Ripple round the green mark gives one event; a real loss of pressure and its return give another."""
    ripple = [look(k * 1.0, gauge=GREEN * f) for k, f in enumerate((0.5, 1.01, 0.99, 1.02, 0.5, 1.1))]
    assert [word for word, _ in words(ripple)] == ["pressure-green", "pressure-green"]


def test_indicator_pops_once_and_not_in_the_cold() -> None:
    """Below the lockout temperature a high dp does nothing; warm it pops, once."""
    cold, warm = look(0.0, dp=9e4, oil=10.0), look(1.0, dp=9e4, oil=60.0)
    row = [cold, look(0.5, dp=9.5e4, oil=20.0), warm, look(2.0, oil=60.0), look(3.0, dp=9e4, oil=60.0)]
    assert [word for word, t in words(row, Trip(7e4, 40.0)) if t >= 0.5] == ["indicator-pops"]
    assert words(row[:2], Trip(7e4, 40.0)) == []
    assert words(row, None) == []


def test_a_damped_indicator_overlooks_a_short_surge() -> None:
    """A step of pressure for 0.5 s reaches 1 - exp(-0.5/2) = 22 % of it behind a lag of 2 s (first order)."""
    surge = [look(0.0, oil=60.0), look(1e-9, dp=9e4, oil=60.0), look(0.5, dp=9e4, oil=60.0)]
    damped = [Trip(0.2 * 9e4, 40.0, 2.0), Trip(0.23 * 9e4, 40.0, 2.0)]
    assert [[word for word, _ in words(surge, trip)] for trip in damped] == [["indicator-pops"], []]
    assert [word for word, _ in words(surge, Trip(8e4, 40.0))] == ["indicator-pops"]


def test_the_lag_does_not_depend_on_the_steps() -> None:
    """A ramp seen in one step or in fifty gives the same sensed pressure (exact for straight lines)."""
    ends = []
    for n in (1, 50):
        watch = EventWatch()
        looks = [look(3.0 * k / n, dp=3e4 * k / n, oil=60.0) for k in range(n + 1)]
        for a, b in itertools.pairwise(looks):
            watch, _ = watched(watch, a, b, GREEN, Trip(1e9, 40.0, 2.0))
        ends.append(watch.sensed_pa)
    assert ends[0] == pytest.approx(ends[1], rel=1e-12)
    assert ends[0] == pytest.approx(3e4 - 2e4 * (1 - 2.718281828459045**-1.5), rel=1e-12)
