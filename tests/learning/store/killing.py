"""Kill a process that writes answers, again and again, and look for what it had acknowledged.

Run by the tests as a program of its own (so that it may fork): killing.py STORE KILLS
It prints one line: kills, answers acknowledged, answers lost, result of SQLite's own integrity check.
"""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import sys
import time
from itertools import count
from pathlib import Path

from glasscan.learning.store.rows import StoredAnswer
from glasscan.learning.store.store import Store


def write_for_ever(path: Path, name: int, ack: int) -> None:
    """Store answers; after each one that is stored, say its text, which no other writer uses."""
    with Store(path) as store:
        sitting = store.begin(store.person("Wen"), "exam", "cold-start")
        for n in count():
            store.answer(sitting, StoredAnswer(f"p{n}", f"{name} {n}", spent_s=float(n), left_s=1e4 - n))
            os.write(ack, b"%d %d\n" % (name, n))


def one_kill(path: Path, name: int, chance: random.Random) -> set[str]:
    """Start a writer, kill it at a random moment, return the answers it had acknowledged.

    The moment is some time after its start, or some time after one of its first answers.
    """
    answers = chance.randrange(12)
    read_end, write_end = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(read_end)
        write_for_ever(path, name, write_end)
    os.close(write_end)
    with os.fdopen(read_end, "rb") as pipe:
        said = b"".join(pipe.readline() for _ in range(answers))
        time.sleep(chance.uniform(0.0, 0.002 if answers else 0.02))
        os.kill(child, signal.SIGKILL)
        said += pipe.read()
    os.waitpid(child, 0)
    return set(said.decode("ascii").split("\n")[:-1])


def main(path: Path, kills: int) -> None:
    """Kill `kills` writers and report."""
    chance, said = random.Random(1), set[str]()
    Store(path).close()
    for name in range(kills):
        said |= one_kill(path, name, chance)
    db = sqlite3.connect(path)
    stored = {row[0] for row in db.execute("SELECT given FROM answers")}
    check = db.execute("PRAGMA integrity_check").fetchone()[0]
    print(kills, len(said), len(said - stored), check)


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]))
