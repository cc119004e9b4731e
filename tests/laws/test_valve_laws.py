"""Seats and spring-loaded valves: geometry measured another way, and the two equations put back together."""

import math

import numpy as np
import pytest
from glasscan.laws import seats, valves
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import fsolve

SEAT = 0.012
LIFTS = st.floats(1e-6, 2e-3)


def frustum_area(r1: float, z1: float, r2: float, z2: float) -> float:
    """Side area of a frustum between two circles on one axis."""
    return math.pi * (r1 + r2) * math.hypot(r1 - r2, z1 - z2)


@given(LIFTS, st.floats(10.0, 80.0))
def test_cone_area_is_the_frustum_to_the_nearest_point(lift: float, half_angle: float) -> None:
    """Side of the frustum from the seat's edge to the foot of its perpendicular on the cone."""
    a = math.radians(half_angle)
    slant = lift * math.sin(a)
    foot = (SEAT / 2.0 - slant * math.cos(a), slant * math.sin(a))
    expected = frustum_area(SEAT / 2.0, 0.0, *foot)
    bore = seats.seat_area_m2(SEAT)
    assert seats.cone_area_m2(SEAT, lift, half_angle) == pytest.approx(min(expected, bore), rel=1e-9)


@given(st.floats(1e-6, 2e-3), st.floats(0.008001, 0.05))
def test_ball_area_is_the_frustum_to_the_nearest_point(lift: float, ball: float) -> None:
    """Side of the frustum from the seat's edge along the line to the ball's centre."""
    seat, radius = 0.008, ball / 2.0
    height = math.sqrt(radius**2 - (seat / 2.0) ** 2) + lift
    away = math.hypot(seat / 2.0, height)
    foot = (radius / away * seat / 2.0, height - radius / away * height)
    expected = frustum_area(seat / 2.0, 0.0, *foot)
    found = seats.ball_area_m2(seat, lift, ball)
    assert found == pytest.approx(min(expected, seats.seat_area_m2(seat)), rel=1e-6, abs=1e-15)


def test_disc_is_a_cone_of_90_degrees_and_stops_growing_at_a_quarter_of_the_seat() -> None:
    """The flat disc is the limit of the cone; its curtain equals the bore at a lift of d/4."""
    assert seats.disc_area_m2(SEAT, 1e-3) == pytest.approx(seats.cone_area_m2(SEAT, 1e-3, 90.0))
    assert seats.disc_area_m2(SEAT, SEAT / 4.0) == pytest.approx(seats.seat_area_m2(SEAT))
    assert seats.disc_area_m2(SEAT, SEAT) == pytest.approx(seats.seat_area_m2(SEAT))


@pytest.mark.parametrize(
    "area", [seats.disc_area_m2, lambda d, x: seats.cone_area_m2(d, x, 30.0)], ids=["disc", "cone"]
)
def test_a_shut_valve_has_no_opening_and_more_lift_never_shuts_it(area: object) -> None:
    """Zero (or negative) lift has no area; area never falls with lift, even past the apex of a cone."""
    values = np.array([area(SEAT, x) for x in np.linspace(-1e-3, 0.05, 400)])  # type: ignore[operator]
    assert values[0] == 0.0
    assert np.all(np.diff(values) >= -1e-18)


def test_ball_smaller_than_its_seat_is_refused() -> None:
    """A ball that falls through its seat raises one clear line."""
    with pytest.raises(ValueError, match="falls through"):
        seats.ball_area_m2(0.01, 1e-3, 0.009)


VALVE = valves.SpringValve(seat_m=SEAT, rate_n_m=8000.0, cracking_pa=125e3, cd=0.61)


@given(st.floats(0.01, 500.0), st.floats(100.0, 1e5), st.floats(0.0, 1e6))
def test_equilibrium_satisfies_both_equations(flow_lpm: float, rate: float, cracking: float) -> None:
    """Orifice flow and force balance both hold at the answer."""
    valve = valves.SpringValve(SEAT, rate, cracking, 0.61)
    dp, lift = valves.equilibrium(valve, flow_lpm / 6e4, 870.0)
    assert 0.61 * math.pi * SEAT * lift * math.sqrt(2 * dp / 870.0) == pytest.approx(flow_lpm / 6e4, rel=1e-9)
    assert rate * lift == pytest.approx((dp - cracking) * math.pi * SEAT**2 / 4.0, rel=1e-6, abs=1e-6)


