"""Where the contaminant is, class by class, and how a stretch of steady flow moves it.

The oil of the sump is one mixed volume; the dirty side of the filter follows it without delay. With the flows
of a step held at their means, the mass of each class obeys a linear law of one unknown, solved exactly: no
class goes negative, and what leaves one place arrives at another, however long the step.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import CLASSES
from glasscan.filters.element_capture import Scraper

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Stocks:
    """Masses by size class, kg.

    Attributes:
        let_in: (C,) come in since the start.
        suspended: (C,) in the oil.
        held: (C, K) held by the segments.
        loose: (C,) scraped or stirred up, floating in the bowl.
        sludge: (C,) at rest in the bowl.
        drained: (C,) taken out through the drain.
        leaked: (C,) gone with oil that leaked out.
        through: (C,) that went through the element uncaught, all passes counted.
        past: (C,) that went past the element by valve or leak, all passes counted.
    """

    let_in: Floats
    suspended: Floats
    held: Floats
    loose: Floats
    sludge: Floats
    drained: Floats
    leaked: Floats
    through: Floats
    past: Floats

    @property
    def total(self) -> Floats:
        """(C,) all that is anywhere, kg."""
        inside = self.suspended + self.held.sum(axis=1)
        return np.asarray(inside + self.loose + self.sludge + self.drained + self.leaked)


@dataclass(frozen=True, slots=True)
class OilFlow:
    """Mean flows of a stretch of time.

    Attributes:
        segments: (K,) through the segments, m3/s; backward flow counts as none.
        past: through valve and leaks, m3/s.
        oil_m3: oil that carries the suspended dirt, m3.
        bowl_m3: oil of the filter's dirty side, m3.
        sink_m_s: (C,) settling velocity of loose grains, m/s.
        leak: out of the rig for good, m3/s.
    """

    segments: Floats
    past: float
    oil_m3: float
    bowl_m3: float
    sink_m_s: Floats
    leak: float = 0.0


def empty(segments: int) -> Stocks:
    """No dirt anywhere."""
    none = np.zeros(CLASSES)
    return Stocks(none, none, np.zeros((CLASSES, segments)), *([none] * 6))


def is_still(stocks: Stocks, flow: OilFlow, feed_kg_s: Floats) -> bool:
    """Whether nothing can move: no dirt afloat and none coming in, or no flow and nothing sinking."""
    afloat = bool(feed_kg_s.any() or stocks.loose.any())
    if afloat:
        return False
    moving = flow.segments.max(initial=0.0) > 0.0 or flow.past > 0.0 or flow.leak > 0.0
    return not moving or not (stocks.suspended.any() or stocks.sludge.any())


def advance(
    stocks: Stocks, flow: OilFlow, caught: Floats, feed_kg_s: Floats, h: float, scraper: Scraper | None = None
) -> Stocks:
    """The masses after a stretch of time.

    Args:
        stocks: before.
        flow: its mean flows.
        caught: (C, K) share caught in one pass.
        feed_kg_s: (C,) contaminant let in.
        h: length, s.
        scraper: blades and bowl, where the filter has them.
    """
    if is_still(stocks, flow, feed_kg_s):
        return stocks
    inward = np.maximum(flow.segments, 0.0)
    past = max(flow.past, 0.0)
    whole = float(inward.sum()) + past
    take = caught @ inward  # (C,) m3/s of oil cleaned of each class
    loose, sludge, carried = _bowl(stocks, flow, whole, h, scraper)
    lodged = carried * (take / whole) if whole > 0.0 else carried
    source = feed_kg_s * h + (carried - lodged)
    away = take + max(flow.leak, 0.0)
    suspended, gone, dwell = _mixed(stocks.suspended, source, away * (h / flow.oil_m3), h)
    cleaned = gone * np.divide(take, away, out=np.zeros_like(take), where=away > 0.0)
    return replace(
        stocks,
        let_in=stocks.let_in + feed_kg_s * h,
        suspended=suspended,
        held=stocks.held + (cleaned + lodged)[:, None] * _where(caught, inward, take),
        loose=loose,
        sludge=sludge,
        leaked=stocks.leaked + (gone - cleaned),
        through=stocks.through + ((1.0 - caught) @ inward) * (dwell / flow.oil_m3 + _over(carried, whole)),
        past=stocks.past + past * (dwell / flow.oil_m3 + _over(carried, whole)),
    )


def _over(mass: Floats, flow_m3s: float) -> Floats:
    return mass / flow_m3s if flow_m3s > 0.0 else np.zeros_like(mass)


def _where(caught: Floats, inward: Floats, take: Floats) -> Floats:
    """(C, K) share of each class's catch that goes to each segment."""
    parts = caught * inward
    return np.divide(parts, take[:, None], out=np.zeros_like(parts), where=take[:, None] > 0.0)


def _mixed(start: Floats, source: Floats, x: Floats, h: float) -> tuple[Floats, Floats, Floats]:
    """Mixed volume cleaned at `x` volumes a stretch while `source` comes in evenly.

    Returns:
        (C,) mass at the end, mass cleaned out, and time integral of the mass (kg s).
    """
    kept, first, second = np.exp(-x), _phi1(x), _phi2(x)
    cleaned = np.maximum(start * -np.expm1(-x) + source * (1.0 - first), 0.0)
    return start * kept + source * first, cleaned, h * (start * first + source * second)


def _phi1(x: Floats) -> Floats:
    """(1 - e^-x)/x, 1 at nought."""
    return np.divide(-np.expm1(-x), x, out=np.ones_like(x), where=x > 0.0)


def _phi2(x: Floats) -> Floats:
    """(x - 1 + e^-x)/x^2, one half at nought; a series where the difference would lose its digits."""
    series = 0.5 + x * (-1 / 6 + x * (1 / 24 + x * (-1 / 120 + x / 720)))
    return np.divide(x + np.expm1(-x), x * x, out=series, where=x > 0.05)


def stirring_1_s(scraper: Scraper, sludge_kg: float, whole_m3s: float) -> float:
    """Rate at which settled sludge is stirred up, 1/s.

    Sludge below the stack is stirred by a fast flow only; what stands between discs and bowl lies in the
    stream, and the narrower the room it leaves, the sooner.
    """
    deep, high = scraper.covered(sludge_kg)
    below = max(whole_m3s / scraper.stir_m3s - 1.0, 0.0)
    between = max(whole_m3s / (scraper.stir_m3s * (1.0 - deep)) - 1.0, 0.0)
    return (below + high * (between - below)) / scraper.stir_s


def _bowl(
    stocks: Stocks, flow: OilFlow, whole: float, h: float, scraper: Scraper | None
) -> tuple[Floats, Floats, Floats]:
    """(C,) loose and sludge at the end and what the oil carried off; sinking and carrying compete."""
    none = np.zeros_like(stocks.loose)
    if scraper is None or not (stocks.loose.any() or stocks.sludge.any()):
        return stocks.loose, stocks.sludge, none
    pull = stirring_1_s(scraper, float(stocks.sludge.sum()), whole)
    loose = stocks.loose + stocks.sludge * -np.expm1(-pull * h)
    sinking, carrying = flow.sink_m_s / scraper.sink_m, whole / flow.bowl_m3
    rate = sinking + carrying
    gone = loose * -np.expm1(-rate * h)
    share = np.divide(carrying, rate, out=none, where=rate > 0.0)
    settled = stocks.sludge * np.exp(-pull * h) + gone * (1.0 - share)
    return loose * np.exp(-rate * h), settled, gone * share
