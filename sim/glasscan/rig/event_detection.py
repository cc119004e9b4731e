"""Events: the state crosses a mark, the moment is interpolated, a return mark keeps chatter quiet."""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import exp

from glasscan.rig.records import Event

CRACK, SEAT = 0.01, 0.0025  # share of the full lift at which the valve counts as open, as shut
FULL, NOT_FULL = 0.98, 0.90  # share of the full lift
DWELL_S = 0.25  # a valve counts as seated once it has stayed shut this long
EMPTIED = -0.1  # share of the gallery's volume that must drain before it can be full again
NOT_GREEN = 0.8  # share of the green mark below which the gauge must fall before it counts again


@dataclass(frozen=True, slots=True)
class EventSignals:
    """What the marks look at, at one moment: SI units, `over` = oil beyond a full gallery as share of it."""

    t_s: float
    lift: float
    over: float
    gauge_pa: float
    dp_pa: float
    oil_c: float


@dataclass(frozen=True, slots=True)
class Trip:
    """Differential indicator: trip pressure Pa, lockout degC, and how slowly what it senses follows, s."""

    pa: float
    lockout_c: float
    lag_s: float = 0.0


@dataclass(frozen=True, slots=True)
class EventWatch:
    """Which side of its mark everything is on; `sensed_pa` is the pressure that the indicator feels."""

    open: bool = False
    shut_since: Event | None = None
    full: bool = False
    gallery: bool = False
    green: bool = False
    popped: bool = False
    sensed_pa: float = 0.0


def watched(
    watch: EventWatch, a: EventSignals, b: EventSignals, green_pa: float, trip: Trip | None
) -> tuple[EventWatch, list[Event]]:
    """Compare two neighbouring moments.

    Args:
        watch: sides before.
        a, b: the moments; `lift` as share of the full lift.
        green_pa: the gauge's green mark, Pa.
        trip: the indicator, or None where not fitted.
    """
    events: list[Event] = []
    watch = _bypass(watch, a, b, events)
    gauge, green = (a.gauge_pa, b.gauge_pa), (green_pa, NOT_GREEN * green_pa)
    watch = replace(
        watch,
        full=_side(watch.full, "bypass-full", a, b, (a.lift, b.lift), (FULL, NOT_FULL), events),
        gallery=_side(watch.gallery, "gallery-full", a, b, (a.over, b.over), (0.0, EMPTIED), events),
        green=_side(watch.green, "pressure-green", a, b, gauge, green, events),
    )
    if trip:
        watch = _indicator(watch, a, b, trip, events)
    return watch, sorted(events, key=lambda e: e.t_s)


def _indicator(
    watch: EventWatch, a: EventSignals, b: EventSignals, trip: Trip, events: list[Event]
) -> EventWatch:
    """The indicator pops where what it senses passes its trip pressure and its lockout lets go."""
    before = watch.sensed_pa if trip.lag_s else a.dp_pa
    after = _sensed_pa(before, a.dp_pa, b.dp_pa, b.t_s - a.t_s, trip.lag_s)
    watch = replace(watch, sensed_pa=after)
    if watch.popped or after < trip.pa or b.oil_c < trip.lockout_c:
        return watch
    mark = trip.pa if before < trip.pa else after
    events.append(_crossing("indicator-pops", a, b, (before, after), mark))
    return replace(watch, popped=True)


def _sensed_pa(sensed_pa: float, from_pa: float, to_pa: float, over_s: float, lag_s: float) -> float:
    """First-order lag behind a pressure that moves straight from one value to another, Pa."""
    if lag_s <= 0.0 or over_s <= 0.0:
        return to_pa if lag_s <= 0.0 else sensed_pa
    behind = (to_pa - from_pa) / over_s * lag_s
    return to_pa - behind + (sensed_pa - from_pa + behind) * exp(-over_s / lag_s)


def _bypass(watch: EventWatch, a: EventSignals, b: EventSignals, events: list[Event]) -> EventWatch:
    if not watch.open:
        if b.lift < CRACK:
            return watch
        events.append(_crossing("bypass-cracks", a, b, (a.lift, b.lift), CRACK))
        return replace(watch, open=True, shut_since=None)
    if b.lift > SEAT:
        return replace(watch, shut_since=None)
    since = watch.shut_since or _crossing("bypass-seats", a, b, (a.lift, b.lift), SEAT)
    if b.t_s - since.t_s < DWELL_S:
        return replace(watch, shut_since=since)
    events.append(since)
    return replace(watch, open=False, shut_since=None)


def _side(
    on: bool,
    word: str,
    a: EventSignals,
    b: EventSignals,
    value: tuple[float, float],
    marks: tuple[float, float],
    events: list[Event],
) -> bool:
    """New side of a mark that has a lower mark for the way back; notes the upward crossing."""
    if on:
        return value[1] >= marks[1]
    if value[1] < marks[0]:
        return False
    events.append(_crossing(word, a, b, value, marks[0]))
    return True


def _crossing(word: str, a: EventSignals, b: EventSignals, value: tuple[float, float], mark: float) -> Event:
    rise = value[1] - value[0]
    w = min(max((mark - value[0]) / rise, 0.0), 1.0) if rise else 1.0
    return Event(
        t_s=a.t_s + w * (b.t_s - a.t_s),
        word=word,
        dp_pa=a.dp_pa + w * (b.dp_pa - a.dp_pa),
        oil_c=a.oil_c + w * (b.oil_c - a.oil_c),
    )
