"""Where each number of the state vector stands.

The first `implicit(C)` numbers are solved together by the implicit method; the rest are running totals that
feed nothing back within a step (deposits do so between steps).
"""

from __future__ import annotations

CAN, GALLERY, LIFT, SPEED, BRISTLE, REG, GAUGE = range(7)  # m3 over full (two), m, m/s, m, m, Pa
T_SUMP, T_FILTER, T_GALLERY, T_BEARING, T_BLOCK = range(7, 12)  # degC
SUSPENDED = 12  # (C,) contaminant in the oil, kg
TOTALS = 6  # pumped, returned, filtered, unfiltered m3; pump work, heat of all throttling J


def implicit(classes: int) -> int:
    """Numbers solved implicitly."""
    return SUSPENDED + classes


def pumped(classes: int) -> int:
    """Place of the first running total."""
    return SUSPENDED + classes


def dirt_in(classes: int) -> int:
    """Place of the (C,) contaminant let in."""
    return pumped(classes) + TOTALS


def deposit(classes: int) -> int:
    """Place of the (C, K) deposit, row by row."""
    return dirt_in(classes) + classes


def size(classes: int, segments: int) -> int:
    """Length of the state vector."""
    return deposit(classes) + classes * segments
