"""Viscosity index by ASTM D2270, procedures A and B, all in mm2/s as the standard states them."""

from __future__ import annotations

import math

import numpy as np

from glasscan.laws.vi_table import VI_TABLE

KV100_MIN_MM2_S = 2.0
KV100_TABLE_END_MM2_S = 70.0
_KV100, _L, _H = (np.array(column) for column in zip(*VI_TABLE, strict=True))


def reference_oils_mm2_s(kv100_mm2_s: float) -> tuple[float, float]:
    """Viscosities (L, H) at 40 degC of the oils of index 0 and 100 that share `kv100_mm2_s`, mm2/s.

    Raises:
        ValueError: below 2 mm2/s, where the standard does not apply.
    """
    if not KV100_MIN_MM2_S <= kv100_mm2_s < math.inf:
        raise ValueError(
            f"the viscosity index is defined from {KV100_MIN_MM2_S:g} mm2/s at 100 degC upward, "
            f"got {kv100_mm2_s:g} mm2/s"
        )
    if kv100_mm2_s <= KV100_TABLE_END_MM2_S:
        return float(np.interp(kv100_mm2_s, _KV100, _L)), float(np.interp(kv100_mm2_s, _KV100, _H))
    low = (0.8353 * kv100_mm2_s + 14.67) * kv100_mm2_s - 216.0
    high = (0.1684 * kv100_mm2_s + 11.85) * kv100_mm2_s - 97.0
    return low, high


def viscosity_index(kv40_mm2_s: float, kv100_mm2_s: float) -> float:
    """Viscosity index, unrounded, dimensionless.

    Procedure A up to index 100, procedure B above; both give 100 where they meet.

    Raises:
        ValueError: where `kv100_mm2_s` is below 2 mm2/s or the oil does not thin from 40 to 100 degC.
    """
    low, high = reference_oils_mm2_s(kv100_mm2_s)
    if not kv100_mm2_s < kv40_mm2_s < math.inf:
        raise ValueError(
            f"oil thins when warmed: {kv40_mm2_s:g} mm2/s at 40 degC must exceed "
            f"{kv100_mm2_s:g} mm2/s at 100 degC"
        )
    if kv40_mm2_s >= high:
        return 100.0 * (low - kv40_mm2_s) / (low - high)
    power = math.log(high / kv40_mm2_s) / math.log(kv100_mm2_s)
    return 100.0 + (math.pow(10.0, power) - 1.0) / 0.00715


def rounded_index(index: float) -> int:
    """The index as the standard reports it: nearest whole number, halves to the even one."""
    return round(index)
