"""What `glasscan shot` can show, and the facts of a picture that its `--json` always names."""

from __future__ import annotations

VIEWS = ("section", "closer", "circuit", "valve", "beside")
FACTS = (
    "slow_motion",
    "flow_law",
    "oil_level_mm",
    "handle_deg",
    "disc_deg",
    "combed_mg",
    "heap_mm3",
    "deposit_g_m2",
    "hole",
    "leak_ml",
    "void_share",
    "valve_lift_mm",
    "unfiltered_share",
    "ribbons",
)
"""Each is noted by the code that draws it (`Canvas.record`); what a picture does not show is None."""
