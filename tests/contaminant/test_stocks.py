"""The mixed volume: books by class, scipy's integrator, the closed form of the multi-pass figure."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace

import numpy as np
import pytest
from glasscan.contaminant.classes import CLASSES, dust_shares
from glasscan.contaminant.multipass_rig import Charge, MultipassRig
from glasscan.contaminant.stocks import OilFlow, Stocks, advance, empty, stirring_1_s
from glasscan.formulas.registry import evaluate
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from tests.contaminant.standin import SCRAPER, shipped
from tests.rig.standin import network

K = 5
RNG = np.random.default_rng(5)
CAUGHT = RNG.uniform(0.0, 1.0, (CLASSES, K))
FEED = RNG.uniform(0.0, 1e-8, CLASSES)


def flow(segments: float = 1e-4, past: float = 2e-5, sink: float = 1e-4) -> OilFlow:
    """Unequal flows through five segments."""
    return OilFlow(segments * np.arange(1.0, K + 1), past, 7.5e-3, 3e-4, np.full(CLASSES, sink))


def some() -> Stocks:
    """Dirt everywhere."""
    rng = np.random.default_rng(7)
    here = {name: rng.uniform(0.0, 1e-4, CLASSES) for name in ("suspended", "loose", "sludge", "drained")}
    return replace(empty(K), held=rng.uniform(0.0, 1e-4, (CLASSES, K)), **here)


@given(
    st.floats(1e-9, 1e8),
    st.floats(0.0, 1e-2),
    st.floats(-1e-3, 1e-2),
    st.floats(0.0, 1.0),
    st.floats(0.0, 1.0),
)
@settings(max_examples=80, deadline=None)
def test_books_close_by_class_whatever_the_step(
    h: float, q: float, past: float, sink: float, part: float
) -> None:
    """In = held + suspended + loose + sludge + drained, class by class to 1e-12, and nothing is negative."""
    before = some()
    after = advance(before, flow(q, past, sink), CAUGHT * part, FEED, h, SCRAPER)
    owed = before.total + after.let_in
    assert np.abs(after.total - owed).max() <= 1e-12 * owed.max()
    for name in ("suspended", "held", "loose", "sludge", "through", "past"):
        assert (getattr(after, name) >= 0.0).all()
        assert np.isfinite(getattr(after, name)).all()


@pytest.mark.parametrize("h", [0.5, 40.0])
def test_mixed_volume_agrees_with_scipys_integrator(h: float) -> None:
    """Suspended, held, through and past after a stretch are those of scipy's solver at tight tolerance."""
    start, stream = replace(some(), loose=np.zeros(CLASSES), sludge=np.zeros(CLASSES)), flow()
    q, take = stream.segments, CAUGHT @ stream.segments

    def rate(_t: float, y: np.ndarray) -> np.ndarray:
        s = y[:CLASSES] / stream.oil_m3
        caught = (CAUGHT * q) * s[:, None]
        return np.concatenate([FEED - take * s, caught.ravel(), (q.sum() - take) * s, stream.past * s])

    y0 = np.concatenate([start.suspended, start.held.ravel(), start.through, start.past])
    y = solve_ivp(rate, (0.0, h), y0, "LSODA", rtol=1e-11, atol=1e-18).y[:, -1]
    after = advance(start, stream, CAUGHT, FEED, h)
    ours = np.concatenate([after.suspended, after.held.ravel(), after.through, after.past])
    assert ours == pytest.approx(y, rel=1e-7, abs=1e-14)


def test_two_half_steps_are_one_step() -> None:
    """With flows held, the way there does not matter: the law is solved exactly."""
    start, stream = some(), flow(sink=0.0)
    start = replace(start, sludge=np.zeros(CLASSES), loose=np.zeros(CLASSES))
    one = advance(start, stream, CAUGHT, FEED, 60.0)
    two = advance(advance(start, stream, CAUGHT, FEED, 13.0), stream, CAUGHT, FEED, 47.0)
    for name in ("suspended", "held", "through", "past"):
        assert getattr(one, name) == pytest.approx(getattr(two, name), rel=1e-10)


@pytest.mark.parametrize("at_s", [5.0, 40.0, 300.0, 1200.0])
def test_multipass_rig_agrees_with_the_figure(at_s: float) -> None:
    """ISO 16889 idea: reservoir by class within 1 % of `figure multipass` with that class's beta."""
    net = network()
    rig = MultipassRig(net, Charge(36 / 6e4, 7.5e-3, 1e-9, "a3", 0.028))
    beta = np.minimum(1.0 / np.maximum(1.0 - rig.element.caught(rig.stocks.held)[:, 0], 1e-12), 1e12)
    rig.advance_to(at_s)
    for c, share in enumerate(dust_shares("a3")):
        told = evaluate(
            "multipass",
            {
                "flow_lpm": 36.0,
                "volume_l": 7.5,
                "base_mg_l": share * 1e-9 / (36 / 6e4) * 1e3,
                "beta": float(beta[c]),
                "at_s": at_s,
            },
        )["value"]
        assert rig.reservoir_kg_m3()[c] * 1e3 == pytest.approx(told, rel=0.01)


