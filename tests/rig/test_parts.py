"""Pump, relief, regulator, passages, throttles and valve forces: each law against a formula from outside."""

from __future__ import annotations

import math

import numpy as np
import pytest
from glasscan.laws.orifice import hole_drop_pa
from glasscan.rig.bypass_valve import BRISTLE_M, BypassValve
from glasscan.rig.params import AIR_PA, si_params
from glasscan.rig.supply import (
    filled_pa,
    overfull_m3,
    regulator_rest_m,
    relief_m3s,
    slip_m3s,
    swept_m3s,
)
from glasscan.rig.throttle import flow_m3s, gap_coefficients, hole_m3s
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tests.rig.standin import VALVE, plant

P = si_params(plant())


def test_hot_pump_delivers_displacement_times_speed() -> None:
    """15 mL/rev at 2400 rev/min is 36 L/min (arithmetic)."""
    assert swept_m3s(P, 2400.0, 0.02, 7e-3) * 6e4 == pytest.approx(36.0, rel=1e-3)


def test_cold_pump_is_limited_by_its_pick_up() -> None:
    """Thick oil: one atmosphere less the floor is all that pushes through the pick-up (Poiseuille form)."""
    mu = 50.0
    most = (AIR_PA - 25e3) / (mu * P.suction_r)
    flow = swept_m3s(P, 2400.0, mu, 7e-3)
    assert flow == pytest.approx(most, rel=1e-3)
    assert flow <= most


@given(rpm=st.floats(1e-3, 1e4), mu=st.floats(1e-4, 1e5), out=st.floats(-1e5, 1e7))
def test_slip_never_exceeds_its_cap(rpm: float, mu: float, out: float) -> None:
    """Slip follows the sign of the pressure and stays under its cap: the pump never runs backward."""
    swept = swept_m3s(P, rpm, mu, 7e-3)
    slip = slip_m3s(P, swept, out, mu)
    assert abs(slip) <= P.slip_cap * swept * (1 + 1e-12)
    assert slip * out >= 0


def test_uncovered_pick_up_starves_the_pump() -> None:
    """An empty sump gives nothing; a low one less than a full one in the cold."""
    assert swept_m3s(P, 900.0, 7.0, 0.0) == 0.0
    assert swept_m3s(P, 900.0, 7.0, 0.5e-3) < swept_m3s(P, 900.0, 7.0, 7e-3)


def test_relief_opens_only_above_its_pressure() -> None:
    """Nothing below the set pressure; 1 L/s at set plus override (definition of the data key)."""
    assert relief_m3s(P, 899e3) == 0.0
    assert relief_m3s(P, 960e3) == pytest.approx(1e-3, rel=2e-3)


def test_regulator_balances_spring_and_pressure() -> None:
    """Hooke by hand: 20 kPa above set on a 12 mm seat against 1200 N/m lifts 1.885 mm."""
    lift = regulator_rest_m(P, 412e3 + 20e3)
    assert lift == pytest.approx(20e3 * math.pi * 0.012**2 / 4 / 1200.0, rel=1e-9)
    assert regulator_rest_m(P, 0.0) == 0.0
    assert regulator_rest_m(P, 1e9) == P.reg_max_m


@given(rise=st.floats(0.0, 2e7), trapped=st.floats(0.0, 1e-3))
def test_filled_passage_inverts_boyle_and_hooke(rise: float, trapped: float) -> None:
    """Pressure from the oil held, and the oil held from the pressure (Boyle's law + bulk modulus), agree."""
    over = overfull_m3(rise, 7e-4, trapped, 1e9)
    assert filled_pa(over, 7e-4, 2e3, trapped, 1e9) - 2e3 == pytest.approx(rise, rel=1e-6, abs=1e-6)


