"""`glasscan bench`: timings as ratios, of a checkout."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from glasscan.cli.arguments import Verbs, add_verb
from glasscan.content import BadInput


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "bench", run, "time the parts against each other, as ratios (needs a checkout)")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def _checkout() -> Path:
    """The folder of the source files: that of the package, or the one where the command was given."""
    from glasscan.paths import data_root

    for folder in (data_root(), Path.cwd()):
        if (folder / "tests" / "bench" / "table.py").is_file():
            return folder
    raise BadInput(["bench: expected a checkout with tests/bench: give the command in its folder"])


def run(args: argparse.Namespace) -> int:
    """Run tests/bench and print its table."""
    sys.path.insert(0, str(_checkout()))
    try:
        from tests.bench import table
    except ModuleNotFoundError as missing:
        raise BadInput([f'bench: needs {missing.name}: pip install ".[test]"']) from None
    rows = table.measured(lambda text: print(text, file=sys.stderr))
    print(table.as_json(rows) if args.json else table.as_text(rows))
    return 0
