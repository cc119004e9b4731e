"""What the element catches and how it clogs: rated beta, monotone facts, Ruth's law, the usual capacity."""

from __future__ import annotations

import itertools
from dataclasses import replace

import numpy as np
import pytest
from glasscan.contaminant.classes import CLASSES, dust_shares
from glasscan.contaminant.contaminant_state import GROWTH, loaded, look_ahead
from glasscan.contaminant.element import Element, rated_beta
from glasscan.contaminant.multipass_rig import Charge, MultipassRig
from glasscan.contaminant.stocks import OilFlow, advance, empty
from glasscan.laws.deposit import THROAT_SHARE, clogged_ratio, open_share, sieved_share
from glasscan.laws.media import cake_resistance_m_kg
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.contaminant.standin import gaps, shipped
from tests.rig.standin import network

PSI = 6894.757293168
A3 = np.array(dust_shares("a3"))


def element(net) -> Element:
    """The element of a network."""
    return Element(net, net.dirt_side.catcher)


def spread(net, kg: float) -> np.ndarray:
    """A mass of A3 dust held evenly by all segments."""
    return np.repeat(A3[:, None], net.segments, axis=1) * kg / net.segments


@pytest.mark.parametrize(
    ("name", "um", "beta"),
    [("can-full-flow", 20.0, 20.0), ("cartridge-bowl", 20.0, 20.0), ("disc-stack", 127.0, 20.0)],
)
def test_clean_element_has_its_rated_beta(name: str, um: float, beta: float) -> None:
    """At its rated size the clean element has the beta of its data (definition of the rating, ISO 16889)."""
    catcher = shipped(name).dirt_side.catcher
    assert rated_beta(catcher, um) == pytest.approx(beta, rel=1e-9)


@pytest.mark.parametrize("net", [network(), gaps(), shipped("can-full-flow"), shipped("disc-stack")])
def test_larger_particles_are_caught_more(net) -> None:
    """Interception and sieving both rise with size, clean and loaded."""
    for kg in (0.0, 1e-4, 1e-3, 1e-2):
        caught = element(net).caught(spread(net, kg))
        assert (np.diff(caught, axis=0) >= -1e-12).all()
        assert (caught >= 0.0).all()
        assert (caught <= 1.0).all()


def test_gaps_stop_what_is_larger_and_little_of_what_is_smaller() -> None:
    """A stack of 127 um gaps lets through nearly all below a third of the gap, holds all well above it."""
    caught = element(shipped("disc-stack")).caught(np.zeros((CLASSES, 60)))[:, 0]
    assert caught[:5].max() < 1e-3
    assert caught[-1] > 0.99


@pytest.mark.parametrize("net", [network(), gaps(), shipped("can-full-flow")])
def test_deposit_raises_capture_and_resistance(net) -> None:
    """The more an element holds, the more it catches and the more it resists (filtration practice)."""
    el = element(net)
    loads = [spread(net, kg) for kg in (0.0, 1e-4, 1e-3, 5e-3, 2e-2, 0.1)]
    caught = [el.caught(held)[2] for held in loads]
    r = [el.resistance(held) for held in loads]
    assert all((b >= a - 1e-12).all() for a, b in itertools.pairwise(caught))
    assert all((b > a).all() for a, b in itertools.pairwise(r))


def test_late_cake_is_ruths_law_with_kozeny_carman() -> None:
    """Covered pores: each further kg/m2 adds alpha (Ruth) = 180 (1 - e)/(rho e^3 d^2) (Carman), to 1 %."""
    net = gaps()
    el, catcher = element(net), net.dirt_side.catcher
    one = np.zeros((CLASSES, 6))
    one[5] = 1e-3
    rise = (el.resistance(3 * one) - el.resistance(2 * one)) * net.segment_area_m2**2 / 1e-3
    grain = np.log(70 / 38) / (1 / 38 - 1 / 70) * 1e-6
    alpha = cake_resistance_m_kg(catcher.porosity, grain, 2650.0)
    assert alpha == pytest.approx(180 * 0.5 / (2650 * 0.125 * grain**2))
    assert rise == pytest.approx(alpha, rel=0.01)


def test_early_clogging_is_blocking() -> None:
    """While s is small the resistance follows exp(s) of intermediate blocking (Hermia 1982)."""
    for s in (1e-4, 1e-3, 1e-2):
        assert clogged_ratio(s, 1e9, 1.0) == pytest.approx(np.exp(s), rel=1e-6)
        assert clogged_ratio(s, 0.0, 0.0) == pytest.approx(1.0)


@given(st.floats(0.0, 50.0), st.floats(0.0, 1e6), st.floats(0.0, 100.0))
@settings(max_examples=60, deadline=None)
def test_open_pores_carry_a_share(s: float, cake: float, first: float) -> None:
    """Flow through open and covered pores sums to the whole: the open share lies between 0 and 1."""
    ratio = clogged_ratio(s, cake, first)
    assert ratio >= 1.0 - 1e-12
    assert -1e-12 <= open_share(s, ratio) <= 1.0 + 1e-12


