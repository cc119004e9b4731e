"""Verdicts of the mutation command as it writes them, one in a line, and their table by room."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Literal, get_args

Verdict = Literal["killed", "survived", "no time"]
Row = tuple[str, int, int, int, int]
LAST_RUN = Path(__file__).parent / "last-run.txt"
ROOMS = ("laws", "flow", "filters", "rig", "contaminant", "learning/scoring")
PACKAGE = "sim/glasscan"


def read(path: Path) -> list[tuple[str, str]]:
    """Verdict and fault of every line that has both."""
    found = []
    for line in path.read_text(encoding="utf-8").splitlines():
        verdict = next((v for v in get_args(Verdict) if line.startswith(v)), None)
        if verdict:
            found.append((verdict, line.removeprefix(verdict).strip()))
    return found


def room_of(fault: str) -> str:
    """The room of a fault by its text, which begins with its path."""
    return next(room for room in ROOMS if fault.startswith(f"{PACKAGE}/{room}/"))


def rows_of(said: Sequence[tuple[str, str]]) -> list[Row]:
    """Room, faults, killed, survived, no time; the sum last."""
    found = []
    for name in [*sorted({room_of(fault) for _, fault in said}), "all"]:
        of = [verdict for verdict, fault in said if name in (room_of(fault), "all")]
        killed, survived, late = (of.count(v) for v in get_args(Verdict))
        found.append((name, len(of), killed, survived, late))
    return found
