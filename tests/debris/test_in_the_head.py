"""Debris at a valve in the head: the poppet of the cartridge filter, the ball of the stacked-disc filter."""

from __future__ import annotations

from types import SimpleNamespace

import numpy as np
import pytest
import yaml
from glasscan.debris import Debris
from glasscan.debris.oil_field import BoreOil, CellMiddles
from glasscan.filters.build import build
from glasscan.filters.filter_data import FilterData
from glasscan.filters.headvalve import bore_flow
from glasscan.paths import asset

from tests.debris.conftest import run

FILES = ("cartridge-bowl", "disc-stack")


@pytest.fixture(scope="module", params=FILES)
def head(request):
    """A filter with its valve in the head, solved on a coarse grid."""
    data = yaml.safe_load(asset("filters", f"{request.param}.yaml").read_text())
    return build(FilterData.model_validate(data), fineness=0.6)


def flow(head, element=1e-4, bypass=0.0, lift=0.0, mu=0.05):
    """A moment: flows, m3/s, lift, m, viscosity, Pa s."""
    count = len(head.layout.bands)
    return SimpleNamespace(
        inlet_pa=5e5, outlet_pa=4e5, mu_pa_s=mu, rho_kg_m3=870.0,
        segment_m3s=np.full(count, element / count), bypass_m3s=bypass, lift_m=lift,
    )  # fmt: skip


def seat_edge(head):
    """Upper corner of the seat where the valve touches it, (r, z), m."""
    seat = next(p for p in head.parts if p.key == "valve-seat")
    duct = head.layout.passage
    return float(seat.outlines[0][:, 0].min()), (duct.z0 + duct.z1) / 2 + head.network.valve.seat_d_m / 2


def shut_on(head, kind="steel-sliver", size_m=2e-3, angle=2.4, seed=0):
    """The valve shuts on a sliver of steel between its face and the edge of the seat."""
    valve = head.network.valve
    debris = Debris(head, seed)
    wide = flow(head, 1e-4, 2e-4, valve.max_lift_m)
    run(debris, wide, 1)
    r, z = seat_edge(head)
    debris.add("fibre", 1, "inlet")  # the first of all is seen on the left, where the head is solid
    debris.add(kind, 1, (r - 0.45e-3, z + 0.15e-3), size_m=size_m, angle=angle)
    debris.remove([0])
    for lift in np.linspace(valve.max_lift_m, 0.0, 10):
        run(debris, flow(head, 2e-4), 1, float(lift))
    run(debris, flow(head, 2e-4, 1e-6, debris.lift_m), 60, 0.0)
    return debris


def test_flow_in_the_bore_is_what_the_frame_lets_through(head):
    """The flow round the valve carries the flow of the frame through every section of the bore (9 %)."""
    bore = bore_flow(head)
    cells = CellMiddles.between(head.r_edges_m, head.z_edges_m)
    frame = head.frame(flow(head, 1e-4, 7e-5, head.network.valve.max_lift_m))
    assert BoreOil(bore, cells).flow_m3s(frame) == pytest.approx(7e-5, rel=2e-3)
    edges = [0.0]
    for middle in bore.off_m:
        edges.append(2 * middle - edges[-1])
    ring = np.pi * np.diff(np.square(edges))
    for level in range(len(bore.lifts_m)):
        assert ring @ bore.along[level] == pytest.approx(
            -np.ones(len(bore.r_m)), abs=0.09
        )  # cells cut by the valve count whole


def test_oil_goes_round_the_valve_and_not_through_it(head):
    """Inside the valve the oil stands still; at the edge of the seat it goes inwards and away."""
    bore, valve = bore_flow(head), head.network.valve
    cells = CellMiddles.between(head.r_edges_m, head.z_edges_m)
    frame = head.frame(flow(head, 1e-4, 7e-5, valve.max_lift_m))
    body = next(p for p in head.parts if p.lifts).outlines[0] + np.array([-valve.max_lift_m, 0.0])
    middle = body.mean(axis=0)
    off = np.array([[0.0, 0.0], [0.0, 1e-3], [0.0, -1e-3]])
    speed, turn = np.zeros((3, 2)), np.zeros(3)
    BoreOil(bore, cells).overlay(frame, valve.max_lift_m, middle + off, speed, turn)
    assert np.abs(speed).max() < 1e-9
    r, z = seat_edge(head)
    up = np.array([(r - 3e-4, z), (r - 3e-4, 2 * bore.middle_m - z)])
    speed, turn = np.zeros((2, 2)), np.zeros(2)
    BoreOil(bore, cells).overlay(frame, valve.max_lift_m, up, speed, turn)
    assert speed[0] * (1, -1) == pytest.approx(speed[1], rel=1e-6)
    assert turn[0] == pytest.approx(-turn[1], rel=1e-6)
    assert speed[0, 0] < 0 < speed[0, 1]  # inwards and away from the axis of the valve


