"""What others see of the rig: snapshot, event look and ledger, all from the same state vector."""

from __future__ import annotations

from math import exp

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.carrying import flow_of
from glasscan.contaminant.contaminant_state import faults_of
from glasscan.contaminant.element import Element
from glasscan.contaminant.particle_counts import counter_readings
from glasscan.contaminant.stocks import Stocks
from glasscan.filters.element_capture import Scraper
from glasscan.filters.network import FilterNetwork
from glasscan.filters.panel_table import PanelLaw
from glasscan.rig import state_index as at
from glasscan.rig.accumulator import gas_warmth, stored_m3
from glasscan.rig.algebraic import Moment, Parts, can_pressure, evaluate, gallery_pressure, valve_forces
from glasscan.rig.event_detection import EventSignals
from glasscan.rig.handle import torque
from glasscan.rig.records import Snapshot
from glasscan.rig.run_log import Ledger
from glasscan.rig.state import State
from glasscan.rig.supply import void_share

Floats = NDArray[np.float64]


def event_signals(parts: Parts, t_s: float, y: Floats) -> EventSignals:
    """What the event marks look at."""
    travel = parts.valve.spec.max_lift_m if parts.valve else 1.0
    can, gallery, gas = float(y[at.CAN]), float(y[at.GALLERY]), float(y[at.GAS])
    return EventSignals(
        t_s=t_s,
        lift=float(y[at.LIFT]) / travel,
        over=gallery / parts.params.gallery_m3,
        gauge_pa=float(y[at.GAUGE]),
        dp_pa=can_pressure(parts, can) - gallery_pressure(parts, gallery, gas),
        oil_c=float(y[at.T_FILTER]),
    )


def snapshot_of(state: State, parts: Parts, element: Element, network: FilterNetwork) -> Snapshot:
    """The snapshot of a state, by the parts, the element and the filter that belong to it."""
    v = state.y.tolist()
    rpm = state.controls.rpm.at(state.t_s)
    m = evaluate(parts, v, rpm)
    return Snapshot(
        t_s=state.t_s,
        rpm=rpm,
        air_c=state.controls.air_c.at(state.t_s),
        sump_c=v[at.T_SUMP],
        filter_c=v[at.T_FILTER],
        gallery_c=v[at.T_GALLERY],
        mu_pa_s=m.mu_filter,
        nu_m2_s=m.mu_filter / m.rho,
        rho_kg_m3=m.rho,
        inlet_pa=m.can_pa,
        outlet_pa=m.gallery_pa,
        dp_pa=m.dp_pa,
        gauge_pa=v[at.GAUGE],
        gallery_pa=m.gallery_pa,
        pump_m3s=m.pump,
        element_m3s=m.flows.element_m3s,
        bypass_m3s=m.flows.valve_m3s,
        regulator_m3s=m.regulator,
        bearings_m3s=m.bearings + m.jets,
        segment_m3s=m.segment_m3s,
        lift_m=max(v[at.LIFT], 0.0),
        valve=valve_forces(parts.valve, v, m) if parts.valve else None,
        gallery_fill=min(max(1.0 + v[at.GALLERY] / parts.params.gallery_m3, 0.0), 1.0),
        unfiltered_m3=v[at.UNFILTERED],
        filtered_m3=v[at.FILTERED],
        deposit_kg=state.dirt.held.sum(axis=0),
        regulator_lift_m=v[at.REG],
        regulator_before=parts.before,
        indicator=state.watch.popped,
        readings=_readings(parts, v, m)
        | {"water_share": state.controls.plant.water.share}
        | dirt_readings(state.dirt, parts, element, m)
        | pleat_readings(state, element, network.panels)
        | handle_readings(state, network.dirt_side.scraper, m),
        rim=state.handle.rim,
    )


def _readings(parts: Parts, v: list[float], m: Moment) -> dict[str, float]:
    return {
        "bearing_c": v[at.T_BEARING],
        "block_c": v[at.T_BLOCK],
        "relief_m3s": m.relief,
        "slip_m3s": m.slip,
        "suction_starved": 1.0 - m.swept / m_wanted if (m_wanted := _wanted(parts, m)) else 0.0,
        "can_fill": min(max(1.0 + v[at.CAN] / parts.can_m3, 0.0), 1.0),
        "sump_m3": m.sump_m3,
        "leaked_m3": v[at.LEAKED],
        "leak_m3s": m.leak,
        "valve_speed_m_s": v[at.SPEED],
        "valve_drop_pa": m.flows.valve_drop_pa,
        "hole_m3s": m.flows.hole_m3s,
        "drain_back_m3s": m.drain_back,
        "void_share": void_share(parts.params, m.can_pa) * _renewed(parts, v),
        **_store_readings(parts, m, v[at.GAS]),
    } | (
        {}
        if parts.hole is None
        else {"hole_segment": float(parts.hole.segment % parts.condenser.network.segments)}
    )


