"""Random events over all pages in the window's own loop, with resizes down to nothing."""

from __future__ import annotations

import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

from tests.attacks.base import TOP, Attack, surroundings

EVENTS = 1000  # of one try
LONGEST_S = 900.0
SLOW_S = 1.0  # a frame that somebody takes for a freeze


class Monkey(Attack):
    """The program of `monkey_program.py`: a fault that the guard of the window catches is a loss too."""

    name, about, usual = "monkey", f"{EVENTS} random events over all pages with resizes, each try", 5

    def __init__(self) -> None:
        self.pages: Counter[str] = Counter()

    def once(self, number: int, folder: Path) -> str:
        """One process."""
        program = TOP / "tests" / "attacks" / "monkey_program.py"
        ran = subprocess.run(
            [sys.executable, str(program), str(number), str(EVENTS)],
            capture_output=True,
            text=True,
            cwd=folder,
            env=surroundings(folder),
            timeout=LONGEST_S,
            check=False,
        )
        try:
            told = json.loads(ran.stdout.strip().splitlines()[-1])
        except (ValueError, IndexError):
            return f"the program ended, {ran.returncode}: {ran.stderr.strip()[-300:]!r}"
        self.pages.update(told["pages"])
        if told["faults"]:
            return f"{len(told['faults'])} faults, such as {told['faults'][0]}"
        if told["events"] < EVENTS:
            return f"only {told['events']} events"
        return ""
