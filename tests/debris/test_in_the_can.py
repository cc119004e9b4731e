"""Debris in the spin-on can: walls hold, the element holds, the valve lets by and is held open."""

from __future__ import annotations

import numpy as np
import pytest
from glasscan.debris import Debris

from tests.debris.conftest import H, run

KINDS = ("D2", "D3", "D9", "D10", "D12", "D18")


def inside_can(at):
    """Which points lie within the shell (half-ellipse dome on a cylinder) and above the mounting face."""
    radius, top = 38.0e-3, 101.0e-3
    dome = top + 14.0e-3 * np.sqrt(np.clip(1 - (at[:, 0] / radius) ** 2, 0, 1))
    return (at[:, 0] >= 0) & (at[:, 0] <= radius) & (at[:, 1] >= -1e-4) & (at[:, 1] <= dome)


@pytest.mark.parametrize("flow", [5e-4, 5e-3])
def test_nothing_gets_out_of_the_can(section, moment, flow):
    """After long stirring, also at ten times any real flow, every body is in the can or counted as left."""
    debris = Debris(section, 5)
    for kind in KINDS:
        debris.add(kind, 10, "dirty")
    for element, bypass, lift in ((flow, 0.0, 0.0), (0.3 * flow, 0.7 * flow, 1.5e-3), (0.0, 0.0, 0.0)) * 2:
        run(debris, moment(element, bypass, lift, mu=0.02), 100)
        counts = debris.counts()
        assert inside_can(debris.positions).all()
        assert counts["added"] == 60 == counts["dirty"] + counts["clean"] + counts["left"] + counts["drained"]
        assert np.isfinite(debris.positions).all()


def test_element_holds_what_is_too_big(section, moment):
    """Without the valve nothing passes: coarse debris stays on the dirty side, some of it on the pleats."""
    debris = Debris(section, 2)
    debris.add("D10", 60, (0.033, 0.037, 0.02, 0.09))
    run(debris, moment(5e-4, mu=0.05), 240)
    outer = section.layout.r_dirty
    assert debris.counts()["dirty"] == 60
    inmost = np.array([debris.outlines(i)[:, 0].min() for i in range(60)])
    assert (inmost > outer - 3e-4).all()  # a fast one may dip in at the first touch
    assert (inmost > outer - 3e-5).sum() > 50
    assert (debris.positions[:, 0] < outer + 6e-4).sum() > 20


@pytest.mark.parametrize(("size_m", "passes"), [(0.9e-3, True), (1.15e-3, False), (1.45e-3, False)])
def test_open_valve_is_a_sieve(section, moment, size_m, passes):
    """Balls thinner than the lift go by the open valve and out; thicker ones never do."""
    debris = Debris(section, 1)
    debris.add("D18", 12, (0.0, 0.015, 0.100, 0.106), size_m=size_m)
    run(debris, moment(1e-4, 6e-4, 1.0e-3, mu=0.02), 360)
    assert debris.counts()["left"] == (12 if passes else 0)
    assert debris.left_by_kind() == ({"weld-bead": 12} if passes else {})


def shut_on_a_flake(section, moment, angle):
    """A 2 mm steel flake, 0.3 mm thick, over the land of the seat; the valve shuts on it."""
    debris = Debris(section, 1)
    run(debris, moment(lift=0.9e-3), 1)
    debris.add("D2", 1, (8.5e-3, 95.6e-3), size_m=2e-3, angle=angle)
    for lift in np.linspace(0.9e-3, 0.0, 10):
        run(debris, moment(3e-4), 1, float(lift))
    return debris


@pytest.mark.parametrize("angle", [0.0, 0.12, -0.2])
def test_flake_keeps_the_valve_open(section, moment, angle):
    """The gap left is the thickness of the flake, which is pressed flat; the leak does not wash it out."""
    debris = shut_on_a_flake(section, moment, angle)
    assert debris.seat_gap_m() > 0
    run(debris, moment(3e-4, 2e-5, 3e-4), 240, 0.0)
    assert debris.seat_gap_m() == pytest.approx(3e-4, abs=5e-6)
    assert debris.lift_m == pytest.approx(3e-4, abs=5e-6)
    assert list(debris.lodged()) == [0]


def test_plant_may_hand_the_gap_back(section, moment):
    """Asked for the very lift it gave as the least, the world holds the flake just the same."""
    debris = shut_on_a_flake(section, moment, 0.0)
    for _ in range(240):
        run(debris, moment(3e-4, 2e-5, 3e-4), 1, debris.seat_gap_m())
    assert debris.seat_gap_m() == pytest.approx(3e-4, abs=5e-6)