def test_throat_of_three_touching_spheres() -> None:
    """Centre of an equilateral triangle lies a/sqrt(3) from its corners (geometry)."""
    centres = np.array([[0.0, 0.0], [1.0, 0.0], [0.5, np.sqrt(0.75)]])
    free = 2 * np.linalg.norm(centres - centres.mean(axis=0), axis=1).min() - 1.0
    assert pytest.approx(free) == THROAT_SHARE


def test_sieving_is_one_half_at_equal_size_and_sharp_without_spread() -> None:
    """Log-normal sieve against scipy's log-normal distribution."""
    from scipy.stats import lognorm

    sizes = np.array([20.0, 50.0, 80.0, 120.0])
    assert sieved_share(sizes, 50.0, 0.3) == pytest.approx(lognorm(0.3, scale=50.0).cdf(sizes))
    assert sieved_share(sizes, 50.0, 0.0).tolist() == [0.0, 1.0, 1.0, 1.0]


@pytest.mark.parametrize("name", ["can-full-flow", "cartridge-bowl"])
def test_paper_element_holds_ten_to_twenty_grams(name: str) -> None:
    """Hot at rated flow (36 L/min, 28 mPa s) to 14 psi: 10 to 20 g of medium dust (practice, no source)."""
    rig = MultipassRig(shipped(name), Charge(36 / 6e4, 7.5e-3, 1e-5, "a3", 0.028))
    assert 0.010 < rig.load_to(14 * PSI, 30.0) < 0.020


def test_disc_stack_takes_grams_of_coarse_debris_to_twenty_psi() -> None:
    """Hydraulic fluid at 20 L/min: 20 psi only after some grams of coarse debris (practice, no source)."""
    net = shipped("disc-stack")
    mix = np.array([2.0, 2.0, 6.0, 10.0, 15.0, 25.0, 30.0, 10.0])
    rig = MultipassRig(net, Charge(20 / 6e4, 1.2e-2, 0.0, "a4", 0.0115))

    def psi(kg: float) -> float:
        rig.stocks = rig.stocks.__class__(**{**vars(rig.stocks), "held": loaded(rig.element, mix, kg)})
        return rig.dp_pa() / PSI

    assert psi(0.5e-3) < psi(0.0) + 1.5
    assert psi(5e-3) < 20.0 < psi(20e-3)


def test_a_start_load_has_its_mass_and_follows_the_flow() -> None:
    """A load of 5 g is 5 g, and where one segment resists twice as much it holds less."""
    net = network(k=4, segment_r=np.array([1.0, 1.0, 1.0, 2.0]) * 1.7e9)
    held = loaded(element(net), A3, 5e-3)
    assert held.sum() == pytest.approx(5e-3, rel=1e-12)
    assert held.sum(axis=0)[3] < 0.95 * held.sum(axis=0)[0]


def test_an_element_without_a_medium_holds_no_deposit() -> None:
    """Nothing caught, nothing held: a rig whose filter has lost its medium starts, and without a deposit."""
    net = shipped("can-full-flow")
    bare = replace(
        net, dirt=replace(net.dirt_side, catcher=replace(net.dirt_side.catcher, beta=1.0, opening_m=1.0))
    )
    assert not loaded(element(bare), A3, 0.02).any()


def test_blocked_or_enormously_loaded_elements_stay_finite() -> None:
    """Infinite clean resistance, a tonne of dirt and none at all give finite numbers."""
    blocked = network(segment_r=np.full(12, np.inf))
    for net, kg in ((blocked, 0.0), (blocked, 1.0), (network(), 1000.0), (network(), 0.0), (gaps(), 1000.0)):
        el = element(net)
        assert np.isfinite(el.resistance(spread(net, kg))).all()
        assert np.isfinite(el.caught(spread(net, kg))).all()


def test_a_step_goes_as_far_as_the_growth_allows() -> None:
    """Under a heavy feed the step looked ahead lets the resistance grow by a few per cent, not by nothing."""
    net = shipped("can-full-flow")
    law, feed = element(net), A3 * 1e-4
    flow = OilFlow(np.full(net.segments, 1e-4), 0.0, 7.5e-3, 3e-4, np.zeros(CLASSES))
    start = advance(empty(net.segments), flow, law.caught(0.0 * spread(net, 1.0)), feed, 20.0)
    now = law.resistance(start.held, start.sludge)
    ahead = look_ahead(law, start, flow, feed, 60.0, now)
    after = advance(start, flow, law.caught(start.held), feed, ahead.step_s)
    grown = float((law.resistance(after.held, after.sludge) / now).max()) - 1.0
    assert 0.2 * GROWTH < grown <= GROWTH
    assert ahead.step_s < 60.0