def _renewed(parts: Parts, v: list[float]) -> float:
    """Share of the oil in the dirty side that the pump has sent since the start, well mixed."""
    return 1.0 - exp(-max(v[at.PUMPED], 0.0) / parts.can_m3)


def _store_readings(parts: Parts, m: Moment, gas: float) -> dict[str, float]:
    """Accumulator and unloading valve; nothing where the rig has neither."""
    p = parts.params
    if p.acc_gas_m3 == 0.0:
        return {}
    return {
        "accumulator_m3": stored_m3(p, m.gallery_pa, gas),
        "accumulator_full_m3": p.acc_gas_m3,
        "gas_warmth": gas_warmth(p, m.gallery_pa, gas),
        "idles": float(parts.unloaded),
        "unloaded_m3s": m.unloaded,
    }


def dirt_readings(dirt: Stocks, parts: Parts, element: Element, m: Moment) -> dict[str, float]:
    """Masses of the contaminant and counts before and behind the filter."""
    flow = flow_of(parts, m, m.flows.element_m3s, m.unfiltered)
    masses = {
        "suspended_kg": float(dirt.suspended.sum()),
        "sludge_kg": float((dirt.sludge + dirt.loose).sum()),
        "drained_kg": float(dirt.drained.sum()),
    }
    return masses | counter_readings(dirt, flow, element.caught(dirt.held))


def pleat_readings(state: State, element: Element, panels: PanelLaw | None) -> dict[str, float]:
    """What the pressure has done to the pleats, and the deposit to the medium or the gaps."""
    pleats = state.pleats
    clean = element.r if panels is None else panels.clean_r
    return {
        "deposit_factor": float(np.mean(state.segment_r / clean)),
        "pleats_factor": float(pleats.factor.mean()),
        "pleats_set_pa": pleats.set_pa,
        "torn_m2": pleats.torn_m2,
    }


def handle_readings(state: State, scraper: Scraper | None, m: Moment) -> dict[str, float]:
    """The handle of a filter with a scraper: angles, what its blades took off, what resists it."""
    if scraper is None:
        return {}
    faults, handle = faults_of(state.controls.plant.scraper), state.handle
    return {
        "handle_rad": handle.track.at(state.t_s),
        "handle_end_rad": handle.track.end,
        "disc_rad": handle.disc_rad,
        "combed_kg": handle.combed_kg,
        "handle_n_m": torque(handle, state.dirt, scraper, faults, m.dp_pa, m.can_pa),
        "sludge_down_kg": float(state.dirt.sludge.sum()),
        "sludge_m3": float(state.dirt.sludge.sum()) / scraper.sludge_kg_m3,
        "blade_bite": faults.bite,
        "handle_drive": faults.drive,
        "blades_missed": faults.missed,
    }


def _wanted(parts: Parts, m: Moment) -> float:
    """Flow the pump would take with an open pick-up, m3/s."""
    return parts.params.sweep_m3_rev * m.rpm / 60.0


def ledger_of(state: State, start_y: Floats, first: Stocks, sump_m3: float) -> Ledger:
    """The books of the run so far: the state against the vector and the stocks that it started from."""
    y, y0, dirt = state.y, start_y, state.dirt
    pumped, returned, leaked = float(y[at.PUMPED]), float(y[at.RETURNED]), float(y[at.LEAKED])
    held = float(y[at.CAN] - y0[at.CAN] + y[at.GALLERY] - y0[at.GALLERY])
    gap = np.abs(first.total + dirt.let_in - dirt.total)
    scale = max(pumped, sump_m3)
    whole = first.total + dirt.let_in
    return Ledger(
        pumped_m3=pumped,
        returned_m3=returned,
        held_change_m3=held,
        leaked_m3=leaked,
        volume_error_rel=abs(pumped - returned - leaked - held) / scale,
        dirt_start_kg=first.total,
        dirt_in_kg=dirt.let_in,
        dirt_held_kg=dirt.held.sum(axis=1),
        dirt_suspended_kg=dirt.suspended,
        dirt_scraped_kg=dirt.loose + dirt.sludge,
        dirt_drained_kg=dirt.drained,
        dirt_leaked_kg=dirt.leaked,
        dirt_passed_kg=dirt.through + dirt.past,
        mass_error_rel=float(np.max(gap / np.maximum(whole, 1e-15))),
    )
