"""The running rig: a frozen state, a step, live controls."""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant import actions
from glasscan.contaminant.carrying import drain_m3, flow_of, mean_flow
from glasscan.contaminant.contaminant_state import Ahead, faults_of, feed_kg_s, look_ahead, start_stocks
from glasscan.contaminant.element import Element
from glasscan.contaminant.stocks import Stocks, advance
from glasscan.faults.schedule import Condition, FaultedRigCache, FaultProgress, next_stage_s
from glasscan.filters.network import FilterNetwork, ValveSpec
from glasscan.rig import accumulator, esdirk, handle
from glasscan.rig import state_index as at
from glasscan.rig.algebraic import Parts, evaluate, gallery_pressure, valve_forces
from glasscan.rig.bypass_valve import SEAT_N_M, BypassValve, bristle_slopes
from glasscan.rig.controls import Controls, Track
from glasscan.rig.event_detection import EventWatch, Trip, watched
from glasscan.rig.fault_progress import advance_faults, is_due
from glasscan.rig.filter_flow import minor_coefficient
from glasscan.rig.handle import Handle
from glasscan.rig.network_flow import Condenser
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.params import Params, si_params
from glasscan.rig.pleat_state import RENEW as PLEATS_RENEW
from glasscan.rig.pleat_state import Pleats, broken, moved, torn
from glasscan.rig.pleat_state import look_ahead as pleats_ahead
from glasscan.rig.rates import rates
from glasscan.rig.records import Event, Snapshot
from glasscan.rig.run_log import Ledger
from glasscan.rig.setup import RigSetup
from glasscan.rig.snapshot import event_signals, ledger_of, snapshot_of
from glasscan.rig.state import State, start_vector, tolerances

Floats = NDArray[np.float64]

FIRST_STEP_S = 1e-4
SHORTEST_STEP_S = 1e-11
EVENT_STEP_S = 0.01  # a longer step that crosses an event mark is made again, shorter
ATTENTION = 10.0  # times more exact while the bypass valve is about to crack, so that the moment is right
NEARLY_SHUT, NEAR_CRACKING = 0.05, 0.7  # share of the full lift, of the cracking pressure
CUT = 0.25  # after Newton has failed with a fresh Jacobian
PATIENCE = 500  # steps made in one outer step before a valve that chatters through it is calmed
LAPSE_S = 0.5  # outer steps longer than this keep a calmed valve calm
HANDLE_REST_S = 1.0  # a dragged handle that stood for less is not told of again
CALM_N_S_M = 500.0  # drag that calms it: it then follows its balance within a second
STALE_RATE = 0.2  # Newton slower than this: fresh Jacobian next time
DOUBTFUL_RATE = 0.05  # after a step with too large an error, Newton slower than this: fresh Jacobian
ACTIONS = frozenset(actions.LIMITS)


class RigFailedError(RuntimeError):
    """The step could not be made at any length: a fault of the program, told in one line."""


