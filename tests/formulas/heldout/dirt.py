"""Dirt: printed tables of the standards (recalled here), settling by solving the force balance."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from fluids.drag import v_terminal
from scipy.optimize import brentq

from tests.formulas.heldout.case import Case

ISO4406 = "ISO 4406 range table (recalled)"
AS4059 = {
    "000": (195, 76, 14, 3, 1, 0), "00": (390, 152, 27, 5, 1, 0), "0": (780, 304, 54, 10, 2, 0),
    "1": (1560, 609, 109, 20, 4, 1), "2": (3120, 1217, 217, 39, 7, 1), "3": (6250, 2432, 432, 76, 13, 2),
    "4": (12500, 4864, 864, 152, 26, 4), "5": (25000, 9731, 1731, 306, 53, 8),
    "6": (50000, 19462, 3462, 612, 106, 16), "7": (100000, 38924, 6924, 1224, 212, 32),
    "8": (200000, 77849, 13849, 2449, 424, 64), "9": (400000, 155698, 27698, 4898, 848, 128),
    "10": (800000, 311396, 55396, 9796, 1696, 256), "11": (1600000, 622792, 110792, 19592, 3392, 512),
    "12": (3200000, 1245584, 221584, 39184, 6784, 1024),
}  # fmt: skip
"""SAE AS4059, table of cumulative limits, sizes A to F (recalled; status: MEMORY)."""
CODES = {
    (0, 0, 0): "0/0/0", (80, 10, 1.3): "13/10/7", (80.1, 10.5, 1.4): "14/11/8", (1e4, 2500, 640): "20/18/16",
    (2500000, 1300000, 640000): "28/27/26", (2500001, 3e6, 0.01): ">28/>28/0", (5, 5.5, 0.0101): "9/10/1",
    (40000, 16e4, 160): "22/24/14",
}  # fmt: skip
"""Counts per mL -> code, read off the table by hand."""


def cases() -> Iterator[Case]:
    """Every check of this module."""
    yield from _codes()
    yield from _classes()
    yield from _sizes()
    yield from _settling()
    yield from _grades()
    yield from _units()


def _codes() -> Iterator[Case]:
    for counts, code in CODES.items():
        given = dict(zip(("n4", "n6", "n14"), counts, strict=True))
        yield Case("cleanliness-code", given, code, ISO4406)
    yield Case("cleanliness-code", {"n6": 500, "n14": 7}, "-/16/10", "ISO 4406, count by microscope (FOUND)")
    for code, limits in {
        0: [0, 0.01],
        5: [0.16, 0.32],
        9: [2.5, 5],
        17: [640, 1300],
        22: [20000, 40000],
    }.items():
        yield Case("cleanliness-range", {"code": code}, limits, ISO4406)


def _classes() -> Iterator[Case]:
    for name, limits in AS4059.items():
        source = "SAE AS4059 table (recalled)"
        yield Case("as4059-limits", {"class": name}, list(limits[1:]), source, 0)
        yield Case("as4059-limits", {"class": name}, limits[0], source, 0, "size_a")
        keys = ("n4", "n6", "n14", "n21", "n38", "n70")
        yield Case("as4059-class", dict(zip(keys, limits, strict=True)), name, source)
    yield Case("as4059-class", {"n6": 19462.5}, "7", "one above the limit of class 6")
    yield Case("as4059-class", {"n6": 1e9, "n70": 0}, ">12", "beyond the table")
    for name, last in (("00", 0), ("3", 2), ("12", 1024)):  # bands double from class to class, rounded
        five = 4000 * 2 ** (-4 if name == "00" else int(name) - 4 - (name == "00"))
        five = {"00": 125, "3": 2000, "12": 1024000}.get(name, five)
        yield Case("nas-1638-limits", {"class": name}, _nas(name, five, last), "NAS 1638 (recalled)", 0)
    nas = {"n5_15": 8000, "n15_25": 1425, "n25_50": 253, "n50_100": 45, "n100": 8}
    yield Case("nas-1638-class", nas, "5", "NAS 1638, every band at the limit")
    yield Case("nas-1638-class", nas | {"n50_100": 46}, "6", "NAS 1638, one band past it")
    yield Case("nas-1638-class", nas | {"n5_15": 2e6}, ">12", "beyond the table")
    navy = {"n5_10": 9700, "n10_25": 2680, "n25_50": 380, "n50_100": 56, "n100": 5}
    yield Case("navy-fluid-limits", {"class": "2"}, list(navy.values()), "Navy manual (FOUND)", 0)
    yield Case("navy-fluid-limits", {"class": "new-5606"}, [10000, 1000, 150, 25, 5], "5606H (FOUND)", 0)
    yield Case("navy-fluid-class", navy, "2", "Navy manual, every band at the limit")
    yield Case("navy-fluid-class", navy | {"n100": 6}, "3", "one band past it")


def _nas(name: str, first: int, last: int) -> list[int]:
    middle = {"00": (22, 4, 1), "3": (356, 63, 11), "12": (182400, 32400, 5760)}[name]
    return [first, *middle, last]


def _sizes() -> Iterator[Case]:
    """Sizes between the entries of the map (recalled), and dusts between theirs, by numpy's interpolation."""
    old = (1, 2, 3, 5, 7, 10, 15, 20, 25, 30, 40)
    new = (4.2, 4.6, 5.1, 6.4, 7.7, 9.8, 13.6, 17.5, 21.2, 24.9, 31.7)
    for um in (1, 4, 6, 12.5, 22, 38, 40):
        size = float(np.interp(um, old, new))
        yield Case("particle-size", {"um": um}, size, "ISO 11171 annex (recalled)", 1e-9)
        yield Case("particle-size-old", {"um_c": size}, um, "the same map read backwards", 1e-9)
    edges, mids = (5, 10, 20, 40, 80), (39, 57, 73, 91, 100)
    for um in (5, 7.64, 15, 30, 80, 500):
        finer = float(np.interp(math.log(um), np.log(edges), mids))
        yield Case("dust-finer", {"grade": "legacy-fine", "um": um}, finer, "printed bands (FOUND)", 1e-9)
    yield Case("dust-size", {"grade": "legacy-fine"}, 7.64, "median of the printed bands", 2e-3)
    yield Case("dust-size", {"grade": "legacy-coarse"}, 28.7, "median of the printed bands", 2e-3)
    for grade, um, finer in (
        ("a2", 5, 33.5),
        ("a2", 20, 72),
        ("a3", 10, 42.5),
        ("a4", 40, 59),
        ("a1", 11, 96.5),
    ):
        yield Case("dust-finer", {"grade": grade, "um": um}, finer, "ISO 12103-1 middles (recalled)", 1e-9)
        yield Case("dust-size", {"grade": grade, "finer_pct": finer}, um, "the same read backwards", 1e-9)
    table = {"grade": "a4"}
    yield Case(
        "dust-table", table, [1, 2, 3, 4, 5, 7, 10, 20, 40, 80, 120, 180], "ISO 12103-1:1997 (recalled)"
    )
    bands = {"grade": "legacy-coarse"}
    yield Case("dust-table", bands, [12, 12, 14, 23, 30, 9], "printed bands (FOUND)", 1e-9, "bands")
    for material, density in (("aluminium", 2700), ("bronze", 8800), ("silica", 2650), ("steel", 7850)):
        yield Case("material-density", {"material": material}, density, "handbook values (recalled)")
    yield Case("dust-finer", {"grade": "a2", "um": 10}, 50, "ISO 12103-1:1997 (recalled)", 1e-9, "low")
    yield Case("dust-finer", {"grade": "a2", "um": 10}, 54, "ISO 12103-1:1997 (recalled)", 1e-9, "high")


