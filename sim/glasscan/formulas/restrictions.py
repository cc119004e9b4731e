"""Figures of orifices and spring-loaded valves."""

from __future__ import annotations

from typing import Any

from glasscan.formulas.registry import Input, figure, positive, word
from glasscan.laws import orifice, seats, valves

LPM = 1e-3 / 60.0
GEOMETRY = "geometry of the seat"
DELTAS = {"hole": orifice.HOLE_DELTA, "slit": orifice.SLIT_DELTA}
SEAT = positive("seat_mm", "mm")
LIFT = Input("lift_mm", "mm", low=0.0)
CD = positive("cd", high=1.2)


@figure(
    "spring-valve",
    Input("flow_lpm", "L/min", low=0.0),
    SEAT,
    positive("rate_n_m", "N/m"),
    Input("cracking_kpa", "kPa", low=0.0),
    CD,
    positive("rho", "kg/m3"),
    Input("max_lift_mm", "mm", low=0.0, open_low=True, optional=True),
    Input("flow_force", low=0.0, high=1.0, default=0.0),
    unit="kPa, mm",
    method="flat disc: Q = Cd pi d x sqrt(2 dp/rho) and k x = (dp - p0) pi d^2/4 - flow_force pi d x dp",
    source="force balance and orifice equation",
)
def _spring_valve(
    flow_lpm: float,
    seat_mm: float,
    rate_n_m: float,
    cracking_kpa: float,
    cd: float,
    rho: float,
    flow_force: float,
    max_lift_mm: float = float("inf"),
) -> dict[str, Any]:
    valve = valves.SpringValve(
        1e-3 * seat_mm, rate_n_m, 1e3 * cracking_kpa, cd, 1e-3 * max_lift_mm, flow_force
    )
    dp, lift = valves.equilibrium(valve, flow_lpm * LPM, rho)
    dp_kpa, lift_mm = 1e-3 * dp, 1e3 * lift
    return {"values": [dp_kpa, lift_mm], "dp_kpa": dp_kpa, "lift_mm": lift_mm}


@figure(
    "cracking-force",
    Input("dp_kpa", "kPa", low=0.0),
    SEAT,
    unit="N",
    method="dp pi d^2/4",
    source="statics",
)
def _cracking(dp_kpa: float, seat_mm: float) -> float:
    return valves.cracking_force_n(1e3 * dp_kpa, 1e-3 * seat_mm)


@figure(
    "flow-force-factor",
    CD,
    positive("cv", default=valves.VELOCITY_COEFFICIENT, high=1.0),
    Input("jet_angle_deg", "deg", low=0.0, high=90.0, default=valves.JET_ANGLE_DEG),
    unit="-",
    method="steady closing force over area times dp, 2 Cd Cv cos(theta)",
    source="Merritt, Hydraulic Control Systems 1967, recalled (status: MEMORY)",
)
def _flow_force(cd: float, cv: float, jet_angle_deg: float) -> float:
    return valves.flow_force_factor(cd, cv, jet_angle_deg)


def _capped(area_m2: float, seat_mm: float) -> dict[str, Any]:
    bore = seats.seat_area_m2(1e-3 * seat_mm)
    return {"value": 1e6 * area_m2, "capped": area_m2 >= bore * (1.0 - 1e-12)}


@figure(
    "poppet-area",
    SEAT,
    LIFT,
    Input("half_angle_deg", "deg", low=0.0, high=90.0, open_low=True),
    unit="mm2",
    method="pi x sin(a) (d - x sin(a) cos(a)), capped at the bore; `capped` where the bore is the narrower",
    source=GEOMETRY,
)
def _poppet(seat_mm: float, lift_mm: float, half_angle_deg: float) -> dict[str, Any]:
    return _capped(seats.cone_area_m2(1e-3 * seat_mm, 1e-3 * lift_mm, half_angle_deg), seat_mm)


@figure(
    "disc-area",
    SEAT,
    LIFT,
    unit="mm2",
    method="pi d x, capped at the bore pi d^2/4; `capped` where the bore is the narrower",
    source=GEOMETRY,
)
def _disc(seat_mm: float, lift_mm: float) -> dict[str, Any]:
    return _capped(seats.disc_area_m2(1e-3 * seat_mm, 1e-3 * lift_mm), seat_mm)


