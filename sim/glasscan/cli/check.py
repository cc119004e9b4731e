"""`glasscan check FILE...`: say whether scenario and data files are fine."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput
from glasscan.learning.catalogue import load_data_file
from glasscan.learning.scenario_loading import load_scenario

DATA_FOLDERS = ("fluids", "filters", "plants")
PROCEDURES, MANUAL, SYLLABUS = "procedures", "manual", "syllabus.yaml"


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "check", run, "check lessons, procedures, manual, syllabus and data files")
    parser.add_argument("files", metavar="FILE", nargs="+", help="a file, or the id of a shipped scenario")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Check every file; 2 where one is bad."""
    found = {name: _problems(name) for name in args.files}
    for name, lines in found.items():
        if lines:
            print("\n".join(lines), file=sys.stderr)
        elif not args.json:
            print(f"{name}: fine")
    bad = any(found.values())
    if args.json:
        rows = [{"file": name, "fine": not lines, "problems": lines} for name, lines in found.items()]
        print(json.dumps({"fine": not bad, "files": rows}))
    return 2 if bad else 0


def _problems(name: str) -> list[str]:
    """What is wrong with a file, one line for each problem."""
    try:
        _load(name, Path(name))
    except BadInput as problems:
        return list(problems.lines)
    return []


def _load(name: str, path: Path) -> None:
    """Load a file by the folder it lies in; everything else is a lesson."""
    if path.parent.name in DATA_FOLDERS:
        load_data_file(path)
    elif path.parent.name == PROCEDURES:
        from glasscan.workshop.procedures.procedure_catalogue import read_procedure

        read_procedure(path)
    elif path.parent.name == MANUAL:
        from glasscan.learning.manual import read_manual

        read_manual(path)
    elif path.name == SYLLABUS:
        from glasscan.learning.syllabus import read_syllabus

        read_syllabus(path)
    else:
        load_scenario(name)