def test_settled_multipass_rig_gives_back_beta() -> None:
    """After many turnovers each class stands at base/(1 - 1/beta), by its own beta."""
    rig = MultipassRig(shipped("can-full-flow"), Charge(36 / 6e4, 7.5e-3, 1e-9, "a3", 0.028))
    rig.advance_to(900.0)
    caught = rig.element.caught(rig.stocks.held)
    flows = rig.flow().segments
    efficiency = caught @ flows / flows.sum()
    base = np.array(dust_shares("a3")) * 1e-9 / flows.sum()
    assert rig.reservoir_kg_m3() == pytest.approx(base / efficiency, rel=0.01)
    assert rig.beta(14) > rig.beta(6) > rig.beta(4) > 1.0


def test_dirtier_segment_takes_less_flow() -> None:
    """One loaded segment among equals passes less, and what comes next goes to the clean ones."""
    rig = MultipassRig(network(), Charge(36 / 6e4, 7.5e-3, 1e-6, "a3", 0.028))
    rig.advance_to(60.0)
    even = rig.flow().segments[4]
    held = rig.stocks.held.copy()
    held[:, 4] += np.array(dust_shares("a3")) * 2e-3
    rig.stocks, rig._r = replace(rig.stocks, held=held), rig.element.resistance(held)
    before = rig.stocks.held.sum(axis=0)
    assert rig.flow().segments[4] < 0.7 * even
    rig.advance_to(600.0)
    gained = rig.stocks.held.sum(axis=0) - before
    assert gained[4] < 0.8 * np.delete(gained, 4).min()


def test_all_dirt_past_the_element_when_it_is_blocked() -> None:
    """No flow through the segments: everything goes past, nothing is caught."""
    start = some()
    after = advance(start, flow(segments=0.0), CAUGHT, FEED, 10.0)
    assert np.array_equal(after.held, start.held)
    assert (after.past > start.past).all()
    assert not after.through.any()


def test_nothing_moves_in_clean_oil_and_at_rest() -> None:
    """No dirt, or no flow: the same record comes back."""
    assert advance(empty(K), flow(), CAUGHT, np.zeros(CLASSES), 10.0).held.sum() == 0.0
    still = replace(some(), loose=np.zeros(CLASSES))
    assert advance(still, flow(0.0, 0.0), CAUGHT, np.zeros(CLASSES), 10.0, SCRAPER) is still


def test_a_leak_carries_dirt_away_as_the_equation_says() -> None:
    """Oil that leaves for good takes its dirt along: s' = feed - (take + leak) s/V (scipy)."""
    start, h = replace(some(), loose=np.zeros(CLASSES), sludge=np.zeros(CLASSES)), 40.0
    stream = replace(flow(), leak=3e-4)
    take = CAUGHT @ stream.segments

    def rate(_t: float, y: np.ndarray) -> np.ndarray:
        s = y[:CLASSES] / stream.oil_m3
        return np.concatenate([FEED - (take + stream.leak) * s, stream.leak * s])

    y0 = np.concatenate([start.suspended, start.leaked])
    y = solve_ivp(rate, (0.0, h), y0, "LSODA", rtol=1e-11, atol=1e-18).y[:, -1]
    after = advance(start, stream, CAUGHT, FEED, h)
    assert np.concatenate([after.suspended, after.leaked]) == pytest.approx(y, rel=1e-7, abs=1e-14)


@pytest.mark.parametrize(
    ("whole", "rate"), [(0.4, 0.0), (0.8, 0.4 * 0.6), (1.5, 0.5 + 0.4 * (2.0 - 0.5)), (3.0, 2.0 + 0.4 * 3.0)]
)
def test_sludge_is_stirred_as_told(whole: float, rate: float) -> None:
    """By hand: below the stack by flow over the least, less 1; four tenths of it stand where half is free."""
    scraper = SimpleNamespace(stir_m3s=1e-3, stir_s=20.0, covered=lambda _kg: (0.5, 0.4))
    assert stirring_1_s(scraper, 1.0, whole * 1e-3) == pytest.approx(rate / 20.0)  # type: ignore[arg-type]
