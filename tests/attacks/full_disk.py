"""A disk that takes no more bytes while somebody answers."""

from __future__ import annotations

import random
import resource
from pathlib import Path

from tests.attacks.base import Attack
from tests.attacks.sitting import TextSitting


class FullDisk(Attack):
    """The system refuses files above a size: one line, all that was called kept is there, and it goes on."""

    name, about, usual = "full-disk", "no more bytes in the middle of a sitting", 5

    def once(self, number: int, folder: Path) -> str:
        """A limit that the store or its log meets after some answers."""
        most = random.Random(number).randrange(120_000, 260_000)

        def small() -> None:
            resource.setrlimit(resource.RLIMIT_FSIZE, (most, most))

        first = TextSitting(folder, before=small)
        first.answer(300)
        code, told = first.end()
        if "Traceback" in told or code not in (2, 130):
            return f"exit code {code}: {told[-160:]!r}"
        again = TextSitting(folder, first=1000)
        again.answer()
        if not again.wait_for(1):
            return f"does not go on with room again: {again.end()[1][-160:]!r}"
        again.end()
        return first.missing() or again.missing()
