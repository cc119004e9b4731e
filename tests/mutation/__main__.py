"""Which small faults in the laws no test sees: the survivors, and the share that was killed.

python -m tests.mutation [--count 20] [--seed 0] [--minutes 20] [--only laws] [--list]

The checkout is copied to a temporary folder; one fault at a time is put into the copy and the test files
beside the law are run there. Exit 0 where at least 95 % were killed.
"""

from __future__ import annotations

import argparse
import random
import shutil
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from tests.mutation.mutants import Mutant, mutants_of

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
ONE_MINUTES = 6.0  # a fault that makes the tests run longer than this is seen


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
    within = mutant.path.relative_to(PACKAGE).as_posix()
    return next(tests for room, tests in ROOMS.items() if within.startswith(f"{room}/"))


def is_killed(copy: Path, mutant: Mutant) -> bool:
    """Whether a test of the copy fails with the fault in place."""
    path = copy / mutant.path
    source = path.read_text(encoding="utf-8")
    command = [
        sys.executable,
        "-m",
        "pytest",
        "-n0",
        "-q",
        "-x",
        "-p",
        "no:cacheprovider",
        *files_beside(mutant),
    ]
    try:
        path.write_text(mutant.text(source), encoding="utf-8")
        done = subprocess.run(command, cwd=copy, capture_output=True, timeout=60 * ONE_MINUTES, check=False)
    except subprocess.TimeoutExpired:
        return True
    finally:
        path.write_text(source, encoding="utf-8")
    return done.returncode != 0


def main() -> int:
    """Sample the faults and tell which ones survive."""
    parser = argparse.ArgumentParser(prog="python -m tests.mutation")
    parser.add_argument("--count", type=int, default=20)
    parser.add_argument("--seed", type=int, default=0)
    parser.add_argument("--minutes", type=float, default=20.0)
    parser.add_argument("--only", choices=sorted(ROOMS))
    parser.add_argument("--list", action="store_true", help="print all faults and run nothing")
    args = parser.parse_args()
    mutants = all_mutants(args.only)
    if args.list:
        print(*mutants, sep="\n")
        return 0
    chosen = random.Random(args.seed).sample(mutants, min(args.count, len(mutants)))
    survivors, tried, end = [], 0, time.monotonic() + 60 * args.minutes
    with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
        copy = Path(folder)
        for name in ("sim", "tests", "assets", "scenarios"):
            shutil.copytree(TOP / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
        shutil.copy(TOP / "pyproject.toml", copy)
        for mutant in chosen:
            if time.monotonic() > end:
                break
            tried += 1
            if not is_killed(copy, mutant):
                survivors.append(mutant)
                print(f"survived  {mutant}", flush=True)
            else:
                print(f"killed    {mutant}", file=sys.stderr, flush=True)
    killed = tried - len(survivors)
    print(f"{killed} of {tried} killed; {len(mutants)} faults to draw from, seed {args.seed}")
    return 0 if killed >= KILLED_AIM * tried else 1


if __name__ == "__main__":
    raise SystemExit(main())
