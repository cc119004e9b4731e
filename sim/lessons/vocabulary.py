"""Words that scenario files may use for events and trace columns; a test holds them to the plant's own."""

from __future__ import annotations

EVENTS = (
    "bypass-cracks",
    "bypass-full",
    "bypass-seats",
    "gallery-full",
    "pressure-green",
    "indicator-pops",
)
