"""The collector of unused objects kept out of the frames.

A collection looks at every living object and holds up all threads meanwhile: with the code of the solver read
in that is a tenth of a second, six frames. What lasts for good is set aside once; what a lesson leaves behind
is collected while the next one loads.
"""

from __future__ import annotations

import gc
from importlib import import_module

LASTING = (
    "glasscan.window.lesson.lesson_screen",
    "glasscan.window.lesson.lesson_loading",
    "glasscan.learning.assemble",
    "glasscan.filters.carriers",
)
THRESHOLDS = (50_000, 20, 100)


def read_in() -> None:
    """Read in the code that every lesson needs, and set it aside where that was not done before."""
    if gc.get_threshold() == THRESHOLDS:
        return
    for name in LASTING:
        import_module(name)
    gc.freeze()
    gc.set_threshold(*THRESHOLDS)


def clear_up() -> None:
    """Let go of what earlier lessons left in circles; quick, as what lasts is set aside."""
    read_in()
    gc.collect()
