"""A solved can, a moment maker and a still tank for the tests of the debris."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
import yaml
from glasscan.debris import Scene, Wall
from glasscan.filters.can import geometry
from glasscan.filters.filter_data import CanData
from glasscan.filters.section import DIRTY, Opening
from glasscan.paths import asset

H = 1 / 120


@pytest.fixture(scope="session")
def section():
    """The shipped can, solved on a coarse grid."""
    data = CanData.model_validate(yaml.safe_load(asset("filters", "can-full-flow.yaml").read_text()))
    return geometry.build(data, fineness=0.6)


@pytest.fixture
def moment(section):
    """Maker of moments: flow through the element and the valve, m3/s, lift, m, viscosity, Pa s."""
    count = len(section.layout.bands)

    def make(element=0.0, bypass=0.0, lift=0.0, mu=0.05):
        return SimpleNamespace(
            inlet_pa=4.5e5,
            outlet_pa=4.0e5,
            mu_pa_s=mu,
            rho_kg_m3=870.0,
            segment_m3s=np.full(count, element / count),
            bypass_m3s=bypass,
            lift_m=lift,
        )

    return make


def run(debris, moment, steps, lift=None):
    """Step debris through one moment of oil; the valve stands at the moment's lift unless told otherwise."""
    asked = moment.lift_m if lift is None else lift
    for _ in range(steps):
        debris.step(moment, moment.mu_pa_s, moment.rho_kg_m3, asked, H)


@pytest.fixture
def tank():
    """A still tank, 40 mm wide and 200 mm high, with steel walls and no valve, and its fields at rest."""
    edges = np.linspace(0.0, 0.04, 41), np.linspace(0.0, 0.2, 101)
    blocks = [(0.0, 0.04, -0.003, 0.0), (0.04, 0.043, -0.003, 0.203), (0.0, 0.04, 0.2, 0.203)]
    walls = [np.array([(a, c), (b, c), (b, d), (a, d)]) for a, b, c, d in blocks]
    scene = Scene(
        walls=tuple(Wall(w, "steel") for w in walls),
        media=(),
        movers=(),
        way=(0.0, -1.0),
        max_lift_m=0.0,
        pore_m=0.0,
        inlet=Opening(0.2, 0.03, 0.035, -1),
        outlet=Opening(0.2, 0.0, 0.01, -1),
        r_edges_m=edges[0],
        z_edges_m=edges[1],
        region=np.full((40, 100), DIRTY, dtype=np.int8),
    )
    still = np.zeros((100, 40), dtype=np.float32)
    return scene, SimpleNamespace(u_r_m_s=still, u_z_m_s=still)
