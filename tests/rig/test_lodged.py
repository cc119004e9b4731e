"""Debris on the seat of the bypass valve: the leak follows from how far it keeps the valve open."""

import numpy as np
import pytest
import yaml
from glasscan.debris import Debris
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.paths import asset
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp

from tests.rig.standin import setup

H = 1 / 120
SLOWED = 10  # times slower than the rig, as the window draws oil and bodies at first
CASES = {  # oil, degC, with which the valve opens at speed and shuts at idle; place of the sliver at the seat
    "can-full-flow": (20.0, (0.3e-3, -0.5e-3), 0.2),
    "cartridge-bowl": (20.0, (-0.15e-3, -0.1e-3), 2.36),
    "disc-stack": (50.0, (-0.45e-3, 0.15e-3), 2.4),
}


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


@pytest.fixture(scope="module", params=list(CASES))
def filtered(request):
    """Name and solved section of each filter, on a coarse grid."""
    data = yaml.safe_load(asset("filters", f"{request.param}.yaml").read_text())
    return request.param, build(FilterData.model_validate(data), fineness=0.6)


class Together:
    """A rig and the debris in its filter: the oil carries the bodies, their contact holds the valve."""

    def __init__(self, name, section):
        oil_c, self.place, self.angle = CASES[name]
        self.section = section
        slow = (Ramp(0.1, "rpm", 2400, 0.5), Ramp(2.2, "rpm", 500, 0.1))
        begin = {"air_c": oil_c, "oil_c": oil_c, "gallery_fill": 1.0, "rpm": 500.0}
        self.rig = Rig(setup(network=section.network, timeline=slow, **begin))
        self.debris = Debris(section, 4)

    def go(self, steps):
        """Both on by steps of 1/120 s of the bodies' slowed time."""
        for _ in range(steps):
            self.rig.step(SLOWED * H)
            now = self.rig.snapshot()
            self.debris.step(now, now.mu_pa_s, now.rho_kg_m3, now.lift_m, H)
            self.rig.set("lodged_mm", 1e3 * self.debris.seat_gap_m())

    def at_seat(self):
        """Place beside the edge on which the valve seals, (r, z), m."""
        passage, half = self.section.layout.passage, self.section.network.valve.seat_d_m / 2
        if hasattr(passage, "radius"):
            edge = (passage.radius, passage.z)
        else:
            seat = next(p for p in self.section.parts if p.key == "valve-seat")
            edge = (float(seat.outlines[0][:, 0].min()), (passage.z0 + passage.z1) / 2 + half)
        return edge[0] + self.place[0], edge[1] + self.place[1]

    def state(self):
        """All that decides the future, as bytes."""
        d = self.debris
        return (self.rig.state.y.tobytes(), d.positions.tobytes(), d.angles.tobytes(), d.lift_m, d.lodged())


def closing_on_a_sliver(name, section):
    """The valve of a cold, fast engine shuts as the speed falls, with a steel sliver in its gap."""
    pair = Together(name, section)
    pair.rig.advance_to(2.0)
    assert pair.rig.snapshot().lift_m > 0.3 * section.network.valve.max_lift_m
    pair.debris.add("fibre", 1, "inlet")  # the first of all is seen on the left, where a head is solid
    while pair.rig.snapshot().lift_m > 0.5e-3:
        pair.rig.step(H / 4)
    pair.debris.step(pair.rig.snapshot(), 0.1, 880.0, pair.rig.snapshot().lift_m, H)
    pair.debris.add("steel-sliver", 1, pair.at_seat(), size_m=3e-3, angle=pair.angle)
    return pair


def test_the_leak_of_each_filter_follows_from_what_lies_in_its_seat(filtered):
    """Poppet and ball stay off their seats by the contact: oil leaks past until the piece is taken out."""
    pair = closing_on_a_sliver(*filtered)
    pair.go(48)
    held, gap = pair.rig.snapshot(), pair.debris.seat_gap_m()
    assert 1e-4 < gap < 0.9e-3
    assert held.lift_m == pytest.approx(gap, abs=2e-5)
    assert held.bypass_m3s > 0.02 * held.element_m3s
    pair.debris.remove(list(pair.debris.numbers))
    pair.go(48)
    free = pair.rig.snapshot()
    assert free.lift_m < 1e-5
    assert free.bypass_m3s < 1e-3 * held.bypass_m3s
    assert free.dp_pa > held.dp_pa


def test_rig_and_bodies_rewound_together_lodge_again(filtered):
    """Back to a moment before the valve shut: place of the sliver, lift and leak are the same to the bit."""
    pair = closing_on_a_sliver(*filtered)
    kept, step = pair.rig.state, pair.debris.steps
    pair.go(60)
    there = pair.state()
    assert pair.debris.lodged()
    pair.rig.state = kept
    pair.debris.rewind(step)
    pair.go(60)
    assert pair.state() == there
    assert np.isfinite(pair.rig.snapshot().dp_pa)
