"""Laws of ducts, porous bodies, holes and gaps: limits, direct solutions of the equations, libraries."""

import math

import fluids
import numpy as np
import pytest
from glasscan.laws import berman, channels, discs, holes, orifice, porous
from glasscan.laws.plate_table import PLATE_CD, PLATE_RE
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad, solve_ivp

NARROW = st.floats(0.01, 0.999)


def annulus_by_quadrature(ratio: float) -> float:
    """Flow of an annulus of outer radius 1, unit gradient over viscosity, by integrating its profile."""

    def speed(r: float) -> float:
        return 0.25 * (1.0 - r**2 + (1.0 - ratio**2) * math.log(r) / math.log(1.0 / ratio))

    return float(quad(lambda r: 2.0 * math.pi * r * speed(r), ratio, 1.0)[0])


@pytest.mark.parametrize("ratio", [0.01, 0.3, 0.8, 0.99])
def test_annulus_is_the_integral_of_its_profile(ratio: float) -> None:
    """Exact velocity profile (textbook) integrated numerically by scipy."""
    assert channels.annulus_flow_m3s(1.0, ratio, 1.0, 1.0, 1.0) == pytest.approx(
        annulus_by_quadrature(ratio), rel=1e-8
    )


@pytest.mark.parametrize("gap", [1e-3, 1e-6, 1e-9])
def test_thin_annulus_becomes_a_plane_channel(gap: float) -> None:
    """A vanishing gap carries what a plane channel of the mean circumference does, with no loss of digits."""
    plane = channels.plane_flow_m2_s(gap, 1.0, 1.0, 1.0) * math.pi * (2.0 - gap)
    assert channels.annulus_flow_m3s(1.0, 1.0 - gap, 1.0, 1.0, 1.0) == pytest.approx(plane, rel=1e-6)


def test_rectangle_series_against_finite_differences() -> None:
    """A square duct solved on a grid (second order, extrapolated) gives the series' flow within 1e-5."""
    coarse, fine = (square_flow_on_grid(n) for n in (16, 32))
    assert channels.rectangle_flow_m3s(1.0, 1.0, 1.0, 1.0, 1.0) == pytest.approx(
        fine + (fine - coarse) / 3.0, rel=1e-4
    )


def square_flow_on_grid(n: int) -> float:
    """Flow of a unit square duct, unit gradient over viscosity, five-point scheme with n cells a side."""
    inner = n - 1
    one = np.eye(inner)
    second = (np.eye(inner, k=1) + np.eye(inner, k=-1) - 2.0 * one) * n**2
    speed = np.linalg.solve(np.kron(second, one) + np.kron(one, second), -np.ones(inner**2))
    return float(speed.sum()) / n**2


@given(st.floats(0.001, 1000.0))
def test_rectangle_does_not_mind_which_side_is_which(aspect: float) -> None:
    """Turning the duct by a quarter changes nothing, and parallel plates (96) are never exceeded."""
    assert channels.rectangle_f_re(aspect) == pytest.approx(channels.rectangle_f_re(1.0 / aspect), rel=1e-9)
    assert 56.9 < channels.rectangle_f_re(aspect) < 96.0 + 1e-9


def test_couette_torque_of_a_thin_gap_is_shear_times_area_times_radius() -> None:
    """Thin gap: mu W r/h over the area 2 pi r, times the arm r."""
    mu, radius, gap, omega = 0.05, 0.02, 2e-7, 10.0
    thin = mu * omega * radius / gap * 2.0 * math.pi * radius * radius
    assert channels.couette_torque_n(mu, radius, radius + gap, omega) == pytest.approx(thin, rel=1e-4)


