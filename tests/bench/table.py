"""One row shape and one table for all benches: each figure beside a peer measured in the same run."""

from __future__ import annotations

import importlib
import json
import os
import pkgutil
import platform
import sys
import time
from collections.abc import Callable
from typing import NamedTuple


class Row(NamedTuple):
    """One line: our time, the peer's, and the ratio that the aim speaks of."""

    name: str
    seconds: float
    peer: str
    peer_seconds: float
    ratio: float
    aim: str


def best_of(work: Callable[[], object], repeats: int = 7, seconds: float = 0.15) -> float:
    """Shortest time of one call, s: the run least disturbed by the rest of the machine."""
    work()
    best = float("inf")
    for _ in range(repeats):
        calls, start = 0, time.perf_counter()
        while time.perf_counter() - start < seconds / repeats or calls == 0:
            work()
            calls += 1
        best = min(best, (time.perf_counter() - start) / calls)
    return best


def modules() -> list[str]:
    """Names of the bench modules beside this one."""
    package = sys.modules[__package__ or "tests.bench"]
    return sorted(m.name for m in pkgutil.iter_modules(package.__path__) if m.name.startswith("bench_"))


def measured(say: Callable[[str], None]) -> list[Row]:
    """Rows of all benches; `say` is told what is being measured."""
    rows: list[Row] = []
    for name in modules():
        say(f"measuring {name.removeprefix('bench_')} ...")
        found = importlib.import_module(f"{__package__}.{name}").measure()
        rows.extend(Row(*row) for row in found)
    return rows


def machine() -> str:
    """Where and with what the table was measured."""
    import numpy
    import scipy

    cores = os.cpu_count() or 1
    versions = f"Python {platform.python_version()}, numpy {numpy.__version__}, scipy {scipy.__version__}"
    return f"{platform.system()} {platform.machine()}, {cores} cores; {versions}"


def as_text(rows: list[Row]) -> str:
    """The table for people."""
    head = ("what", "time", "peer", "time", "ratio", "aim")
    body = [(r.name, _ms(r.seconds), r.peer, _ms(r.peer_seconds), f"{r.ratio:.3g}", r.aim) for r in rows]
    widths = [max(len(line[k]) for line in [head, *body]) for k in range(len(head))]
    lines = [
        "  ".join(cell.ljust(w) for cell, w in zip(line, widths, strict=True)).rstrip()
        for line in [head, *body]
    ]
    return "\n".join([machine(), *lines])


def as_json(rows: list[Row]) -> str:
    """The same as one JSON object."""
    return json.dumps({"machine": machine(), "rows": [row._asdict() for row in rows]})


def _ms(seconds: float) -> str:
    return "-" if seconds != seconds else f"{seconds * 1e3:.4g} ms"