def _settling() -> Iterator[Case]:
    for re in (1e-4, 0.5, 30, 700, 1000, 5000):
        drag = 24 / re + 3.6 * re**-0.313 if re <= 1000 else 0.44
        yield Case("sphere-drag", {"re": re}, drag, "Schiller & Naumann 1933")
    yield Case("sphere-drag", {"re": 3e5}, True, "drag crisis (textbook)", key="beyond")
    for um, solid, rho, mu in (
        (5, 7850, 860, 0.1), (150, 2650, 850, 0.01), (800, 7850, 800, 0.003), (3000, 7850, 1000, 0.001),
        (60, 100, 870, 0.05),
    ):  # fmt: skip
        given = {"size_um": um, "solid_rho": solid, "rho": rho, "mu_pa_s": mu}
        speed = _balanced(um * 1e-6, solid, rho, mu)
        yield Case("settling", given, speed, "weight against drag, by bisection", 1e-6)
        if solid > rho:
            library = v_terminal(D=um * 1e-6, rhop=solid, rho=rho, mu=mu)
            yield Case("settling", given, library, "fluids.drag.v_terminal (another drag law)", 0.08)
        crowd = given | {"solid_volume_fraction": 0.2}
        stokes = 9.81 * (um * 1e-6) ** 2 * (solid - rho) / (18 * mu)
        yield Case("stokes-speed", given, stokes, "Stokes 1851")
        yield Case("hindered-settling", crowd, stokes * 0.64 * 10 ** (-1.82 * 0.2), "Steinour 1944")
        mass = 0.2 * solid / (0.2 * solid + 0.8 * rho)
        by_mass = given | {"solid_mass_fraction": mass}
        yield Case("hindered-settling", by_mass, 0.8, "shares by mass and volume", 1e-12, "liquid_fraction")
    for at_c, mu, um in ((20, 0.1, 0.5), (100, 0.008, 2)):
        diffusivity = 1.380649e-23 * (at_c + 273.15) / (3 * math.pi * mu * um * 1e-6)
        yield Case(
            "brownian-diffusivity", {"at_c": at_c, "mu_pa_s": mu, "size_um": um}, diffusivity, "SI 2019"
        )
    for um, rho in ((4, 2650), (70, 7850), (1000, 1200)):
        mass = rho * 4 / 3 * math.pi * (um * 0.5e-6) ** 3
        yield Case("sphere-mass", {"size_um": um, "solid_rho": rho}, mass, "geometry")


