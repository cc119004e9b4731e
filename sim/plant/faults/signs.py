"""Signs of a fault against the sound rig, column by column, as a fault table of the trade prints them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Literal

Sign = Literal["+", "0", "-"]

PRESSURE_KPA = 10.0
"""Change of a gauge that counts as seen: half a needle's width of 3 psi (PRACTICE)."""
DP_SHARE, DP_KPA = 0.08, 0.7
"""Change of a differential pressure that counts: a share, and what two good gauges still tell (PRACTICE)."""
TIME_SHARE, TIME_S = 0.25, 1.0
"""Change of the time to pressure that counts as seen (PRACTICE)."""
FLOW_SHARE, COUNT_SHARE = 0.08, 0.15
"""Change of the engine's flow, and of the count ratio across the filter, that counts (PRACTICE)."""
CODE = 2.0
"""One code of ISO 4406 is a factor of about two in the count: what a single sample can tell (MEMORY)."""
LEAK_ML_MIN = 0.5
"""Leak that is seen: ten drops a minute (20 drops to the millilitre, PRACTICE)."""

COLUMNS = ("t", "Pc", "Pi", "Pr", "dC", "dH", "IND", "Qe", "PC", "Leak")


def signs(values: Mapping[str, float], sound: Mapping[str, float]) -> dict[str, Sign]:
    """Sign of every column.

    Args:
        values: observables of the rig (`sim.plant.faults.observe`).
        sound: the same of the sound rig.
    """

    def moved(name: str, share: float, least: float = 0.0) -> Sign:
        return _sign(values[name] - sound[name], max(share * abs(sound[name]), least))

    def popped(name: str) -> Sign:
        return _sign(values[name] - sound[name], 0.5)

    return {
        "t": moved("green_overnight_s", TIME_SHARE, TIME_S),
        "Pc": moved("gauge_cold_kpa", 0.0, PRESSURE_KPA),
        "Pi": moved("gauge_idle_kpa", 0.0, PRESSURE_KPA),
        "Pr": moved("gauge_cruise_kpa", 0.0, PRESSURE_KPA),
        "dC": _either(moved("dp_cold_kpa", DP_SHARE, DP_KPA), moved("dp_mild_kpa", DP_SHARE, DP_KPA)),
        "dH": moved("dp_cruise_kpa", DP_SHARE, DP_KPA),
        "IND": _either(popped("indicator_hot"), popped("indicator_cold")),
        "Qe": moved("engine_idle_lpm", FLOW_SHARE),
        "PC": _either(
            moved("count_ratio", COUNT_SHARE), _coded(values["count_after_ml"], sound["count_after_ml"])
        ),
        "Leak": _sign(max(values["leak_cold_ml_min"], values["leak_cruise_ml_min"]), LEAK_ML_MIN),
    }


def _sign(change: float, seen: float) -> Sign:
    if abs(change) <= seen:
        return "0"
    return "+" if change > 0.0 else "-"


def _coded(count: float, sound: float) -> Sign:
    return "+" if count > CODE * sound else "-" if count * CODE < sound else "0"


def _either(first: Sign, second: Sign) -> Sign:
    return first if first != "0" else second
