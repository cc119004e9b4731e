"""A spring-loaded valve in steady flow: force balance and discharge together. SI units throughout."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from functools import partial

from scipy.optimize import brentq

from glasscan.laws.orifice import orifice_drop_pa
from glasscan.laws.seats import disc_area_m2, seat_area_m2

VELOCITY_COEFFICIENT = 0.98
JET_ANGLE_DEG = 69.0
"""Of the jet at a sharp metering edge: Merritt, Hydraulic Control Systems 1967 (recalled)."""


@dataclass(frozen=True)
class SpringValve:
    """What the force balance needs to know.

    Attributes:
        seat_m: seat diameter, m.
        rate_n_m: spring rate, N/m.
        cracking_pa: differential pressure that just lifts the valve, Pa.
        cd: discharge coefficient of the opening, dimensionless.
        max_lift_m: lift at the stop, m.
        flow_force: closing force of the jet over `opening area x dp`, dimensionless; 0 leaves it out.
        opening: area (m2) at a lift (m), or None for a flat disc's curtain `pi d x`.
    """

    seat_m: float
    rate_n_m: float
    cracking_pa: float
    cd: float
    max_lift_m: float = math.inf
    flow_force: float = 0.0
    opening: Callable[[float], float] | None = None

    def area_m2(self, lift_m: float) -> float:
        """Flow area at a lift, m2."""
        if self.opening is None:
            return disc_area_m2(self.seat_m, lift_m, capped=False)
        return self.opening(lift_m)

    def balance_pa(self, lift_m: float) -> float:
        """Differential pressure that holds the valve at `lift_m`, Pa; infinite where the jet wins."""
        grip = seat_area_m2(self.seat_m) - self.flow_force * self.area_m2(lift_m)
        push = self.cracking_pa * seat_area_m2(self.seat_m) + self.rate_n_m * lift_m
        return push / grip if grip > 0.0 else math.inf

    def flow_m3s(self, lift_m: float, rho_kg_m3: float) -> float:
        """Flow when balanced at `lift_m`, m3/s."""
        return self.cd * self.area_m2(lift_m) * math.sqrt(2.0 * self.balance_pa(lift_m) / rho_kg_m3)


def cracking_force_n(dp_pa: float, seat_m: float) -> float:
    """Spring force that holds the valve shut up to `dp_pa`, `dp pi d^2/4`, N."""
    return dp_pa * seat_area_m2(seat_m)


def flow_force_factor(
    cd: float, cv: float = VELOCITY_COEFFICIENT, jet_angle_deg: float = JET_ANGLE_DEG
) -> float:
    """Steady flow force over `area x dp`, `2 Cd Cv cos(theta)`: closes the valve (about 0.43)."""
    return 2.0 * cd * cv * math.cos(math.radians(jet_angle_deg))


def equilibrium(valve: SpringValve, flow_m3s: float, rho_kg_m3: float) -> tuple[float, float]:
    """Differential pressure (Pa) and lift (m) at which the valve passes `flow_m3s` in balance.

    On the stop the spring no longer matters and the pressure is that of a fixed orifice.

    Raises:
        ValueError: where the flow is negative, or nothing could ever lift the valve far enough.
    """
    if flow_m3s < 0.0:
        raise ValueError(f"the valve passes flow one way only, got {flow_m3s:g} m3/s")
    if flow_m3s == 0.0:
        return valve.cracking_pa, 0.0
    if math.isfinite(valve.max_lift_m) and _spill(valve, valve.max_lift_m, rho_kg_m3) <= flow_m3s:
        return _stopped_pa(valve, flow_m3s, rho_kg_m3), valve.max_lift_m
    top = _lift_above(valve, flow_m3s, rho_kg_m3)
    short = partial(_shortfall, valve, flow_m3s, rho_kg_m3)
    lift = float(brentq(short, 0.0, top, xtol=1e-15 * top, rtol=1e-13))
    return valve.balance_pa(lift), lift


def _stopped_pa(valve: SpringValve, flow_m3s: float, rho_kg_m3: float) -> float:
    area = valve.area_m2(valve.max_lift_m)
    if area <= 0.0:
        raise ValueError(f"the valve cannot pass {flow_m3s:g} m3/s: it has no opening at its stop")
    return orifice_drop_pa(valve.cd, area, flow_m3s, rho_kg_m3)


def _spill(valve: SpringValve, lift_m: float, rho_kg_m3: float) -> float:
    """Flow in balance, with a huge finite number where the balance pressure is infinite."""
    return min(valve.flow_m3s(lift_m, rho_kg_m3), 1e9)


def _shortfall(valve: SpringValve, flow_m3s: float, rho_kg_m3: float, lift_m: float) -> float:
    return _spill(valve, lift_m, rho_kg_m3) / flow_m3s - 1.0


def _lift_above(valve: SpringValve, flow_m3s: float, rho_kg_m3: float) -> float:
    """A lift at which the balanced flow reaches `flow_m3s`, at most that of the stop."""
    lift = min(1e-3 * valve.seat_m, valve.max_lift_m)
    while _spill(valve, lift, rho_kg_m3) < flow_m3s:
        if lift > 1e4 * valve.seat_m:
            raise ValueError(f"the valve cannot pass {flow_m3s:g} m3/s at any lift")
        lift = min(2.0 * lift, valve.max_lift_m)
    return lift
