"""Media, pleats and capture: published fields solved directly, limits and monotonicity."""

import math

import numpy as np
import pytest
from glasscan.laws import capture, media, pleats
from hypothesis import given
from hypothesis import strategies as st
from scipy.linalg import expm

FRACTIONS = st.floats(0.005, 0.3)


def cell_permeability(phi: float, stress_free: bool) -> float:
    """k/a^2 of a cylinder in a round cell, by fitting the general creeping flow to its four conditions.

    Stream function (A/r + B r + C r ln r + D r^3) sin(theta), fibre radius 1, cell radius phi^(-1/2), unit
    velocity at the cell's edge; drag per length is 4 pi C mu. Outer condition: no shear stress (Happel) or no
    vorticity (Kuwabara). Darcy: k = 1/(drag phi/pi) for a unit mean velocity.
    """
    b = phi**-0.5
    radial = [1.0 / b**2, 1.0, math.log(b), b**2]
    shear = [4.0 / b**3, 0.0, 0.0, 4.0 * b] if stress_free else [0.0, 0.0, 2.0 / b, 8.0 * b]
    rows = [[1.0, 1.0, 0.0, 1.0], [-1.0, 1.0, 1.0, 3.0], radial, shear]
    c = np.linalg.solve(np.array(rows), np.array([0.0, 0.0, 1.0, 0.0]))[2]
    return 1.0 / (4.0 * abs(c) * phi)


@pytest.mark.parametrize("phi", [0.02, 0.1, 0.3])
def test_cell_models_solve_their_flow(phi: float) -> None:
    """Happel 1959 and Kuwabara 1959 closed forms against the creeping flow of their cells."""
    assert media.happel(phi) == pytest.approx(cell_permeability(phi, stress_free=True), rel=1e-9)
    assert media.kuwabara(phi) == pytest.approx(cell_permeability(phi, stress_free=False), rel=1e-9)


ARRAY_DRAG = {0.05: 15.56, 0.1: 24.83, 0.2: 51.53}
"""Drag F/(mu U) on a square array of cylinders: Sangani & Acrivos 1982, Table 1 (FOUND)."""


@pytest.mark.parametrize("phi", ARRAY_DRAG)
def test_dilute_laws_against_the_square_array(phi: float) -> None:
    """Drummond & Tahir within 0.5 %, Kuwabara and series within 2 % of Sangani & Acrivos 1982 (FOUND)."""
    exact = math.pi / (ARRAY_DRAG[phi] * phi)
    assert media.drummond_tahir(phi) == pytest.approx(exact, rel=5e-3)
    assert media.kuwabara(phi) == pytest.approx(exact, rel=2e-2)
    assert media.square_array_series(phi) == pytest.approx(ARRAY_DRAG[phi], rel=2e-2)


@pytest.mark.parametrize(("phi", "drag", "rel"), [(0.6, 1763.0, 0.01), (0.7, 13520.0, 0.002)])
def test_dense_law_against_the_square_array(phi: float, drag: float, rel: float) -> None:
    """Lubrication limit against Sangani & Acrivos 1982, Table 1 (FOUND)."""
    assert media.square_array_dense(phi) == pytest.approx(drag, rel=rel)


@given(FRACTIONS, st.floats(1.01, 1.5), st.sampled_from(sorted(media.FIBRE_LAWS)))
def test_denser_mats_are_tighter(phi: float, factor: float, law: str) -> None:
    """Permeability falls as the solid fraction rises, and grows with the square of the fibre."""
    thin = media.fibre_permeability_m2(law, 2e-5, phi)
    assert media.fibre_permeability_m2(law, 2e-5, min(phi * factor, 0.32)) < thin
    assert media.fibre_permeability_m2(law, 4e-5, phi) == pytest.approx(4.0 * thin)