def test_pipe_agrees_with_a_general_library() -> None:
    """Laminar pipe drop by the open library `fluids`, f from its own laminar friction factor."""
    radius, mu, rho, length, speed = 0.005, 0.05, 870.0, 0.3, 1.0
    flow = speed * math.pi * radius**2
    factor = fluids.friction_laminar(rho * speed * 2 * radius / mu)
    drop = fluids.dP_from_K(factor * length / (2 * radius), rho, speed)
    assert channels.pipe_flow_m3s(radius, drop, mu, length) == pytest.approx(flow, rel=1e-12)


def test_reynolds_number_agrees_with_a_general_library() -> None:
    """The definition in the open library `fluids`."""
    other = fluids.Reynolds(V=1.3, D=0.02, rho=870.0, mu=0.05)
    assert channels.hydraulic_reynolds(870.0, 1.3, 0.02, 0.05) == pytest.approx(other, rel=1e-12)


@given(st.floats(1e-4, 600.0))
def test_brinkman_lies_between_open_channel_and_darcy(lam: float) -> None:
    """Never above Darcy's velocity nor above that of the open channel, l^2/3 of it."""
    mean = porous.brinkman_mean_ratio(lam)
    assert 0.0 < mean <= min(1.0, lam**2 / 3.0 * (1.0 + 1e-9))
    assert mean <= porous.brinkman_centre_ratio(lam) + 1e-12


def test_brinkman_series_meets_the_closed_form() -> None:
    """Where the code changes from series to closed form the two agree to eight digits."""
    below, above = (
        porous.brinkman_mean_ratio(0.02 * (1 - 1e-9)),
        porous.brinkman_mean_ratio(0.02 * (1 + 1e-9)),
    )
    assert below == pytest.approx(above, rel=3e-8)


def test_beavers_joseph_from_its_profile() -> None:
    """The gain of flow is that of a parabola with the slip velocity at one wall (Beavers & Joseph 1967)."""
    alpha, sigma, k = 0.78, 12.0, 1e-10
    height = sigma * math.sqrt(k)
    slip = porous.beavers_joseph_slip_m_s(alpha, sigma, k, 1.0, 1.0)
    darcy = k
    # slip law at the face: du/dy = alpha (slip - darcy)/sqrt(k); parabola with no slip at the far wall
    slope = alpha * (slip - darcy) / math.sqrt(k)
    assert slip + slope * height - 0.5 * height**2 == pytest.approx(0.0, abs=1e-12 * height**2)
    flow = slip * height / 2.0 + height**3 / 12.0
    assert flow / (height**3 / 12.0) - 1.0 == pytest.approx(
        porous.beavers_joseph_increase(alpha, sigma), rel=1e-12
    )


@pytest.mark.parametrize("r_wall", [-20.0, -1.0, 0.3, 5.0])
def test_berman_satisfies_its_equation(r_wall: float) -> None:
    """Shooting by scipy from the centre with the solved constants lands on the wall values."""
    flow = berman.berman(r_wall)
    curve = curvature_at_centre(r_wall, flow)
    end = shoot(r_wall, flow, curve)
    assert end[0] == pytest.approx(1.0, abs=1e-6)
    assert end[1] == pytest.approx(0.0, abs=1e-6)


def curvature_at_centre(r_wall: float, flow: berman.BermanFlow) -> float:
    """f'''(0), from the equation at the centre where f = f'' = 0."""
    return flow.k - r_wall * flow.centre**2


def shoot(r_wall: float, flow: berman.BermanFlow, curve: float) -> np.ndarray:
    """Differentiated equation f'''' = R (f f''' - f' f''), integrated outward from the centre."""

    def slope(_eta: float, y: np.ndarray) -> list[float]:
        return [y[1], y[2], y[3], -r_wall * (y[1] * y[2] - y[0] * y[3])]

    start = [0.0, flow.centre, 0.0, curve]
    return np.asarray(solve_ivp(slope, (0.0, 1.0), start, rtol=1e-10, atol=1e-12).y[:, -1])