@figure(
    "ball-area",
    positive("ball_mm", "mm"),
    SEAT,
    LIFT,
    unit="mm2",
    method="pi (s - R)(a + a R/s), s = sqrt(a^2 + (sqrt(R^2 - a^2) + x)^2), capped at the bore; `capped` "
    "where the "
    "bore is the narrower",
    source=GEOMETRY,
    rising=(("seat_mm", "ball_mm"),),
)
def _ball(ball_mm: float, seat_mm: float, lift_mm: float) -> dict[str, Any]:
    return _capped(seats.ball_area_m2(1e-3 * seat_mm, 1e-3 * lift_mm, 1e-3 * ball_mm), seat_mm)


@figure(
    "orifice-cd",
    word("shape", DELTAS),
    Input("re", low=0.0),
    positive("cd_turbulent", default=0.61, high=1.2),
    Input("sharpness", low=1.0, high=20.0, default=2.0),
    unit="-",
    method="Cd^-n = (delta sqrt(Re))^-n + cd^-n; delta exact: hole sqrt(1/(12 pi)), slit sqrt(pi/128)",
    source="Sampson 1891, Hasimoto 1958; Churchill-Usagi blend",
)
def _orifice_cd(shape: str, re: float, cd_turbulent: float, sharpness: float) -> float:
    return orifice.discharge_coefficient(re, DELTAS[shape], cd_turbulent, sharpness)


@figure(
    "orifice-transition",
    word("shape", DELTAS),
    positive("cd_turbulent", default=0.61, high=1.2),
    unit="-",
    method="Reynolds number (cd/delta)^2 where the creeping and the turbulent lines cross; `delta` too",
    source="Sampson 1891, Hasimoto 1958",
)
def _transition(shape: str, cd_turbulent: float) -> dict[str, float]:
    delta = DELTAS[shape]
    return {"value": orifice.transition_re(delta, cd_turbulent), "delta": delta}


@figure(
    "orifice-plate",
    Input("beta", low=0.1, high=0.75),
    Input("re_pipe", low=5000.0, high=1e9),
    Input("pipe_mm", "mm", low=25.0, high=1000.0),
    word("taps", orifice.TAPS, default="corner"),
    unit="-",
    method="Reader-Harris/Gallagher equation, Reynolds number on the pipe; `in_scope` whether the standard "
    "covers this bore, hole and Reynolds number",
    source="ISO 5167-2",
)
def _plate(beta: float, re_pipe: float, pipe_mm: float, taps: str) -> dict[str, float | bool]:
    given = (beta, re_pipe, 1e-3 * pipe_mm, taps)
    return {"value": orifice.plate_coefficient(*given), "in_scope": orifice.plate_in_scope(*given)}


@figure(
    "free-orifice",
    Input("head_ft", "ft", low=orifice.FREE_JET_HEAD_FT[0], high=orifice.FREE_JET_HEAD_FT[-1]),
    unit="-",
    method="discharge coefficient of a sharp-edged round hole that water leaves into the air, linear in "
    "ln(head)",
    source="handbook table of measured values (status: FOUND)",
)
def _free(head_ft: float) -> float:
    return orifice.free_jet_coefficient(head_ft)


@figure(
    "orifice-plate-low-re",
    Input("beta", low=0.5, high=0.7),
    Input("re_pipe", low=1.0, high=5e7),
    unit="-",
    method="table, linear in beta and ln(Re), Reynolds number on the pipe",
    source="Hollingshead 2011 table as in the open library fluids (status: FOUND)",
)
def _plate_low(beta: float, re_pipe: float) -> float:
    return orifice.plate_coefficient_low_re(beta, re_pipe)


@figure(
    "orifice-flow",
    CD,
    positive("diameter_mm", "mm"),
    Input("dp_kpa", "kPa"),
    positive("rho", "kg/m3"),
    unit="L/min",
    method="Cd A sqrt(2 dp/rho)",
    source="Bernoulli with a discharge coefficient",
)
def _orifice_flow(cd: float, diameter_mm: float, dp_kpa: float, rho: float) -> float:
    area = seats.seat_area_m2(1e-3 * diameter_mm)
    return orifice.orifice_flow_m3s(cd, area, 1e3 * dp_kpa, rho) / LPM


@figure("slot-contraction", unit="-", method="pi/(pi + 2)", source="Kirchhoff 1869, exact, inviscid")
def _kirchhoff() -> float:
    return orifice.KIRCHHOFF
