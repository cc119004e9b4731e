"""A small world of data files for tests: names only where the content does not matter."""

from __future__ import annotations

from pathlib import Path

FLUID = """\
name: thin-oil
title: Thin oil
family: mineral
kv_points:
  - {t_c: 40.0, nu_mm2_s: 30.0}
  - {t_c: 100.0, nu_mm2_s: 5.0}
rho15_kg_m3: 870.0
source: invented for a test
status: PRACTICE
"""

SCENARIO = """\
scenario: morning
title: Morning
about: A test.
world: invented
filter: small-can
fluid: thin-oil
air_c: -5.0
plant:
  rig: small-rig
  regulator: after
timeline:
  - {at_s: 2.0, set: rpm, to: 900, over_s: 3.0}
end_s: 60
prompts:
  - kind: numeric
    id: peak
    ask: Largest difference at {air_c} degC?
    quantity: {of: largest, trace: dp_kpa}
    unit: kPa
"""


def build_world(root: Path) -> Path:
    """Write the files and give back the root."""
    files = {
        "assets/fluids/thin-oil.yaml": FLUID,
        "assets/fluids/thick-oil.yaml": FLUID.replace("thin-oil", "thick-oil"),
        "assets/filters/small-can.yaml": "",
        "assets/plants/small-rig.yaml": "",
        "scenarios/morning.yaml": SCENARIO,
    }
    for name, text in files.items():
        (root / name).parent.mkdir(parents=True, exist_ok=True)
        (root / name).write_text(text, encoding="utf-8")
    return root