class Rig:
    """A plant that runs. `state` can be kept and put back at any time: the future is then bit-identical.

    Args:
        setup: all a run needs.
        accuracy: factor on all error tolerances; 1 for teaching, less for reference runs.

    Raises:
        ValueError: the timeline moves a control that does not exist, or to a value out of range.
    """

    def __init__(self, setup: RigSetup, accuracy: float = 1.0) -> None:
        self.setup = setup
        self._conditions = FaultedRigCache(setup)
        self._condition = self._conditions.at((FaultProgress(),) * len(setup.coming))
        self.timeline = tuple(sorted(setup.timeline, key=lambda ramp: ramp.at_s))
        self.weight = 1.0 / (accuracy * tolerances(setup))
        self._bump = 1e-4 / self.weight * accuracy
        self.start_y = start_vector(setup)
        self._parts: Parts | None = None
        self._parts_for: tuple[object, ...] | None = None
        self.state = self._first_state(setup)
        self._rest_the_valve()
        self.start_dirt = self.state.dirt
        for ramp in self.timeline:
            if ramp.key in ACTIONS:
                actions.checked(ramp.key, ramp.to, setup.network.dirt_side)
            else:
                self.state.controls.changed(ramp.key, ramp.to, 0.0, ramp.over_s)

    def _first_state(self, setup: RigSetup) -> State:
        controls = Controls(
            Track.still(setup.rpm),
            Track.still(setup.air_c),
            setup.fluid,
            setup.regulator == "before",
            setup.plant,
        )
        memory = esdirk.Memory(FIRST_STEP_S)
        y = self.start_y
        element = self._condition.element
        dirt = start_stocks(setup.network, element, setup.plant.dirt, setup.dirt_kg, setup.sludge_kg)
        r = element.resistance(dirt.held, dirt.sludge)
        straight = Pleats.at_rest(setup.network.segments)
        courses = (FaultProgress(),) * len(setup.coming)
        return State(0.0, y, controls, 0, EventWatch(), (), r, memory, dirt, straight, courses=courses)

    def _rest_the_valve(self) -> None:
        """Let the seat take up, to first order, what the pressure at the start leaves of the spring."""
        parts, y = self.parts(), self.state.y.copy()
        if parts.valve is None or self.setup.rpm > 0.0:
            return
        forces = valve_forces(parts.valve, y.tolist(), evaluate(parts, y.tolist(), 0.0))
        y[at.LIFT] += sum(vars(forces).values()) / SEAT_N_M
        y.setflags(write=False)
        self.state = replace(self.state, y=y)

    @property
    def network(self) -> FilterNetwork:
        """The filter as far as faults have come."""
        return self.condition.setup.network

    @property
    def element(self) -> Element:
        """Its element as a catcher of dirt."""
        return self.condition.element

    @property
    def condition(self) -> Condition:
        """The rig as far as faults have come; as at the start where none comes."""
        return self._conditions.at(self.state.courses) if self.setup.coming else self._condition

    @property
    def t_s(self) -> float:
        """Model time, s."""
        return self.state.t_s

    @property
    def events(self) -> tuple[Event, ...]:
        """Events so far, in order of time."""
        return tuple(sorted(self.state.events, key=lambda event: event.t_s))

    def set(self, key: str, value: object) -> None:
        """Move a control now; see `Controls.changed` for the keys.

        Raises:
            ValueError: unknown key or a value out of range.
        """
        self._control(key, value, 0.0)

    def step(self, dt_s: float) -> None:
        """Advance by exactly `dt_s` (> 0) of model time.

        Raises:
            RigFailedError: no step, however short, could be made.
        """
        if not 0.0 < dt_s < np.inf:
            raise ValueError(f"dt_s: expected a positive number of seconds, got {dt_s!r}")
        self.advance_to(self.state.t_s + dt_s)

    def advance_to(self, t_end: float) -> None:
        """Advance to a moment."""
        made = 0
        self._calm(self.state.calm and t_end - self.state.t_s > LAPSE_S)
        while self.state.t_s < t_end:
            if made == PATIENCE:
                self._calm(True)
            self._apply_timeline()
            self._let_faults_come()
            self._internal_step(min(t_end, self._next_break()))
            made += 1
        self._apply_timeline()
        self._let_faults_come()

    def _calm(self, calm: bool) -> None:
        """Let a valve that chatters through a long outer step creep instead, or let it move freely again."""
        if calm != self.state.calm:
            memory = esdirk.Memory(min(self.state.memory.step_s, FIRST_STEP_S))
            self.state = replace(self.state, calm=calm, memory=memory)

    def snapshot(self) -> Snapshot:
        """The present state for everything that looks."""
        return snapshot_of(self.state, self.parts(), self.element, self.network)

    def ledger(self) -> Ledger:
        """The books of volume and contaminant, now."""
        return ledger_of(self.state, self.start_y, self.start_dirt, self.parts().params.sump_m3)

    def rates(self, t_s: float, y: Floats) -> Floats:
        """Right-hand side with the present controls, for outside integrators, (N,)."""
        return self._rates(self.parts(), t_s, y)

    def parts(self) -> Parts:
        """The rig's parts as they are now."""
        state = self.state
        now = (
            state.controls,
            state.segment_r,
            state.pleats.factor,
            state.pleats.torn_m2,
            state.calm,
            state.courses,
            state.unloaded,
        )
        made_for = self._parts_for
        if (
            self._parts is None
            or made_for is None
            or any(a is not b for a, b in zip(now, made_for, strict=True))
        ):
            self._parts, self._parts_for = self._make_parts(), now
        return self._parts

    def _make_parts(self) -> Parts:
        state = self.state
        network = torn(self.network, state.pleats)
        return Parts(
            params=_params(state.controls.plant),
            oil=oil_table(state.controls.fluid),
            valve=BypassValve.of(_lodged(network.valve, state.controls)) if network.valve else None,
            condenser=Condenser(network, state.segment_r * state.pleats.factor),
            inertia_m4=minor_coefficient(network),
            before=state.controls.before,
            calm_n_s_m=CALM_N_S_M if state.calm else 0.0,
            can_m3=network.dirty_volume_m3,
            drain_m3=drain_m3(state.controls.plant, network.dirt_side),
            hole=network.hole,
            kept=network.kept,
            unloaded=state.unloaded,
        )

    def _rates(self, parts: Parts, t_s: float, y: Floats) -> Floats:
        controls = self.state.controls
        rpm = controls.rpm.at(t_s)
        return rates(parts, y, rpm, controls.air_c.at(t_s))

    def _control(self, key: str, value: object, over_s: float) -> None:
        state = self.state
        memory = esdirk.Memory(min(state.memory.step_s, FIRST_STEP_S))
        if key in ACTIONS:
            self.state = replace(self._acted(key, value), memory=memory)
            return
        controls = state.controls.changed(key, value, state.t_s, over_s)
        self.state = replace(state, controls=controls, memory=memory)

    def _acted(self, key: str, value: object) -> State:
        """The state after something done by hand; see `contaminant.actions`."""
        state, side, plant = self.state, self.network.dirt_side, self.state.controls.plant
        amount = actions.checked(key, value, side)
        look = event_signals(self.parts(), state.t_s, state.y)
        event = Event(state.t_s, actions.WORDS[key], look.dp_pa, look.oil_c)
        if key in handle.KEYS:
            return self._handle_asked(key, amount, event)
        state = replace(state, events=(*state.events, event))
        if key == "indicator_reset":
            return replace(state, watch=replace(state.watch, popped=False))
        dirt = actions.acted(state.dirt, key, amount, side, faults_of(plant.scraper), plant.dirt.dust)
        return replace(state, dirt=dirt, segment_r=self._resistance(dirt))

    def _resistance(self, dirt: Stocks) -> Floats:
        """(K,) resistance of the segments with a deposit, under the pressure that is across them, 1/m3."""
        return self.element.resistance(dirt.held, dirt.sludge, self.state.pleats.across_pa)

    def _handle_asked(self, key: str, amount: float, event: Event) -> State:
        """The state with more to turn; a hand that drags the handle is told of once, when it begins."""
        state = self.state
        asked = state.handle.asked(key, amount, state.t_s)
        begins = asked.turns_at(state.t_s) and not state.handle.turns_at(state.t_s - HANDLE_REST_S)
        told = (event,) if begins or key == "scraper_turns" else ()
        return replace(state, handle=asked, events=(*state.events, *told))

    def _apply_timeline(self) -> None:
        while self.state.done < len(self.timeline):
            ramp = self.timeline[self.state.done]
            if ramp.at_s > self.state.t_s:
                return
            self._control(ramp.key, ramp.to, ramp.over_s)
            self.state = replace(self.state, done=self.state.done + 1)

    def _next_break(self) -> float:
        """Next moment at which a control starts or stops moving, s."""
        state = self.state
        marks = [track.to_s for track in (state.controls.rpm, state.controls.air_c)]
        marks.append(state.handle.next_break_s(state.t_s))
        if state.done < len(self.timeline):
            marks.append(self.timeline[state.done].at_s)
        if self.setup.coming:
            marks.append(next_stage_s(self.setup.coming, state.courses))
        return min((mark for mark in marks if mark > state.t_s), default=np.inf)

    def _let_faults_come(self) -> None:
        """Let faults begin or grow whose time or pulse has come; what they move is moved at once."""
        if self.setup.coming and is_due(self.setup.coming, self.state):
            state = advance_faults(self.setup.coming, self.state, self.parts(), self._conditions)
            if state is not self.state:
                self.state = replace(state, memory=esdirk.Memory(min(state.memory.step_s, FIRST_STEP_S)))

    def _internal_step(self, t_stop: float) -> None:
        """One accepted step of the integrator, ending at `t_stop` at the latest."""
        state = self.state
        left = t_stop - state.t_s
        ahead = self._ahead(min(state.memory.step_s, left))
        state = self.state
        wanted = state.memory.step_s if ahead.step_s >= left else ahead.step_s
        h = left if wanted >= left else (0.5 * left if wanted > 0.6 * left else wanted)
        slope = state.memory.slope
        if ahead.segment_r is not state.segment_r:
            state = self.state = replace(state, segment_r=ahead.segment_r)  # its slope has no sudden jump
        if slope is None:
            slope = self._rates(self.parts(), state.t_s, state.y)
        y, h, memory = self._accepted(slope, h)
        while h > EVENT_STEP_S and not state.calm and self._meets_a_mark(state.t_s + h, y):
            y, h, memory = self._accepted(slope, max(0.25 * h, EVENT_STEP_S))
        t_s = t_stop if h == left else state.t_s + h
        self._finish(t_s, y, memory)

    def _accepted(self, slope: Floats, h: float) -> tuple[Floats, float, esdirk.Memory]:
        """Try steps until one is good; returns the new state, the step made and the memory."""
        state, parts = self.state, self.parts()

        def f(t_s: float, y: Floats) -> Floats:
            return self._rates(parts, t_s, y)

        tangent, fresh = state.memory.tangent, False
        weight = self.weight * ATTENTION if self._about_to_crack() else self.weight
        wanted, shortest = state.memory.step_s, min(SHORTEST_STEP_S, h)
        while h >= shortest:
            if tangent is None:
                tangent, fresh = self._tangent(f, h), True
            tangent = tangent.for_step(h)
            try:
                tried = esdirk.attempt(f, state.t_s, state.y, slope, tangent, weight)
            except esdirk.NewtonFailedError:
                h, tangent = (CUT * h, tangent) if fresh else (h, None)
                wanted = h
                continue
            if tried.error <= 1.0:
                return tried.y, h, _next_memory(tried, h, wanted, tangent)
            if not fresh and tried.rate > DOUBTFUL_RATE:
                tangent = None
            h *= min(max(0.9 * tried.error ** (-1 / 3), 0.1), 0.7)
            wanted = h
        raise RigFailedError(f"no step could be made at t = {state.t_s:.6f} s")

    def _about_to_crack(self) -> bool:
        """True while the valve is all but shut under a pressure near its cracking pressure."""
        valve = self.network.valve
        if valve is None or self.state.calm:
            return False
        look = event_signals(self.parts(), self.state.t_s, self.state.y)
        return look.lift < NEARLY_SHUT and look.dp_pa > NEAR_CRACKING * valve.cracking_pa

    def _tangent(self, f: esdirk.Rates, h: float) -> esdirk.Tangent:
        """Fresh Jacobians on both sides of the guide friction's corner."""
        y = self.state.y
        jac = esdirk.numeric_jacobian(f, self.state.t_s, y, self._bump)
        sides = []
        for sign in (1.0, -1.0):
            side = jac.copy()
            if self.network.valve is not None:
                side[at.BRISTLE, [at.SPEED, at.BRISTLE]] = bristle_slopes(y[at.SPEED], y[at.BRISTLE], sign)
            sides.append(side)
        return esdirk.Tangent.of(at.SPEED, (sides[0], sides[1]), h)

    def _finish(self, t_s: float, y: Floats, memory: esdirk.Memory) -> None:
        """Book the step and look for events."""
        state = self.state
        watch, events = self._watched(t_s, y)
        memory, switched = self._switched(t_s, y, memory)
        events += switched
        turned, dirt = self._scraped(self._moved_dirt(t_s, y), t_s)
        pleats = moved(self.network.panels, state.pleats, t_s - state.t_s)
        words = broken(state.pleats, pleats)
        if words:
            look = event_signals(self.parts(), t_s, y)
            events += [Event(t_s, word, look.dp_pa, look.oil_c) for word in words]
        y.setflags(write=False)
        self.state = replace(
            state,
            t_s=t_s,
            y=y,
            watch=watch,
            events=state.events + tuple(events),
            memory=memory,
            dirt=dirt,
            pleats=pleats,
            handle=turned,
            unloaded=state.unloaded != bool(switched),
        )

    def _switched(self, t_s: float, y: Floats, memory: esdirk.Memory) -> tuple[esdirk.Memory, list[Event]]:
        """The integrator's memory after a step, and an event where the unloading valve has switched."""
        if not self._switches(y):
            return memory, []
        look = event_signals(self.parts(), t_s, y)
        word = "pump-loads" if self.state.unloaded else "pump-unloads"
        return esdirk.Memory(FIRST_STEP_S), [Event(t_s, word, look.dp_pa, look.oil_c)]

    def _scraped(self, dirt: Stocks, t_s: float) -> tuple[Handle, Stocks]:
        """Handle and dirt after a step that ends at a moment and has caught some dirt."""
        state, scraper = self.state, self.network.dirt_side.scraper
        if scraper is None:
            return state.handle, dirt
        times = float(np.mean(state.segment_r / self.element.r))
        loaded = handle.loaded_on(state.handle, state.dirt, dirt, times)
        faults = faults_of(state.controls.plant.scraper)
        return handle.turned_on(loaded, dirt, scraper, faults, (state.t_s, t_s))

    @property
    def handle_rests_s(self) -> float:
        """Moment at which the handle will have made all the turns asked for, s; now where it rests."""
        return max(self.state.handle.track.to_s, self.state.t_s)

    def _feed(self, t_s: float) -> Floats:
        plant = self.state.controls.plant
        return feed_kg_s(plant.dirt, self.state.controls.rpm.at(t_s) / plant.heat.reference_rpm)

    def _ahead(self, wanted_s: float) -> Ahead:
        """How far the next step may go before deposit or pleats change too much."""
        state, parts = self.state, self.parts()
        m = evaluate(parts, state.y.tolist(), state.controls.rpm.at(state.t_s))
        flow = flow_of(parts, m, m.flows.element_m3s, m.unfiltered)
        feed = self._feed(state.t_s)
        pressed = state.pleats.across_pa
        ahead = look_ahead(self.element, state.dirt, flow, feed, wanted_s, state.segment_r, pressed)
        law = self.network.panels
        if law is None:
            return ahead
        across = m.mu_filter * state.segment_r * state.pleats.factor * m.segment_m3s
        pleats = replace(state.pleats, across_pa=across)
        step_s, factor = pleats_ahead(law, pleats, ahead.segment_r, ahead.step_s)
        if (np.abs(factor - pleats.factor) > PLEATS_RENEW * pleats.factor).any():
            pleats = replace(pleats, factor=factor)
        self.state = replace(state, pleats=pleats)
        return replace(ahead, step_s=step_s)

    def _moved_dirt(self, t_s: float, y: Floats) -> Stocks:
        """Where the contaminant is after a step that ends at a state."""
        state = self.state
        h = t_s - state.t_s
        flow = mean_flow(self.parts(), state.y, y, h)
        caught = self.element.caught(state.dirt.held)
        scraper = self.network.dirt_side.scraper
        return advance(state.dirt, flow, caught, self._feed(0.5 * (t_s + state.t_s)), h, scraper)

    def _watched(self, t_s: float, y: Floats) -> tuple[EventWatch, list[Event]]:
        """Sides of the marks and events after a step that ends at a state."""
        state, parts = self.state, self.parts()
        p = parts.params
        trip = Trip(p.indicator_pa, p.indicator_lockout_c, p.indicator_lag_s) if p.indicator_fitted else None
        before, after = event_signals(parts, state.t_s, state.y), event_signals(parts, t_s, y)
        return watched(state.watch, before, after, p.green_pa, trip)

    def _meets_a_mark(self, t_s: float, y: Floats) -> bool:
        """True where a step crosses a mark, so that a shorter one would tell better when."""
        watch, events = self._watched(t_s, y)
        if self._switches(y):
            return True
        return bool(events) or (watch.shut_since is not None and self.state.watch.shut_since is None)

    def _switches(self, y: Floats) -> bool:
        """True where a step ends beyond the pressure at which the unloading valve switches."""
        parts, idles = self.parts(), self.state.unloaded
        line_pa = gallery_pressure(parts, float(y[at.GALLERY]), float(y[at.GAS]))
        return accumulator.would_idle(parts.params, idles, line_pa) != idles


def _lodged(valve: ValveSpec, controls: Controls) -> ValveSpec:
    """The valve with what debris on its seat leaves of its way down."""
    least = min(max(valve.jam_lift_m, controls.lodged_m), valve.max_lift_m)
    return valve if least == valve.jam_lift_m else replace(valve, jam_lift_m=least)


def _next_memory(tried: esdirk.Attempt, h: float, proposed: float, tangent: esdirk.Tangent) -> esdirk.Memory:
    """What to carry on: a step cut short by the clock does not shrink the proposal."""
    step = h * min(max(0.9 * max(tried.error, 1e-6) ** (-1 / 3), 0.3), 5.0)
    if step >= h:
        step = max(step, proposed)
    return esdirk.Memory(step, tried.slope, tangent if tried.rate < STALE_RATE else None)


@lru_cache(maxsize=32)
def _params(plant: object) -> Params:
    return si_params(plant)  # type: ignore[arg-type]
