"""What the plant computes and what the section draws are one solution, in every shipped filter."""

import numpy as np
import pytest
from glasscan.filters.levels import chambers_at
from glasscan.flow.stokes import Flow
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.network_flow import Condenser
from glasscan.rig.rig import Rig

from tests.rig.standin import setup


@pytest.fixture(scope="module")
def cold_start(any_section):
    """A rig with the filter, 12 s after a cold start: uneven flow, pleats bent, the valve open or not."""
    rig = Rig(setup(network=any_section.network, air_c=-5.0, oil_c=-5.0, gallery_fill=1.0, rpm=900.0))
    rig.step(12.0)
    return rig


def test_drop_of_the_plant_is_the_drop_of_the_section(any_section, cold_start):
    """Inlet to outlet along every segment and along the valve: chamber, medium, chamber add up to 1e-9."""
    now, state, network = cold_start.snapshot(), cold_start.state, any_section.network
    dirty, clean = any_section.port_pressures(now)
    k = network.segments
    medium = now.mu_pa_s * state.segment_r * state.pleats.factor * now.segment_m3s
    assert np.abs(dirty[1 : k + 1] - clean[1 : k + 1] - medium).max() < 1e-9 * now.dp_pa
    table, lift = network.paths, now.lift_m
    whole = float(now.segment_m3s.sum() + now.bypass_m3s)
    valve = BypassValve.of(network.valve)
    jet = valve.throat(valve.area_m2(lift), now.rho_kg_m3) * abs(now.bypass_m3s) * now.bypass_m3s
    creeping = (
        table.between(table.cross, lift) @ now.segment_m3s
        + Condenser(network, state.segment_r).valve_r(lift) * now.bypass_m3s
    )
    losses = sum(network.loss_pa(end, whole, now.rho_kg_m3) for end in ("inlet", "outlet"))
    assert abs(now.mu_pa_s * creeping + jet + losses - now.dp_pa) < 1e-9 * now.dp_pa
    assert now.dp_pa == now.inlet_pa - now.outlet_pa


def test_drawn_pressures_stand_at_the_plants_ports(any_section, cold_start):
    """The picture keeps between the plant's pressures at inlet and outlet, and its levels are theirs.

    Beside a sharp edge creeping flow has no bound (Moffatt 1964): one cell in two hundred may lie outside.
    """
    now = cold_start.snapshot()
    frame = any_section.frame(now)
    whole = float(now.segment_m3s.sum() + now.bypass_m3s)
    dirty, clean = any_section.port_pressures(now)
    assert dirty[0] == pytest.approx(
        now.inlet_pa - any_section.network.loss_pa("inlet", whole, now.rho_kg_m3), rel=1e-12
    )
    assert np.nanpercentile(frame.pressure_pa, 99.5) <= dirty[0] + 0.05 * now.dp_pa
    assert np.nanpercentile(frame.pressure_pa, 0.5) >= clean[0] - 0.05 * now.dp_pa


@pytest.fixture(scope="module")
def solved(any_section):
    """The chambers of the shut filter and, where the valve stands on the axis, of the open one."""
    lifts = {0.0, float(any_section.lifts[-1])}
    return [part for lift in sorted(lifts) for part in chambers_at(any_section.layout, lift)]


def test_superposed_fields_solve_each_chamber(solved):
    """Sums of unit solutions leave no more than rounding of momentum and volume in the whole system."""
    for part in solved:
        flows = np.linspace(1.0, 3.0, part.flows.shape[1])
        velocity, pressure = flows @ part.velocity, flows @ part.pressure
        flow = Flow(velocity, velocity * part.chamber.measure, pressure)
        assert part.chamber.residual(flow) < 1e-11


def test_flux_through_each_port_and_cell_balances(solved):
    """Through the face of each segment goes what was asked, and every cell keeps its volume, to 1e-12."""
    for part in solved:
        chamber, flows = part.chamber, np.linspace(1.0, 3.0, part.flows.shape[1])
        velocity, asked = flows @ part.velocity, part.flows @ flows
        flux = velocity * chamber.measure
        through = [float(np.sum(flux[port.faces] * port.inward)) for port in chamber.ports]
        assert np.abs(through - asked).max() < 1e-12 * abs(asked[0])
        assert np.abs((chamber.div @ velocity)[chamber.cells]).max() < 1e-12 * abs(asked[0])


def test_unit_flows_are_reciprocal(solved):
    """Power of one unit flow in the pressures of another is symmetric and positive (Lorentz 1896)."""
    for part in solved:
        power = part.flows.T @ part.stress
        live = np.flatnonzero(np.diag(power) > 0)
        power = power[np.ix_(live, live)]
        assert np.abs(power - power.T).max() < 1e-9 * np.abs(power).max()
        assert np.linalg.eigvalsh(power).min() > 0
