"""What a rig settles to at one speed and one temperature, without stepping through time.

The same laws as the running rig: pump, regulator, filter, bearings. What is left is one pressure to find
(all of it is monotone), and for each trial pressure one lift of the bypass valve.
"""

from __future__ import annotations

from functools import cached_property
from math import log

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from glasscan.contaminant.contaminant_state import start_stocks
from glasscan.contaminant.element import Element
from glasscan.contaminant.stocks import Stocks
from glasscan.faults.settled import Settled
from glasscan.rig.algebraic import bearing_pa_s, jets_open
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.filter_flow import PathFlows, minor_coefficient, split_flow
from glasscan.rig.hole_flow import split_three
from glasscan.rig.network_flow import Condenser, TwoPaths
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.params import Params, si_params
from glasscan.rig.setup import RigSetup
from glasscan.rig.supply import (
    gauge_lag_s,
    relief_m3s,
    seal_m3s,
    slip_m3s,
    spilled_at_rest_m3s,
    swept_m3s,
)
from glasscan.rig.throttle import hole_coefficients, hole_m3s

Floats = NDArray[np.float64]
HIGHEST_PA = 4e6  # above every pressure the pump's relief allows
CLOSE_PA = 2.0
_LIFT_STEPS = 32
_BENDS, _BENT_ENOUGH = 8, 0.02  # rounds until the pleats fit the pressure across them, and how well
NEVER_S = 300.0  # a gauge that has not come up by then is called dead, invented


