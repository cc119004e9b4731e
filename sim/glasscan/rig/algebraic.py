"""Everything the rig does at one moment: properties, pressures and flows worked out from the state vector."""

from __future__ import annotations

from dataclasses import dataclass
from math import pi

import numpy as np
from numpy.typing import NDArray

from glasscan.filters.network import ElementHole
from glasscan.rig import state_index as at
from glasscan.rig.accumulator import line_pa
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.filter_flow import PathFlows, split_flow
from glasscan.rig.hole_flow import split_three
from glasscan.rig.network_flow import Condenser, TwoPaths
from glasscan.rig.oil_tables import OilTable
from glasscan.rig.params import Params
from glasscan.rig.records import ValveForces
from glasscan.rig.smooth import smooth_positive, smooth_step
from glasscan.rig.supply import (
    airy_rho,
    filled_pa,
    regulator_m3s,
    relief_m3s,
    seal_m3s,
    slip_m3s,
    slug_air_ratio,
    swept_m3s,
)
from glasscan.rig.throttle import hole_coefficients, hole_m3s

Floats = NDArray[np.float64]

HOLD_ROUND = 0.01  # share of the gallery over which capillarity sets in as its oil recedes
DRAIN_FADE = 0.5  # rev/s of the pump by which nothing runs back any more
BRIM_PA = 200.0  # rise over the brim's head at which a full can runs over freely: 20 mm of oil
HANG_ROUND_PA = 1.0  # rounds the corners where the wet medium begins and ends to carry oil
DRAIN_TAIL = 0.02  # filled share at which the last oil in the can drains at half the rate: it clings


@dataclass(frozen=True, slots=True)
class Parts:
    """The rig's unchanging parts, ready for stepping.

    Attributes:
        params: numbers of the plant, SI.
        oil: property table.
        valve: bypass valve, or None.
        condenser: the filter's linear part with the deposit of this step.
        inertia_m4: minor losses `c` of `c rho Q |Q|`, 1/m4.
        before: True where the regulator sits before the filter.
        calm_n_s_m: extra drag on the bypass valve, N s/m, while its chatter is averaged out.
        can_m3: oil held by the dirty side when full, m3.
        drain_m3: what holds the oil back when the pump stands: anti-drain leak and pump clearances in a row,
            `q = drain dp/mu`, m3.
        kept: share of the dirty side below its way in, which gravity cannot drain.
        hole: an opening past the medium, or None.
        unloaded: True while the unloading valve lets the pump idle.
    """

    params: Params
    oil: OilTable
    valve: BypassValve | None
    condenser: Condenser
    inertia_m4: float
    before: bool
    calm_n_s_m: float
    can_m3: float
    drain_m3: float
    hole: ElementHole | None = None
    kept: float = 0.0
    unloaded: bool = False


@dataclass(slots=True)
class Moment:
    """Pressures (Pa gauge), flows (m3/s) and oil (SI) at one moment."""

    rpm: float
    mu_filter: float
    rho: float
    can_pa: float
    gallery_pa: float
    swept: float
    slip: float
    relief: float
    drain_back: float
    regulator: float
    bearings: float
    jets: float
    paths: TwoPaths
    flows: PathFlows
    throat_m2: float
    sump_m3: float
    leak: float = 0.0
    regulator_mu: float = 0.0
    unloaded: float = 0.0
    idle_pa: float | None = None

    @property
    def pump_pa(self) -> float:
        """Pressure at the outlet of the pump, Pa gauge."""
        return self.can_pa if self.idle_pa is None else self.idle_pa

    @property
    def pump_heat_w(self) -> float:
        """Heat of what the pump's pressure is spent on before the filter, W."""
        if self.idle_pa is None:
            return self.can_pa * (self.slip + self.relief + self.drain_back)
        return self.idle_pa * (self.slip + self.unloaded) + self.can_pa * self.drain_back

    @property
    def jet_m_s(self) -> float:
        """Mean velocity in the throat of the bypass, m/s."""
        return self.flows.valve_m3s / self.throat_m2 if self.throat_m2 > 0.0 else 0.0

    @property
    def pump(self) -> float:
        """Flow the pump delivers, relief included, m3/s."""
        return self.swept - self.slip

    @property
    def through(self) -> float:
        """Whole flow through the filter, m3/s."""
        return self.flows.element_m3s + self.unfiltered

    @property
    def unfiltered(self) -> float:
        """Flow past the medium, through the valve and through a hole, m3/s."""
        return self.flows.valve_m3s + self.flows.hole_m3s

    @property
    def segment_m3s(self) -> Floats:
        """Flow through each segment, dirty to clean, (K,), m3/s."""
        flows = self.paths.share @ np.array([self.flows.element_m3s, self.flows.valve_m3s])
        hole = self.paths.hole
        return np.asarray(flows if hole is None else flows + hole.share * self.flows.hole_m3s)

    @property
    def push_n(self) -> float:
        """Opening force on the valve: the creeping pressure on its faces, N."""
        on_e, on_v = self.paths.push
        on_h = self.paths.hole.push if self.paths.hole else 0.0
        flows = self.flows
        return self.mu_filter * (on_e * flows.element_m3s + on_v * flows.valve_m3s + on_h * flows.hole_m3s)

    @property
    def dp_pa(self) -> float:
        """Differential pressure across the filter, Pa."""
        return self.can_pa - self.gallery_pa


