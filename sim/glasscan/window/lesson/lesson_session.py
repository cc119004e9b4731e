"""One lesson at the screen: the engine, the clock that drives it, and the intents of the person using it.

The window never steps the model itself: it says what is wanted here and reads snapshots back.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from math import degrees
from typing import Any, cast

from glasscan.rig.records import Event, Snapshot
from glasscan.window.contract import Carriers, Engine, EngineStoppedError, Section
from glasscan.window.cutaway.dye import released
from glasscan.window.faults.fault_pictures import ShownFault, broken_by_pressure, come_by_now
from glasscan.window.lesson.debris_controller import DebrisController
from glasscan.window.lesson.flakes import DRAINED, NO_FLAKES, Flakes, falling_cake
from glasscan.window.lesson.jump import jump
from glasscan.window.lesson.start_with import StartWith
from glasscan.window.lesson.trace_log import TraceLog
from glasscan.window.lesson.valve_state import ValveMarks
from glasscan.window.presenter.notes import NoteLine

USUAL_M3S = 6e-4  # largest flow of a lesson that names none
SPEEDS = (0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0, 1e3, 1e4, 1e5)
BUDGET_S = 0.007  # wall time per frame for the engine: what a 60 Hz frame leaves beside the drawing
SLICE_S = 0.25  # most model time between two looks at the wall clock at ordinary speeds
CAREFUL_S = 2e-3  # the same at the start and just after a control was moved: the shortest steps are there
DRAGGED, DRAG_NOTED_S = "handle_deg", 0.1
GHOST_S = 3.0  # where less than this is forgotten it leaves no ghost
EDGE_M = (
    4e-4,
    9e-3,
)  # outside the edge of the discs: between it and the far side of the post flakes come off
HELD_STEP_M = 2e-5  # change of the gap on the seat that the rig is told of
TRACE_ROWS_S = 0.05  # least model time between two rows of the trace


@dataclass(frozen=True)
class Facts:
    """What the window says about the lesson and offers to change, all fixed.

    Attributes:
        title: of the scenario.
        about: one paragraph.
        safety: the caution for the real work.
        filter_title: of the filter.
        end_s: length of the run, s.
        cracking_pa: differential pressure that cracks the valve, Pa; None without a valve.
        reseat_pa: pressure over the valve at which it is back on its seat, Pa; None where it is not known.
        seat_m2: area of its seat bore, m2.
        max_lift_m: lift at the stop, m.
        fluids: names that may be chosen, and their titles.
        rpm_max: highest shaft speed offered, rev/min.
        air_c: lowest and highest air temperature offered, degC.
        scenario, seed: what stamps every file taken away.
        filter_data: sizes of the filter, for the closer look; None where there is none.
        lines: notes for the presenter, and what the lesson itself will do.
        sound: numbers of the rig without a fault (`Params`); None where they are not known.
        top_rpm: highest shaft speed of the lesson as written, rev/min; 0 where it is not known.
        cold_start: True where the lesson starts a cold rig with empty passages.
    """

    title: str
    about: str = ""
    safety: str = ""
    filter_title: str = ""
    end_s: float = 600.0
    cracking_pa: float | None = None
    reseat_pa: float | None = None
    seat_m2: float = 0.0
    max_lift_m: float = 0.003
    fluids: dict[str, str] = field(default_factory=dict)
    rpm_max: float = 3000.0
    air_c: tuple[float, float] = (-40.0, 45.0)
    filter_data: Any = None
    scenario: str = ""
    seed: int = 0
    lines: tuple[NoteLine, ...] = ()
    sound: Any = None
    top_rpm: float = 0.0
    cold_start: bool = False

    @property
    def marks(self) -> ValveMarks | None:
        """What the valve is made for; None without one."""
        if self.cracking_pa is None:
            return None
        return ValveMarks(self.cracking_pa, self.reseat_pa, self.seat_m2, self.max_lift_m)

    @property
    def full_m3s(self) -> float:
        """Largest flow of the lesson as written: what a sound pump sends at its highest speed, m3/s."""
        if self.sound is None or self.top_rpm <= 0.0:
            return USUAL_M3S
        return float(self.sound.sweep_m3_rev * self.top_rpm / 60.0)


class LessonSession:
    """Engine, section and clock.

    Attributes:
        wall: the clock that limits stepping, s.
        loose: debris that the person has dropped in.
        rivals: makers of sessions that differ in one thing, by what differs.
        faults: makers of sessions with one fault, by its title.
        followers: sessions on the same clock; rewinding and controls reach them too.
        differs: control in which this one differs from the session it follows.
        ghost: the trace of the last run, before a control was moved at an earlier moment.
        changes: controls moved in the run as recorded: when, s, which, and to what.
        remake: makes the rig of another morning; None where there is no other.
        wanted, started: the morning on the card, and the one that this run began with.
        soaked: True where oil and metal start as cold as the air; `load_kg` is the load at the start, kg.
        refills: how often the marks of the oil were spread anew.
        drawn_rate: how much slower than life the oil is drawn; the debris goes with it.
        dye: marks of a dye let in at the inlet; None while there is none.
        own_faults: faults that the rig started with.
    """

    def __init__(
        self,
        facts: Facts,
        engine: Engine,
        section: Section,
        carriers: Carriers,
        wall: Callable[[], float] = time.perf_counter,
        loose: DebrisController | None = None,
    ) -> None:
        self.facts, self.engine, self.section, self.carriers = facts, engine, section, carriers
        self.wall = wall
        self.playing = False
        self.speed_index = SPEEDS.index(1.0)
        self.late = False
        self.trouble = ""
        self.trace = TraceLog()
        self.snapshot: Snapshot = engine.snapshot()
        self.trace.add(self.snapshot)
        self.peak_dp_pa = max(self.snapshot.dp_pa, 0.0)
        self._owed_s = 0.0
        self._slice_s = CAREFUL_S
        self._held_m = 0.0
        self.loose = loose or DebrisController()
        self.drawn_rate = 0.1
        self._cake = falling_cake(section, facts.seed)
        self.dye: Carriers | None = None
        self.own_faults: tuple[ShownFault, ...] = ()
        self.rivals: dict[str, Callable[[], LessonSession]] = {}
        self.faults: dict[str, Callable[[], LessonSession]] = {}
        self.followers: list[LessonSession] = []
        self.differs = ""
        self.ghost: TraceLog | None = None
        self.refills = 0
        self.remake: Callable[[StartWith], Engine] | None = None
        self.wanted = self.started = StartWith()
        self.soaked, self.load_kg = False, 0.0
        self.changes: list[tuple[float, str, Any]] = []

    @property
    def faults_now(self) -> tuple[ShownFault, ...]:
        """Faults of the rig at this moment, and what the pressure has broken in this run."""
        come = come_by_now(getattr(self.engine, "rig", None))
        return broken_by_pressure(self.snapshot, (*self.own_faults, *come))

    @property
    def speed(self) -> float:
        """Model seconds per wall second wanted."""
        return SPEEDS[self.speed_index]

    @property
    def events(self) -> Sequence[Event]:
        """Events so far."""
        return self.engine.events

    @property
    def has_scraper(self) -> bool:
        """True where the filter has a handle to be turned."""
        return self._cake is not None

    @property
    def finished(self) -> bool:
        """True once the run has reached its end."""
        return self.snapshot.t_s >= self.facts.end_s - 1e-9

    def toggle(self) -> None:
        """Run or pause; at the end, running starts again from the beginning."""
        if not self.playing and self.finished:
            self.rewind(0.0)
        self.playing = not self.playing

    def faster(self, by: int = 1) -> None:
        """Next quicker speed, or slower for a negative `by`."""
        self.speed_index = min(max(self.speed_index + by, 0), len(SPEEDS) - 1)

    def step(self) -> None:
        """Pause and move on by one twentieth of a second of model time."""
        self.playing = False
        before, dt_s = self.snapshot.t_s, min(TRACE_ROWS_S, self._left())
        self._advance(dt_s)
        while self.is_past and self.snapshot.t_s <= before:  # what is recorded has longer steps here
            dt_s *= 2
            self._advance(dt_s)

    @property
    def known_s(self) -> float:
        """Up to where the run is recorded, s: the picture can be taken there, back and on."""
        return max(self.engine.known_s, self.snapshot.t_s)

    @property
    def is_past(self) -> bool:
        """True where more of the run is recorded than has been gone to."""
        return self.engine.known_s > self.snapshot.t_s + 1e-9

    def scrub(self, t_s: float) -> None:
        """Show a recorded moment while a hand drags over the trace: the nearest kept state before it."""
        self._seek(t_s, exactly=False)

    def rewind(self, t_s: float) -> None:
        """Go to a recorded moment, back or on; the run from there stays until a control is moved."""
        self._seek(t_s, exactly=True)
        self.loose.rewind(self.snapshot.t_s)
        self.dye = None
        if not self.is_past:
            self._hold_anew()

    def _seek(self, t_s: float, exactly: bool) -> None:
        moment = min(max(t_s, 0.0), self.known_s)
        self.engine.seek(moment, exactly)
        self._owed_s, self.trouble = 0.0, ""
        self._look()
        self._refill()
        for follower in self.followers:
            follower._seek(moment, exactly)

    def _refill(self) -> None:
        """Spread the marks of the oil anew: what they had been through belongs to another moment."""
        refill = getattr(self.carriers, "refill", None)
        if refill is not None:
            refill()
        self.refills += 1

    def _cut(self) -> None:
        """Forget the run from here on; it stays to compare with, as the last run."""
        if not self.is_past:
            return
        now = self.snapshot.t_s
        if self.known_s - now > GHOST_S:
            self.ghost = self.trace.copy()
        self.trace.cut(now)
        if self._cake is not None:
            self._cake.cut(self.snapshot)
        self.changes = [c for c in self.changes if c[0] <= now]

    def start_again(self) -> None:
        """Begin anew with the morning on the card; the run so far stays to compare with, as the last run."""
        if self.remake is None:
            return
        before = self.snapshot.t_s
        self.started = self.wanted
        self.engine = self.remake(self.wanted)
        self.ghost = self.trace.copy() if before > GHOST_S else self.ghost
        self.trace, self.changes, self.playing, self.dye = TraceLog(), [], False, None
        self._cake = falling_cake(self.section, self.facts.seed)
        self.loose.rewind(-1.0)
        self.followers.clear()
        self._held_m, self._owed_s, self.trouble, self.peak_dp_pa = 0.0, 0.0, "", 0.0
        self._slice_s = CAREFUL_S
        self._look()
        self._refill()

    @property
    def moved(self) -> list[tuple[float, str, Any]]:
        """Controls moved up to this moment: when, s, which, and to what."""
        return [c for c in self.changes if c[0] <= self.snapshot.t_s]

    def change(self, key: str, value: Any) -> None:
        """Ask the rig for a live change; what was recorded after this moment is forgotten."""
        if key == "air_c" and self.soaked and self.known_s == 0.0 and self.remake is not None:
            self.wanted = replace(self.wanted, air_c=float(value))
            self.start_again()  # nothing has run yet: the rig stands in this air since yesterday
            return
        anew = self.is_past
        self._cut()
        self._slice_s = CAREFUL_S
        self.engine.set(key, value)
        if anew:
            self._hold_anew()
        for follower in self.followers:
            if key != follower.differs:
                follower.change(key, value)
        last_s, last_key, _ = self.changes[-1] if self.changes else (-1.0, "", None)
        if key == last_key == DRAGGED and self.snapshot.t_s - last_s < DRAG_NOTED_S:
            self.changes.pop()  # one entry for a stretch of dragging: it has the last angle
        self.changes.append((self.snapshot.t_s, key, value))
        self.snapshot = self.engine.snapshot()

    @property
    def handle_words(self) -> str:
        """What the hand at the handle feels, while it turns; else empty."""
        told = self.snapshot.readings
        turning = told.get("handle_end_rad", 0.0) > told.get("handle_rad", 0.0)
        if not self.has_scraper or not turning:
            return ""
        arm_m = cast("Any", self.section).network.dirt_side.scraper.comb.arm_m
        torque, turned = told["handle_n_m"], degrees(told["handle_rad"])
        return (
            f"Handle at {turned:.0f}°: it resists with {torque:.2f} N m, {torque / arm_m:.0f} N at the grip"
        )

    @property
    def flakes(self) -> Flakes:
        """The scraped cake that is falling now."""
        if self._cake is None:
            return NO_FLAKES
        drained = [e.t_s for e in self.events if e.word == DRAINED and e.t_s <= self.snapshot.t_s]
        return self._cake.now(self.snapshot, max(drained, default=0.0))

    def _hold_anew(self) -> None:
        """Tell a rig that may have gone to an older hold what holds its valve now."""
        if self._held_m or self.loose.seat_gap_m:
            self._held_m = -1.0
            self._hold_the_valve()

    def _hold_the_valve(self) -> None:
        """Tell the rig how far bodies on the seat keep the valve open: the leak follows from the contact."""
        gap_m = self.loose.seat_gap_m
        if abs(gap_m - self._held_m) > HELD_STEP_M and not self.is_past:
            self._held_m = gap_m
            self.engine.set("lodged_mm", 1e3 * gap_m)

    def drop(self, kind: str, number: int) -> None:
        """Put pieces of debris in at the inlet."""
        self.loose.drop(kind, number, self.snapshot.t_s)

    def let_dye_in(self) -> None:
        """A line of dye at the inlet, here and in whatever is beside."""
        self.dye = released(self.section, self.dye)
        for follower in self.followers:
            follower.let_dye_in()

    def take_out(self) -> None:
        """Take all debris out."""
        self.loose.take_out(self.snapshot.t_s)

    def update(self, wall_s: float) -> None:
        """Let `wall_s` of wall time pass: step the engine for as long as a frame allows.

        Model time that a slow machine cannot deliver is dropped, and `late` says so.
        """
        self.late = False
        if not self.playing:
            return
        self._owed_s = min(self._owed_s + wall_s * self.speed, self._left())
        start = self.wall()
        while self._owed_s > 1e-9 and self.playing:
            before, part = self.snapshot.t_s, min(self._owed_s, self._slice())
            begun = self.wall()
            self._advance(part)
            self._pace(self.wall() - begun)
            if self.is_past and self.snapshot.t_s < before + part:  # its steps are longer: wait for them
                self._owed_s -= self.snapshot.t_s - before
                break
            self._owed_s -= part
            if self.wall() - start > BUDGET_S:
                self.late = self._owed_s > 0.1 * wall_s * self.speed
                self._owed_s = 0.0
        self.loose.carry(self.snapshot, wall_s * self.drawn_rate)
        self._hold_the_valve()
        if self.finished:
            self.playing = False

    def _slice(self) -> float:
        """Model time to the next look at the wall clock; what is recorded has steps of its own."""
        most = max(SLICE_S, self.speed / 2000)
        return most if self.is_past else min(self._slice_s, most)

    def _pace(self, took_s: float) -> None:
        """Longer slices while the model is quick, shorter ones where it is slow: no frame waits for it."""
        if took_s > BUDGET_S:
            self._slice_s = max(self._slice_s / 2, CAREFUL_S)
        else:
            self._slice_s = min(2 * self._slice_s, max(SLICE_S, self.speed / 2000))

    def repeat(
        self, t_s: float, changes: Sequence[tuple[float, str, Any]], tell: Callable[[float], None]
    ) -> None:
        """Go from the start to a moment, moving the controls as they were moved (to carry on a sitting)."""
        for at_s, key, value in changes:
            self.jump_to(min(at_s, t_s), tell)
            self.change(key, value)
        self.jump_to(t_s, tell)

    def jump_to(self, t_s: float, tell: Callable[[float], None] = lambda _: None) -> None:
        """Step to a moment, coarsely where nothing is moved; `tell` gets the model time."""
        if not self._repeated(t_s):
            jump(self, t_s, tell)

    def run_to(self, t_s: float, step_s: float = SLICE_S) -> None:
        """Step to a moment without a limit on wall time (for pictures)."""
        if self._repeated(t_s):
            return
        while self.snapshot.t_s < t_s - 1e-9:
            before = self.snapshot.t_s
            self._advance(min(step_s, t_s - before))
            if self.snapshot.t_s <= before:
                return

    def _repeated(self, t_s: float) -> bool:
        """Go on through what is recorded, by its own steps; True where the moment lies within it."""
        if self.is_past and t_s > self.snapshot.t_s:
            self._advance(min(t_s, self.known_s) - self.snapshot.t_s)
        return self.is_past

    def _left(self) -> float:
        return max(0.0, self.facts.end_s - self.snapshot.t_s)

    def _advance(self, dt_s: float) -> None:
        if dt_s <= 0:
            return
        try:
            self._go_on(dt_s)
        except EngineStoppedError as reason:
            self.trouble, self.playing, self._owed_s = str(reason), False, 0.0
        self._look()

    def _go_on(self, dt_s: float) -> None:
        """Repeat what is recorded, step by step, and beyond it let the rig go on."""
        end = self.snapshot.t_s + dt_s
        if self.is_past:
            known = self.engine.known_s
            self.engine.seek(min(end, known))
            if end <= known:
                return
            dt_s = end - known
        self.engine.advance(dt_s)

    def _look(self) -> None:
        self.snapshot = self.engine.snapshot()
        if self._cake is not None:
            self._cake.look(self.snapshot)
        rows = self.trace.column("t_s")
        if len(rows) == 0 or self.snapshot.t_s - rows[-1] >= 0.9 * TRACE_ROWS_S:
            self.trace.add(self.snapshot)
        self.peak_dp_pa = max(self.peak_dp_pa, self.snapshot.dp_pa)
