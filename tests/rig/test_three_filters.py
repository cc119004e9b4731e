"""Each shipped filter in the whole rig and on the test bench, after the ideas of published tests."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from glasscan.contaminant.classes import CLASSES, dust_shares
from glasscan.contaminant.element import Element
from glasscan.contaminant.multipass_rig import Charge, MultipassRig
from glasscan.formulas.registry import evaluate
from glasscan.learning.catalogue import load_fluid, load_plant
from glasscan.rig.filter_flow import minor_coefficient
from glasscan.rig.rig import Rig
from glasscan.rig.setup import Ramp, RigSetup

from tests.contaminant.standin import shipped
from tests.rig.standin import setup

NAMES = ("can-full-flow", "cartridge-bowl", "disc-stack")
WARM = {"air_c": 20.0, "oil_c": 85.0, "gallery_fill": 1.0}
LIFTED_M = 1e-5


def blocked(name: str):
    """The shipped filter with an element that lets nothing pass."""
    net = shipped(name)
    return replace(net, segment_r=np.full(net.segments, np.inf))


HOMES = [
    ("can-full-flow", "piston-single", "sae-50-mineral", 2400.0),
    ("cartridge-bowl", "piston-single", "sae-50-mineral", 2400.0),
    ("disc-stack", "radial-lube", "sae-60-mineral", 2000.0),
    ("disc-stack", "hydraulic-1500", "mil-prf-5606-class", 3600.0),
]
"""Each filter in the rigs it is shipped with, their oil and a warm speed."""


@pytest.mark.parametrize(("name", "plant", "oil", "rpm"), HOMES)
def test_normal_flow_with_the_element_completely_blocked(name: str, plant: str, oil: str, rpm: float) -> None:
    """What the filter feeds gets the normal flow of a warm rig (14 CFR 33.71(b)(1), FOUND)."""
    flows = []
    for net in (shipped(name), blocked(name)):
        timeline = (Ramp(0.5, "rpm", rpm, 2.0),)
        rig = Rig(RigSetup(load_fluid(oil), net, load_plant(plant), timeline=timeline, **WARM))
        rig.advance_to(20.0)
        flows.append(rig.snapshot().bearings_m3s)
    assert flows[1] > 0.95 * flows[0] > 0.0
    assert rig.snapshot().element_m3s < 1e-6 * rig.snapshot().bypass_m3s


@pytest.mark.parametrize("name", NAMES)
def test_bypass_opens_carries_the_full_flow_and_closes(name: str) -> None:
    """Idea of ISO 4548-2 (recalled): with the element blocked, flow up and down through the valve.

    It opens at its cracking pressure, the drop is larger at full flow, and on the way down it is lower than
    on the way up by the friction of the guide, down to the pressure at which spring less friction seats it.
    """
    line = (Ramp(0.0, "rpm", 2400, 12.0), Ramp(12.0, "rpm", 0, 12.0))
    rig = Rig(setup(network=blocked(name), rpm=0.0, timeline=line, **WARM))
    seen = []
    while rig.snapshot().t_s < 25.0:
        rig.step(0.05)
        seen.append(rig.snapshot())
    valve = shipped(name).valve
    lift, flow = (np.array([getattr(s, key) for s in seen]) for key in ("lift_m", "bypass_m3s"))
    drop = np.array([s.dp_pa for s in seen])
    opened = int(np.argmax(lift > LIFTED_M))
    full = int(np.argmax(flow))
    shut = len(lift) - int(np.argmax(lift[::-1] > LIFTED_M))
    assert opened < full < shut < len(lift)
    # a flat disc gains the area of its land as it lifts: 0.05 s later the drop has fallen by that eighth
    assert 0.87 * valve.cracking_pa < drop[opened] < 1.1 * valve.cracking_pa
    assert drop[full] > 1.05 * drop[opened]
    assert flow[full] * 6e4 > 10.0
    assert (np.diff(lift[opened:full]) > -2e-5).all()
    closing_pa = (valve.preload_n - valve.friction_n) / valve.seat_area_m2
    assert 0.9 * closing_pa < drop[shut - 1] < 1.05 * valve.cracking_pa
    half = 0.5 * lift[full]
    up, down = (
        np.interp(half, lift[opened:full], drop[opened:full]),
        np.interp(-half, -lift[full:], drop[full:]),
    )
    assert 0.0 < up - down < 4.0 * valve.friction_n / valve.seat_area_m2


@pytest.mark.parametrize("at_s", [40.0, 900.0])
@pytest.mark.parametrize("name", NAMES)
def test_reservoir_of_the_multipass_rig_is_that_of_the_figure(name: str, at_s: float) -> None:
    """Idea of ISO 16889: each size class of the reservoir by the closed form with that class's own beta."""
    flow_m3s, oil_m3, feed = 36 / 6e4, 7.5e-3, 1e-9
    rig = MultipassRig(shipped(name), Charge(flow_m3s, oil_m3, feed, "a3", 0.028))
    flows = rig.flow().segments
    caught = rig.element.caught(rig.stocks.held) @ flows / flows.sum()
    rig.advance_to(at_s)
    for share, part, found in zip(dust_shares("a3"), caught, rig.reservoir_kg_m3(), strict=True):
        bench = {"flow_lpm": 36, "volume_l": 7.5, "base_mg_l": 1e3 * share * feed / flow_m3s, "at_s": at_s}
        beta = 1.0 / max(1.0 - float(part), 1e-12)
        assert 1e3 * found == pytest.approx(evaluate("multipass", bench | {"beta": beta})["value"], rel=0.02)


