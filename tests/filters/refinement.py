"""Grid refinement: drops of each filter with error bars. `python -m tests.filters.refinement` prints them."""

from __future__ import annotations

import numpy as np
import yaml

from sim.filters.build import build
from sim.filters.data import FilterData
from sim.resources import asset

FILTERS = ("can-full-flow", "cartridge-bowl", "disc-stack")
SAFETY = 1.25  # factor of the grid convergence index, Roache 1994 (J. Fluids Eng. 116, 405), from memory


def drops(name: str, fineness: float) -> np.ndarray:
    """Drops over mu of dirty chamber, element and clean chamber for 1 m3/s spread evenly, 1/m3."""
    data = FilterData.model_validate(yaml.safe_load(asset("filters", f"{name}.yaml").read_text()))
    network = build(data, fineness=fineness).network
    k = network.segments
    flows = np.array([1.0, *[-1 / k] * k, 0.0])
    element = float(network.segment_r.mean()) / k
    return np.array([flows @ network.dirty @ flows, element, flows @ network.clean[-1] @ flows])


def study(name: str, usual: float = 1.0, fine: float = 1.5) -> tuple[np.ndarray, np.ndarray, float]:
    """Drops on the usual grid, error bars of its two chambers, and of the whole filter, relative.

    A bar is the safety factor times what second-order extrapolation from the two grids adds to the usual one.
    """
    coarse, finer = drops(name, usual), drops(name, fine)
    gap = SAFETY * np.abs(finer - coarse) / (1 - (usual / fine) ** 2)
    return coarse, gap[[0, 2]] / coarse[[0, 2]], float(gap.sum() / coarse.sum())


if __name__ == "__main__":
    for one in FILTERS:
        values, chambers, whole = study(one)
        told = ", ".join(f"{v:.3g}" for v in values)
        bars = ", ".join(f"{100 * b:.1f} %" for b in chambers)
        print(f"{one}: dirty, element, clean {told} 1/m3; bars: chambers {bars}, whole {100 * whole:.2f} %")
