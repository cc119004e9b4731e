"""Ducts, holes, gaps and porous bodies: quadrature, shooting, finite differences, printed tables."""

from __future__ import annotations

import math
from collections.abc import Iterator

import fluids
import numpy as np
from scipy.integrate import quad, solve_ivp
from scipy.optimize import root

from tests.formulas.heldout.case import Case

SHAH_LONDON = {
    1: 14.22708, 0.9: 14.26098, 0.8: 14.37780, 0.75: 14.47570, 2 / 3: 14.71184, 0.6: 14.97996, 0.5: 15.54806,
    0.4: 16.36810, 1 / 3: 17.08967, 0.3: 17.51209, 0.25: 18.23278, 0.2: 19.07050, 1 / 6: 19.70220,
    0.125: 20.58464, 0.1: 21.16888, 0.05: 22.47701, 0: 24.0, 8: 20.58464,
}  # fmt: skip
"""Fanning factor times Reynolds number by aspect ratio: Shah & London 1978, table 42 (recalled)."""


def cases() -> Iterator[Case]:
    """Every check of this module."""
    yield from _plain()
    yield from _annuli()
    yield from _rectangles()
    yield from _turning()
    yield from _porous()
    yield from _berman()
    yield Case("slip-coefficient", {"body": "foam-0.034"}, 1.45, "Beavers & Joseph 1967 (recalled)")
    yield Case("disc-gap-ratio", {"gap_um": 38.1, "other_gap_um": 254}, (254 / 38.1) ** 3, "h^3", 1e-9)
    yield from _holes()
    yield from _discs()
    yield from _scales()


def _plain() -> Iterator[Case]:
    for h, dp, mu, length in ((0.08, 2e5, 0.02, 12), (3, 40, 1.2, 500), (0.5, 0, 0.05, 30)):
        g, m, n = dp / (length * 1e-3), mu, h * 1e-3
        flow = quad(lambda y, g=g, m=m, n=n: g * y * (n - y) / (2 * m), 0, n)[0]
        given = {"gap_mm": h, "dp_pa": dp, "mu_pa_s": mu, "length_mm": length}
        yield Case("plane-channel", given, flow, "parabola integrated")
        yield Case("plane-channel", given, g * n / 2, "force balance", key="wall_shear_pa")
    for radius, dp, mu, length in ((0.2, 5e5, 0.3, 20), (12, 800, 0.01, 2000)):
        given = {"radius_mm": radius, "dp_pa": dp, "mu_pa_s": mu, "length_mm": length}
        d, rho = 2e-3 * radius, 870.0
        factor = fluids.friction_laminar(1000.0) * 1000.0  # f Re of the library
        speed = dp * 2 * d**2 / (factor * mu * length * 1e-3)
        flow = speed * math.pi * d**2 / 4
        yield Case("pipe", given, flow, "fluids.friction_laminar")
        yield Case("pipe", given, 2 * speed, "textbook: peak twice the mean", key="peak_m_s")
        reynolds = {"rho": rho, "speed_m_s": speed, "diameter_mm": 1e3 * d, "mu_pa_s": mu}
        yield Case("reynolds", reynolds, fluids.Reynolds(speed, d, rho, mu), "fluids.Reynolds")


def _annuli() -> Iterator[Case]:
    for ro, ri in ((20, 0.2), (20, 5), (35, 30), (25.0, 24.9)):

        def profile(r: float, x: float) -> float:
            return r * (1 - r**2 + (1 - x**2) * math.log(r) / math.log(1 / x))

        x = ri / ro
        flow = quad(profile, x, 1, args=(x,), epsabs=0, epsrel=1e-12)[0] * math.pi / 2
        flow *= 500 * (ro * 1e-3) ** 4 / (0.04 * 0.15)
        given = {"ro_mm": ro, "ri_mm": ri, "dp_pa": 500, "mu_pa_s": 0.04, "length_mm": 150}
        yield Case("annulus", given, flow, "exact profile integrated", 1e-7)
    printed = {0.05: 21.567, 0.1: 22.343, 0.25: 23.302, 0.5: 23.813, 0.75: 23.967, 1: 24, 0: 16}
    for ratio, fanning in printed.items():
        source = "Shah & London 1978, concentric annulus (recalled)"
        yield Case("annulus-f-re", {"ri_over_ro": ratio}, 4 * fanning, source, 5e-5)


