"""Solved filters kept: in memory for the process, and on the disk for the next one.

A solution is named by the filter's data, the fineness and the text of the solver, so a change of any of them
is a new name. The file holds plain arrays (no pickles); one that is missing, broken or cannot be written
costs nothing but the time to solve the filter again.
"""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable
from dataclasses import fields
from functools import cache
from pathlib import Path
from zipfile import BadZipFile

import numpy as np
import scipy

from glasscan.files import whole
from glasscan.filters.laminar_table import LaminarTable
from glasscan.filters.levels import Level
from glasscan.filters.path_table import PathTable
from glasscan.filters.wetwalls import WetWalls
from glasscan.flow.grid import Grid
from glasscan.paths import cache_folder

Solution = tuple[list[Level], PathTable]
MOST_FILES = 16  # of the newest that stay on the disk
_SOURCES = ("flow", "filters", "laws/discs.py", "laws/orifice.py")
_memory: dict[str, Solution] = {}


def kept_solution(data_json: str, fineness: float, grid: Grid, solve: Callable[[], Solution]) -> Solution:
    """The solution of a filter: from memory, from the disk, or solved now.

    Args:
        data_json: the filter's data as text.
        fineness: cells per length relative to the usual grid.
        grid: of the section (not kept: it follows from the data).
        solve: works the solution out.
    """
    name = _name(data_json, fineness)
    if name not in _memory:
        path = cache_folder() / "filters" / f"solution-{name}.npz"
        found = _read(path, grid)
        if found is None:
            found = solve()
            _write(path, found)
        _memory[name] = found
    return _memory[name]


def kept_laminar(data_json: str, fineness: float, solve: Callable[[], LaminarTable]) -> LaminarTable:
    """The table of laminar flow of a filter, kept in the same way."""
    path = cache_folder() / "filters" / f"laminar-{_name(data_json, fineness)}.npz"
    try:
        with path.open("rb") as raw, np.load(raw, allow_pickle=False) as file:
            return LaminarTable(file["re"], file["added"])
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        pass
    found = solve()
    with contextlib.suppress(OSError):
        with whole(path) as file:
            np.savez(file, re=found.re, added=found.added)
        _clear(path.parent)
    return found


def _name(data_json: str, fineness: float) -> str:
    digest = hashlib.sha256(f"{data_json} {fineness!r} {np.__version__} {scipy.__version__}".encode())
    digest.update(_solver_text())
    return digest.hexdigest()[:20]


@cache
def _solver_text() -> bytes:
    """Text of all modules that a solution depends on."""
    package = Path(__file__).parents[1]
    paths = [path for source in _SOURCES for path in _modules(package / source)]
    return b"".join(path.read_bytes() for path in paths)


def _modules(place: Path) -> list[Path]:
    return sorted(place.rglob("*.py")) if place.is_dir() else [place]


def _write(path: Path, solution: Solution) -> None:
    levels, table = solution
    arrays = {f"table/{f.name}": getattr(table, f.name) for f in fields(table)}
    for n, level in enumerate(levels):
        arrays |= {
            f"{n}/{f.name}": np.asarray(getattr(level, f.name)) for f in fields(level) if f.name != "walls"
        }
        arrays |= {
            f"{n}/walls/{f.name}": getattr(level.walls, f.name)
            for f in fields(level.walls)
            if f.name != "grid"
        }
    with contextlib.suppress(OSError):
        with whole(path) as file:
            np.savez(file, **arrays)
        _clear(path.parent)


def _clear(folder: Path) -> None:
    """Leave the newest files only."""
    for kind in ("solution", "laminar"):
        kept = sorted(folder.glob(f"{kind}-*.npz"), key=lambda p: p.stat().st_mtime)
        for old in kept[:-MOST_FILES]:
            old.unlink(missing_ok=True)


def _read(path: Path, grid: Grid) -> Solution | None:
    try:
        with path.open("rb") as raw, np.load(raw, allow_pickle=False) as file:
            held = {key: file[key] for key in file.files}
        count = 1 + max(int(key.split("/")[0]) for key in held if not key.startswith("table/"))
        table = PathTable(**{f.name: held[f"table/{f.name}"] for f in fields(PathTable)})
        return [_level(held, n, grid) for n in range(count)], table
    except (OSError, ValueError, KeyError, EOFError, BadZipFile):
        return None


def _level(held: dict[str, np.ndarray], n: int, grid: Grid) -> Level:
    walls = {f.name: held[f"{n}/walls/{f.name}"] for f in fields(WetWalls) if f.name != "grid"}
    rest = {f.name: held[f"{n}/{f.name}"] for f in fields(Level) if f.name not in ("walls", "lift_m")}
    return Level(lift_m=float(held[f"{n}/lift_m"]), walls=WetWalls(grid=grid, **walls), **rest)
