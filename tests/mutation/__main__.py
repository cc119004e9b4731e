"""Which small faults in the laws no test sees: the survivors, and the share that was killed.

python -m tests.mutation [--count 20] [--seed 0] [--minutes 20] [--only laws] [--list]

The checkout is copied to a temporary folder; one fault at a time is put into the copy and the test files
beside the law are run there, those that name its module first. Small rooms get more than their share of the
faults (by the root of their number). A fault that no test has seen when its time is up counts as neither.
Exit 0 where at least 95 % of the rest were killed.
"""

from __future__ import annotations

import argparse
import math
import os
import random
import re
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from glasscan.paths import CACHE_DIR

from tests.mutation.mutants import Mutant, mutants_of
from tests.mutation.verdicts import Verdict, room_of, rows_of

TOP = Path(__file__).parents[2]
PACKAGE = Path("sim/glasscan")
ROOMS = {
    "laws": ("tests/laws", "tests/formulas/test_registry.py", "tests/formulas/test_heldout.py"),
    "flow": ("tests/laws/test_stokes.py", "tests/filters/test_can.py", "tests/filters/test_laminar.py"),
    "filters": ("tests/filters",),
    "rig": ("tests/rig",),
    "contaminant": ("tests/contaminant",),
    "learning/scoring": ("tests/learning/scoring",),
}
"""Files with laws, and the tests beside them."""
SKIPPED = (
    "filter_data.py",
    "plant_data.py",
    "parts.py",
    "__init__.py",
    "named_parts.py",
    "records.py",
    "trace.py",
)
KILLED_AIM = 0.95
ONE_MINUTES = 4.0  # for one fault; what is not seen by then is told apart


def all_mutants(only: str | None = None) -> list[Mutant]:
    """Every fault of the rooms with laws."""
    found = []
    for room in ROOMS:
        if only is None or room == only:
            for path in sorted((TOP / PACKAGE / room).rglob("*.py")):
                if path.name not in SKIPPED:
                    found += mutants_of(path.relative_to(TOP), path.read_text(encoding="utf-8"))
    return found


def files_beside(mutant: Mutant) -> tuple[str, ...]:
    """The test files beside a law."""
    return ROOMS[room_of(mutant.path.as_posix())]


def near_and_far(copy: Path, mutant: Mutant) -> list[list[str]]:
    """The test files beside a law: those that name its module, and the others."""
    word = re.compile(rf"\b{mutant.path.stem}\b")
    found: list[Path] = []
    for name in files_beside(mutant):
        place = copy / name
        found += sorted(place.rglob("test_*.py")) if place.is_dir() else [place]
    near = [path for path in found if word.search(path.read_text(encoding="utf-8"))]
    far = [path for path in found if path not in near]
    return [[str(path.relative_to(copy)) for path in some] for some in (near, far) if some]


def verdict(copy: Path, mutant: Mutant) -> Verdict:
    """What the tests of the copy say with the fault in place."""
    path = copy / mutant.path
    source = path.read_text(encoding="utf-8")
    end = time.monotonic() + 60 * ONE_MINUTES
    try:
        path.write_text(mutant.text(source), encoding="utf-8")
        killed = any(fails(copy, files, end - time.monotonic()) for files in near_and_far(copy, mutant))
    except subprocess.TimeoutExpired:
        return "no time"
    finally:
        path.write_text(source, encoding="utf-8")
    return "killed" if killed else "survived"


def fails(copy: Path, files: list[str], seconds: float) -> bool:
    """Whether a test of these files fails in the copy.

    Raises:
        subprocess.TimeoutExpired: it takes longer.
    """
    how = ["-m", "pytest", "-n0", "-q", "-x", "-p", "no:cacheprovider"]
    kept = os.environ | {CACHE_DIR: str(copy / "cache")}  # solutions of a faulty solver stay here
    done = subprocess.run(
        [sys.executable, *how, *files],
        cwd=copy,
        env=kept,
        capture_output=True,
        timeout=max(seconds, 0.1),
        check=False,
    )
    return done.returncode != 0


def drawn(mutants: dict[str, list[Mutant]], count: int, seed: int) -> list[Mutant]:
    """Faults to try, in mixed order; of each room in proportion to the root of what it has."""
    dice = random.Random(seed)
    roots = {room: math.sqrt(len(found)) for room, found in mutants.items()}
    chosen: list[Mutant] = []
    for room, found in mutants.items():
        share = math.ceil(count * roots[room] / sum(roots.values()))
        chosen += dice.sample(found, min(share, len(found)))
    dice.shuffle(chosen)
    return chosen[:count]


def copied(folder: Path) -> Path:
    """A copy of what the tests need."""
    for name in ("sim", "tests", "assets", "scenarios"):
        shutil.copytree(TOP / name, folder / name, ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(TOP / "pyproject.toml", folder)
    return folder


def main() -> int:
    """Draw the faults, try them, and tell which ones survive."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation")
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--minutes", type=float, default=20.0)
    parser.add_argument("--only", choices=sorted(ROOMS))
    parser.add_argument("--list", action="store_true", help="print all faults and run nothing")
    parser.add_argument("--out", type=Path, help="file for the verdicts, one in a line; what is there stays")
    args = parser.parse_args()
    mutants = {room: all_mutants(room) for room in ROOMS if args.only in (None, room)}
    if args.list:
        print(*(m for found in mutants.values() for m in found), sep="\n")
        return 0
    said: list[tuple[str, str]] = []
    end = time.monotonic() + 60 * args.minutes
    with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
        copy = copied(Path(folder))
        for mutant in drawn(mutants, args.count, args.seed):
            if time.monotonic() > end:
                break
            said.append((verdict(copy, mutant), str(mutant)))
            print(f"{said[-1][0]:9} {mutant}", flush=True)
            if args.out:
                with args.out.open("a", encoding="utf-8") as file:
                    print(f"{said[-1][0]:9} {mutant}", file=file)
    print(*table(said), sep="\n")
    survived = sum(v == "survived" for v, _ in said)
    return 0 if survived <= (1 - KILLED_AIM) * len(said) else 1


def table(said: list[tuple[str, str]]) -> list[str]:
    """Lines of a table by room."""
    lines = ["| room | faults | killed | survived | no time |", "|---|---|---|---|---|"]
    return lines + ["| " + " | ".join(map(str, row)) + " |" for row in rows_of(said)]


if __name__ == "__main__":
    raise SystemExit(main())