def can_pressure(parts: Parts, over_m3: float) -> float:
    """Pressure on the filter's dirty side, Pa gauge."""
    p = parts.params
    return filled_pa(over_m3, parts.can_m3, p.can_head_pa, p.air_ratio * parts.can_m3, p.can_bulk_pa)


def hung_pressure(parts: Parts, over_m3: float, gallery_pa: float, rpm: float) -> float:
    """Pressure on the filter's dirty side, Pa gauge, where its oil may hang on the wet medium.

    With the pump at rest no air can come to the dirty side of a wet element below its bubble point, some
    kPa and more than the head of the oil there (`4 sigma/d`; ISO 2942 tests elements by it). What lies
    above the oil of the clean side is then carried by suction: nothing seeps through until the pump turns.
    """
    p = parts.params
    pa = can_pressure(parts, over_m3)
    turning = abs(rpm) / (60.0 * DRAIN_FADE)
    if turning >= 1.0:
        return pa
    level, still = min(1.0 + over_m3 / parts.can_m3, 1.0), smooth_step(1.0 - turning)
    push, width = pa - gallery_pa, HANG_ROUND_PA
    on = smooth_positive(push - still * p.can_head_pa * level, width)
    slack = 8.0 * width * still * max(level, 0.0)  # a full can stays full; into an empty one all runs back
    return gallery_pa + on - smooth_positive(-push - slack, width)


def gallery_pressure(parts: Parts, over_m3: float, gas: float = 0.0) -> float:
    """Pressure in the gallery, Pa gauge; `gas` is the entropy of the gas in its accumulator."""
    p = parts.params
    trapped = p.gallery_trapped_m3 + p.air_ratio * p.gallery_m3
    return line_pa(p, over_m3, trapped, gas)


