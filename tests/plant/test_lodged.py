"""Debris on the seat of the bypass valve: the leak follows from how far it keeps the valve open."""

import pytest

from sim.plant.rig import Rig
from sim.plant.setup import Ramp
from tests.plant.standin import setup


def hot_rig():
    """A warm rig at speed, its valve shut."""
    rig = Rig(setup(air_c=20.0, oil_c=85.0, gallery_fill=1.0, timeline=(Ramp(0.1, "rpm", 2000, 0.5),)))
    rig.step(5.0)
    assert rig.snapshot().lift_m < 1e-5
    return rig


def test_a_lodged_chip_makes_the_valve_leak_and_taking_it_out_stops_the_leak():
    """0.3 mm of lift held open passes unfiltered oil and lowers dp; without it the valve seats again."""
    rig = hot_rig()
    before = rig.snapshot()
    rig.set("lodged_mm", 0.3)
    rig.step(3.0)
    held = rig.snapshot()
    assert held.lift_m == pytest.approx(0.3e-3, rel=0.01)
    assert held.bypass_m3s > 50 * max(before.bypass_m3s, 1e-12)
    assert held.dp_pa < before.dp_pa
    rig.set("lodged_mm", 0.0)
    rig.step(3.0)
    assert rig.snapshot().lift_m < 1e-5


def test_more_than_the_full_lift_counts_as_the_full_lift():
    """A chip thicker than the travel holds the valve at its stop, no further."""
    rig = hot_rig()
    rig.set("lodged_mm", 40.0)
    rig.step(2.0)
    assert rig.snapshot().lift_m == pytest.approx(0.005, rel=0.01)


@pytest.mark.parametrize("value", [-1.0, float("nan"), "much", True])
def test_bad_holds_are_refused(value):
    """Out of range, not a number: one line."""
    with pytest.raises(ValueError, match="lodged_mm"):
        hot_rig().set("lodged_mm", value)