def test_berman_small_suction_series() -> None:
    """Berman's own series k = -(3 - 81 R/35), f'(0) = 1.5 (1 - R/210) (MEMORY) for small R."""
    flow = berman.berman(1e-3)
    assert flow.k == pytest.approx(-(3.0 - 81e-3 / 35.0), abs=1e-6)
    assert flow.centre == pytest.approx(1.5 * (1.0 - 1e-3 / 210.0), abs=1e-8)


def test_inertia_lowers_the_drop_along_a_sucked_channel() -> None:
    """Wall Reynolds number 0.1 (from rho, speed, half height, mu) has k = -2.768747, not -3 (COMPUTED)."""
    flow = (0.01, 2e-4, 5e-4, 0.02, 1e-3)
    rho = 0.1 * 1e-3 / (2e-4 * 5e-4)
    ratio = berman.porous_wall_drop_pa(*flow, rho) / berman.porous_wall_drop_pa(*flow)
    assert ratio == pytest.approx(2.768747 / 3.0, rel=1e-5)


def test_berman_refuses_where_it_is_not_unique() -> None:
    """Beyond the range of a single solution there is one clear line, not a wrong branch."""
    with pytest.raises(ValueError, match="wall Reynolds"):
        berman.berman(13.0)


def test_thick_walls_reduce_to_thin_and_long() -> None:
    """Dagan's law is Sampson's for no thickness and Hagen-Poiseuille's for a long hole; slits likewise."""
    flow = holes.sampson_flow_m3s(5e-4, 1e4, 0.1)
    assert holes.dagan_drop_pa(5e-4, 0.0, 0.1, flow) == pytest.approx(1e4, rel=1e-12)
    long = channels.pipe_flow_m3s(5e-4, 1e4, 0.1, 10.0)
    assert holes.dagan_drop_pa(5e-4, 10.0, 0.1, long) == pytest.approx(1e4, rel=1e-4)
    slit = holes.slit_flow_m2_s(5e-4, 1e4, 0.1)
    assert holes.thick_slit_drop_pa(1e-3, 0.0, 0.1, slit) == pytest.approx(1e4, rel=1e-12)


def test_creeping_coefficients_are_sampson_and_hasimoto() -> None:
    """Cd from the definition, fed with the exact creeping flows, is delta sqrt(Re) for hole and slit."""
    mu, rho, a, dp = 0.1, 870.0, 5e-4, 1.0
    hole = holes.sampson_flow_m3s(a, dp, mu) / (math.pi * a**2)
    slit = holes.slit_flow_m2_s(a, dp, mu) / (2.0 * a)
    ideal = math.sqrt(2.0 * dp / rho)
    assert hole / ideal == pytest.approx(orifice.HOLE_DELTA * math.sqrt(rho * hole * 2.0 * a / mu), rel=1e-12)
    assert slit / ideal == pytest.approx(orifice.SLIT_DELTA * math.sqrt(rho * slit * 4.0 * a / mu), rel=1e-12)


@given(st.floats(1e-9, 1e9), st.floats(1.0, 10.0))
def test_blended_coefficient_keeps_below_both_ends(re: float, sharpness: float) -> None:
    """Never above the creeping or the turbulent line, and close to the lower of them far from the bend."""
    cd = orifice.discharge_coefficient(re, orifice.HOLE_DELTA, 0.61, sharpness)
    creeping = orifice.HOLE_DELTA * math.sqrt(re)
    assert cd <= min(creeping, 0.61) * (1.0 + 1e-12)
    assert cd >= 0.49 * min(creeping, 0.61)


def test_blend_with_two_adds_the_drops() -> None:
    """Exponent 2 is the sum of Sampson's drop and the turbulent one."""
    d, flow, mu, rho = 1e-3, 2e-6, 0.05, 870.0
    area = math.pi * d**2 / 4.0
    cd = orifice.discharge_coefficient(rho * flow / area * d / mu, orifice.HOLE_DELTA, 0.61, 2.0)
    assert orifice.orifice_drop_pa(cd, area, flow, rho) == pytest.approx(
        orifice.hole_drop_pa(d, flow, mu, rho, 0.61), rel=1e-12
    )


