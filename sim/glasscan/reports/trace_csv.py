"""Trace of a run as CSV: one header line with units, fixed decimals, the same bytes for the same run."""

from __future__ import annotations

from pathlib import Path

from glasscan.files import write_whole
from glasscan.number_style import NumberStyle
from glasscan.rig.run_log import RunLog
from glasscan.rig.trace import csv_text


def write_trace(log: RunLog, path: Path, style: NumberStyle | None = None) -> None:
    """Write the table of a run.

    Args:
        log: of the run.
        path: file to write; its folder is made where missing.
        style: units and decimal sign.

    Raises:
        OSError: the file cannot be written.
    """
    write_whole(path, csv_text(log.times_s, log.trace, style))
