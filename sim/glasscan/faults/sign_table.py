"""Signs of a fault against the sound rig, column by column, as a fault table of the trade prints them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Sign = Literal["+", "0", "-", "~"]
"""More, no change seen, less, unsteady."""

PRESSURE_KPA = 10.0
"""Change of a gauge that counts as seen: half a needle's width of 3 psi (PRACTICE)."""
DP_SHARE, DP_KPA = 0.08, 0.7
"""Change of a differential pressure that counts: a share, and what two good gauges still tell (PRACTICE)."""
TIME_SHARE, TIME_S = 0.25, 1.0
"""Change of the time to pressure that counts as seen (PRACTICE)."""
FLOW_SHARE, COUNT_SHARE = 0.08, 0.15
"""Change of the engine's flow, and of the count ratio across the filter, that counts (PRACTICE)."""
PAST_SHARE = 0.1
"""Change that counts in the share of cold oil that goes past the element with its dirt (PRACTICE)."""
CODE = 2.0
"""One code of ISO 4406 is a factor of about two in the count: what a single sample can tell (MEMORY)."""
LEAK_ML_MIN = 0.5
"""Leak that is seen: ten drops a minute (20 drops to the millilitre, PRACTICE)."""

WARMER_K = 3.0
"""Change of the oil's temperature that counts, K: half a mark of a usual gauge (PRACTICE)."""
IRON = 2.0
"""Factor in what the magnet holds that counts as seen (PRACTICE)."""
LEVEL_L = 0.25
"""Oil more than filled that a dipstick shows, L (PRACTICE)."""

COLUMNS = ("t", "Pc", "Pi", "Pr", "dC", "dH", "IND", "Qe", "T", "PC", "MAG", "Leak")


def signs(values: Mapping[str, float], sound: Mapping[str, float]) -> dict[str, Sign]:
    """Sign of every column.

    Args:
        values: observables of the rig (`glasscan.faults.observables`).
        sound: the same of the sound rig.
    """

    def moved(name: str, share: float, least: float = 0.0) -> Sign:
        return _sign(values[name] - sound[name], max(share * abs(sound[name]), least))

    def popped(name: str) -> Sign:
        return _sign(values[name] - sound[name], 0.5)

    def needle(name: str) -> Sign:
        unsteady = values[f"flutter_{name}_kpa"] > 0.5 * PRESSURE_KPA
        return "~" if unsteady else moved(f"gauge_{name}_kpa", 0.0, PRESSURE_KPA)

    def across(name: str) -> Sign:
        unsteady = values[f"dp_flutter_{name}_kpa"] > max(DP_SHARE * sound[f"dp_{name}_kpa"], DP_KPA)
        return "~" if unsteady else moved(f"dp_{name}_kpa", DP_SHARE, DP_KPA)

    return {
        "t": moved("green_overnight_s", TIME_SHARE, TIME_S),
        "Pc": needle("cold"),
        "Pi": needle("idle"),
        "Pr": needle("cruise"),
        "dC": _either(across("cold"), across("mild")),
        "dH": across("cruise"),
        "IND": _either(popped("indicator_hot"), popped("indicator_cold"), popped("indicator_surge")),
        "Qe": _either(moved("engine_idle_lpm", FLOW_SHARE), moved("engine_cruise_lpm", FLOW_SHARE)),
        "T": _sign(values["oil_hot_c"] - sound["oil_hot_c"], WARMER_K),
        "PC": _either(
            moved("count_ratio", COUNT_SHARE),
            _coded(values["count_after_ml"], sound["count_after_ml"]),
            _sign(values["unfiltered_cold"] - sound["unfiltered_cold"], PAST_SHARE),
        ),
        "MAG": _coded(values["iron_held_mg"], sound["iron_held_mg"], IRON),
        "Leak": _either(
            _sign(max(values["leak_cold_ml_min"], values["leak_cruise_ml_min"]), LEAK_ML_MIN),
            moved("dipstick_l", 0.0, LEVEL_L),
        ),
    }


def _sign(change: float, seen: float) -> Sign:
    if abs(change) <= seen:
        return "0"
    return "+" if change > 0.0 else "-"


def _coded(count: float, sound: float, factor: float = CODE) -> Sign:
    return "+" if count > factor * sound else "-" if count * factor < sound else "0"


def _either(*found: Sign) -> Sign:
    """The first sign that is one."""
    return next((sign for sign in found if sign != "0"), "0")
