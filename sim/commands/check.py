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
PROCEDURES, SYLLABUS = "procedures", "syllabus.yaml"


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "check", run, "check lessons, procedures, the syllabus and data files")
    parser.add_argument("files", metavar="FILE", nargs="+", help="a file, or the id of a shipped scenario")


def run(args: argparse.Namespace) -> int:
    """Check every file; 2 where one is bad."""
    bad = [name for name in args.files if not _fine(name)]
    return 2 if bad else 0


def _fine(name: str) -> bool:
    try:
        _load(name, Path(name))
    except BadInput as problems:
        print("\n".join(problems.lines), file=sys.stderr)
        return False
    print(f"{name}: fine")
    return True


def _load(name: str, path: Path) -> None:
    """Load a file by the folder it lies in; everything else is a lesson."""
    if path.parent.name in DATA_FOLDERS:
        load_data_file(path)
    elif path.parent.name == PROCEDURES:
        from sim.workbench.procedures.catalogue import read_procedure

        read_procedure(path)
    elif path.name == SYLLABUS:
        from sim.lessons.syllabus import read_syllabus

        read_syllabus(path)
    else:
        load_scenario(name)
