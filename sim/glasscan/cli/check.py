"""`glasscan check FILE...`: say whether scenario and data files are fine."""

from __future__ import annotations

import argparse
import json
import sys
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput
from glasscan.content_registry import LESSON, kind_of


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "check", run, "check lessons and every other kind of data file")
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
    kind = kind_of(path) if path.suffix in (".yaml", ".yml") else LESSON
    if kind is LESSON:
        from glasscan.learning.scenario_loading import load_scenario

        load_scenario(name)
    else:
        kind.read(path)
