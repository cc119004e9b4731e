"""Where on the open filter a finding was made: numbers that stand on the part and before the reading."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np
import pygame

from glasscan.learning.cases.test_menu import Test
from glasscan.ui.canvas import Canvas
from glasscan.window.cases.closed_filter import OPENS
from glasscan.window.contract import Part
from glasscan.window.cutaway.section_view import View

SPOTS: dict[str, tuple[str, ...]] = {
    "cake_ratio": ("medium", "discs"),
    "bubble_kpa": ("medium",),
    "hole_at_end": ("top-cap", "upper-cap"),
    "hole_at_foot": ("bottom-cap", "lower-cap"),
    "core_dent": ("core",),
    "inlet_open_share": ("base", "head"),
    "lip_leak": ("antidrain",),
    "widest_gap_ratio": ("discs",),
    "bands_ratio": ("blades",),
    "stack_turns": ("shaft",),
    "bench_crack_kpa": ("valve-poppet",),
    "bench_leak_ml_min": ("valve-seat", "valve-poppet"),
}
"""Observables that are looked for on a part of the filter, and keys of the parts it may be."""
FIRST_SIGN = 0x2460  # a one in a ring


def numbered(whats: Sequence[str], parts: Sequence[Part]) -> dict[str, int]:
    """Numbers of parts, 1, 2, ... in the order in which findings were made on them.

    Args:
        whats: observables read on the open filter so far.
        parts: of the filter.
    """
    keys = {part.key for part in parts}
    places = [next((key for key in SPOTS.get(what, ()) if key in keys), None) for what in whats]
    return {key: k for k, key in enumerate(dict.fromkeys(key for key in places if key), 1)}


def sign(what: str, numbers: Mapping[str, int]) -> str:
    """The number of a reading's part in a ring; empty where it has none."""
    key = next((key for key in SPOTS.get(what, ()) if key in numbers), None)
    return chr(FIRST_SIGN + numbers[key] - 1) if key is not None else ""


def read_inside(tests: Sequence[Test]) -> list[str]:
    """Observables of the tests that opened the filter, in order."""
    return [reading.what for test in tests if test.test in OPENS for reading in test.reads]


def draw_numbers(canvas: Canvas, view: View, parts: Sequence[Part], numbers: Mapping[str, int]) -> None:
    """Numbers on the parts; each on the side that is still free, none over another."""
    r = canvas.tp(17)
    taken: list[pygame.Rect] = []
    for part in parts:
        if part.key not in numbers:
            continue
        sides = (-1, 1) if part.mirrored else (-1,) if part.left_only else (1,)
        for side in sides:
            x, y = view.points(np.array([part.label_at]), side)[0]
            box = pygame.Rect(round(x) - r, round(y) - r, 2 * r, 2 * r)
            if box.collidelist(taken) < 0:
                pygame.draw.circle(canvas.surface, canvas.theme["accent"], box.center, r)
                canvas.text(str(numbers[part.key]), box, colour="on_accent", bold=True, align="centre")
                taken.append(box)
                break