def _rectangles() -> Iterator[Case]:
    for aspect, fanning in SHAH_LONDON.items():
        yield Case("rectangle-f-re", {"aspect": aspect}, 4 * fanning, "Shah & London 1978 (recalled)", 1e-5)
    for width, height in ((2, 1), (0.3, 3), (5, 5)):
        short, long = sorted((width * 1e-3, height * 1e-3))
        f_re = 4 * SHAH_LONDON[round(short / long, 6)]
        hydraulic = 2 * short * long / (short + long)
        flow = 2 * 900 / 0.2 * hydraulic**2 / (f_re * 0.03) * short * long
        given = {"width_mm": width, "height_mm": height, "dp_pa": 900, "mu_pa_s": 0.03, "length_mm": 200}
        yield Case("rectangle", given, flow, "Shah & London 1978 (recalled)", 1e-5)


def _turning() -> Iterator[Case]:
    for ri, ro, rpm in ((10, 10.05, 2400), (20, 40, -60), (5, 500, 1000)):
        a, b, omega = ri * 1e-3, ro * 1e-3, rpm * math.pi / 30
        torque = 4 * math.pi * 0.02 * omega / (a**-2 - b**-2)
        given = {"mu_pa_s": 0.02, "ri_mm": ri, "ro_mm": ro}
        yield Case("couette-torque", given | {"rpm": rpm}, torque, "A r + B/r by no slip")
        yield Case("couette-torque", given | {"rad_s": omega}, torque, "A r + B/r by no slip")


def _porous() -> Iterator[Case]:
    for ro, ri in ((30, 12), (30, 29.99)):
        drop = quad(lambda r: 1 / r, ri, ro)[0]
        flow = 2 * math.pi * 0.08 * 3e-12 * 9e4 / (0.03 * drop)
        given = {"length_mm": 80, "k_m2": 3e-12, "dp_pa": 9e4, "mu_pa_s": 0.03, "ro_mm": ro, "ri_mm": ri}
        yield Case("darcy-shell", given, flow, "Darcy's law integrated")
    for lam in (1e-3, 0.1, 2, 5.5, 40, 2000):

        def speed(y: float, lam: float) -> float:
            inside = math.exp(-lam * (1 - y)) * (1 + math.exp(-2 * lam * y)) / (1 + math.exp(-2 * lam))
            return -math.expm1(math.log(inside)) if inside > 0 else 1.0

        wall = max(0.0, 1 - 30 / lam)
        mean = quad(speed, 0, wall, args=(lam,))[0] + quad(speed, wall, 1, args=(lam,), epsrel=1e-12)[0]
        yield Case("brinkman-closed-form", {"lam": lam}, mean, "profile integrated", 1e-5)
        if 0.1 <= lam <= 40:
            yield Case("brinkman-channel", {"lam": lam}, mean, "profile integrated", 1e-5)
    thick = {"lam": 6, "mu_ratio": 4}
    yield Case("brinkman-closed-form", thick, 1 - math.tanh(3) / 3, "lam on the effective viscosity")
    for alpha, sigma in ((0.1, 12), (0.78, 50), (2.5, 8), (4, 1000)):
        gain, slip = _slip_channel(alpha, sigma)
        yield Case("beavers-joseph", {"alpha": alpha, "sigma": sigma}, gain, "channel solved", 1e-9)
        yield Case(
            "beavers-joseph", {"alpha": alpha, "sigma": sigma}, slip, "channel solved", 1e-9, "slip_over_mean"
        )


def _slip_channel(alpha: float, sigma: float) -> tuple[float, float]:
    """u = -y^2/2 + a y + b on 0..1 (unit gradient), u(1) = 0, u'(0) = alpha sigma (u(0) - 1/sigma^2)."""
    matrix = np.array([[1.0, 1.0], [1.0, -alpha * sigma]])
    a, b = np.linalg.solve(matrix, [0.5, -alpha / sigma])
    return 12 * (-1 / 6 + a / 2 + b) - 1, 12 * b


def _berman() -> Iterator[Case]:
    for reynolds in (-20, -2, 0.3, 4, 8, 11):
        k, centre = _shot(reynolds)
        yield Case("berman", {"r_wall": reynolds}, [k, centre], "shooting from the centre line", 1e-5)
    wall, h, mu, rho = 2e-3, 4e-4, 0.004, 850.0
    k = _shot(rho * wall * h / mu)[0]
    given = {"u0_m_s": 0.3, "wall_m_s": wall, "half_height_mm": 0.4, "x_mm": 30, "mu_pa_s": mu, "rho": rho}
    drop = -mu * k / h**2 * (0.3 * 0.03 - wall * 0.03**2 / (2 * h))
    yield Case("porous-wall-drop", given, drop, "shooting", 1e-5)