def evaluate(parts: Parts, y: list[float], rpm: float) -> Moment:
    """Work out one moment from the state."""
    p, oil = parts.params, parts.oil
    gallery_pa = gallery_pressure(parts, y[at.GALLERY], y[at.GAS])
    can_pa = hung_pressure(parts, y[at.CAN], gallery_pa, rpm)
    mu_sump, mu = oil.mu_pa_s(y[at.T_SUMP]), oil.mu_pa_s(y[at.T_FILTER])
    rho = airy_rho(p, oil.rho_kg_m3(y[at.T_FILTER]), can_pa)
    sump_m3 = p.sump_m3 - y[at.CAN] - y[at.GALLERY] - y[at.LEAKED]
    air = p.air_ratio if parts.calm_n_s_m else slug_air_ratio(p, y[at.PUMPED])
    idle_pa = p.idle_pa if parts.unloaded else None
    pump_pa = can_pa if idle_pa is None else idle_pa
    swept = swept_m3s(p, rpm, mu_sump, sump_m3, rho, air, oil.yield_pa(y[at.T_SUMP]), pump_pa)
    slip = slip_m3s(p, swept, pump_pa, mu_sump)
    sensed, mu_reg = (can_pa, mu) if parts.before else (gallery_pa, oil.mu_pa_s(y[at.T_GALLERY]))
    push = gallery_pa if gallery_pa > 0.0 else 0.0
    paths = parts.condenser.at(y[at.LIFT])
    throat_m2 = parts.valve.area_m2(y[at.LIFT]) if parts.valve else 0.0
    bearing_mu = bearing_pa_s(p, oil, y[at.T_BEARING], rpm)
    return Moment(
        rpm=rpm,
        mu_filter=mu,
        rho=rho,
        can_pa=can_pa,
        gallery_pa=gallery_pa,
        swept=swept,
        slip=slip,
        relief=relief_m3s(p, can_pa) if idle_pa is None else 0.0,
        drain_back=_drain_back(parts, y[at.CAN], can_pa, swept, mu),
        regulator=regulator_m3s(p, y[at.REG], sensed, mu_reg, rho),
        bearings=p.bearing_m3 * _bearing_push(p, y[at.GALLERY], push) / bearing_mu,
        jets=jets_open(p, push) * hole_m3s(push, p.jet_m2, p.jet_cd, oil.mu_pa_s(y[at.T_GALLERY]), rho),
        paths=paths,
        flows=_filter_flows(parts, paths, throat_m2, can_pa - gallery_pa, mu, rho),
        throat_m2=throat_m2,
        sump_m3=sump_m3,
        leak=seal_m3s(p, can_pa, mu, rho),
        regulator_mu=mu_reg,
        unloaded=0.0 if idle_pa is None else swept - slip,
        idle_pa=idle_pa,
    )


def bearing_pa_s(p: Params, oil: OilTable, t_c: float, rpm: float) -> float:
    """Viscosity in the bearings' clearances at their rate of shear, Pa s."""
    return oil.sheared_pa_s(t_c, p.bearing_shear * max(rpm, 0.0) * pi / 30.0)


def _bearing_push(p: Params, over_m3: float, push: float) -> float:
    """Pressure that moves oil through the bearings, Pa: capillarity holds back a gallery short of oil."""
    if over_m3 >= 0.0 or p.hold_pa == 0.0:
        return push
    return smooth_positive(push - p.hold_pa * smooth_step(-over_m3 / (HOLD_ROUND * p.gallery_m3)), 1.0)


def jets_open(p: Params, push: float) -> float:
    """How far the checks of the jets stand open, 0..1: shut below their pressure, open half as much above."""
    if p.jet_check_pa == 0.0:
        return 1.0
    return smooth_step(2.0 * (push / p.jet_check_pa - 1.0))


def _drain_back(parts: Parts, over_m3: float, can_pa: float, swept: float, mu: float) -> float:
    """Oil that runs back from the filter to the sump, m3/s; a turning pump ends it, an empty can too.

    Only what stands above the way in runs out; of a can hung dome down, what is pressed over its brim.
    """
    p = parts.params
    if parts.drain_m3 == 0.0 or swept >= DRAIN_FADE * p.sweep_m3_rev:
        return 0.0
    fill = max(1.0 + over_m3 / parts.can_m3 - parts.kept, 0.0)
    if parts.kept > 0.0:
        fill += parts.kept * min(max(can_pa - p.can_head_pa, 0.0) / BRIM_PA, 1.0)
    still = smooth_step(1.0 - swept / (DRAIN_FADE * p.sweep_m3_rev))
    head = (max(can_pa, 0.0) + p.drop_pa) * fill / (fill + DRAIN_TAIL)
    return parts.drain_m3 * head / mu * still


def _filter_flows(
    parts: Parts, paths: TwoPaths, throat_m2: float, dp: float, mu: float, rho: float
) -> PathFlows:
    throat = parts.valve.throat(throat_m2, rho) if parts.valve else None
    if parts.hole is None:
        return split_flow(dp, paths, mu, parts.inertia_m4 * rho, throat)
    opening = hole_coefficients(parts.hole.area_m2, parts.hole.cd, mu, rho)
    return split_three(dp, paths, mu, parts.inertia_m4 * rho, throat, opening)


def valve_forces(valve: BypassValve, y: list[float], m: Moment) -> ValveForces:
    """Forces on the bypass valve at a moment."""
    flows = m.flows
    return valve.forces(y[at.LIFT], y[at.BRISTLE], flows.jet_pa, flows.valve_m3s, m.jet_m_s, m.rho, m.push_n)
