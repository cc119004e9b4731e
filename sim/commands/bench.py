"""`glasscan bench`: timings as ratios, of a checkout."""

from __future__ import annotations

import argparse
import sys

from sim.commands.arguments import Verbs, add_verb
from sim.loading import BadInput


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    parser = add_verb(verbs, "bench", run, "time the parts against each other, as ratios (needs a checkout)")
    parser.add_argument("--json", action="store_true", help="print one JSON object")


def run(args: argparse.Namespace) -> int:
    """Run tests/bench and print its table."""
    from sim.resources import data_root

    if not (data_root() / "tests" / "bench").is_dir():
        raise BadInput(["bench: expected a checkout with tests/bench, this is an installed package"])
    sys.path.insert(0, str(data_root()))
    try:
        from tests.bench import table
    except ModuleNotFoundError as missing:
        raise BadInput([f'bench: needs {missing.name}: pip install ".[test]"']) from None
    rows = table.measured(lambda text: print(text, file=sys.stderr))
    print(table.as_json(rows) if args.json else table.as_text(rows))
    return 0