class SteadyState:
    """A setup held at one speed and temperature.

    Args:
        setup: the rig; its start state matters only for the filling time and the deposit.
        rpm: shaft speed, rev/min.
        oil_c: oil everywhere, degC.
        held: (C, K) dirt on the segments, kg; None = what the setup starts with.
        air: free air drawn over its mean.
        sludge: False once the bowl is drained.
    """

    def __init__(
        self,
        setup: RigSetup,
        rpm: float,
        oil_c: float,
        held: Floats | None = None,
        *,
        air: float = 1.0,
        sludge: bool = True,
    ) -> None:
        self.setup, self.rpm, self.oil_c, self._held = setup, rpm, oil_c, held
        self.air, self.sludge = air, sludge
        self._bent: Floats | float = 1.0  # resistance over that with pleats and cake at rest
        self.p: Params = si_params(setup.plant)
        oil = oil_table(setup.fluid)
        self.mu, self.rho = oil.mu_pa_s(oil_c), oil.rho_kg_m3(oil_c)
        self.bearing_mu, self.gel_pa = bearing_pa_s(self.p, oil, oil_c, rpm), oil.yield_pa(oil_c)
        self.before = setup.regulator == "before"
        net = setup.network
        self.valve = BypassValve.of(net.valve) if net.valve else None
        self.inertia = minor_coefficient(net) * self.rho

    @cached_property
    def segment_r(self) -> Floats:
        """(K,) segment resistances with the deposit, pleats at rest, 1/m3."""
        return self.element.resistance(self.held, self.start.sludge if self.sludge else None)

    @cached_property
    def element(self) -> Element:
        """Laws of the element."""
        return Element(self.setup.network, self.setup.network.dirt_side.catcher)

    @cached_property
    def held(self) -> Floats:
        """(C, K) dirt that the segments hold, kg."""
        return self.start.held if self._held is None else self._held

    @cached_property
    def start(self) -> Stocks:
        """What the setup starts with."""
        setup = self.setup
        return start_stocks(setup.network, self.element, setup.plant.dirt, setup.dirt_kg, setup.sludge_kg)

    @property
    def _soft(self) -> bool:
        """Whether there is a cake that pressure presses together."""
        return self.setup.network.dirt_side.catcher.squeeze > 0.0 and bool(self.held.any())

    def _squeezed(self, across_pa: Floats) -> Floats:
        """(K,) resistance with the cake under a pressure over that with it loose."""
        if not self._soft:
            return np.ones_like(self.segment_r)
        sludge = self.start.sludge if self.sludge else None
        return np.asarray(self.element.resistance(self.held, sludge, across_pa) / self.segment_r)

    @cached_property
    def condenser(self) -> Condenser:
        """The filter's linear part with deposit and pleats as they are."""
        return Condenser(self.setup.network, self.segment_r * self._bent)

    @cached_property
    def _lifts(self) -> list[float]:
        if self.valve is None:
            return [0.0]
        spec = self.valve.spec
        top = max(spec.max_lift_m, spec.jam_lift_m)
        return list(np.linspace(spec.jam_lift_m, top, _LIFT_STEPS + 1).tolist())

    @cached_property
    def _paths(self) -> dict[float, TwoPaths]:
        return {}

    def _at(self, lift_m: float) -> TwoPaths:
        found = self._paths.get(lift_m)
        if found is None:
            found = self._paths[lift_m] = self.condenser.at(lift_m)
        return found

    def flows(self, dp_pa: float, lift_m: float) -> tuple[PathFlows, TwoPaths]:
        """Flows at a differential pressure and a lift."""
        paths, hole = self._at(lift_m), self.setup.network.hole
        throat = None
        if self.valve is not None:
            throat = self.valve.throat(self.valve.area_m2(lift_m), self.rho)
        if hole is None:
            return split_flow(dp_pa, paths, self.mu, self.inertia, throat), paths
        opening = hole_coefficients(hole.area_m2, hole.cd, self.mu, self.rho)
        return split_three(dp_pa, paths, self.mu, self.inertia, throat, opening), paths

    def _lifting_n(self, dp_pa: float, lift_m: float) -> float:
        """Force left to open the valve further, against spring and guide friction, N."""
        valve = self.valve
        if valve is None:
            return -1.0
        flow, paths = self.flows(dp_pa, lift_m)
        on_h = paths.hole.push if paths.hole else 0.0
        push = self.mu * (
            paths.push[0] * flow.element_m3s + paths.push[1] * flow.valve_m3s + on_h * flow.hole_m3s
        )
        area = valve.area_m2(lift_m)
        jet = flow.valve_m3s / area if area > 0.0 else 0.0
        spec = valve.spec
        momentum = self.rho * flow.valve_m3s * jet * valve.cosine
        spring = spec.preload_n + spec.rate_n_m * lift_m
        return flow.jet_pa * valve.seat_m2 + push - spring - momentum - spec.friction_n

    def _rest(self, gallery_pa: float | None) -> tuple[float, float]:
        """Lift at which a valve that was shut comes to rest, m, and the differential pressure then, Pa.

        The supply is given, not the pressure: a valve that snaps open at a given pressure still comes to rest
        part open, for the pressure falls as it opens.

        Args:
            gallery_pa: pressure behind the filter, or None where the gallery's own follows.
        """
        lifts = self._lifts

        def left_n(lift_m: float) -> float:
            return self._lifting_n(self._dp_pa(gallery_pa, lift_m), lift_m)

        low, high = 0, len(lifts) - 1
        if left_n(lifts[low]) <= 0.0:
            return lifts[low], self._dp_pa(gallery_pa, lifts[low])
        if left_n(lifts[high]) >= 0.0:
            return lifts[high], self._dp_pa(gallery_pa, lifts[high])
        while high - low > 1:
            mid = (low + high) // 2
            low, high = (mid, high) if left_n(lifts[mid]) > 0.0 else (low, mid)
        up, down = left_n(lifts[low]), left_n(lifts[high])
        lift = lifts[low] + (lifts[high] - lifts[low]) * up / (up - down)
        return lift, self._dp_pa(gallery_pa, lift)

    def _through_m3s(self, dp_pa: float, lift_m: float) -> float:
        """Whole flow of the filter at a differential pressure and a lift, m3/s."""
        flow, _ = self.flows(dp_pa, lift_m)
        return flow.element_m3s + flow.valve_m3s + flow.hole_m3s

    def swept_m3s_now(self, can_pa: float) -> float:
        """Oil the pump takes in, with the air of the mean, m3/s."""
        p = self.p
        air_ratio = self.air * p.air_ratio
        return swept_m3s(p, self.rpm, self.mu, p.sump_m3, self.rho, air_ratio, self.gel_pa, can_pa)

    def _supply_m3s(self, can_pa: float) -> float:
        """Oil that the pump leaves for the filter at a pressure before it, m3/s."""
        p = self.p
        swept = self.swept_m3s_now(can_pa)
        left = swept - slip_m3s(p, swept, can_pa, self.mu) - relief_m3s(p, can_pa)
        left -= seal_m3s(p, can_pa, self.mu, self.rho)
        return left - self._spilled_m3s(can_pa) if self.before else left

    def _spilled_m3s(self, sensed_pa: float) -> float:
        return spilled_at_rest_m3s(self.p, sensed_pa, self.mu, self.rho)

    def engine_m3s(self, gallery_pa: float) -> float:
        """Oil that bearings and jets take, m3/s."""
        return self.p.bearing_m3 * gallery_pa / self.bearing_mu + self.jets_m3s(gallery_pa)

    def jets_m3s(self, gallery_pa: float) -> float:
        """Oil that the jets take, m3/s."""
        p = self.p
        return jets_open(p, gallery_pa) * hole_m3s(gallery_pa, p.jet_m2, p.jet_cd, self.mu, self.rho)

    def _drained_m3s(self, gallery_pa: float) -> float:
        drained = self.engine_m3s(gallery_pa)
        return drained if self.before else drained + self._spilled_m3s(gallery_pa)

    def _gallery_pa(self, flow_m3s: float) -> float:
        """Pressure at which the gallery lets a flow out, Pa."""
        if flow_m3s <= 0.0 or self._drained_m3s(HIGHEST_PA) <= flow_m3s:
            return 0.0 if flow_m3s <= 0.0 else HIGHEST_PA
        return float(brentq(lambda pa: self._drained_m3s(pa) - flow_m3s, 0.0, HIGHEST_PA, xtol=CLOSE_PA / 4))

    def _dp_pa(self, gallery_pa: float | None, lift_m: float) -> float:
        """Differential pressure that balances supply and filter; the gallery's follows, or is given."""

        def surplus(dp_pa: float) -> float:
            through = self._through_m3s(dp_pa, lift_m)
            after = self._gallery_pa(through) if gallery_pa is None else gallery_pa
            return self._supply_m3s(after + dp_pa) - through

        if surplus(0.0) <= 0.0:
            return 0.0
        return float(brentq(surplus, 0.0, HIGHEST_PA, xtol=CLOSE_PA))

    def filling_dp_pa(self) -> float:
        """Differential pressure while the gallery fills against its head alone, Pa."""
        return self._rest(self.p.gallery_head_pa)[1]

    def settled(self) -> Settled:
        """The rig at rest in itself: gallery full, forces on valve and regulator in balance, pleats bent."""
        found, law = self._with_pleats_as_they_are(), self.setup.network.panels
        for _ in range(_BENDS if law is not None or self._soft else 0):
            across = self.mu * self.segment_r * self._bent * np.maximum(found.segment_m3s, 0.0)
            bent = self._squeezed(across)
            bent = bent * law.factor(across, self.segment_r * bent) if law is not None else bent
            if float(np.abs(bent / self._bent - 1.0).max()) < _BENT_ENOUGH:
                break
            self._bent = bent
            for made in ("condenser", "_paths"):
                self.__dict__.pop(made, None)
            found = self._with_pleats_as_they_are()
        return found

    def _with_pleats_as_they_are(self) -> Settled:
        lift, dp = self._rest(None)
        flow, paths = self.flows(dp, lift)
        through = flow.element_m3s + flow.valve_m3s + flow.hole_m3s
        after = self._gallery_pa(through)
        p = self.p
        tap = after if p.gauge_tap == "gallery" else after + dp
        swept = self.swept_m3s_now(after + dp)
        return Settled(
            can_pa=after + dp,
            gallery_pa=after,
            gauge_pa=tap * p.gauge_scale + p.gauge_offset_pa,
            pump_m3s=swept - slip_m3s(p, swept, after + dp, self.mu),
            element_m3s=flow.element_m3s,
            unfiltered_m3s=flow.valve_m3s + flow.hole_m3s,
            segment_m3s=_segments(paths, flow),
            engine_m3s=self.engine_m3s(after),
            regulator_m3s=self._spilled_m3s(after + dp if self.before else after),
            leak_m3s=seal_m3s(p, after + dp, self.mu, self.rho),
            lift_m=lift,
        )

    def fill_s(self, gallery_fill: float, can_fill: float) -> float:
        """Time until the gallery is full, s: the can first, then the gallery against its own head."""
        p = self.p
        lift, dp = self._rest(p.gallery_head_pa)
        through = self._through_m3s(dp, lift)
        supply = self._supply_m3s(p.can_head_pa)
        if min(through, supply) <= 0.0:
            return NEVER_S
        can = (1.0 - can_fill) * self.setup.network.dirty_volume_m3 / supply
        return float(min(can + (1.0 - gallery_fill) * p.gallery_m3 / through, NEVER_S))

    def green_s(self, gallery_fill: float, can_fill: float, settled: Settled) -> float:
        """Time until the gauge stands in the green, s: filling, then the gauge's own lag."""
        p = self.p
        fill, lag_s = self.fill_s(gallery_fill, can_fill), gauge_lag_s(p, self.mu)
        if settled.gauge_pa <= p.green_pa or fill >= NEVER_S:
            return NEVER_S
        return float(min(fill + lag_s * log(settled.gauge_pa / (settled.gauge_pa - p.green_pa)), NEVER_S))


def _segments(paths: TwoPaths, flow: PathFlows) -> Floats:
    """Flow through each segment, dirty to clean, (K,), m3/s."""
    flows = paths.share @ np.array([flow.element_m3s, flow.valve_m3s])
    return np.asarray(flows if paths.hole is None else flows + paths.hole.share * flow.hole_m3s)
