"""Flow through the filter: the condensed two-path form against the whole network solved with scipy."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from glasscan.rig.bypass_valve import BypassValve
from glasscan.rig.filter_flow import minor_coefficient, split_flow
from glasscan.rig.network_flow import SEAT_ROUND_M, Condenser
from glasscan.rig.oil_tables import oil_table
from glasscan.rig.smooth import smooth_positive
from scipy.optimize import root

from tests.rig.standin import SAE50, VALVE, clean_ports, dirty_ports, network

MU, RHO = 0.3, 880.0


def flows_of(net, lift: float, dp: float, mu: float = MU):
    """Element and valve flow by the plant's own way."""
    valve = BypassValve.of(net.valve)
    paths = Condenser(net, net.segment_r).at(lift)
    throat = valve.throat(valve.area_m2(lift), RHO)
    return paths, throat, split_flow(dp, paths, mu, minor_coefficient(net) * RHO, throat)


def slit_r(net, lift: float) -> float:
    """Creeping resistance of the opening alone: the valve's path less the chambers at its two ports."""
    lift = smooth_positive(lift, SEAT_ROUND_M)
    ends = np.zeros(net.segments + 2)
    ends[0], ends[-1] = 1.0, -1.0
    return float(net.paths.valve_r_at(lift) - ends @ (dirty_ports() + _clean(net, lift)) @ ends)


def whole_network(net, lift: float, dp: float, throat: float, mu: float = MU) -> np.ndarray:
    """Segment flows and valve flow from all port pressures at once (scipy.optimize.root, hybr)."""
    k, clean, scale, slit = net.segments, _clean(net, lift), 1e-5, slit_r(net, lift)

    def gaps(x: np.ndarray) -> np.ndarray:
        q, qv = x[:k] * scale, x[k] * scale
        total = q.sum() + qv
        p_dirty = mu * dirty_ports() @ np.concatenate([[total], -q, [-qv]])
        p_clean = mu * clean @ np.concatenate([[-total], q, [qv]])
        top = dp - sum(
            loss.k * RHO * (total / loss.area_m2) * abs(total / loss.area_m2) / 2 for loss in net.losses
        )
        drop = top - (p_dirty[0] - p_dirty[1:]) - (p_clean[1:] - p_clean[0])
        lost = np.append(mu * net.segment_r * q, (throat * abs(qv) + mu * slit) * qv)
        return (drop - lost) / abs(dp)

    found = root(gaps, np.full(k + 1, 0.1), tol=1e-13)
    assert found.success
    return np.asarray(found.x * scale)


def _clean(net, lift: float) -> np.ndarray:
    """The clean chamber as the table has it: linear between its lifts."""
    j, w = net.paths.place(smooth_positive(lift, SEAT_ROUND_M))
    low, high = (clean_ports(float(net.paths.lifts_m[n])) for n in (j, j + 1))
    return np.asarray((1 - w) * low + w * high)


TIGHT = dataclasses.replace(VALVE, leak_area_m2=0.0)


@pytest.mark.parametrize("lift", [0.0, 0.7e-3, 1.5e-3, 3.1e-3, 5e-3])
@pytest.mark.parametrize("dp", [3e3, 9e4, -2e4])
def test_condensed_filter_equals_the_whole_network(lift: float, dp: float) -> None:
    """Every segment flow and the valve flow agree with the full set of port equations."""
    uneven = np.linspace(0.5, 2.0, 12) * 5e9
    net = network(segment_r=uneven, valve=TIGHT)
    paths, throat, flows = flows_of(net, lift, dp)
    whole = whole_network(net, lift, dp, throat)
    mine = np.append(paths.share @ [flows.element_m3s, flows.valve_m3s], flows.valve_m3s)
    assert mine == pytest.approx(whole, rel=1e-7, abs=1e-7 * np.abs(whole).max())