def test_blend_stays_near_the_measured_plates() -> None:
    """Hollingshead 2011, beta 0.5 (FOUND): a sharp blend is within 17 % from Re 1 to 1e6, never above."""
    approach = math.sqrt(1.0 - 0.5**4)
    for re_pipe, cd in zip(PLATE_RE[:19], PLATE_CD[0.5], strict=False):
        ours = approach * orifice.discharge_coefficient(re_pipe / 0.5, orifice.HOLE_DELTA, 0.61, 5.0)
        assert -0.17 < ours / cd - 1.0 < 0.0


@pytest.mark.parametrize("re_pipe", [6e3, 1e5, 1e7])
@pytest.mark.parametrize("beta", [0.2, 0.5, 0.74])
@pytest.mark.parametrize("pipe_m", [0.05, 0.1])
def test_iso_5167_agrees_with_a_general_library(re_pipe: float, beta: float, pipe_m: float) -> None:
    """Reader-Harris/Gallagher with corner taps in the open library `fluids`."""
    rho, mu = 870.0, 0.01
    mass = re_pipe * math.pi / 4.0 * pipe_m * mu
    other = fluids.flow_meter.C_Reader_Harris_Gallagher(pipe_m, beta * pipe_m, rho, mu, mass, taps="corner")
    assert orifice.plate_coefficient(beta, re_pipe, pipe_m) == pytest.approx(other, rel=1e-9)


@pytest.mark.parametrize("beta", [0.5, 0.55, 0.66, 0.7])
@pytest.mark.parametrize("re_pipe", [1.0, 7.0, 150.0, 4e3, 1e6])
def test_low_re_plates_agree_with_a_general_library(beta: float, re_pipe: float) -> None:
    """The same table interpolated by another scheme in the open library `fluids`, within 4 %."""
    rho, mu, pipe_m = 870.0, 0.01, 0.1
    mass = re_pipe * math.pi / 4.0 * pipe_m * mu
    meter = {"meter_type": fluids.flow_meter.HOLLINGSHEAD_ORIFICE, "k": 1.3, "P1": 2e5, "P2": 1.9e5}
    other, _ = fluids.flow_meter.differential_pressure_meter_C_epsilon(
        D=pipe_m, D2=beta * pipe_m, m=mass, rho=rho, mu=mu, **meter
    )
    assert orifice.plate_coefficient_low_re(beta, re_pipe) == pytest.approx(other, rel=0.04)


def test_disc_gap_is_the_integral_of_plane_channels() -> None:
    """Creeping radial flow is a plane channel at every radius: integrate 12 mu Q/(2 pi r h^3) with scipy."""
    h, ro, ri, mu, flow = 1.27e-4, 0.02, 0.012, 0.05, 1e-6
    slope = quad(lambda r: 12.0 * mu * flow / (2.0 * math.pi * r * h**3), ri, ro)[0]
    assert discs.gap_viscous_drop_pa(h, ro, ri, mu, flow) == pytest.approx(slope, rel=1e-10)


def test_disc_inertia_is_54_35_of_bernoulli() -> None:
    """Parabolic profile against a flat one: 54/35 of the change of rho u^2/2 (Savage 1964)."""
    h, ro, ri, rho, flow = 1.27e-4, 0.02, 0.012, 870.0, 1e-6
    rise = 0.5 * rho * ((flow / (2 * math.pi * ri * h)) ** 2 - (flow / (2 * math.pi * ro * h)) ** 2)
    assert discs.gap_inertia_drop_pa(h, ro, ri, rho, flow) == pytest.approx(54.0 / 35.0 * rise, rel=1e-12)


