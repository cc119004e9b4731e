"""Numbers of the circuit at one moment: what flows from where to where, and how full the passages are."""

from __future__ import annotations

from dataclasses import dataclass
from math import floor, log10

from glasscan.rig.params import Params
from glasscan.rig.records import Snapshot

LEAST_M3S = 1e-8  # less than 1 mL in 100 s is drawn as nothing
FULL_RPM = 3000.0  # speed the scale is made for where the lesson names none


@dataclass(frozen=True)
class RigNumbers:
    """Numbers of the rig as it is now, and as it would be without a fault (SI, see `Params`).

    `top_rpm` is the highest speed of the lesson as written: the scale of the ribbons is made for it.
    """

    now: Params
    sound: Params
    top_rpm: float = FULL_RPM


@dataclass(frozen=True)
class Stream:
    """One stream of oil: from a place to a place, m3/s, and how much of it has passed no filter medium."""

    start: str
    end: str
    m3s: float
    unfiltered_share: float = 0.0


@dataclass(frozen=True)
class CircuitFlows:
    """All streams of a moment by name, and what stands beside them.

    Attributes:
        streams: by name: suction, slip, relief, unload, delivery, spill-before, element, valve, hole, leak,
            outlet, spill-after, gallery, bearings, back.
        wanted_m3s: what the pump could send at this speed with an open suction, m3/s.
        fill: share of that which it draws, 0..1.
        sump_share: oil in the sump over what it holds when full, 0..1; None where the rig is not known.
        covered: False where the pick-up takes air.
    """

    streams: dict[str, Stream]
    wanted_m3s: float
    fill: float
    sump_share: float | None
    covered: bool

    def m3s(self, name: str) -> float:
        """Flow of a stream, m3/s."""
        return self.streams[name].m3s


def flows_of(s: Snapshot, rig: RigNumbers | None = None) -> CircuitFlows:
    """The streams of a snapshot."""
    read = s.readings.get
    slip, relief = read("slip_m3s", 0.0), read("relief_m3s", 0.0)
    hole, leak = read("hole_m3s", 0.0), read("leak_m3s", 0.0)
    unload = read("unloaded_m3s", 0.0)
    drawn = s.pump_m3s + slip
    starved = min(max(read("suction_starved", 0.0), 0.0), 1.0)
    through = s.element_m3s + s.bypass_m3s + hole
    past = s.bypass_m3s + hole
    share = min(max(past / through, 0.0), 1.0) if through > LEAST_M3S else 0.0
    before = s.regulator_m3s if s.regulator_before else 0.0
    after = 0.0 if s.regulator_before else s.regulator_m3s
    into = through - after
    rows = (
        ("suction", "sump", "pump", drawn, 1.0),
        ("slip", "pump", "suction", slip, 1.0),
        ("relief", "pump", "sump", relief, 1.0),
        ("unload", "unloading valve", "sump", unload, 1.0),
        ("delivery", "pump", "filter", s.pump_m3s - relief - before - unload, 1.0),
        ("spill-before", "regulator", "sump", before, 1.0),
        ("element", "filter inlet", "element", s.element_m3s, 0.0),
        ("valve", "filter inlet", "bypass valve", s.bypass_m3s, 1.0),
        ("hole", "filter inlet", "hole in the element", hole, 1.0),
        ("leak", "filter", "outside", leak, 1.0),
        ("outlet", "filter", "gallery", through, share),
        ("spill-after", "regulator", "sump", after, share),
        ("gallery", "filter", "gallery", into, share),
        ("bearings", "gallery", "bearings", s.bearings_m3s, share),
        ("back", "filter", "sump", read("drain_back_m3s", 0.0), 1.0),
    )
    streams = {name: Stream(start, end, max(q, 0.0), part) for name, start, end, q, part in rows}
    wanted = drawn / (1.0 - starved) if starved < 1.0 - 1e-9 else 0.0
    sump, full = read("sump_m3"), rig.sound.sump_m3 if rig else None
    covered = rig is None or sump is None or sump >= rig.now.unport_m3
    level = None if full is None or sump is None else min(max(sump / full, 0.0), 1.2)
    return CircuitFlows(streams, wanted, 1.0 - starved, level, covered)


def scale_m3s(s: Snapshot, rig: RigNumbers | None) -> float:
    """Flow that fills a pipe of the drawing: what a sound pump sends at the lesson's highest speed, m3/s.

    It depends on the rig and the lesson alone, so that the ribbons keep one scale; only a speed set higher
    by hand moves it, to the next round number.
    """
    if rig is None:
        return _round_up(max(6e-4, s.pump_m3s))
    return _round_up(rig.sound.sweep_m3_rev * max(rig.top_rpm, s.rpm, 1.0) / 60.0)


def _round_up(m3s: float) -> float:
    """The next of 1, 1.5, 2, 3, 5, 7 and 10 times a power of ten L/min at or above a flow, m3/s."""
    lpm = max(m3s * 6e4, 1e-3)
    power = 10.0 ** floor(log10(lpm))
    return next(m * power for m in (1, 1.5, 2, 3, 5, 7, 10) if m * power >= lpm * (1 - 1e-9)) / 6e4
