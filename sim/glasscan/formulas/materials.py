"""Figures of materials: densities of debris, slip coefficients of porous bodies."""

from __future__ import annotations

from typing import Any

import yaml

from glasscan.formulas.registry import figure, word
from glasscan.laws.porous import SLIP_COEFFICIENTS
from glasscan.paths import asset

MATERIALS: dict[str, dict[str, Any]] = {
    item["key"]: item
    for item in yaml.safe_load(asset("debris", "materials.yaml").read_text(encoding="utf-8"))["materials"]
}


@figure(
    "material-density",
    word("material", MATERIALS),
    unit="kg/m3",
    method="density as the model uses it for particles and debris; `magnetic`, `origin` and `status` of "
    "the number",
    source="assets/debris/materials.yaml; each material names its own source",
)
def _density(material: str) -> dict[str, Any]:
    entry = MATERIALS[material]
    told = {"magnetic": entry["magnetic"], "origin": entry["source"], "status": entry["status"]}
    return {"value": float(entry["density_kg_m3"]), **told}


@figure(
    "slip-coefficient",
    word("body", SLIP_COEFFICIENTS),
    unit="-",
    method="measured alpha of `beavers-joseph` for a face of that body, named by material and mean pore "
    "in inches",
    source="Beavers & Joseph 1967, J. Fluid Mech. 30, 197, table (recalled; status: MEMORY)",
)
def _slip(body: str) -> float:
    return SLIP_COEFFICIENTS[body]
