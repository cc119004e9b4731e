"""Two programs on one store at once: two people, or one person twice."""

from __future__ import annotations

from pathlib import Path

from tests.attacks.base import Attack
from tests.attacks.sitting import TextSitting

EACH = 30


class TwoProcesses(Attack):
    """Nothing that either calls kept is lost."""

    name, about, usual = "two-processes", "two sittings write to one store at once", 4

    def once(self, number: int, folder: Path) -> str:
        """Both type at once."""
        second = "Wen" if number % 2 else "Priya"
        both = [TextSitting(folder), TextSitting(folder, second, first=1000)]
        for one in both:
            one.answer(EACH)
        ended = [one.end() for one in both]
        for one, (code, told) in zip(both, ended, strict=True):
            if code != 130 or "Traceback" in told:
                return f"exit code {code}: {told[-160:]!r}"
            if len(one.kept) < EACH:
                return f"{len(one.kept)} of {EACH} answers were kept"
        return both[0].missing() or both[1].missing()
