"""`glasscan bench`: timings as ratios, of a checkout."""

from __future__ import annotations

import argparse

from sim.commands.arguments import Verbs, add_verb
from sim.loading import BadInput


def add(verbs: Verbs) -> None:
    """Name the arguments."""
    add_verb(
        verbs, "bench", run, "time the parts against each other, as ratios (needs a checkout and pytest)"
    )


def run(args: argparse.Namespace) -> int:  # noqa: ARG001 - the signature of all verbs
    """Run tests/bench and print its tables."""
    from sim.resources import data_root

    folder = data_root() / "tests" / "bench"
    if not folder.is_dir():
        raise BadInput(["bench: expected a checkout with tests/bench, this is an installed package"])
    try:
        import pytest
    except ModuleNotFoundError:
        raise BadInput(['bench: needs pytest: pip install ".[test]"']) from None
    return int(pytest.main(["-q", "-s", "-m", "bench", "-p", "no:cacheprovider", str(folder)]) != 0)