def test_condensed_matrix_is_symmetric() -> None:
    """Reciprocity: the paths' cross resistance read from either row is the same."""
    net = network(segment_r=np.linspace(1, 3, 12) * 4e9, valve=TIGHT)
    paths = Condenser(net, net.segment_r).at(2e-3)
    whole = _dissipation_matrix(net, paths.share, 2e-3)
    assert [[paths.ee, paths.ev], [paths.ev, paths.vv]] == pytest.approx(whole, rel=1e-9)


def _dissipation_matrix(net, share: np.ndarray, lift: float) -> np.ndarray:
    """Power lost per (qe, qv) pair, summed port by port: a second way to the same matrix."""
    dirty = np.vstack([[1, 1], -share, [0, -1]])
    clean = np.vstack([[-1, -1], share, [0, 1]])
    return np.asarray(
        dirty.T @ dirty_ports() @ dirty
        + clean.T @ _clean(net, lift) @ clean
        + share.T @ np.diag(net.segment_r) @ share
        + np.diag([0.0, slit_r(net, lift)])
    )


@pytest.mark.parametrize("factor", [1e9, np.inf])
def test_blocked_segments_pass_nothing_and_the_rest_share(factor: float) -> None:
    """Half the element blocked: finite, and the open half carries the element flow."""
    r = network().segment_r.copy()
    r[:6] *= factor
    paths = Condenser(network(), r).at(0.0)
    assert np.isfinite([paths.ee, paths.ev, paths.vv]).all()
    assert paths.share[:6, 0] == pytest.approx(0.0, abs=1e-7)
    assert paths.share[:, 0].sum() == pytest.approx(1.0)


def test_pressure_balance_closes_to_rounding() -> None:
    """Element path, valve path and minor losses add up to the differential pressure asked for."""
    for dp in (1e-3, 10.0, 1e5, 1e7, -1e5):
        for lift in (-1e-6, 0.0, 1e-7, 1e-4, 4e-3):
            paths, _throat, q = flows_of(network(), lift, dp)
            total = q.element_m3s + q.valve_m3s
            common = minor_coefficient(network()) * RHO * total * abs(total)
            element = common + MU * (paths.ee * q.element_m3s + paths.ev * q.valve_m3s)
            valve = common + MU * paths.ev * q.element_m3s + q.valve_drop_pa
            assert element == pytest.approx(dp, rel=1e-11)
            assert valve == pytest.approx(dp, rel=1e-11)


def test_oil_table_follows_the_fluid() -> None:
    """Viscosity by table within 1e-7 of the fluid's own law, density and heat within 1e-6."""
    table = oil_table(SAE50)
    for t_c in np.random.default_rng(1).uniform(-40, 190, 400):
        assert table.mu_pa_s(t_c) == pytest.approx(SAE50.mu_pa_s(t_c), rel=1e-7)
        assert table.rho_kg_m3(t_c) == pytest.approx(SAE50.rho_kg_m3(t_c), rel=1e-6)
        assert table.cp_j_kgk(t_c) == pytest.approx(SAE50.cp_j_kgk(t_c), rel=1e-6)


def test_oil_table_is_finite_anywhere() -> None:
    """Far outside its range, and for infinities, the table holds its end values."""
    table = oil_table(SAE50)
    for t_c in (-1e9, -60.0, 200.0, 1e9, float("inf"), float("-inf")):
        assert 0 < table.mu_pa_s(t_c) < 1e6


def test_valve_without_leak_passes_next_to_nothing_when_shut() -> None:
    """Seat pressed, no leak: less than 1e-6 of the element's flow goes by."""
    _, _, q = flows_of(network(valve=TIGHT), -1.3e-6, 5e4)
    assert abs(q.valve_m3s) < 1e-6 * q.element_m3s


def test_smooth_positive_never_reaches_nought() -> None:
    """Far on the negative side it is width^2/(4 |x|) (series), not the nought of cancellation."""
    for x in (1e-3, 1.0, 1e3):
        assert smooth_positive(-x, 1e-7) == pytest.approx(1e-14 / (4 * x), rel=1e-3, abs=0.0)
    assert smooth_positive(1.0, 1e-7) == pytest.approx(1.0)
