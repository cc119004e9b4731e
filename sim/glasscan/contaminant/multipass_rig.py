"""A multi-pass rig: steady flow, steady injection into a mixed reservoir, until the element is loaded.

After the idea of ISO 16889: clean the reservoir through the element while dust of a known kind is let in at a
known rate; compare counts before and behind; stop at a terminal differential pressure. The flow is held, so
nothing of the engine is needed.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from glasscan.contaminant.classes import counts_per_ml, dust_shares
from glasscan.contaminant.contaminant_state import look_ahead, sink_m_s
from glasscan.contaminant.element import Element
from glasscan.contaminant.particle_counts import downstream_kg_m3, upstream_kg_m3
from glasscan.contaminant.stocks import OilFlow, Stocks, advance, empty
from glasscan.filters.network import FilterNetwork
from glasscan.rig.filter_flow import minor_coefficient
from glasscan.rig.network_flow import Condenser

Floats = NDArray[np.float64]


@dataclass(frozen=True)
class Charge:
    """Settings of a test: flow m3/s, reservoir m3, injected mass kg/s, dust, oil (Pa s, kg/m3)."""

    flow_m3s: float
    oil_m3: float
    feed_kg_s: float
    dust: str = "a3"
    mu_pa_s: float = 0.013
    rho_kg_m3: float = 850.0


@dataclass
class MultipassRig:
    """The rig with its element; the bypass is held shut.

    Attributes:
        network: the filter.
        charge: settings.
        t_s: time since injection began, s.
        stocks: where the dust is.
    """

    network: FilterNetwork
    charge: Charge
    t_s: float = 0.0
    stocks: Stocks = field(init=False)

    def __post_init__(self) -> None:
        self.element = Element(self.network, self.network.dirt_side.catcher)
        self.stocks = empty(self.network.segments)
        self._feed = np.array(dust_shares(self.charge.dust)) * self.charge.feed_kg_s
        self._r = self.element.resistance(self.stocks.held)
        self._across: Floats | float = 0.0

    def flow(self) -> OilFlow:
        """The flows with the present deposit."""
        c = self.charge
        share = Condenser(self.network, self._r).at(0.0).share[:, 0]
        self._across = c.mu_pa_s * self._r * share * c.flow_m3s
        bowl = self.network.dirty_volume_m3
        return OilFlow(share * c.flow_m3s, 0.0, c.oil_m3, bowl, sink_m_s(c.mu_pa_s, c.rho_kg_m3))

    def dp_pa(self) -> float:
        """Differential pressure now, Pa."""
        c = self.charge
        paths = Condenser(self.network, self.element.resistance(self.stocks.held, None, self._across)).at(0.0)
        return (
            c.mu_pa_s * paths.ee * c.flow_m3s + minor_coefficient(self.network) * c.rho_kg_m3 * c.flow_m3s**2
        )

    def advance_to(self, t_end: float) -> None:
        """Advance to a moment, in steps that the growing deposit allows."""
        while self.t_s < t_end:
            flow, left = self.flow(), t_end - self.t_s
            ahead = look_ahead(self.element, self.stocks, flow, self._feed, left, self._r, self._across)
            caught = self.element.caught(self.stocks.held)
            self.stocks = advance(self.stocks, flow, caught, self._feed, ahead.step_s, None)
            self._r = self.element.resistance(self.stocks.held, None, self._across)
            self.t_s = t_end if ahead.step_s >= left else self.t_s + ahead.step_s

    def load_to(self, terminal_pa: float, every_s: float = 60.0, longest_s: float = 3.6e6) -> float:
        """Run to a differential pressure; returns the dust let in by then, kg."""
        while self.dp_pa() < terminal_pa and self.t_s < longest_s:
            self.advance_to(self.t_s + every_s)
        return float(self.stocks.let_in.sum())

    def reservoir_kg_m3(self) -> Floats:
        """(C,) mass of each class in the reservoir, kg/m3."""
        return np.asarray(self.stocks.suspended / self.charge.oil_m3)

    def beta(self, above_um: float) -> float:
        """Count upstream over count downstream above a size of the classes, now."""
        flow, caught = self.flow(), self.element.caught(self.stocks.held)
        up = counts_per_ml(upstream_kg_m3(self.stocks, flow), above_um)
        return up / counts_per_ml(downstream_kg_m3(self.stocks, flow, caught), above_um)
