"""Media, capture, clogging, cakes and multi-pass: direct solutions of the equations, printed examples."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from glasscan.laws.blocking import EXPONENTS
from scipy.integrate import solve_ivp
from scipy.linalg import solve_banded
from scipy.optimize import minimize_scalar

from tests.formulas.heldout.case import Case

ARRAY = {0.05: 15.5578223, 0.2: 51.526949, 0.4: 217.894315, 0.6: 1763.57311, 0.7: 13519.15, 0.75: 127527.585}
"""F/(mu U) of the square array, by boundary collocation to 5 or 6 digits (COMPUTED)."""


def cases() -> Iterator[Case]:
    """Every check of this module."""
    yield from _fibres()
    yield from _arrays()
    yield from _grains()
    yield from _capture()
    yield from _pleats()
    yield from _blocking()
    yield from _cakes()
    yield from _reservoir()


def _fibres() -> Iterator[Case]:
    for phi in (0.001, 0.02, 0.08, 0.15, 0.25):
        log = -math.log(phi)
        laws = {
            "kuwabara": (log / 2 - 0.75 + phi - phi**2 / 4) / (4 * phi),
            "happel": (log - (1 - phi**2) / (1 + phi**2)) / (8 * phi),
            "davies": 1 / (16 * phi**1.5 * (1 + 56 * phi**3)),
            "jackson-james": 0.15 / phi * (log - 0.931),
            "happel-along": (log - 1.5 + 2 * phi - phi**2 / 2) / (4 * phi),
        }
        for law, ratio in laws.items():
            given = {"law": law, "solid_fraction": phi, "fibre_um": 14}
            yield Case("fibre-permeability", given, ratio, f"{law}, written out (recalled)")
            yield Case("fibre-permeability", given, ratio * 49e-12, f"{law} of 14 um fibres", key="k_m2")
    square = math.pi / (0.2 * ARRAY[0.2])
    kuwabara = {"law": "kuwabara", "solid_fraction": 0.2}
    yield Case("fibre-permeability", kuwabara, square, "square array solved (COMPUTED)", 0.015)
    yield Case("fibre-permeability", kuwabara, False, "within 1.5 % so far", key="beyond")
    thick = {"law": "davies", "solid_fraction": 0.31}
    yield Case("fibre-permeability", thick, True, "Davies 1952, mats up to 0.3 (recalled)", key="beyond")
    for phi in (0.02, 0.1, 0.3):
        given = {"law": "drummond-tahir-along", "solid_fraction": phi}
        yield Case("fibre-permeability", given, along_square_array(phi), "cell solved by collocation", 3e-3)
    for phi in (0.05, 0.1, 0.2):
        ratio = math.pi / (phi * ARRAY.get(phi, 24.8316752))
        given = {"law": "drummond-tahir", "solid_fraction": phi}
        yield Case("fibre-permeability", given, ratio, "square array solved (COMPUTED)", 0.005)


def along_square_array(phi: float) -> float:
    """k/a^2 for flow along a square array of cylinders: Poisson's equation on the cell by collocation.

    w = -r^2/4 + c0 + (1/2) a^2 ... with harmonics r^(4n), r^(-4n) cos 4n t: no slip on the circle, no normal
    gradient on the side x = 1/2, by least squares; the mean speed by quadrature.
    """
    a, terms = math.sqrt(phi / math.pi), 8
    log_part = 1 / (2 * math.pi)  # all the force of the unit gradient is carried by the cylinder
    y = 0.5 * (1 - np.cos(np.linspace(0, math.pi / 2, 60)))[:, None]
    r, t = np.hypot(0.5, y), np.arctan2(y, 0.5)
    n = 4 * np.arange(1, terms + 1)
    # d/dx of (r^n - a^2n r^-n) cos(n t) scaled by 2^n
    scale = 0.75**n
    columns = (
        n * (r ** (n - 1) * np.cos((n - 1) * t) + a ** (2 * n) * r ** (-n - 1) * np.cos((n + 1) * t)) / scale
    )
    gradient = -0.25 + log_part * 0.5 / r**2
    weights = np.linalg.lstsq(columns, -gradient.ravel(), rcond=None)[0] / scale
    m = 200
    side = (np.arange(m) + 0.5) / (2 * m)
    gx, gy = np.meshgrid(side, side)
    radius, angle = np.hypot(gx, gy)[..., None], np.arctan2(gy, gx)[..., None]
    outside = np.maximum(radius, a)
    harmonics = (outside**n - a ** (2 * n) * outside ** (-n)) * np.cos(n * angle) @ weights
    speed = (a**2 - outside[..., 0] ** 2) / 4 + log_part * np.log(outside[..., 0] / a) + harmonics
    return float(np.mean(np.where(radius[..., 0] > a, speed, 0.0)) / a**2)


def _arrays() -> Iterator[Case]:
    for phi, force in ARRAY.items():
        source = "boundary collocation (COMPUTED); Sangani & Acrivos 1982"
        yield Case("cylinder-array", {"solid_fraction": phi, "cells": 96}, force, source, 3e-4)
    yield Case("cylinder-array", {"solid_fraction": 0.2, "cells": 64}, 0.0194073, source, 1e-3, "k_over_l2")
    yield Case("cylinder-array", {"solid_fraction": 0.2, "cells": 64}, 0.304849, source, 1e-3, "k_over_a2")
    for phi in (0.005, 0.05):
        yield Case("cylinder-array-dilute", {"solid_fraction": phi}, ARRAY.get(phi, 6.5668), source, 2e-3)
    for phi in (0.7, 0.75):
        yield Case("cylinder-array-dense", {"solid_fraction": phi}, ARRAY[phi], source, 0.002)


def _grains() -> Iterator[Case]:
    for eps, um in ((0.2, 3), (0.37, 50), (0.6, 500)):
        d, solid = um * 1e-6, 1 - eps
        hydraulic = eps * d / (6 * solid)  # pore volume over surface; k = e m^2/5
        k = eps * hydraulic**2 / 5
        yield Case("grain-permeability", {"porosity": eps, "grain_um": um}, k, "Kozeny, hydraulic radius")
        ergun = {"porosity": eps, "grain_um": um, "constant": 150}
        yield Case("grain-permeability", ergun, 1.2 * k, "Ergun's constant")
        given = {"porosity": eps, "grain_um": um, "solid_rho": 3000}
        yield Case("cake-resistance", given, 1 / (3000 * solid * k), "one over solids times permeability")
    for um, gamma, theta in ((2, 0.0217, 0), (60, 0.072, 30), (15, 0.028, 89)):
        height = 4 * gamma * math.cos(math.radians(theta)) / (um * 1e-6)
        given = {"pore_um": um, "tension_n_m": gamma, "contact_deg": theta}
        yield Case("bubble-pressure", given, height / 1e3, "Washburn")


def _capture() -> Iterator[Case]:
    for phi, peclet, ratio in ((0.05, 20, 0.02), (0.2, 5e4, 0.3), (0.08, 1e7, 1.2)):
        ku = -math.log(phi) / 2 - 0.75 + phi - phi**2 / 4
        both = [1.6 * ((1 - phi) / ku) ** (1 / 3) * peclet ** (-2 / 3)]
        both.append(0.6 * (1 - phi) / ku * ratio**2 / (1 + ratio))
        given = {"solid_fraction": phi, "peclet": peclet, "size_ratio": ratio}
        yield Case("single-fibre", given, [ku, *both], "Lee & Liu 1982, written out (recalled)")
    for phi, caught, t, d in ((0.1, 0.01, 0.4, 12), (0.25, 0.2, 1, 30), (0.06, 0, 2, 5)):
        length = phi / (1 - phi) * t * 1e-3 * 4 / math.pi / (d * 1e-6)  # fibre shadow over the open area
        given = {"solid_fraction": phi, "efficiency": caught, "thickness_mm": t, "fibre_um": d}
        yield Case("fibre-penetration", given, math.exp(-caught * length), "shadow of the fibres")
    deep = {"solid_fraction": 0.3, "efficiency": 1, "thickness_mm": 50, "fibre_um": 5}
    yield Case("fibre-penetration", deep, 0.0, "a mat so thick that nothing passes")
    for beta, caught in ((1, 0), (3, 2 / 3), (50, 0.98), (5000, 0.9998)):
        yield Case("beta-efficiency", {"beta": beta}, caught, "definition")
        yield Case("beta-from-efficiency", {"efficiency": caught}, beta, "definition", 1e-9)
    counts = {"upstream": 15000, "downstream": 75}
    yield Case("beta-from-counts", counts, 200, "definition")
    yield Case("beta-from-counts", counts, 0.995, "definition", key="efficiency")
    yield Case("gravimetric-level", {"feed_g_h": 0.4, "flow_lpm": 7.6}, 0.88, "federal element test", 5e-3)


def _pleats() -> Iterator[Case]:
    for s, length, t, k in ((0.5, 15, 0.4, 5e-12), (1.5, 30, 0.8, 2e-10), (0.3, 40, 0.5, 1e-9)):
        drop = pleats_solved(s * 1e-3, length * 1e-3, t * 1e-3 / k) * 0.03 * 4e-5
        size = {"spacing_mm": s, "length_mm": length}
        flow = {"mu_pa_s": 0.03, "flow_m2_s": 4e-5}
        closed = size | {"thickness_mm": t, "k_m2": k} | flow
        yield Case("pleat-closed-form", closed, drop, "two channels and a wall, on a fine line", 1e-4)
        solved = size | {"medium_mm": t, "permeability_m2": k} | flow
        yield Case("pleat-pair", solved, drop, "two channels and a wall, on a fine line", 0.02)
    for t, k, length, face in ((0.5, 1e-11, 20, 0.01), (0.8, 1e-12, 50, 0.02), (0.4, 1e-10, 15, 0.005)):

        def drop_of(log_s: float, t: float, k: float, length: float, face: float) -> float:
            s = math.exp(log_s)
            flow = 2 * face * (s + t * 1e-3)
            return math.log(0.04 * flow * pleats_closed(s, length * 1e-3, t * 1e-3 / k))

        best = minimize_scalar(drop_of, bounds=(math.log(5e-5), math.log(2e-2)), args=(t, k, length, face),
                               method="bounded", options={"xatol": 1e-10})  # fmt: skip
        s = 1e3 * math.exp(best.x)
        given = {"medium_mm": t, "permeability_m2": k, "length_mm": length, "mu_pa_s": 0.04, "face_m_s": face}
        expected = [s, 100 / (2 * (s + t)), math.exp(best.fun)]
        yield Case("pleat-optimum", given, expected, "least of the closed form by bounded search", 1e-4)


def pleats_closed(s: float, length: float, wall: float) -> float:
    """Drop over mu and flow by the cosh solution of the two channels, 1/m2."""
    kk = math.sqrt(48 / (s**3 * wall))
    return wall * kk / math.tanh(kk * length / 2) / 4 + 6 * length / s**3


def pleats_solved(s: float, length: float, wall: float) -> float:
    """The same by finite differences: q'' = (24/(s^3 R))(2 q - 1) of the inlet's flow, q(0) = 1, q(L) = 0."""
    n = 4000
    dx, c = length / n, 24 / (s**3 * wall)
    bands = np.zeros((3, n - 1))
    bands[0, 1:], bands[1], bands[2, :-1] = 1, -2 - 2 * c * dx**2, 1
    rhs = np.full(n - 1, -c * dx**2)
    rhs[0] -= 1.0
    q = np.concatenate([[1.0], solve_banded((1, 1), bands, rhs), [0.0]])
    slope = (-3 * q[0] + 4 * q[1] - q[2]) / (2 * dx)
    return -wall * slope / 2 + 12 / s**3 * float(np.trapezoid(1 - q, dx=dx))


