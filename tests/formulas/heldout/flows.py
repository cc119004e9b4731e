"""Held-out velocities in the solved can: what must flow through a circle, whatever the field looks like."""

from __future__ import annotations

from collections.abc import Iterator

from tests.formulas.heldout.case import Case


def cases() -> Iterator[Case]:
    """In the developed flow of the outlet the speed on the axis is twice the mean (Poiseuille)."""
    at = {"filter": "can-full-flow", "lift_mm": 0.0, "r_mm": 0.0, "z_mm": 1.0}
    yield Case("filter-velocity", at, -2.0, "Hagen-Poiseuille", 0.03, "u_z_over_outlet")