@pytest.mark.parametrize(
    ("law", "phi", "word"),
    [
        ("kuwabarra", 0.1, "known"),
        ("davies", 0.0, "between 0 and 1"),
        ("jackson-james", 0.5, "does not hold"),
    ],
)
def test_unknown_or_impossible_mats_are_refused(law: str, phi: float, word: str) -> None:
    """One clear line where the law is unknown or does not reach."""
    with pytest.raises(ValueError, match=word):
        media.fibre_permeability_m2(law, 2e-5, phi)


def test_bubble_pressure_and_pore_undo_each_other() -> None:
    """Washburn's law read both ways."""
    dp = media.bubble_pressure_pa(1e-5, 0.0217, 30.0)
    assert media.largest_pore_m(dp, 0.0217, 30.0) == pytest.approx(1e-5)


@given(FRACTIONS, st.floats(0.01, 2.0), st.floats(1.01, 2.0))
def test_bigger_particles_are_intercepted_more(phi: float, ratio: float, factor: float) -> None:
    """Interception rises with particle size, diffusion falls with the Peclet number."""
    assert capture.interception_efficiency(phi, ratio * factor) > capture.interception_efficiency(phi, ratio)
    assert capture.diffusion_efficiency(phi, 1e5 * factor) < capture.diffusion_efficiency(phi, 1e5)
    assert 0.0 < capture.single_fibre_efficiency(phi, 1e3, ratio) <= 1.0


def test_two_mats_in_series_multiply() -> None:
    """Twice the thickness squares the penetration, so beta squares too."""
    one = capture.beta_of_mat(0.1, 0.05, 3e-4, 2e-5)
    assert capture.beta_of_mat(0.1, 0.05, 6e-4, 2e-5) == pytest.approx(one**2)


@pytest.mark.parametrize("spacing", [2e-4, 8e-4, 3e-3])
def test_pleat_pair_solves_its_equations(spacing: float) -> None:
    """Two Poiseuille channels joined by a Darcy wall, carried from end to end by scipy's matrix exponential.

    State along the pleat: pressures of the inlet and outlet channel, flow left in the inlet channel, and 1.
    The inlet channel is closed at the far end, the outlet channel at the near end and at zero beyond.
    """
    length, wall, mu, flow = 0.02, 5e-4 / 1e-11, 0.05, 2.6e-5
    channel, leak = 12.0 * mu * flow / spacing**3, 2.0 / (mu * wall * flow)
    along = np.zeros((4, 4))
    along[0, 2], along[1, 2], along[1, 3] = -channel, channel, -channel
    along[2, 0], along[2, 1] = -leak, leak
    carried = expm(along * length)
    ends = carried[[2, 1]]  # at the far end: no flow left, no pressure in the outlet channel
    inlet, _ = np.linalg.solve(ends[:, :2], -(ends[:, 2] + ends[:, 3]))
    assert pleats.pair_drop_pa(spacing, length, wall, mu, flow) == pytest.approx(inlet, rel=1e-8)


def test_few_pleats_are_ruled_by_the_medium_and_many_by_the_channels() -> None:
    """Wide channels: mu Q Rm/(2 L); narrow ones: the drop goes with s^-3."""
    length, wall = 0.02, 5e7
    wide = pleats.pair_drop_pa(1e-2, length, wall, 0.05, 1e-5)
    assert wide == pytest.approx(0.05 * 1e-5 * wall / (2.0 * length), rel=1e-3)
    narrow = [pleats.pair_drop_pa(s, length, 1e3, 0.05, 1e-5) for s in (1e-4, 2e-4)]
    assert narrow[0] / narrow[1] == pytest.approx(8.0, rel=0.2)


def test_optimum_is_the_least_of_a_sweep() -> None:
    """No spacing of a fine sweep beats the optimum."""
    best = pleats.optimum(5e-4, 1e-11, 0.02, 0.05, 0.01)
    sweep = [pleats.element_drop_pa(s, 5e-4, 1e-11, 0.02, 0.05, 0.01) for s in np.geomspace(1e-4, 1e-2, 2000)]
    assert best.dp_pa <= min(sweep) * (1.0 + 1e-12)
    assert best.dp_pa == pytest.approx(min(sweep), rel=1e-4)