def _shot(reynolds: float) -> tuple[float, float]:
    """f''' = k - R (f'^2 - f f'') from the centre to the wall; k and f'(0) so that f(1) = 1, f'(1) = 0."""

    def miss(guess: np.ndarray, r: float) -> list[float]:
        k, slope = guess
        end = solve_ivp(
            lambda _t, f: [f[1], f[2], k - r * (f[1] ** 2 - f[0] * f[2])],
            (0, 1), [0, slope, 0], rtol=1e-8, atol=1e-10,
        ).y[:, -1]  # fmt: skip
        return [end[0] - 1, end[1]]

    guess = np.array([-3.0, 1.5])
    for r in np.linspace(0, reynolds, max(2, int(abs(reynolds) / 2) + 1)):
        guess = root(miss, guess, args=(r,), tol=1e-12).x
    return float(guess[0]), float(guess[1])


def _holes() -> Iterator[Case]:
    for a, t in ((0.05, 0), (0.4, 0.2), (1, 20)):
        series = 3 * 0.06 * 2e-7 / (a * 1e-3) ** 3  # thin hole read backwards, plus a length of pipe
        pipe = 8 * 0.06 * 2e-7 * t * 1e-3 / (math.pi * (a * 1e-3) ** 4)
        given = {"radius_mm": a, "thickness_mm": t, "mu_pa_s": 0.06, "flow_m3_s": 2e-7}
        yield Case("thick-hole", given, series + pipe, "Sampson and Poiseuille in a row (Dagan et al.)")
        thin = {"radius_mm": a, "dp_pa": series, "mu_pa_s": 0.06}
        yield Case("thin-hole", thin, 2e-7, "Sampson 1891")
    for a in (0.05, 0.7):  # profile (dp/(4 mu)) sqrt(a^2 - x^2) over the slit
        flow = quad(lambda x, a=a: 3e4 / (4 * 0.09) * math.sqrt(a**2 - x**2), -a, a)[0] * 1e-6
        given = {"half_width_mm": a, "dp_pa": 3e4, "mu_pa_s": 0.09}
        yield Case("thin-slit", given, flow, "Hasimoto 1958, profile integrated")
        thick = {"width_mm": 2 * a, "thickness_mm": 0, "mu_pa_s": 0.09, "flow_m2_s": flow}
        yield Case("thick-slit", thick, 3e4, "a slit without thickness is the thin one")
    yield Case("slot-contraction", {}, 0.611, "Kirchhoff 1869, as printed in Milne-Thomson", 1e-4)


def _discs() -> Iterator[Case]:
    for gap, ro, ri, flow in ((76.2, 22, 9, 3e-7), (254, 30, 10, -4e-6), (38.1, 16, 15.5, 1e-8)):
        h, a, b = gap * 1e-6, ro * 1e-3, ri * 1e-3
        viscous = quad(lambda r, h=h, q=flow: 6 * 0.08 * q / (math.pi * h**3 * r), b, a)[0]
        inertia = quad(
            lambda r, h=h, q=flow: 2 * 27 / 140 * 860 * (q / (math.pi * h)) ** 2 / r**3, b, a, epsabs=0
        )[0]
        given = {"gap_um": gap, "ro_mm": ro, "ri_mm": ri, "mu_pa_s": 0.08, "rho": 860, "flow_m3_s": flow}
        yield Case("disc-gap", given, viscous + inertia, "gradients integrated over the radius")
        pack = {key: given[key] for key in ("gap_um", "ro_mm", "ri_mm", "mu_pa_s", "rho")}
        whole = {"gaps": 40, "flow_lpm": flow * 40 * 0.8 * 6e4, "open_fraction": 0.8}
        yield Case("disc-pack", pack | whole, viscous + inertia, "each gap carries its share", 1e-9)


def _scales() -> Iterator[Case]:
    yield Case("plates-nusselt", {}, 7.541, "Shah & London 1978 (recalled)", 1e-4)
    yield Case("plates-nusselt", {"wall": "flux"}, 8.235, "Shah & London 1978 (recalled)", 1e-4)
    yield Case("pipe-nusselt", {}, 3.657, "Shah & London 1978 (recalled)", 1e-4)
    yield Case("pipe-nusselt", {"wall": "flux"}, 4.364, "Shah & London 1978 (recalled)", 1e-4)
    for peclet in (0, 3, 250):
        yield Case("channel-dispersion", {"peclet": peclet}, 1 + peclet**2 / 210, "Aris 1956 (recalled)")
        pipe = 1 + (peclet / 2) ** 2 / 48  # Taylor and Aris on the radius
        yield Case("channel-dispersion", {"peclet": peclet, "shape": "pipe"}, pipe, "Taylor 1953, Aris 1956")
