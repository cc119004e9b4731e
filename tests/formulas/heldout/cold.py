"""Held-out values of gel, of polymers under shear and of the solved can, found another way."""

from __future__ import annotations

import math
from collections.abc import Iterator

from scipy.integrate import quad
from scipy.optimize import brentq

from tests.formulas.heldout.case import Case

FINITE_ELEMENTS = (
    "Taylor-Hood finite elements of the whole can on a mesh of its own, measured once (COMPUTED)"
)
WHOLE_CAN = {0.0: (5.224e8, 0.0), 0.5: (4.547e8, 0.1397), 1.0: (2.923e8, 0.476), 1.5: (1.875e8, 0.693)}
"""lift mm -> resistance 1/m3, share past the element; its own refinement moved it by 0.04 % at most."""


def cases() -> Iterator[Case]:
    """Shear, gel, plugs, filter."""
    yield from _polymers()
    yield from _gel()
    for lift, (resistance, past) in WHOLE_CAN.items():
        given = {"filter": "can-full-flow", "lift_mm": lift}
        yield Case("filter-drop", given, resistance, FINITE_ELEMENTS, 0.01, "resistance_per_m3")
        yield Case("filter-drop", given, past, FINITE_ELEMENTS, 0.015, "past_share")


def _polymers() -> Iterator[Case]:
    """At rest, at the knee, and at the rate of a given viscosity, sought by brentq in dissipated power."""
    base = {"mu_pa_s": 0.02, "base_share": 0.6, "knee_stress_pa": 5000}
    yield Case("sheared-viscosity", base | {"shear_1_s": 0}, 0.02, "at rest")
    knee = 0.02 * (0.6 + 0.4 / math.sqrt(2))
    yield Case(
        "sheared-viscosity", base | {"shear_1_s": 250000}, knee, "the knee: 0.71 of the polymers' share"
    )
    yield Case("sheared-viscosity", base | {"shear_1_s": 1e12}, 0.012, "the base oil alone", 1e-4)

    def rate(share: float) -> float:
        return float(brentq(lambda x: (1 + x * x) * share**2 - 1, 0, 1e3)) * 5000 / 0.02

    for share in (0.9, 0.3):
        given = base | {"shear_1_s": rate(share)}
        yield Case("sheared-viscosity", given, 0.02 * (0.6 + 0.4 * share), "rate sought for the share", 1e-6)


def _gel() -> Iterator[Case]:
    """Half for every 3 K, told from 15 K above, where the gel ends; a plug's wall carries its pressure."""
    for above in (0.0, 1.5, 6.0, 14.0):
        left = 35 * (math.exp(-math.log(2) * above / 3) - 1 / 32)
        yield Case("yield-stress", {"at_c": -27 + above, "pour_c": -27}, left, "halving by 3 K", 1e-9)
    for above in (15.0, 40.0):
        yield Case("yield-stress", {"at_c": -27 + above, "pour_c": -27}, 0.0, "no gel left", 0)
    for tau, slender in ((12.0, 100.0), (0.0, 30.0)):
        round_wall = quad(lambda _, tau=tau: tau * math.pi, 0, slender)[0] / (math.pi / 4)
        flat_walls = quad(lambda _, tau=tau: 2 * tau, 0, slender)[0]
        given = {"yield_pa": tau, "length_over_width": slender}
        yield Case("yield-drop", given, round_wall, "stress on the wall of a plug over its face")
        yield Case("yield-drop", given | {"shape": "slit"}, flat_walls, "both walls over the gap")
