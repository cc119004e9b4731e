"""Attacks as one table of tries, survived, lost: `python -m tests.attacks [names] [--times N]`."""

from __future__ import annotations

import argparse
import importlib
import pkgutil
import sys
from collections.abc import Sequence

from tests import attacks
from tests.attacks.base import Attack

HEAD = ("| attack | what is done | tries | survived | lost |", "|---|---|---|---|---|")
PROGRAMS = ("__main__", "monkey_program")


def known() -> dict[str, Attack]:
    """All attacks by name, found in the files of this folder."""
    for found in pkgutil.iter_modules(attacks.__path__):
        if found.name not in PROGRAMS and not found.name.startswith("test_"):
            importlib.import_module(f"tests.attacks.{found.name}")
    return {kind.name: kind() for kind in sorted(Attack.__subclasses__(), key=lambda kind: kind.name)}


def main(words: Sequence[str] | None = None) -> int:
    """Print the table; 1 where anything was lost."""
    all_of_them = known()
    ask = argparse.ArgumentParser(prog="python -m tests.attacks", description=__doc__)
    ask.add_argument("names", nargs="*", help=f"of {', '.join(all_of_them)}; all without")
    ask.add_argument("--times", type=int, help="tries of each; without, as many as usual")
    told = ask.parse_args(words)
    if strange := set(told.names) - set(all_of_them):
        ask.error(f"no such attack: {', '.join(sorted(strange))}")
    print("\n".join(HEAD), flush=True)
    lost = 0
    for name in told.names or all_of_them:
        attack = all_of_them[name]
        tally = attack.run(attack.usual if told.times is None else told.times, _tell)
        lost += len(tally.lost)
        print(tally.line(), flush=True)
    return 1 if lost else 0


def _tell(text: str) -> None:
    print(text, file=sys.stderr, flush=True)


if __name__ == "__main__":
    sys.exit(main())
