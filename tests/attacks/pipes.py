"""Streams that are closed, full, or end while they are written to."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

from tests.attacks.base import LONGEST_S, Attack, Done, paper, surroundings

STREAMS = (
    "<&-",
    ">&-",
    "2>&-",
    ">&- 2>&-",
    "| head -n 1",
    "| true",
    ">/dev/full",
    "2>/dev/full",
    "</dev/null",
)
VERBS = (
    "check cold-start",
    "figure density rho15=880 at_c=60 --json",
    "run cold-start --for 1 --json",
    "schema",
    "study --list",
    "results list",
    "exam sit PAPER --who Wen",
    "case --seed 1 --json",
    "job --help",
)


class Pipes(Attack):
    """Each verb with each stream: no traceback, a code that scripts know."""

    name, about, usual = "pipes", "closed, full and broken streams", 27

    def once(self, number: int, folder: Path) -> str:
        """One verb with one stream; three in a row are three verbs."""
        verb = VERBS[number % len(VERBS)].replace("PAPER", str(paper()))
        stream = STREAMS[(number // len(VERBS) + 2 * number) % len(STREAMS)]
        line = f"set -o pipefail; {sys.executable} -m glasscan {verb} {stream}"
        ran = subprocess.run(
            ["bash", "-c", line],
            stdin=subprocess.DEVNULL if stream != "<&-" else None,
            capture_output=True,
            text=True,
            cwd=folder,
            env=surroundings(folder),
            timeout=LONGEST_S,
            check=False,
        )
        done = Done(ran.returncode, ran.stdout, ran.stderr)
        silent = stream in ("2>&-", ">&- 2>&-", "2>/dev/full")
        if done.code == 2 and silent:
            return ""
        return f"{verb} {stream}: {harm}" if (harm := done.harm()) else ""
