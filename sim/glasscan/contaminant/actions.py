"""What hands do to the dirt while the rig runs: turn the scraper, drain the bowl, let dirt in.

Cake leaves the gaps by the fraction that a full turn clears; part of a turn clears part of the circle. Most
of it sinks as flakes; the loose share floats until it settles or the oil carries it to the element again.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import dust_shares
from glasscan.contaminant.stocks import Stocks
from glasscan.filters.element_capture import DirtSide, Faults, Scraper

Floats = NDArray[np.float64]

LIMITS = {
    "scraper_turns": (0.0, 100.0),
    "handle_deg": (0.0, 1e6),
    "drain_bowl": (0.0, 1.0),
    "add_dirt_g": (0.0, 500.0),
    "indicator_reset": (0.0, 1.0),
}
WORDS = {
    "scraper_turns": "scraper-turned",
    "handle_deg": "scraper-turned",
    "drain_bowl": "bowl-drained",
    "add_dirt_g": "dirt-added",
    "indicator_reset": "indicator-reset",
}
CHURNED = 0.02  # share of the sludge beside the discs that a turn stirs up; no source
BANDS = 3  # bent blades stand together: the gaps they miss lie in this many bands


def checked(key: str, value: object, side: DirtSide) -> float:
    """The number of an action.

    Raises:
        ValueError: no number, out of range, or the filter has no scraper; in one line.
    """
    low, high = LIMITS[key]
    if isinstance(value, bool):
        value = float(value)
    if not isinstance(value, int | float) or not low <= value <= high:
        raise ValueError(f"{key}: expected {low:g} to {high:g}, got {value!r}")
    if key in ("scraper_turns", "handle_deg", "drain_bowl") and side.scraper is None:
        raise ValueError(f"{key}: this filter has no scraper")
    return float(value)


def acted(stocks: Stocks, key: str, amount: float, side: DirtSide, faults: Faults, dust: str) -> Stocks:
    """The masses after an action.

    Args:
        stocks: before.
        key, amount: as checked by `checked`; the handle is turned by `glasscan.rig.handle`.
        side: the filter.
        faults: of blades and drive.
        dust: test dust whose sizes added dirt has.
    """
    if key == "add_dirt_g":
        more = np.array(dust_shares(dust)) * (amount * 1e-3)
        return replace(stocks, let_in=stocks.let_in + more, suspended=stocks.suspended + more)
    if key == "drain_bowl":
        return _drained(stocks, amount)
    return stocks if side.scraper is None else turned(stocks, amount, side.scraper, faults)


def _drained(stocks: Stocks, share: float) -> Stocks:
    out = share * stocks.sludge, share * stocks.loose
    return replace(
        stocks,
        sludge=stocks.sludge - out[0],
        loose=stocks.loose - out[1],
        drained=stocks.drained + out[0] + out[1],
    )


def turned(stocks: Stocks, turns: float, scraper: Scraper, faults: Faults) -> Stocks:
    """The masses after some turns of the handle."""
    left = kept_share(stocks.held.shape[1], turns, scraper, faults)
    return taken_off(stocks, left, turns * faults.drive, scraper)


def taken_off(stocks: Stocks, left: Floats, turns: float, scraper: Scraper) -> Stocks:
    """The masses after the gaps have kept a share of their deposit, (K,), in some turns of the stack."""
    held = stocks.held * left
    off = (stocks.held - held).sum(axis=1)
    loose = scraper.loose_share * off
    churned = stocks.sludge * churned_share(float(stocks.sludge.sum()), turns, scraper)
    return replace(
        stocks,
        held=held,
        loose=stocks.loose + loose + churned,
        sludge=stocks.sludge + (off - loose) - churned,
    )


def churned_share(sludge_kg: float, turns: float, scraper: Scraper) -> float:
    """Share of the sludge that turning the stack stirs up: a part of what stands beside the discs."""
    _, beside = scraper.covered(sludge_kg)
    return float(beside * (1.0 - (1.0 - CHURNED) ** turns))


def kept_share(gaps: int, turns: float, scraper: Scraper, faults: Faults) -> Floats:
    """(K,) share of its deposit that each gap keeps, `(1 - c)^n (1 - c f)` for n whole turns and a part f."""
    cleared = scraper.cleared_per_turn * faults.bite
    whole, part = divmod(turns * faults.drive, 1.0)
    kept = (1.0 - cleared) ** whole * (1.0 - cleared * part)
    return np.where(missed_gaps(gaps, faults.missed), 1.0, kept)


def missed_gaps(gaps: int, share: float) -> NDArray[np.bool_]:
    """(K,) gaps that bent blades leave uncombed: a share of all, in bands spread over the stack."""
    place = (np.arange(gaps) + 0.5) / gaps * BANDS % 1.0
    order = np.argsort(np.argsort(np.abs(place - 0.5), kind="stable"), kind="stable")
    return np.asarray(order < round(share * gaps))
