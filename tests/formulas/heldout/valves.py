"""Restrictions and valves: the open library `fluids`, nearest distances found by search, both laws solved."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from fluids.flow_meter import C_Reader_Harris_Gallagher
from scipy.optimize import fsolve, minimize_scalar

from tests.formulas.heldout.case import Case

TAPS = {"corner": "corner", "flange": "flange", "d-and-half": "D and D/2"}


def cases() -> Iterator[Case]:
    """Every check of this module."""
    yield from _plates()
    yield from _orifices()
    yield from _seats()
    yield from _springs()


def _plates() -> Iterator[Case]:
    for ours, theirs in TAPS.items():
        for beta in (0.1, 0.3, 0.56, 0.75):
            for re, bore in ((2e4, 0.05), (3e5, 0.1), (5e6, 0.4)):
                rho, mu = 850.0, 0.01
                mass = re * mu * math.pi * bore / 4
                c = C_Reader_Harris_Gallagher(D=bore, Do=beta * bore, rho=rho, mu=mu, m=mass, taps=theirs)
                given = {"beta": beta, "re_pipe": re, "pipe_mm": 1e3 * bore, "taps": ours}
                yield Case("orifice-plate", given, c, "fluids.C_Reader_Harris_Gallagher", 1e-6)
    scope = {"beta": 0.7, "re_pipe": 7000, "pipe_mm": 100}
    yield Case("orifice-plate", scope, False, "ISO 5167-2: Re from 16000 beta^2", key="in_scope")
    yield Case("orifice-plate", scope | {"re_pipe": 8000}, True, "ISO 5167-2", key="in_scope")
    yield Case(
        "orifice-plate",
        {"beta": 0.5, "re_pipe": 1e5, "pipe_mm": 40},
        False,
        "bore below 50 mm",
        key="in_scope",
    )
    for beta, re, c in ((0.5, 200, 0.699), (0.65, 1000, 0.736), (0.7, 1, 0.191), (0.6, 5e7, 0.595)):
        yield Case("orifice-plate-low-re", {"beta": beta, "re_pipe": re}, c, "Hollingshead 2011 table", 1e-9)
    between = {"beta": 0.675, "re_pipe": 1000}
    yield Case("orifice-plate-low-re", between, (0.736 + 0.765) / 2, "midway in the table", 1e-9)


def _orifices() -> Iterator[Case]:
    for cd, d, dp in ((0.61, 1.2, 400), (0.7, 8, 20000), (0.62, 3, -50), (0.6, 2, 0)):
        speed = math.copysign(math.sqrt(2e3 * abs(dp) / 860), dp)
        flow = cd * math.pi * (d * 0.5e-3) ** 2 * speed * 6e4
        given = {"cd": cd, "diameter_mm": d, "dp_kpa": dp, "rho": 860}
        yield Case("orifice-flow", given, flow, "Torricelli")
    for head, cd in ((1, 0.62), (4, 0.608), (10, 0.605), (20, 0.603), (2, (0.62 + 0.608) / 2)):
        yield Case("free-orifice", {"head_ft": head}, cd, "handbook table (FOUND), midway in ln(head)", 1e-9)
    for shape, delta in (("hole", 0.162868), ("slit", 0.156664)):
        yield Case(
            "orifice-transition", {"shape": shape, "cd_turbulent": 0.6}, (0.6 / delta) ** 2, "Merritt", 1e-5
        )
        for re in (1e-3, 5, 40, 1e5):
            parts = (delta * math.sqrt(re)) ** -2 + 0.61**-2
            given = {"shape": shape, "re": re}
            yield Case("orifice-cd", given, parts**-0.5, "viscous and inertial drops added", 1e-5)
        yield Case("orifice-cd", {"shape": shape, "re": 0}, 0.0, "no flow, no jet")
    # a drop of Sampson and one of Bernoulli in a row, for a 1 mm hole
    d, mu, rho, flow = 1e-3, 0.03, 860.0, 4e-6
    drop = 24 * mu * flow / d**3 + rho / 2 * (flow / (0.61 * math.pi * d**2 / 4)) ** 2
    re = rho * flow / (math.pi * d**2 / 4) * d / mu
    cd = flow / (math.pi * d**2 / 4) / math.sqrt(2 * drop / rho)
    yield Case("orifice-cd", {"shape": "hole", "re": re}, cd, "Sampson and Bernoulli in a row", 1e-5)
    for cd, cv, angle in ((0.7, 0.98, 69), (0.61, 1, 0), (0.65, 0.97, 90)):
        factor = 2 * cd * cv * math.cos(math.radians(angle))
        yield Case("flow-force-factor", {"cd": cd, "cv": cv, "jet_angle_deg": angle}, factor, "Merritt", 1e-9)


def _frustum(seat: np.ndarray, point: np.ndarray) -> float:
    """Side of the cone frustum between two radii (r, z) on a meridian, mm2."""
    return math.pi * (seat[0] + point[0]) * math.dist(seat, point)


def _seats() -> Iterator[Case]:
    seat = np.array([5.0, 0.0])
    bore = math.pi * 25
    for angle, lift in ((45, 0.4), (30, 1.2), (80, 0.05), (90, 0.7)):
        slope = math.radians(angle)

        def on_cone(s: float, slope: float = slope, lift: float = lift) -> np.ndarray:
            return np.array([5 - s * math.sin(slope), lift - s * math.cos(slope)])

        nearest = minimize_scalar(lambda s: math.dist(seat, on_cone(s)), bounds=(0, 5), method="bounded",
                                  options={"xatol": 1e-12})  # fmt: skip
        area = min(_frustum(seat, on_cone(nearest.x)), bore)
        given = {"seat_mm": 10, "lift_mm": lift, "half_angle_deg": angle}
        yield Case("poppet-area", given, area, "nearest distance by search", 1e-6)
    for ball, lift in ((12, 0.3), (11, 1), (30, 0.05), (12, 0)):
        radius = ball / 2
        centre = math.sqrt(radius**2 - 25) + lift

        def on_ball(t: float, radius: float = radius, centre: float = centre) -> np.ndarray:
            return np.array([radius * math.sin(t), centre - radius * math.cos(t)])

        nearest = minimize_scalar(lambda t: math.dist(seat, on_ball(t)), bounds=(0, math.pi / 2),
                                  method="bounded", options={"xatol": 1e-12})  # fmt: skip
        area = _frustum(seat, on_ball(nearest.x)) if lift else 0.0
        given = {"ball_mm": ball, "seat_mm": 10, "lift_mm": lift}
        yield Case("ball-area", given, min(area, bore), "nearest distance by search", 1e-6)
    for lift, area in ((0, 0), (1, 10 * math.pi), (2.5, bore), (9, bore)):
        yield Case("disc-area", {"seat_mm": 10, "lift_mm": lift}, area, "curtain, at most the bore")
        yield Case("disc-area", {"seat_mm": 10, "lift_mm": lift}, lift >= 2.5, "bore at d/4", key="capped")
    for kpa, d in ((0, 5), (172.4, 14), (2000, 6)):
        force = kpa * 1e3 * math.pi * (d * 1e-3) ** 2 / 4
        yield Case("cracking-force", {"dp_kpa": kpa, "seat_mm": d}, force, "statics")


def _springs() -> Iterator[Case]:
    for flow, d, rate, crack, jet in (
        (2, 10, 5000, 96.5, 0), (25, 14, 12000, 172, 0), (60, 18, 3000, 80, 0), (15, 12, 8000, 125, 0.43),
        (8, 9, 2500, 0, 0),
    ):  # fmt: skip
        valve = {"seat_mm": d, "rate_n_m": rate, "cracking_kpa": crack, "cd": 0.62, "rho": 865}
        dp, lift = _both_laws(flow / 6e4, d * 1e-3, rate, crack * 1e3, jet)
        given = {"flow_lpm": flow, **valve} | ({"flow_force": jet} if jet else {})
        yield Case("spring-valve", given, [dp / 1e3, lift * 1e3], "both laws by scipy's fsolve", 1e-6)
    shut = {"flow_lpm": 0, "seat_mm": 10, "rate_n_m": 4000, "cracking_kpa": 90, "cd": 0.6, "rho": 870}
    yield Case("spring-valve", shut, [90, 0], "no flow: about to crack")
    stop = shut | {"flow_lpm": 40, "max_lift_mm": 0.5}
    speed = 40 / 6e4 / (math.pi * 10e-3 * 0.5e-3)
    drop = (speed / 0.6) ** 2 * 870 / 2
    yield Case("spring-valve", stop, [drop / 1e3, 0.5], "a fixed orifice at the stop")


def _both_laws(flow: float, d: float, rate: float, crack: float, jet: float) -> tuple[float, float]:
    def miss(guess: np.ndarray) -> list[float]:
        dp, lift = guess[0] * 1e5, guess[1] * 1e-3
        through = 0.62 * math.pi * d * abs(lift) * math.sqrt(2 * abs(dp) / 865)
        force = (dp - crack) * math.pi * d**2 / 4 - jet * math.pi * d * lift * dp
        return [through / flow - 1, force / (rate * 1e-3) - lift / 1e-3]

    dp, lift = fsolve(miss, [max(crack, 1e4) / 1e5 * 1.2, 0.3], xtol=1e-10)
    return float(dp) * 1e5, float(lift) * 1e-3
