"""What a run leaves in a folder, and its summary as one JSON object."""

from __future__ import annotations

import math
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Any

from glasscan.content import BadInput

if TYPE_CHECKING:
    from glasscan.learning.scenario_schema import Scenario
    from glasscan.number_style import NumberStyle
    from glasscan.rig.records import Event, Snapshot
    from glasscan.rig.run_log import RunLog

KPA_PA = 1e3
L_M3 = 1e-3
LPM_M3S = 1e-3 / 60
MM_M = 1e-3
G_KG = 1e-3

TRACE, TRACE_PICTURE, SECTION_PICTURE = OUT_FILES = ("trace.csv", "trace.png", "section.png")


def ready(folder: Path) -> Path:
    """Make a folder and see that files can be written there.

    Raises:
        BadInput: they cannot.
    """
    probe = folder / ".glasscan-probe"
    try:
        folder.mkdir(parents=True, exist_ok=True)
        probe.write_bytes(b"")
        probe.unlink()
    except (OSError, ValueError) as error:
        raise cannot_write(folder, error) from None
    return folder


def cannot_write(path: Path, error: Exception) -> BadInput:
    """The line for a file or folder that cannot be written."""
    return BadInput([f"{path}: cannot be written: {getattr(error, 'strerror', None) or error}"])


def write_all(log: RunLog, scenario: Scenario, folder: Path, style: NumberStyle | None = None) -> list[Path]:
    """Write trace, picture of the trace and picture of the section.

    Raises:
        BadInput: the disk refuses one of them.
    """
    from glasscan.reports.trace_csv import write_trace
    from glasscan.window.lesson.offscreen_pictures import section_picture, trace_picture

    work: tuple[tuple[str, Callable[[Path], object]], ...] = (
        (TRACE, lambda path: write_trace(log, path, style)),
        (TRACE_PICTURE, lambda path: trace_picture(log, scenario, path)),
        (SECTION_PICTURE, lambda path: section_picture(log, scenario, path)),
    )
    return [_written(folder / name, write) for name, write in work]


def _written(path: Path, write: Callable[[Path], object]) -> Path:
    try:
        write(path)
    except OSError as error:
        raise cannot_write(path, error) from None
    return path


def summary(log: RunLog, scenario: Scenario) -> dict[str, Any]:
    """The run as the command line tells it, in the units of the trade."""
    told: dict[str, Any] = finite(
        {
            "scenario": scenario.scenario,
            "seed": log.seed,
            "ended": log.ended,
            "why": log.why,
            "t_end_s": log.final.t_s,
            "events": [event_row(e) for e in log.events],
            "final": final_state(log.final),
            "unfiltered_l": log.unfiltered_m3 / L_M3,
            "ledger": {
                "volume_error_rel": log.ledger.volume_error_rel,
                "mass_error_rel": log.ledger.mass_error_rel,
            },
        }
    )
    return told


def event_row(event: Event) -> dict[str, Any]:
    """An event as the command line tells it."""
    return {
        "t_s": event.t_s,
        "event": event.word,
        "dp_kpa": event.dp_pa / KPA_PA,
        "oil_c": event.oil_c,
    }


def final_state(last: Snapshot) -> dict[str, Any]:
    """The last snapshot; pressures are gauge, `dp` is differential."""
    return {
        "rpm": last.rpm,
        "air_c": last.air_c,
        "sump_c": last.sump_c,
        "oil_c": last.filter_c,
        "gallery_c": last.gallery_c,
        "nu_mm2_s": last.nu_m2_s * 1e6,
        "inlet_kpa": last.inlet_pa / KPA_PA,
        "outlet_kpa": last.outlet_pa / KPA_PA,
        "dp_kpa": last.dp_pa / KPA_PA,
        "gauge_kpa": last.gauge_pa / KPA_PA,
        "pump_lpm": last.pump_m3s / LPM_M3S,
        "element_lpm": last.element_m3s / LPM_M3S,
        "bypass_lpm": last.bypass_m3s / LPM_M3S,
        "lift_mm": last.lift_m / MM_M,
        "gallery_fill": last.gallery_fill,
        "filtered_l": last.filtered_m3 / L_M3,
        "dirt_g": float(sum(last.deposit_kg)) / G_KG,
        "regulator": "before" if last.regulator_before else "after",
        "indicator": bool(last.indicator),
    }


def finite(value: Any) -> Any:
    """The same with plain numbers, and null for what is not finite: JSON has no other word."""
    if isinstance(value, dict):
        return {k: finite(v) for k, v in value.items()}
    if isinstance(value, list):
        return [finite(v) for v in value]
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return value
    if isinstance(value, int):
        return int(value)
    return float(value) if math.isfinite(value) else None
