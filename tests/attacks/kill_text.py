"""kill -9 while somebody answers at the terminal."""

from __future__ import annotations

import random
import time
from pathlib import Path

from tests.attacks.base import Attack
from tests.attacks.sitting import TextSitting


class KillText(Attack):
    """Killed after some of its answers; whoever goes on has all that was called kept."""

    name, about, usual = "kill-text", "kill -9 of a sitting in text", 20

    def once(self, number: int, folder: Path) -> str:
        """Some answers, a kill, and the same command again."""
        dice = random.Random(number)
        first = TextSitting(folder)
        first.answer(40)
        first.wait_for(dice.randrange(25))
        time.sleep(dice.uniform(0.0, 0.05))
        first.kill()
        again = TextSitting(folder, first=1000)
        again.answer()
        went_on = again.wait_for(1)
        code, told = again.end()
        if not went_on or "Traceback" in told:
            return f"does not go on after a kill: exit code {code}, {told[-160:]!r}"
        return first.missing() or again.missing()
