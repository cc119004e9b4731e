"""The contaminant of one rig: from the rig's settings and flows to the next masses."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import PER_SIZE_1_M, SIZE_M, SOLID_KG_M3, dust_shares
from glasscan.contaminant.element import Element
from glasscan.contaminant.stocks import OilFlow, Stocks, advance, empty
from glasscan.filters.element_capture import Faults
from glasscan.filters.network import FilterNetwork
from glasscan.laws.drag import stokes_speed_m_s
from glasscan.rig.plant_data import DirtData, ScraperData

Floats = NDArray[np.float64]

GROWTH = 0.05  # growth of any segment's resistance allowed in one step
RENEW = 1e-5  # change of resistance that makes the condensed filter be renewed
SQUEEZED = 1e-3  # the same where nothing is caught and only the pressure on the cake changes
_TRIES = 12
LAYERS = 40  # of the deposit that an element holds at the start


@dataclass(frozen=True, slots=True)
class Ahead:
    """A look ahead: longest step allowed, s, and the resistances in its middle, (K,), 1/m3."""

    step_s: float
    segment_r: Floats


def feed_kg_s(dirt: DirtData, speed_share: float) -> Floats:
    """(C,) contaminant let in at a share of the reference speed, kg/s."""
    return _feed(dirt) * max(speed_share, 0.0)


@lru_cache(maxsize=16)
def _feed(dirt: DirtData) -> Floats:
    wear = np.array(dirt.wear_pct) / 100.0 * dirt.wear_mg_h
    return np.asarray((wear + np.array(dust_shares(dirt.dust)) * dirt.dust_mg_h) * 1e-6 / 3600.0)


def faults_of(data: ScraperData) -> Faults:
    """Condition of blades and drive."""
    return Faults(bite=data.bite, drive=data.drive, missed=data.missed)


def start_stocks(
    network: FilterNetwork, element: Element, dirt: DirtData, held_kg: float, sludge_kg: float = 0.0
) -> Stocks:
    """The masses at the start.

    Args:
        network: the filter.
        element: its laws.
        dirt: settings.
        held_kg: what the element holds already.
        sludge_kg: what lies in the bowl already: cake that was combed off.
    """
    afloat = np.array(dust_shares(dirt.start)) * dirt.start_mg * 1e-6
    feed = feed_kg_s(dirt, 1.0)
    mix = feed if feed.any() else np.array(dust_shares(dirt.dust))
    cake = loaded(element, mix, sludge_kg).sum(axis=1)
    held = loaded(element, mix, held_kg)
    return replace(empty(network.segments), suspended=afloat, held=held, sludge=cake)


def loaded(element: Element, mix: Floats, held_kg: float) -> Floats:
    """(C, K) deposit of an element that has been in service, kg.

    It is built up in layers: each holds what the element with the layers before it catches of what comes in,
    shared as the flow is. An element that catches nothing at all (a torn-out medium) has no deposit.

    Args:
        element: its laws.
        mix: (C,) what comes in, any scale.
        held_kg: mass of the whole deposit.
    """
    held = np.zeros((len(SIZE_M), len(element.r)))
    for _ in range(LAYERS if held_kg > 0.0 else 0):
        layer = mix[:, None] * element.caught(held) / element.resistance(held)
        if not layer.any():
            break
        held = held + layer * (held_kg / LAYERS / layer.sum())
    return held


def sink_m_s(mu_pa_s: float, rho_kg_m3: float) -> Floats:
    """(C,) settling velocity of single grains in oil at rest (Stokes), m/s."""
    return np.array([stokes_speed_m_s(size, SOLID_KG_M3, rho_kg_m3, mu_pa_s) for size in SIZE_M.tolist()])


def look_ahead(
    element: Element,
    stocks: Stocks,
    flow: OilFlow,
    feed: Floats,
    wanted_s: float,
    now_r: Floats,
    across_pa: Floats | float = 0.0,
) -> Ahead:
    """How far one step may go before the deposit changes the flow too much.

    Args:
        element: its laws.
        stocks, flow, feed: as they are now.
        wanted_s: step wanted.
        now_r: (K,) resistances in use, 1/m3.
        across_pa: (K,) pressure across each segment, Pa.
    """
    caught = element.caught(stocks.held)
    h, begin = wanted_s, element.resistance(stocks.held, stocks.sludge, across_pa)
    for _ in range(_TRIES):
        held = advance(stocks, flow, caught, feed, h).held
        if held is stocks.held:
            return Ahead(wanted_s, _renewed(begin, now_r, SQUEEZED))
        growth = float((element.resistance(held, stocks.sludge, across_pa) / begin).max()) - 1.0
        if growth <= GROWTH:
            break
        h *= max(0.8 * GROWTH / growth, 1e-3)
    middle = element.resistance(0.5 * (stocks.held + held), stocks.sludge, across_pa)
    return Ahead(h, _renewed(middle, now_r, RENEW))


def _renewed(wanted_r: Floats, now_r: Floats, share: float) -> Floats:
    """The resistances in use, or the wanted ones where they differ by more than a share."""
    return wanted_r if bool((np.abs(wanted_r - now_r) > share * now_r).any()) else now_r


def mean_size_um(mass_kg: Floats) -> float:
    """Mean grain by surface (Sauter) of masses by class, um; 0 where there is none."""
    surface = float(PER_SIZE_1_M @ mass_kg)
    return float(mass_kg.sum()) / surface * 1e6 if surface > 0.0 else 0.0
