"""A hand-made filter and rig, so that the plant is tested without any particular can."""

from __future__ import annotations

from typing import Any

import numpy as np
import yaml
from glasscan.filters.network import FilterNetwork, MinorLoss, ValveSpec
from glasscan.filters.path_table import PathTable, from_ports
from glasscan.laws.fluid import Fluid
from glasscan.laws.seats import cone_area_m2
from glasscan.paths import asset
from glasscan.rig.plant_data import PlantData
from glasscan.rig.setup import RigSetup
from glasscan.rig.throttle import gap_coefficients

SAE50 = Fluid("sae-50", ((40.0, 220.0), (100.0, 20.0)), 890.0)
VALVE = ValveSpec(
    seat_d_m=0.014,
    half_angle_deg=45.0,
    ball_d_m=None,
    rate_n_m=1500.0,
    preload_n=13.0,
    max_lift_m=0.005,
    mass_kg=0.006,
    cd=0.7,
    leak_area_m2=2e-8,
    friction_n=0.5,
)


def chamber(k: int, scale: float, rng_seed: int = 3) -> np.ndarray:
    """A symmetric, positive semi-definite port matrix with constant pressures in its null space, 1/m3."""
    rng = np.random.default_rng(rng_seed)
    root = rng.normal(size=(k + 2, k + 2))
    level = np.eye(k + 2) - 1.0 / (k + 2)
    return np.asarray(scale * level @ (root @ root.T / (k + 2) + np.eye(k + 2)) @ level)


LIFTS = np.concatenate([[0.0], np.geomspace(1e-6, 5e-3, 25)])


def dirty_ports(k: int = 12) -> np.ndarray:
    """Port matrix of the dirty chamber: inlet, segments, valve, 1/m3."""
    return chamber(k, 2e6, 3)


def clean_ports(lift_m: float, k: int = 12) -> np.ndarray:
    """Port matrix of the clean chamber at a lift: outlet, segments, valve, 1/m3."""
    knots, matrices = (0.0, 1.5e-3, 5e-3), (chamber(k, 4e6, 4), chamber(k, 4e6, 5), chamber(k, 3e6, 6))
    j = int(lift_m > knots[1])
    w = (lift_m - knots[j]) / (knots[j + 1] - knots[j])
    return np.asarray((1 - w) * matrices[j] + w * matrices[j + 1])


def throat_r(lift_m: float) -> float:
    """Creeping resistance of the valve's opening as a slit (Hasimoto 1958), 1/m3."""
    area = cone_area_m2(VALVE.seat_d_m, lift_m, VALVE.half_angle_deg)
    return gap_coefficients(area, np.pi * VALVE.seat_d_m, VALVE.cd, 1.0, 1.0)[1] if area > 0 else np.inf


def paths(k: int = 12) -> PathTable:
    """Two chambers with a slit between them."""
    clean = np.stack([clean_ports(lift, k) for lift in LIFTS.tolist()])
    throats = np.array([throat_r(lift) for lift in LIFTS.tolist()])
    return from_ports(dirty_ports(k), clean, LIFTS, throats, VALVE.seat_area_m2)


def network(
    k: int = 12, total_r: float = 4.2e8, valve: ValveSpec | None = VALVE, **change: Any
) -> FilterNetwork:
    """A can-like network of k equal segments; `total_r` is the whole element's resistance, 1/m3."""
    values: dict[str, Any] = {
        "paths": paths(k),
        "segment_area_m2": np.full(k, 0.15 / k),
        "segment_r": np.full(k, total_r * k),
        "valve": valve,
        "losses": (
            MinorLoss("inlet holes", 1.5, 8 * np.pi * 0.009**2 / 4, "inlet"),
            MinorLoss("outlet", 1.0, np.pi * 0.022**2 / 4, "outlet"),
        ),
        "dirty_volume_m3": 4.5e-4,
        "clean_volume_m3": 1.5e-4,
        "rating_um": 20.0,
    }
    return FilterNetwork(**(values | change))


def plant(**change: float) -> PlantData:
    """The shipped rig, with numbers changed: `pump__displacement_ml_rev=...`."""
    data = yaml.safe_load(asset("plants", "piston-single.yaml").read_text(encoding="utf-8"))
    for key, value in change.items():
        block, name = key.split("__")
        data[block][name] = value
    return PlantData.model_validate(data)


def setup(**change: Any) -> RigSetup:
    """A setup with the stand-in filter and the shipped rig."""
    values: dict[str, Any] = {"fluid": SAE50, "network": network(), "plant": plant(), "air_c": -5.0}
    return RigSetup(**(values | change))