@pytest.mark.parametrize("name", NAMES)
def test_drop_in_the_rig_is_linear_in_viscosity_and_flow(name: str) -> None:
    """Idea of ISO 3968 (recalled): less inertial losses, dp/(mu Q) is one number from cold to hot.

    No valve, so all oil takes the element; the pleats bend a little in the cold.
    """
    net = replace(shipped(name), valve=None)
    ratios, spans = [], []
    for oil_c, rpm in ((25.0, 700.0), (25.0, 1100.0), (60.0, 1500.0), (95.0, 800.0), (95.0, 2400.0)):
        rig = Rig(setup(network=net, air_c=20.0, oil_c=oil_c, gallery_fill=1.0, rpm=rpm))
        rig.step(20.0)
        now = rig.snapshot()
        lost = minor_coefficient(net) * now.rho_kg_m3 * now.element_m3s**2
        ratios.append((now.dp_pa - lost) / (now.mu_pa_s * now.element_m3s))
        spans.append(now.mu_pa_s * now.element_m3s)
    assert max(spans) > 8 * min(spans)
    assert np.ptp(ratios) < 0.02 * np.mean(ratios)


GRAINS = 5
"""Class of the dust of the cake tests, 38 to 70 um: coarse enough for every element to stop."""
VOLUMES = (0.001, 0.05, 0.15)
"""Slurry filtered, m3 for each m2: hardly any, a third of what fills the folds, all of it."""
SOLIDS_KG_M3, DROP_PA, MU = 2.0, 2e5, 0.02


def cake_of(name: str) -> tuple[Element, np.ndarray, float]:
    """Element, areas of its segments, and specific cake resistance by Kozeny and Carman (Sauter grain).

    Ruth's law is that of a hard cake with room to grow: folds that fill, and softness, are left out here.
    """
    net = shipped(name)
    catcher = replace(net.dirt_side.catcher, room=None, squeeze=0.0)
    grain = np.log(70 / 38) / (1 / 38 - 1 / 70) * 1e-6
    solid = 1.0 - catcher.porosity
    alpha = 180.0 * solid / (catcher.solid_kg_m3 * catcher.porosity**3 * grain**2)
    return Element(net, catcher), net.segment_area_m2, alpha


def resistance(element: Element, area: np.ndarray, filtrate_m3: float) -> float:
    """Resistance of all segments in parallel after a slurry has left its solids on them evenly, 1/m3."""
    held = np.zeros((CLASSES, len(area)))
    held[GRAINS] = SOLIDS_KG_M3 * filtrate_m3 * area / area.sum()
    return 1.0 / float(np.sum(1.0 / element.resistance(held)))


def passed(element: Element, area: np.ndarray, most_m3: float) -> tuple[np.ndarray, np.ndarray]:
    """Filtrate and time at constant pressure, by quadrature of mu R(V)/dp."""
    v = np.linspace(0.0, most_m3, 1201)
    slow = np.array([MU * resistance(element, area, x) / DROP_PA for x in v])
    return v, np.concatenate([[0.0], np.cumsum((slow[1:] + slow[:-1]) / 2 * np.diff(v))])


@pytest.mark.parametrize("name", NAMES)
def test_constant_pressure_filtration_gives_back_the_cake(name: str) -> None:
    """t/V against V of each element is a late straight line whose slope is Ruth's alpha (Geankoplis 14.2)."""
    element, area, alpha = cake_of(name)
    v, t = passed(element, area, 2.0 * area.sum())
    late = slice(600, None, 60)
    readings = {"t_s": (t[late] - t[600] + 1e-9).tolist()[1:], "v_m3": (v[late] - v[600]).tolist()[1:]}
    sizes = {"area_m2": area.sum(), "dp_pa": DROP_PA, "solids_kg_m3": SOLIDS_KG_M3, "mu_pa_s": MU}
    assert evaluate("cake-fit", readings | sizes)["alpha_m_kg"] == pytest.approx(alpha, rel=0.02)
    fresh = {"kp": 1.0, "b": MU * resistance(element, area, 0.0) / DROP_PA, "volume_m3": v[3]}
    assert t[3] > evaluate("cake-time", fresh | {"kp": 0.0})["value"]


@pytest.mark.parametrize("name", NAMES)
def test_constant_rate_filtration_rises_in_a_straight_line(name: str) -> None:
    """Two late readings foretell the third (worked example of Problems in Fluid Flow, 8.1)."""
    element, area, alpha = cake_of(name)
    rate = 1e-3 * area.sum()

    def drop(t_s: float) -> float:
        return MU * rate * resistance(element, area, rate * t_s)

    readings = {"q": rate, "t1": 1200, "dp1": drop(1200), "t2": 1600, "dp2": drop(1600), "t": 3000}
    found = evaluate("constant-rate-drop", readings)
    assert found["value"] == pytest.approx(drop(3000), rel=0.01)
    assert found["k1"] == pytest.approx(MU * alpha * SOLIDS_KG_M3 / area.sum() ** 2, rel=0.02)


@pytest.mark.parametrize("name", ["can-full-flow", "cartridge-bowl"])
def test_folds_that_fill_rise_faster_than_a_cake_with_room(name: str) -> None:
    """Area lost in full folds: the same dirt costs several times what it costs on a flat sheet.

    Source: loss of area as cake fills the pleats from the fold (D. Rebai and others, Chem. Eng. Res. Des. 88,
    2010, from memory); with little dirt the flat sheet of Darcy's cake is the exact limit.
    """
    net = shipped(name)
    area = net.segment_area_m2
    folded = Element(net, net.dirt_side.catcher)
    flat = Element(net, replace(net.dirt_side.catcher, room=None))
    rises = [
        resistance(folded, area, v * area.sum()) / resistance(flat, area, v * area.sum()) for v in VOLUMES
    ]
    assert rises[0] == pytest.approx(1.0, abs=1e-3)
    assert rises[0] < rises[1] < rises[2]
    assert rises[2] > 5
