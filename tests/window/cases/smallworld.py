"""A small stand-in for the atlas of a case: the real model, but few faults, so that it is there at once."""

from __future__ import annotations

from glasscan.faults import fault_data
from glasscan.learning.cases import atlas as store
from glasscan.learning.cases import case_play, generate, solver

FEW = ("F01", "F06", "F08", "F12", "F20", "F23a", "F25")


def small_world(patch, folder):
    """Only few faults, no double ones, a cache folder of its own; nothing remembered from before.

    Args:
        patch: a `pytest.MonkeyPatch`, or anything with its `setattr`.
        folder: for the cache.
    """

    def few(kind, layout):
        return tuple(fault for fault in fault_data.acting(kind, layout) if fault.fault in FEW)

    patch.setattr(store, "acting", few)
    patch.setattr(store, "pairs_acting", nobody)
    for module in (generate, solver):
        patch.setattr(module, "partners", nobody)
    patch.setattr(store, "_folder", lambda: folder)
    patch.setattr(store, "_known", {})
    forget()


def nobody(*_):
    """No partners, no pairs."""
    return ()


def forget():
    """Empty what is remembered of cases, before and after the small world."""
    for remembered in (
        case_play.hidden_of,
        generate.field,
        generate._cut_short,
        generate._swapped,
        store.sound_rig,
    ):
        remembered.cache_clear()
