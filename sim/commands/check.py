"""`glasscan check FILE...`: say whether scenario and data files are fine."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from sim.commands.arguments import Verbs, add_verb
from sim.lessons.catalogue import load_data_file
from sim.lessons.scenarios import load_scenario
from sim.loading import BadInput

DATA_FOLDERS = ("fluids", "filters", "plants")


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "check", run, "check scenario files (and data files in fluids, filters, plants)")
    parser.add_argument("files", metavar="FILE", nargs="+", help="a file, or the id of a shipped scenario")


def run(args: argparse.Namespace) -> int:
    """Check every file; 2 where one is bad."""
    bad = [name for name in args.files if not _fine(name)]
    return 2 if bad else 0


def _fine(name: str) -> bool:
    try:
        if Path(name).parent.name in DATA_FOLDERS:
            load_data_file(Path(name))
        else:
            load_scenario(name)
    except BadInput as problems:
        print("\n".join(problems.lines), file=sys.stderr)
        return False
    print(f"{name}: fine")
    return True
