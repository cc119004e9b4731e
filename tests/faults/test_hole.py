"""Flow past a hole in the element: the condensed form against the whole network solved with scipy."""

from __future__ import annotations

from dataclasses import replace
from math import pi

import numpy as np
import pytest
from glasscan.filters.network import ElementHole
from glasscan.laws.orifice import hole_drop_pa
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.filter_flow import minor_coefficient, split_flow
from glasscan.rig.hole_flow import split_three
from glasscan.rig.network_flow import Condenser
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp
from glasscan.rig.throttle import hole_coefficients
from scipy.optimize import root

from tests.rig.standin import dirty_ports, network, setup
from tests.rig.test_filter_flow import TIGHT, _clean, slit_r

MU, RHO = 0.05, 870.0


def holed(segment: int = 5, area_mm2: float = 10.0):
    """An uneven stand-in filter with a hole."""
    r = np.linspace(0.5, 2.0, 12) * 5e9
    return network(segment_r=r, valve=TIGHT, hole=ElementHole(segment, area_mm2 * 1e-6))


def flows_of(net, lift: float, dp: float, mu: float = MU):
    """Paths, throat, opening and flows by the plant's own way."""
    valve = BypassValve.of(net.valve)
    paths = Condenser(net, net.segment_r).at(lift)
    throat = valve.throat(valve.area_m2(lift), RHO)
    opening = hole_coefficients(net.hole.area_m2, net.hole.cd, mu, RHO)
    inertia = minor_coefficient(net) * RHO
    return paths, throat, split_three(dp, paths, mu, inertia, throat, opening)


def whole_network(net, lift: float, dp: float, throat: float, mu: float = MU) -> np.ndarray:
    """Segment flows, valve flow and hole flow from all port pressures at once (scipy.optimize.root)."""
    k, clean, at, scale, slit = net.segments, _clean(net, lift), net.hole.segment, 1e-5, slit_r(net, lift)

    def gaps(x: np.ndarray) -> np.ndarray:
        q, qv, qh = x[:k] * scale, x[k] * scale, x[k + 1] * scale
        total, ports = q.sum() + qv + qh, q.copy()
        ports[at] += qh
        p_dirty = mu * dirty_ports() @ np.concatenate([[total], -ports, [-qv]])
        p_clean = mu * clean @ np.concatenate([[-total], ports, [qv]])
        losses = sum(m.k * RHO * total * abs(total) / (2 * m.area_m2**2) for m in net.losses)
        drop = dp - losses - (p_dirty[0] - p_dirty[1:]) - (p_clean[1:] - p_clean[0])
        lost = np.append(mu * net.segment_r * q, (throat * abs(qv) + mu * slit) * qv)
        through = hole_drop_pa(np.sqrt(4 * net.hole.area_m2 / pi), qh, mu, RHO, net.hole.cd)
        return np.append(drop - lost, drop[at] - through) / abs(dp)

    found = root(gaps, np.full(k + 2, 0.1), tol=1e-13)
    assert found.success
    return np.asarray(found.x * scale)


@pytest.mark.parametrize("segment", [0, 5, 11])
@pytest.mark.parametrize(("lift", "dp"), [(0.0, 2e4), (1e-3, 5e4), (5e-3, 3e5)])
def test_three_paths_match_the_whole_network(segment: int, lift: float, dp: float) -> None:
    """Every segment flow, the valve's and the hole's agree with the full set of port equations."""
    net = holed(segment)
    paths, throat, flows = flows_of(net, lift, dp)
    mine = paths.share @ [flows.element_m3s, flows.valve_m3s] + paths.hole.share * flows.hole_m3s
    mine = np.concatenate([mine, [flows.valve_m3s, flows.hole_m3s]])
    whole = whole_network(net, lift, dp, throat)
    assert mine == pytest.approx(whole, rel=1e-6, abs=1e-7 * np.abs(whole).max())


def test_a_pinhole_changes_nothing() -> None:
    """A hole of a square micrometre: the two-path answer to a millionth."""
    net = holed(area_mm2=1e-6)
    sound = replace(net, hole=None)
    _paths, throat, three = flows_of(net, 1e-3, 5e4)
    two = split_flow(5e4, Condenser(sound, net.segment_r).at(1e-3), MU, minor_coefficient(net) * RHO, throat)
    assert [three.element_m3s, three.valve_m3s] == pytest.approx([two.element_m3s, two.valve_m3s], rel=1e-6)


def test_a_wide_hole_follows_the_orifice() -> None:
    """Thin oil, blocked medium: the hole's flow is `Cd A sqrt(2 dp / rho)` less the minor losses (MEMORY)."""
    net = network(segment_r=np.full(12, 1e24), hole=ElementHole(5, 4e-6), losses=())
    paths = Condenser(net, net.segment_r).at(0.0)
    opening = hole_coefficients(4e-6, 0.62, 1e-5, RHO)
    flows = split_three(1e5, paths, 1e-5, 0.0, None, opening)
    assert flows.hole_m3s == pytest.approx(0.62 * 4e-6 * np.sqrt(2 * 1e5 / RHO), rel=2e-3)
    assert flows.valve_m3s == 0.0


def test_running_rig_books_the_hole_as_unfiltered() -> None:
    """A torn element in a running rig: unfiltered oil although the valve stays shut, and the books close."""
    start = (Ramp(0.5, "rpm", 900.0, 1.0),)
    rig = Rig(setup(network=holed(), air_c=70.0, timeline=start, regulator="before"))
    rig.step(20.0)
    last, books = rig.snapshot(), rig.ledger()
    assert last.unfiltered_m3 > 1e-4
    assert abs(books.volume_error_rel) < 1e-9
    assert abs(books.mass_error_rel) < 1e-9


def test_hole_area_is_that_of_its_circle() -> None:
    """The hole law takes the diameter of the round hole of the same area (definition)."""
    a, b = hole_coefficients(pi * 1e-6, 0.6, MU, RHO)
    assert a * 1e-10 + b * 1e-5 == pytest.approx(hole_drop_pa(2e-3, 1e-5, MU, RHO, 0.6), rel=1e-9)
