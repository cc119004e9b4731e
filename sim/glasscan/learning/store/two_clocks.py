"""Two clocks for the time a sitting was not open: the calendar, and the time since the computer was started.

A calendar can be set; the other one counts while the computer sleeps, but begins anew with each start.
"""

from __future__ import annotations

import time
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

DISAGREE_S = 60.0
"""The calendar was set where the two differ by more than this over one gap, s (PRACTICE)."""


def ticks_s() -> float:
    """Seconds since the computer was started, sleep counted where the system counts it."""
    boot = getattr(time, "CLOCK_BOOTTIME", None)
    return time.clock_gettime(boot) if boot is not None else time.monotonic()


def boot_name() -> str:
    """What tells one start of the computer from another, or "" where the system does not say."""
    with suppress(OSError):
        return Path("/proc/sys/kernel/random/boot_id").read_text(encoding="ascii").strip()[:36]
    return ""


@dataclass(frozen=True)
class Moment:
    """One moment on both clocks."""

    utc: str
    ticks_s: float
    boot: str


def moment() -> Moment:
    """Now."""
    return Moment(datetime.now(UTC).isoformat(timespec="seconds"), ticks_s(), boot_name())


@dataclass(frozen=True)
class Gap:
    """Time between two moments.

    Attributes:
        seconds: s, never negative.
        by: "counter" where the computer was on all the time, else "calendar".
        was_set: the calendar was set in between.
    """

    seconds: float
    by: str
    was_set: bool


def gap(before: Moment, now: Moment) -> Gap:
    """Time between two moments, by the clock that can be trusted more."""
    try:
        calendar = (datetime.fromisoformat(now.utc) - datetime.fromisoformat(before.utc)).total_seconds()
    except (ValueError, TypeError):
        calendar = 0.0
    counted = now.ticks_s - before.ticks_s
    if before.boot and before.boot == now.boot and counted >= 0.0:
        return Gap(counted, "counter", abs(calendar - counted) > DISAGREE_S)
    return Gap(max(0.0, calendar), "calendar", calendar < 0.0)
