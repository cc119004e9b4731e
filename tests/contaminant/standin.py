"""Stand-ins for the tests of the contaminant: catchers, networks and shipped filters, solved once."""

from __future__ import annotations

from functools import cache

import numpy as np
from glasscan.filters.build import build
from glasscan.filters.element_capture import Catcher, DirtSide, Scraper
from glasscan.filters.filter_data import FilterData
from glasscan.filters.network import FilterNetwork
from glasscan.learning.catalogue import load_filter

from tests.rig.standin import network

SCRAPER = Scraper(cleared_per_turn=0.45, loose_share=0.1, sink_m=0.06, stir_m3s=40e-3 / 60, stir_s=300.0)


@cache
def shipped(name: str) -> FilterNetwork:
    """Network of a shipped filter."""
    return build(FilterData(load_filter(name))).network


def gaps(**change: object) -> FilterNetwork:
    """A hand-made stack of six gaps with blades."""
    catcher = Catcher(
        np.array([80e-6]), 0.25, None, 127e-6, 20.0, porosity=0.5, block_kg_m2=0.05, first_grain=0.0
    )
    side = DirtSide(catcher, SCRAPER)
    return network(k=6, segment_area_m2=np.full(6, 1e-3), dirt=side, **change)