def test_equilibrium_agrees_with_a_general_solver() -> None:
    """scipy's fsolve on the two equations in pressure and lift, with flow force and a ball."""
    force, flow, rho = 0.43, 20.0 / 6e4, 870.0
    valve = valves.SpringValve(
        0.008, 4000.0, 80e3, 0.65, flow_force=force, opening=lambda x: seats.ball_area_m2(0.008, x, 0.01)
    )

    def residual(unknown: np.ndarray) -> list[float]:
        dp, lift = unknown[0] * 1e5, unknown[1] * 1e-3
        area = seats.ball_area_m2(0.008, lift, 0.01)
        spring = 4000.0 * lift + 80e3 * seats.seat_area_m2(0.008)
        push = dp * (seats.seat_area_m2(0.008) - force * area)
        return [0.65 * area * math.sqrt(2 * abs(dp) / rho) / flow - 1.0, push / spring - 1.0]

    dp, lift = fsolve(residual, [2.0, 1.0], xtol=1e-12)
    found = valves.equilibrium(valve, flow, rho)
    assert found == pytest.approx((dp * 1e5, lift * 1e-3), rel=1e-8)


def test_flow_force_raises_the_drop() -> None:
    """The jet closes the valve, so the same flow needs more pressure."""
    stiffer = valves.SpringValve(SEAT, 8000.0, 125e3, 0.61, flow_force=0.43)
    plain, forced = (valves.equilibrium(v, 40.0 / 6e4, 870.0) for v in (VALVE, stiffer))
    assert forced[0] > plain[0]
    assert forced[1] < plain[1]


@pytest.mark.parametrize("flow_lpm", [30.0, 200.0, 1e4])
def test_on_its_stop_the_valve_is_an_orifice(flow_lpm: float) -> None:
    """Past the stop the lift stays and the drop grows with the square of the flow."""
    short = valves.SpringValve(SEAT, 8000.0, 125e3, 0.61, max_lift_m=2e-4)
    dp, lift = valves.equilibrium(short, flow_lpm / 6e4, 870.0)
    assert lift == 2e-4
    assert dp == pytest.approx(435.0 * (flow_lpm / 6e4 / (0.61 * math.pi * SEAT * 2e-4)) ** 2, rel=1e-12)


def test_lift_reaches_its_stop_without_a_jump() -> None:
    """Pressure and lift are continuous in flow where the stop is met."""
    short = valves.SpringValve(SEAT, 8000.0, 125e3, 0.61, max_lift_m=4e-4)
    flow = short.flow_m3s(4e-4, 870.0)
    below, above = (valves.equilibrium(short, flow * f, 870.0) for f in (1 - 1e-7, 1 + 1e-7))
    assert below == pytest.approx(above, rel=1e-5)


def test_limits_of_flow() -> None:
    """No flow leaves the valve just shut at its cracking pressure; backward flow is refused."""
    assert valves.equilibrium(VALVE, 0.0, 870.0) == (125e3, 0.0)
    with pytest.raises(ValueError, match="one way"):
        valves.equilibrium(VALVE, -1e-6, 870.0)


def test_a_capped_seat_that_never_opens_far_enough_says_so() -> None:
    """An opening that stays shut cannot pass anything: one clear line, no endless search."""
    blocked = valves.SpringValve(SEAT, 8000.0, 125e3, 0.61, opening=lambda _x: 0.0)
    stopped = valves.SpringValve(SEAT, 8000.0, 125e3, 0.61, max_lift_m=1e-3, opening=lambda _x: 0.0)
    for valve in (blocked, stopped):
        with pytest.raises(ValueError, match="cannot pass"):
            valves.equilibrium(valve, 1e-4, 870.0)


def test_usual_jet_gives_the_textbook_flow_force() -> None:
    """0.43 of area times drop, with the usual velocity coefficient and jet angle (Merritt 1967, MEMORY)."""
    assert valves.flow_force_factor(0.61) == pytest.approx(0.42846472, rel=1e-7)
