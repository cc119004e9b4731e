"""Bodies sink as fast as handbooks say, at any step length, and come to rest."""

from __future__ import annotations

import math
from types import SimpleNamespace

import numpy as np
import pytest
from fluids.drag import drag_sphere
from glasscan.debris import Debris
from glasscan.debris.debris_data import Catalogue, Kind, Material
from glasscan.debris.settling import needle_factor, over_stokes, plate_factor, relaxation_s, settling_m_s
from glasscan.laws import drag

GRAVITY = 9.81


def ball(density):
    """A catalogue with one kind: a ball of a density, kg/m3."""
    source = {"source": "test", "status": "PRACTICE"}
    stuff = Material(key="stuff", density_kg_m3=density, friction=0.1, magnetic="no", **source)
    walls = [stuff.model_copy(update={"key": k}) for k in ("steel", "fibre")]
    kind = Kind(
        code="T1", key="ball", title="ball", material="stuff", shape="sphere", size_mm=(0.1, 5.0),
        thickness_share=1.0, colours=("grey",), **source,
    )  # fmt: skip
    return Catalogue((kind,), (stuff, *walls))


def sinking_speed(tank, size_m, density, rho, mu, dt_s):
    """Speed after 0.5 s of sinking in the tank, m/s."""
    scene, still = tank
    debris = Debris(scene, 0, ball(density))
    debris.add("ball", 1, (0.02, 0.15), size_m=size_m)
    for _ in range(round(0.5 / dt_s)):
        debris.step(still, mu, rho, 0.0, dt_s)
    return -debris.velocities[0, 1]


@pytest.mark.parametrize("dt_s", [1 / 120, 1 / 1000])
def test_steel_ball_in_oil(tank, dt_s):
    """Coulson & Richardson Vol 2 example 3.1: 0.4 mm steel in oil sinks at 0.051 m/s (FOUND, 2 %)."""
    assert sinking_speed(tank, 4e-4, 7870.0, 820.0, 0.010, dt_s) == pytest.approx(0.051, rel=0.02)


@pytest.mark.parametrize(
    ("size_m", "density", "mu"),
    [(1e-4, 2650.0, 0.1), (1e-3, 7850.0, 5.0), (2e-3, 7850.0, 50.0), (3e-3, 700.0, 5.0)],
)
def test_stokes_speeds_in_cold_oil(tank, size_m, density, mu):
    """Creeping bodies go at g d2 (rho_p - rho)/(18 mu) (Stokes 1851, COMPUTED), light ones upward."""
    stokes = GRAVITY * size_m**2 * (density - 900.0) / (18 * mu)
    assert relaxation_s(np.array([size_m]), density, np.ones(1), mu)[0] < 1e-3  # far below the step
    assert sinking_speed(tank, size_m, density, 900.0, mu, 1 / 120) == pytest.approx(stokes, rel=0.02)


@pytest.mark.parametrize("re", [0.05, 1.0, 30.0, 800.0])
def test_drag_agrees_with_a_general_library(re):
    """The drag law lies within 12 % of Haider-Levenspiel in the `fluids` library (correlation scatter)."""
    assert 24 / re * over_stokes(np.array([re]))[0] == pytest.approx(
        drag_sphere(re, "Haider_Levenspiel"), rel=0.12
    )


@pytest.mark.parametrize("re", [0.0, 0.3, 40.0, 999.0, 5000.0])
def test_array_law_is_the_scalar_law(re):
    """The law for arrays is the one of `glasscan.laws.drag`."""
    assert over_stokes(np.array([re]))[0] == pytest.approx(drag.over_stokes(re), rel=1e-12)


def test_terminal_speeds_are_those_of_physics():
    """For spheres of many sizes the array solver finds the same speeds as the scalar one."""
    sizes = np.geomspace(1e-5, 5e-3, 9)
    ours = settling_m_s(sizes, np.full(9, 7850.0), np.ones(9), 870.0, 0.02)
    assert ours == pytest.approx([drag.terminal_speed_m_s(d, 7850.0, 870.0, 0.02) for d in sizes], rel=1e-9)


def test_shape_factors_have_their_limits():
    """Mean drag of a thin disc 12 mu a U, of a needle 6 pi mu a U/ln(2 a/b) (Happel & Brenner, MEMORY)."""
    flat = 1e4
    sphere_radius = flat ** (-1 / 3)  # of the volume of a spheroid of half axes 1, 1, 1/flat
    assert plate_factor(flat) * 6 * math.pi * sphere_radius == pytest.approx(12.0, rel=1e-3)
    slender = 1e4
    radius = slender ** (1 / 3)  # half axes 1, 1 and `slender`
    assert needle_factor(slender) * 6 * math.pi * radius == pytest.approx(
        6 * math.pi * slender / math.log(2 * slender), rel=1e-3
    )
    assert plate_factor(1.0) == needle_factor(1.0) == 1.0


def test_goes_with_a_uniform_stream(tank):
    """In a uniform stream a body takes the oil's speed, less its sinking, whatever the step."""
    scene, still = tank
    up = SimpleNamespace(u_r_m_s=still.u_r_m_s, u_z_m_s=np.full((100, 40), 0.1, dtype=np.float32))
    debris = Debris(scene, 0, ball(7870.0))
    debris.add("ball", 1, (0.02, 0.05), size_m=4e-4)
    for _ in range(60):
        debris.step(up, 0.010, 820.0, 0.0, 1 / 120)
    assert debris.velocities[0, 1] == pytest.approx(0.1 - 0.051, rel=0.02)


def test_comes_to_rest_on_the_floor(tank):
    """Bodies of many kinds sink, pile up and lie still on the floor, none in it."""
    scene, still = tank
    debris = Debris(scene, 3)
    for kind in ("D2", "D3", "D5", "D9", "D18"):
        debris.add(kind, 8, (0.005, 0.035, 0.002, 0.01))
    for _ in range(600):
        debris.step(still, 0.02, 850.0, 0.0, 1 / 120)
    lowest = min(debris.outlines(i)[:, 1].min() for i in range(len(debris)))
    assert np.abs(debris.velocities).max() < 2e-3
    assert -2e-5 < lowest < 1e-5
    assert debris.positions[:, 1].max() < 0.01


def test_stirred_up_and_settles_again(tank):
    """An upward jet lifts what lies on the floor; it sinks again when the jet stops."""
    scene, still = tank
    debris = Debris(scene, 3)
    debris.add("D5", 10, (0.005, 0.035, 0.001, 0.004), size_m=8e-4)
    jet = SimpleNamespace(u_r_m_s=still.u_r_m_s, u_z_m_s=np.full((100, 40), 0.2, dtype=np.float32))
    heights = []
    for fields, steps in ((still, 120), (jet, 30), (still, 480)):
        for _ in range(steps):
            debris.step(fields, 0.02, 850.0, 0.0, 1 / 120)
        heights.append(float(debris.positions[:, 1].mean()))
    assert heights[0] < 2e-3
    assert heights[1] > 2e-2
    assert heights[2] < 3e-3


def test_comes_back_at_the_axis(tank):
    """A body that drifts inwards through the axis comes back on the same side."""
    scene, still = tank
    inward = SimpleNamespace(u_r_m_s=np.full((100, 40), -0.05, dtype=np.float32), u_z_m_s=still.u_z_m_s)
    debris = Debris(scene, 3)
    debris.add("D10", 5, (0.001, 0.003, 0.05, 0.06))
    for _ in range(60):
        debris.step(inward, 0.02, 850.0, 0.0, 1 / 120)
        assert (debris.positions[:, 0] >= 0).all()
    assert debris.positions[:, 0].max() < 2e-3
