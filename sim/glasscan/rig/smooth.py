"""Corners rounded off, so that an implicit method can pass them."""

from __future__ import annotations

from math import sqrt


def smooth_positive(x: float, width: float) -> float:
    """`max(x, 0)` rounded off over `width`, always above zero (no cancellation far below)."""
    root = sqrt(x * x + width * width)
    return 0.5 * (x + root) if x >= 0.0 else 0.5 * width * width / (root - x)


def smooth_step(x: float) -> float:
    """0 up to nought, 1 from one on, between them the cubic without a corner."""
    if x <= 0.0:
        return 0.0
    return x * x * (3.0 - 2.0 * x) if x < 1.0 else 1.0