def _balanced(d: float, solid: float, rho: float, mu: float) -> float:
    weight = (solid - rho) * 9.81 * math.pi * d**3 / 6

    def excess(u: float) -> float:
        re = rho * u * d / mu
        drag = 24 / re + 3.6 * re**-0.313 if re <= 1000 else 0.44
        return drag * rho * u**2 / 2 * math.pi * d**2 / 4 - abs(weight)

    return math.copysign(float(brentq(excess, 1e-12, 10, xtol=1e-18, rtol=1e-13)), weight)


def _grades() -> Iterator[Case]:
    """Grades read off the tables by hand, the limits themselves included."""
    iso = {28.8: "32", 35.2: "32", 35.3: "none", 41.4: "46", 50.6: "46", 1.98: "2", 2.42: "2", 3.52: "3",
           4.14: "5", 7.48: "7", 9.0: "10", 11.0: "10", 74.8: "68", 90: "100",
           242: "220", 1650: "1500", 2880: "3200"}  # fmt: skip
    for kv40, grade in iso.items():
        yield Case("iso-grade", {"kv40": kv40}, grade, "ISO 3448: mid-points and a tenth either side")
    for grade, mid in ((2, 2.2), (5, 4.6), (46, 46), (150, 150), (680, 680), (3200, 3200)):
        limits = [0.9 * mid, mid, 1.1 * mid]
        yield Case("iso-grade-limits", {"grade": grade}, limits, "ISO 3448", 1e-9)
    for kv100, grades in {
        3.9: "none",
        6.9: "12, 16, 20",
        9.29: "20",
        9.3: "30",
        12.5: "40",
        16.3: "50",
        26.1: "none",
    }.items():
        yield Case("sae-grade", {"kv100": kv100}, grades, "SAE J300 (2015)")
    yield Case("sae-grade-limits", {"grade": "50"}, [16.3, 21.9], "SAE J300 (2015)")
    yield Case("sae-grade-limits", {"grade": "50"}, "100 (1100)", "SAE J1966", key="piston_name")
    yield Case("sae-winter-limits", {"grade": "10W"}, [7000, -25, -30, 4.1], "SAE J300 (2015)")
    limits = [1.0, 3.45, 14.0, 2200]
    yield Case("fluid-limits", {"spec": "mil-prf-83282"}, limits, "MIL-PRF-83282D (recalled)")
    yield Case("hydraulic-viscosity-range", {}, [4, 150], "ASTM D6080 scope (FOUND)")


def _units() -> Iterator[Case]:
    for value, old, new, answer in (
        (14, "psi", "kPa", 96.52660), (3000, "psi", "MPa", 20.68427), (0.003, "inch", "um", 76.2),
        (25, "ft.lbf", "N.m", 33.89545), (10, "gal/min", "L/min", 37.85412), (-65, "degF", "degC", -53.88889),
        (12, "lbf/in", "N/m", 2101.522), (8, "qt", "L", 7.570824), (29.92, "inHg", "kPa", 101.3208),
        (1, "lb", "kg", 0.45359237), (2, "mil", "um", 50.8), (1, "hp", "W", 745.6999),
        (7.2, "lb/gal", "kg/m3", 862.7502),
        (1, "atm", "psi", 14.69595), (1, "kgf/cm2", "kPa", 98.0665), (90, "deg", "turn", 0.25),
        (3, "inH2O", "Pa", 747.267),
        (20, "psid", "kPa", 137.8951), (6, "gpm", "lpm", 22.71247), (16, "ft-lb", "N.m", 21.69309),
        (0.0015, "in", "micron", 38.1), (145, "F", "C", 62.77778),
    ):  # fmt: skip
        given = {"value": value, "old": old, "new": new}
        yield Case("convert", given, answer, "NIST SP 811 factors (recalled)", 1e-6)
