"""Levels of the oil against closed forms of a plain cylinder, and the picture drawn from them."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
from glasscan.window.contract import CLEAN, DIRTY
from glasscan.window.cutaway.oil_levels import OilLevels

HIGH = 0.1
RHO = 870.0


def levels(outlet_z: float) -> OilLevels:
    """A ring of dirty side round a cylinder of clean side, 100 mm high."""
    r, z = np.linspace(0.0, 0.04, 9), np.linspace(0.0, HIGH, 21)
    region = np.full((20, 8), DIRTY)
    region[:, :4] = CLEAN
    ways = SimpleNamespace(outlet=SimpleNamespace(z=outlet_z))
    section = SimpleNamespace(layout=ways, r_edges_m=r, z_edges_m=z)
    return OilLevels(section, SimpleNamespace(region=region))


def moment(can_fill: float, outlet_pa: float, gallery_fill: float = 0.5) -> SimpleNamespace:
    """What the levels are read from."""
    told = {"can_fill": can_fill}
    return SimpleNamespace(readings=told, outlet_pa=outlet_pa, rho_kg_m3=RHO, gallery_fill=gallery_fill)


@pytest.mark.parametrize("share", [0.0, 0.25, 0.8])
def test_a_cylinder_stands_as_high_as_it_is_full(share: float) -> None:
    """h = V / A."""
    assert levels(0.0).of(moment(share, 0.0)).dirty_z == pytest.approx(share * HIGH)


def test_the_centre_stands_as_high_as_the_outlet_carries_it() -> None:
    """h = p / (rho g): 40 mm of oil over an outlet at the foot; full above that, or once the passages are."""
    carried = RHO * 9.80665 * 0.04
    assert levels(0.0).of(moment(1.0, carried)).clean_z == pytest.approx(0.04, rel=1e-3)
    assert np.isinf(levels(0.0).of(moment(1.0, 3 * carried)).clean_z)
    assert np.isinf(levels(0.0).of(moment(1.0, 0.0, gallery_fill=1.0)).clean_z)


def test_an_outlet_on_top_keeps_the_centre_full() -> None:
    """Oil does not rise out of a pot by itself; it is lost only as the dirty side runs out below it."""
    assert np.isinf(levels(HIGH).of(moment(1.0, 0.0)).clean_z)
    assert levels(HIGH).of(moment(0.3, 0.0)).clean_z == pytest.approx(0.03)


def test_dry_is_what_lies_above_its_own_level() -> None:
    """Each side by its own."""
    found = levels(0.0).of(moment(0.5, 0.0))
    region, z = np.array([DIRTY, DIRTY, CLEAN]), np.array([0.04, 0.06, 0.04])
    assert found.dry(region, z).tolist() == [False, True, True]
    assert levels(0.0).of(moment(1.0, 1e5)).full
