"""What the plant computes and what the section draws are one solution, in every shipped filter."""

import numpy as np
import pytest
from glasscan.flow.stokes import Flow
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.rig import Rig

from tests.rig.standin import setup

PER_TURN = 2 * np.pi


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
    valve = BypassValve.of(network.valve)
    a, b = valve.throat(valve.area_m2(now.lift_m), now.mu_pa_s, now.rho_kg_m3)
    throat = (a * abs(now.bypass_m3s) + b) * now.bypass_m3s
    assert abs(dirty[-1] - clean[-1] - throat) < 1e-9 * now.dp_pa
    assert now.dp_pa == now.inlet_pa - now.outlet_pa


def test_drawn_pressures_stand_at_the_plants_ports(any_section, cold_start):
    """The picture keeps between the plant's pressures at inlet and outlet, and its levels are theirs."""
    now = cold_start.snapshot()
    frame = any_section.frame(now)
    whole = float(now.segment_m3s.sum() + now.bypass_m3s)
    dirty, clean = any_section.port_pressures(now)
    assert dirty[0] == pytest.approx(
        now.inlet_pa - any_section.network.loss_pa("inlet", whole, now.rho_kg_m3), rel=1e-12
    )
    assert np.nanmax(frame.pressure_pa) <= dirty[0] + 0.05 * now.dp_pa
    assert np.nanmin(frame.pressure_pa) >= clean[0] - 0.05 * now.dp_pa


def chambers(section):
    """The dirty chamber, and the clean one at each solved lift."""
    return [section.dirty, *section.clean]


def test_superposed_fields_solve_each_chamber(any_section):
    """Sums of port solutions leave no more than rounding of momentum and volume in the whole system."""
    for basis in chambers(any_section):
        flows = np.linspace(-1.0, 2.0, len(basis.chamber.ports))
        flows[0] -= flows.sum()
        velocity, pressure = basis.fields(flows)
        flow = Flow(velocity, velocity * basis.chamber.measure, pressure)
        assert basis.chamber.residual(flow) < 1e-11


def test_flux_through_each_port_and_cell_balances(any_section):
    """Through the face of each segment goes what was asked, and every cell keeps its volume, to 1e-12."""
    for basis in chambers(any_section):
        chamber, n = basis.chamber, len(basis.chamber.ports)
        flows = np.linspace(1.0, 3.0, n)
        flows[0] = -flows[1:].sum()
        velocity, _ = basis.fields(flows)
        flux = velocity * chamber.measure
        through = [float(np.sum(flux[port.faces] * port.inward)) for port in chamber.ports]
        assert np.abs(through - flows).max() < 1e-12 * abs(flows[0])
        assert np.abs((chamber.div @ velocity)[chamber.cells]).max() < 1e-12 * abs(flows[0])
