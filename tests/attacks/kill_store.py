"""kill -9 of a program that writes answers as fast as the disk allows."""

from __future__ import annotations

import random
from pathlib import Path

from glasscan.learning.store.store import Store

from tests.attacks.base import Attack
from tests.attacks.sitting import missing
from tests.learning.store.killing import one_kill


class KillStore(Attack):
    """The store alone, killed some milliseconds after one of its first answers."""

    name, about, usual = "kill-store", "kill -9 of a program that only stores", 50

    def once(self, number: int, folder: Path) -> str:
        """One kill."""
        Store(folder / "results.sqlite3").close()
        return missing(folder, sorted(one_kill(folder / "results.sqlite3", number, random.Random(number))))