def test_filling_pushes_back_with_its_head_only() -> None:
    """Empty: no pressure; half: half the head; full: the head."""
    assert [filled_pa(f * 1e-3, 1e-3, 2e3, 0.0, 1e9) for f in (-1.0, -0.5, 0.0)] == pytest.approx(
        [0, 1e3, 2e3]
    )


def test_gap_is_an_orifice_when_thin_and_laminar_when_thick() -> None:
    """Thin oil: Cd A sqrt(2 dp/rho) (textbook); thick oil: doubling the viscosity halves the flow."""
    area, rim, cd, rho, dp = 2e-5, 0.044, 0.7, 860.0, 8e4
    thin = flow_m3s(dp, *gap_coefficients(area, rim, cd, 1e-6, rho))
    assert thin == pytest.approx(cd * area * math.sqrt(2 * dp / rho), rel=1e-3)
    thick = [flow_m3s(dp, *gap_coefficients(area, rim, cd, mu, rho)) for mu in (500.0, 1000.0)]
    assert thick[0] / thick[1] == pytest.approx(2.0, rel=1e-4)


@given(dp=st.floats(-1e6, 1e6), mu=st.floats(1e-4, 1e3))
def test_hole_flow_inverts_the_drop(dp: float, mu: float) -> None:
    """The flow through a hole gives back the drop of `glasscan.laws.orifice` (Sampson 1891 + turbulent)."""
    d = 1.2e-3
    q = hole_m3s(dp, math.pi * d**2 / 4, 0.7, mu, 860.0)
    assert hole_drop_pa(d, q, mu, 860.0, 0.7) == pytest.approx(dp, rel=1e-9, abs=1e-9)


def quasi_static_lift(valve: BypassValve, up: bool) -> float:
    """Pressure at which the lift passes 0.1 mm while the drop creeps up or down (scipy LSODA, no flow)."""
    area, spec = valve.seat_m2, valve.spec
    start, end = (0.0, 1.6 * spec.cracking_pa) if up else (1.6 * spec.cracking_pa, 0.0)

    def f(t: float, y: np.ndarray) -> list[float]:
        forces = valve.forces(y[0], y[2], start + (end - start) * t / 40.0, 0.0, 0.0, 860.0)
        return list(valve.motion(y[1], y[2], 50.0, forces))

    open_m = (start * area - spec.preload_n) / spec.rate_n_m
    y0 = [-1.3e-6, 0.0, -BRISTLE_M] if up else [open_m, 0.0, BRISTLE_M]

    def crossing(_: float, y: np.ndarray) -> float:
        return float(y[0] - 1e-4)

    crossing.terminal = True  # type: ignore[attr-defined]
    answer = solve_ivp(f, (0, 40), y0, "LSODA", events=crossing, rtol=1e-6, atol=[1e-9, 1e-6, 1e-10])
    return start + (end - start) * float(answer.t_events[0][0]) / 40.0


def test_cracking_and_reseating_differ_by_twice_the_friction() -> None:
    """Statics: opening needs F + Ff, closing F - Ff, so the pressures differ by 2 Ff/A (Coulomb)."""
    valve = BypassValve.of(VALVE)
    gap_pa = quasi_static_lift(valve, up=True) - quasi_static_lift(valve, up=False)
    assert gap_pa == pytest.approx(2 * VALVE.friction_n / VALVE.seat_area_m2, rel=0.05)


def test_flow_force_closes_the_valve() -> None:
    """Momentum of the jet leaving at the cone's angle, rho q^2 cos/A, pushes shut (momentum theorem)."""
    valve = BypassValve.of(VALVE)
    forces = valve.forces(1e-3, 0.0, 9e4, 2e-4, 2e-4 / valve.area_m2(1e-3), 860.0)
    by_hand = 860.0 * 2e-4**2 * math.cos(math.radians(45)) / valve.area_m2(1e-3)
    assert forces.flow_n == pytest.approx(-by_hand)
    assert forces.pressure_n == pytest.approx(9e4 * math.pi * 0.014**2 / 4)
