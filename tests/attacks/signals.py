"""Signals at any moment: what was called kept is kept, and no half file is left."""

from __future__ import annotations

import random
import signal
import subprocess
import sys
import time
from pathlib import Path

from tests.attacks.base import LONGEST_S, Attack, surroundings
from tests.attacks.sitting import TextSitting

SENT = (signal.SIGINT, signal.SIGTERM, signal.SIGHUP)


class SignalSitting(Attack):
    """A sitting in text."""

    name, about, usual = "signal-sitting", "SIGINT, SIGTERM, SIGHUP in a sitting", 9

    def once(self, number: int, folder: Path) -> str:
        """Some answers, then the signal."""
        sitting = TextSitting(folder)
        sitting.answer(20)
        sitting.wait_for(random.Random(number).randrange(15))
        sitting.process.send_signal(SENT[number % 3])
        code, told = sitting.end()
        if "Traceback" in told or code == 1:
            return f"{SENT[number % 3].name}: exit code {code}: {told[-160:]!r}"
        return sitting.missing()


class SignalRun(Attack):
    """A run that writes its traces."""

    name, about, usual = "signal-run", "SIGINT, SIGTERM, SIGHUP in `run --out`", 9

    def once(self, number: int, folder: Path) -> str:
        """A signal somewhere between the start and the end."""
        words = [sys.executable, "-m", "glasscan", "run", "cold-start", "--for", "60", "--out", "traces"]
        process = subprocess.Popen(
            words,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
            cwd=folder,
            env=surroundings(folder),
        )
        time.sleep(random.Random(number).uniform(0.5, 4.0))
        process.send_signal(SENT[number % 3])
        _, told = process.communicate(timeout=LONGEST_S)
        if "Traceback" in told or process.returncode == 1:
            return f"{SENT[number % 3].name}: exit code {process.returncode}: {told.strip()[-160:]!r}"
        return half_written(folder / "traces")


def half_written(folder: Path) -> str:
    """A table whose last line is cut, or a file left beside; else empty."""
    for path in folder.rglob("*") if folder.exists() else ():
        if path.is_file() and path.suffix not in (".csv", ".json", ".html", ".png"):
            return f"left behind: {path.name}"
        if path.suffix == ".png" and b"IEND" not in path.read_bytes()[-12:]:
            return f"{path.name}: cut"
        if path.suffix == ".csv":
            rows = path.read_text(encoding="utf-8-sig").splitlines()
            widths = {row.count(",") for row in rows if row and not row.startswith("#")}
            if len(widths) > 1:
                return f"{path.name}: a line is cut"
    return ""