def _blocking() -> Iterator[Case]:
    for law, n in EXPONENTS.items():
        for j0, k, at_s in ((2.0, 0.3, 1.5), (0.5, 1.2, 4.0)):

            def slow(_t: float, v: np.ndarray, n: float = n, k: float = k) -> list[float]:
                return [v[1], -k * v[1] ** (3 - n)]  # d2t/dV2 = k (dt/dV)^n as an equation in time

            end = solve_ivp(slow, (0, at_s), [0, j0], rtol=1e-11, atol=1e-13).y[:, -1]
            given = {"law": law, "j0": j0, "k": k, "at_s": at_s}
            yield Case("blocking", given, list(end), "Hermia's equation integrated", 1e-7)
        for kv in (0.1, 0.7):
            rate = solve_ivp(
                lambda _s, p, n=n: [p[0] ** n if n else 1.0], (0, kv), [1.0], rtol=1e-11, atol=1e-13
            ).y[0, -1]
            given = {"law": law, "kv": kv}
            yield Case("blocking-constant-rate", given, rate, "dp as resistance, integrated", 1e-7)


def _cakes() -> Iterator[Case]:
    kp, b, ratio = 5e6, 6000.0, 25.0
    for volume in (0.0, 0.002, 0.05):
        small = kp * volume**2 / 2 + b * volume
        given = {"kp": kp, "b": b, "volume_m3": volume}
        yield Case("cake-time", given, small, "Ruth")
        yield Case("cake-time", given | {"area_ratio": ratio, "volume_m3": ratio * volume}, small, "Ruth")
        yield Case("cake-volume", {"kp": kp, "b": b, "at_s": small}, volume, "Ruth read backwards", 1e-9)
        wash = 0.3 * volume * (kp * volume + b) / 0.25
        yield Case("wash-time", given | {"wash_m3": 0.3 * volume}, wash, "a quarter of the final rate")
    constants = {"area_m2": 0.5, "dp_pa": 2e5, "solids_kg_m3": 30, "mu_pa_s": 1e-3, "alpha_m_kg": 1e11}
    found = [1e-3 * 30 * 1e11 / (0.25 * 2e5), 1e-3 * 4e10 / (0.5 * 2e5)]
    yield Case("cake-constants", constants | {"medium_1_m": 4e10}, found, "Ruth")
    v = [0.001, 0.002, 0.0035, 0.006]
    t = [found[0] * x**2 / 2 + found[1] * x for x in v]
    readings = {"t_s": ",".join(map(repr, t)), "v_m3": ",".join(map(repr, v))}
    yield Case("cake-fit", readings, found, "readings made from the constants", 1e-9)
    sizes = {key: constants[key] for key in ("area_m2", "dp_pa", "solids_kg_m3", "mu_pa_s")}
    yield Case("cake-fit", readings | sizes, 1e11, "readings made from the constants", 1e-9, "alpha_m_kg")
    yield Case("cake-fit", readings | sizes, 4e10, "readings made from the constants", 1e-9, "medium_1_m")
    book = {"slurry_kg_s": 0.778, "solid_mass_fraction": 0.191, "wet_to_dry": 2, "rho": 996.9, "dp_pa": 67e3,
            "alpha0": 4.37e9, "alpha_power": 0.3, "mu_pa_s": 8.937e-4,
            "cycle_s": 250, "submerged": 0.33}  # fmt: skip
    yield Case("drum-area", book, 6.66, "Geankoplis example 14.2-4", 0.002)
    rate = {"q": 0.05, "t1": 60, "dp1": 1000, "t2": 600, "dp2": 5000, "t": 1200}
    yield Case("constant-rate-drop", rate, 1000 + 4000 / 540 * 1140, "a straight line in time")


def _reservoir() -> Iterator[Case]:
    for flow, volume, base, beta, start, at_s in (
        (60, 30, 5, 1.5, 0, 45), (115, 57, 10, 75, 20, 120), (20, 100, 3, 1, 4, 600),
        (38, 19, 0, 1000, 50, 60),
    ):  # fmt: skip
        turn = flow / volume / 60
        end = solve_ivp(
            lambda _t, c, turn=turn, base=base, beta=beta: turn * (base - (1 - 1 / beta) * c),
            (0, at_s), [start], rtol=1e-11, atol=1e-12,
        ).y[0, -1]  # fmt: skip
        given = {"flow_lpm": flow, "volume_l": volume, "base_mg_l": base, "beta": beta, "at_s": at_s}
        yield Case("multipass", given | {"start_mg_l": start}, end, "mass balance integrated", 1e-7)
    for beta, factor in ((1.1, 10), (20, 100), (1000, 2), (1e9, math.e)):
        turns = math.log(factor) * beta / (beta - 1)
        yield Case("cleanup-turnovers", {"beta": beta, "factor": factor}, turns, "mass balance")
