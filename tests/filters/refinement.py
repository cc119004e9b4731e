"""Grid refinement: drops of each filter with error bars. `python -m tests.filters.refinement` prints them.

With `order`: on three grids, with the orders of convergence observed (takes minutes).
"""

from __future__ import annotations

import sys

import numpy as np
import yaml
from glasscan.filters.build import layout_of
from glasscan.filters.disc_stack.geometry import gap_resistances
from glasscan.filters.filter_data import FilterData
from glasscan.filters.layout import PER_TURN
from glasscan.filters.levels import chambers_at
from glasscan.filters.network_building import pleat_resistances
from glasscan.paths import asset

FILTERS = ("can-full-flow", "cartridge-bowl", "disc-stack")
SAFETY = 1.25  # factor of the grid convergence index, Roache 1994 (J. Fluids Eng. 116, 405), from memory


def drops(name: str, fineness: float) -> np.ndarray:
    """Drops over mu of dirty chamber, element and clean chamber for 1 m3/s spread evenly, 1/m3."""
    data = FilterData.model_validate(yaml.safe_load(asset("filters", f"{name}.yaml").read_text()))
    dirty, clean = chambers_at(layout_of(data, fineness), 0.0)
    k = dirty.flows.shape[1] - 1
    even = np.append(np.full(k, 1 / k), 0.0)
    powers = [even @ (part.flows.T @ part.stress) @ even / PER_TURN for part in (dirty, clean)]
    kind = data.root
    medium = gap_resistances(kind.stack) if kind.kind == "disc" else pleat_resistances(kind.element)
    return np.array([powers[0], float(medium.mean()) / k, powers[1]])


def study(name: str, usual: float = 1.0, fine: float = 1.5) -> tuple[np.ndarray, np.ndarray, float]:
    """Drops on the usual grid, error bars of its two chambers, and of the whole filter, relative.

    A bar is the safety factor times what second-order extrapolation from the two grids adds to the usual one.
    """
    coarse, finer = drops(name, usual), drops(name, fine)
    gap = SAFETY * np.abs(finer - coarse) / (1 - (usual / fine) ** 2)
    return coarse, gap[[0, 2]] / coarse[[0, 2]], float(gap.sum() / coarse.sum())


def order(name: str, ratio: float = 1.5) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Drops, observed orders and error bars of dirty chamber, element and clean chamber on three grids.

    The grids are the usual one and those `ratio` and its square times as fine. Bar after Roache: the finest
    value moved by `f3 - f2`, so it is `1.25 |f3 - f2|/(ratio^p - 1)` from its limit, p as found, at most 2.
    """
    one, two, three = (drops(name, ratio**level) for level in range(3))
    with np.errstate(divide="ignore", invalid="ignore"):
        found = np.log(np.abs((two - one) / (three - two))) / np.log(ratio)
    taken = np.clip(np.nan_to_num(found, nan=2.0, posinf=2.0), 0.5, 2.0)
    return three, found, SAFETY * np.abs(three - two) / (ratio**taken - 1) / three


def _tell_order() -> None:
    for one in FILTERS:
        values, orders, bars = order(one)
        told = ", ".join(
            f"{v:.4g} (order {p:.2f}, bar {100 * b:.2f} %)"
            for v, p, b in zip(values, orders, bars, strict=True)
        )
        print(f"{one}: dirty, element, clean {told}", flush=True)


if __name__ == "__main__":
    if "order" in sys.argv[1:]:
        _tell_order()
        raise SystemExit
    for one in FILTERS:
        values, chambers, whole = study(one)
        told = ", ".join(f"{v:.3g}" for v in values)
        bars = ", ".join(f"{100 * b:.1f} %" for b in chambers)
        print(f"{one}: dirty, element, clean {told} 1/m3; bars: chambers {bars}, whole {100 * whole:.2f} %")
