"""Trace of a run as CSV: one header line with units, fixed decimals, the same bytes for the same run."""

from __future__ import annotations

from pathlib import Path

from glasscan.files import write_whole
from glasscan.rig.run_log import RunLog

DECIMALS = 6


def trace_text(log: RunLog) -> str:
    """The whole table as text; line ends are single line feeds on every system."""
    names = list(log.trace)
    head = ",".join(["time [s]"] + [f"{name} [{log.units[name]}]" for name in names])
    columns = [log.times_s, *(log.trace[name] for name in names)]
    lines = [",".join(_number(value) for value in row) for row in zip(*columns, strict=True)]
    return "\n".join([head, *lines]) + "\n"


def write_trace(log: RunLog, path: Path) -> None:
    """Write the table of a run.

    Args:
        log: of the run.
        path: file to write; its folder is made where missing.

    Raises:
        OSError: the file cannot be written.
    """
    write_whole(path, trace_text(log))


def _number(value: float) -> str:
    """A number with fixed decimals, and no negative nought."""
    text = f"{value:.{DECIMALS}f}"
    return text.removeprefix("-") if not text.strip("-0.") else text