def test_gap_goes_when_the_flake_is_taken_out(section, moment):
    """Removing the lodged body lets the valve seat; it is counted as drained."""
    debris = shut_on_a_flake(section, moment, 0.0)
    debris.remove(debris.numbers)
    assert debris.seat_gap_m() == 0
    run(debris, moment(3e-4), 1, 0.0)
    assert debris.lift_m == 0
    assert debris.counts() == {"added": 1, "dirty": 0, "clean": 0, "left": 0, "drained": 1}


def test_gap_goes_when_the_valve_opens_wide(section, moment):
    """A wide-open valve washes the flake through; then it seats."""
    debris = shut_on_a_flake(section, moment, 0.0)
    run(debris, moment(1e-4, 4e-4, 1.5e-3), 120)
    assert debris.counts()["left"] == 1
    run(debris, moment(3e-4), 2, 0.0)
    assert debris.seat_gap_m() == debris.lift_m == 0


def test_debris_elsewhere_leaves_the_seat_alone(section, moment):
    """Bodies on the end cap, on the valve inside the bore and under the valve do not hold it open."""
    debris = Debris(section, 1)
    run(debris, moment(lift=0.5e-3), 1)
    for place, size_m in (
        ((12e-3, 100e-3), 1e-3),
        ((4e-3, 97.5e-3), 1e-3),
        ((8.4e-3, 97.85e-3), 4e-3),
        ((8.4e-3, 93.3e-3), 4e-3),
    ):
        debris.add("D2", 1, place, size_m=size_m, angle=0.0)
    assert debris.seat_gap_m() == 0
    run(debris, moment(), 30, 0.0)
    assert debris.seat_gap_m() == debris.lift_m == 0


def test_what_enters_by_the_inlet_is_in_the_inlet(section, moment):
    """Bodies added at the inlet stand in the slot of the base plate, apart from each other."""
    debris = Debris(section, 1)
    debris.add("D10", 20, "inlet")
    way = section.layout.inlet
    at = debris.positions
    assert ((at[:, 0] > way.r0) & (at[:, 0] < way.r1) & (at[:, 1] < 6e-3)).all()
    assert debris.counts()["dirty"] == 20
    run(debris, moment(), 120)
    lowest = min(debris.outlines(i)[:, 1].min() for i in range(len(debris)))
    assert lowest > way.z - 3e-5  # they do not fall back through the holes
    clean = Debris(section, 1)
    clean.add("D10", 5, "clean")
    assert clean.counts()["clean"] == 5


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda d: d.add("steel-flak"), "did you mean 'steel-flake'"),
        (lambda d: d.add("D2", 0), "n: expected"),
        (lambda d: d.add("D2", 1, "bowel"), "where: expected"),
        (lambda d: d.add("D2", 1, (0.0, float("nan"), 0.0, 0.1)), "where: expected"),
        (lambda d: d.add("D2", 1, (0.02, 0.05, 0.03, 0.01)), "where: expected a box"),
        (lambda d: d.add("D2", 1, (0.024, 0.05)), "where: expected a place in the oil"),
        (lambda d: d.add("D2", 1, "inlet", size_m=0.03), "no room"),
        (lambda d: d.add("D2", 1, "dirty", size_m=-1.0), "size_m"),
        (lambda d: d.remove([7]), "numbers: expected"),
        (lambda d: d.rewind(3), "until: expected"),
    ],
)
def test_bad_calls_change_nothing(section, call, told):
    """A bad call says what was expected and leaves bodies, log and random draws as they were."""
    debris, other = Debris(section, 4), Debris(section, 4)
    with pytest.raises(ValueError, match=told):
        call(debris)
    assert debris.log == ()
    assert debris.add("D2", 2, "dirty") == other.add("D2", 2, "dirty")
    assert debris.positions.tobytes() == other.positions.tobytes()


@pytest.mark.parametrize(
    ("key", "value"),
    [("mu_pa_s", 0.0), ("rho_kg_m3", float("nan")), ("lift_m", -1e-4), ("dt_s", 0.0), ("fields", None)],
)
def test_bad_steps_change_nothing(section, moment, key, value):
    """A step with a bad number is refused and not logged."""
    debris = Debris(section, 4)
    good = {"fields": section.frame(moment()), "mu_pa_s": 0.05, "rho_kg_m3": 870.0, "lift_m": 0.0, "dt_s": H}
    if key == "fields":
        value = type("Fields", (), {"u_r_m_s": np.zeros((3, 3)), "u_z_m_s": np.zeros((3, 3))})
    with pytest.raises(ValueError, match=key):
        debris.step(**{**good, key: value})
    assert debris.steps == 0
    assert debris.log == ()