def test_chip_in_the_gap_keeps_the_valve_off_its_seat(head):
    """The lift left comes from the contact, stays under flow, and is no more than the chip is long."""
    debris = shut_on(head)
    gap = debris.seat_gap_m()
    assert 5e-5 < gap < 6e-4
    assert debris.lift_m == pytest.approx(gap, abs=2e-6)
    run(debris, flow(head, 2e-4, 2e-5, gap), 120, 0.0)
    assert debris.seat_gap_m() == pytest.approx(gap, abs=1e-5)
    touches_seat_and_valve(head, debris)


def touches_seat_and_valve(head, debris):
    """Some corner of the lodged chip is within 0.03 mm of the seat, another within that of the valve."""
    (row,) = debris.lodged()
    corners = debris.outlines(row)
    body = next(p for p in head.parts if p.lifts).outlines[0] + np.array([-debris.lift_m, 0.0])
    seats = next(p for p in head.parts if p.key == "valve-seat").outlines
    for solids in ([body], seats):
        assert min(_apart(corners, s) for s in solids) < 6e-5


def _apart(one, other):
    """Least distance of the corners of each of two polygons from the edges of the other, m."""
    return min(_to_edges(one, other), _to_edges(other, one))


def _to_edges(points, polygon):
    a, b = polygon, np.roll(polygon, -1, axis=0)
    along = ((points[:, None] - a) * (b - a)).sum(-1) / ((b - a) ** 2).sum(-1)
    nearest = a + np.clip(along, 0, 1)[..., None] * (b - a)
    return float(np.hypot(*(points[:, None] - nearest).transpose(2, 0, 1)).min())


def test_a_thicker_chip_leaves_a_wider_gap(head):
    """The same sliver, twice as large, holds the valve further off."""
    gaps = [shut_on(head, size_m=size).seat_gap_m() for size in (1e-3, 2e-3)]
    assert 0 < gaps[0] < gaps[1]


def test_taking_the_chip_out_lets_the_valve_seat(head):
    """Without the chip the seat is clean and the valve shuts."""
    debris = shut_on(head)
    debris.remove(debris.numbers)
    run(debris, flow(head), 1, 0.0)
    assert debris.seat_gap_m() == debris.lift_m == 0


def test_wide_open_valve_washes_the_chip_through(head):
    """Opened wide again under a strong flow, the chip leaves by the bore of the head and the valve seats."""
    debris = shut_on(head)
    lift = head.network.valve.max_lift_m
    run(debris, flow(head, 1e-5, 6e-4, lift), 240)
    assert debris.counts()["left"] == 1
    run(debris, flow(head), 2, 0.0)
    assert debris.seat_gap_m() == debris.lift_m == 0


def test_the_left_of_the_head_is_solid(head):
    """Bodies seen on the left do not enter the bore, those on the right do and go out past the open valve."""
    debris = Debris(head, 3)
    duct = head.layout.passage
    mouth = (duct.r_dirty + 1e-3, duct.r_dirty + 5e-3, duct.z0 + 2e-3, duct.z1 - 2e-3)
    debris.add("silica-grain", 40, mouth)
    wide = flow(head, 1e-6, 6e-4, head.network.valve.max_lift_m)
    for _ in range(240):
        run(debris, wide, 1)
        at, left = debris.positions, np.array(debris.sides) < 0
        inside = (at[:, 0] > duct.r_clean + 5e-4) & (at[:, 0] < duct.r_dirty - 5e-4)
        assert not (inside & left & (at[:, 1] > duct.z0 + 5e-4) & (at[:, 1] < duct.z1 - 5e-4)).any()
    counts = debris.counts()
    assert counts["left"] >= 10
    assert counts["left"] <= 20
    assert (np.array(debris.sides) < 0).sum() == 20


def test_rewind_to_before_the_valve_shut_lodges_the_same_chip(head):
    """From any step on the same inputs lead to the same bytes, lodged chip and gap included."""
    debris = shut_on(head)
    end = (debris.positions.tobytes(), debris.lift_m, debris.lodged(), debris.steps)
    log = debris.log
    for until in (3, 20):
        debris.rewind(until)
        assert debris.steps == until
        debris._do(log[len(debris.log) :], end[3])
        assert (debris.positions.tobytes(), debris.lift_m, debris.lodged(), debris.steps) == end


def test_on_the_left_no_oil_presses_debris_on_the_solid_head(head):
    """Toward the left mouth the oil's way inwards dies out at the wall; on the right it goes on."""
    duct = head.layout.passage
    cells = CellMiddles.between(head.r_edges_m, head.z_edges_m)
    oil = BoreOil(bore_flow(head), cells)
    at = np.array([(duct.r_dirty + d, (duct.z0 + duct.z1) / 2) for d in (1e-6, 3e-3, 30e-3)] * 2)
    left = np.array([True] * 3 + [False] * 3)
    speed = np.full((6, 2), -0.1)
    oil.round_the_head(at, left, speed)
    assert speed[0, 0] == pytest.approx(0.0, abs=1e-4)
    assert -0.1 < speed[1, 0] < 0
    assert (speed[2:, 0] == -0.1).all()
    assert (speed[:, 1] == -0.1).all()