def test_outward_flow_wins_pressure_back() -> None:
    """Reversed flow has the viscous drop reversed but the same inertia term."""
    gap = (1.27e-4, 0.02, 0.012)
    inward = discs.pack_drop_pa(10, 1e-4, *gap, 0.05, 870.0)
    outward = discs.pack_drop_pa(10, -1e-4, *gap, 0.05, 870.0)
    assert inward + outward == pytest.approx(2 * discs.gap_inertia_drop_pa(*gap, 870.0, 1e-5), rel=1e-6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: channels.annulus_flow_m3s(0.01, 0.02, 1.0, 1.0, 1.0),
        lambda: channels.annulus_f_re(1.5),
        lambda: porous.darcy_shell_flow_m3s(1.0, 1.0, 1.0, 1.0, 0.01, 0.02),
        lambda: discs.gap_viscous_drop_pa(1e-4, 0.01, 0.02, 0.05, 1e-6),
        lambda: orifice.plate_coefficient_low_re(0.4, 100.0),
    ],
)
def test_impossible_sizes_are_refused(call: object) -> None:
    """Radii the wrong way round, or outside a table, raise one clear line."""
    with pytest.raises(ValueError, match=r"radius|rim|table"):
        call()  # type: ignore[operator]


def test_slit_turns_turbulent_at_a_reynolds_number_of_15() -> None:
    """Where delta sqrt(Re) meets Kirchhoff's 0.611: Re 15.2 for a slit (Merritt, MEMORY)."""
    assert orifice.transition_re(orifice.SLIT_DELTA, 0.611) == pytest.approx(15.2, rel=2e-3)


@pytest.mark.parametrize("dp", [2.5e5, -3e3])
def test_orifice_flow_and_drop_undo_each_other(dp: float) -> None:
    """The turbulent orifice read both ways, in both directions of flow."""
    flow = orifice.orifice_flow_m3s(0.61, 2e-5, dp, 870.0)
    assert abs(flow) == pytest.approx(0.61 * 2e-5 * math.sqrt(2.0 * abs(dp) / 870.0))
    assert orifice.orifice_drop_pa(0.61, 2e-5, flow, 870.0) == pytest.approx(dp)


def test_blend_adds_drops_unless_told_otherwise() -> None:
    """The exponent left out is 2: at equal ends the coefficient is lower by the root of two."""
    re = orifice.transition_re(orifice.HOLE_DELTA, 0.61)
    blended = orifice.discharge_coefficient(re, orifice.HOLE_DELTA, 0.61)
    assert blended == pytest.approx(0.61 / math.sqrt(2.0), rel=1e-12)


def test_a_disc_gap_with_its_mouths_is_that_of_finite_elements():
    """0.127 mm between rings of 12 and 20 mm: 4.828e11 1/m3 with both mouths (Taylor-Hood; COMPUTED)."""
    size = (127e-6, 0.020, 0.012, 1.0, 1.0)
    whole = discs.gap_viscous_drop_pa(*size) + discs.mouth_drop_pa(*size)
    assert whole == pytest.approx(4.828e11, rel=1e-3)
    assert discs.gap_viscous_drop_pa(*size) < 0.99 * whole


@pytest.mark.parametrize(
    ("beta", "pipe_m", "re", "inside"),
    [(0.26, 0.05, 1e5, True), (0.24, 0.05, 1e5, False), (0.5, 0.049, 1e5, False), (0.76, 0.1, 1e5, False),
     (0.5, 0.1, 4.9e3, False), (0.7, 0.1, 7.8e3, False), (0.7, 0.1, 7.9e3, True)],
)  # fmt: skip
def test_scope_of_the_plate_standard(beta: float, pipe_m: float, re: float, inside: bool) -> None:
    """ISO 5167-2, 5.3.1 (MEMORY): bore 50 mm or more, hole 12.5 mm or more, Re above 16000 b² from 0.56."""
    assert orifice.plate_in_scope(beta, re, pipe_m) == inside
