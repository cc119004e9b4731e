"""Pass or not yet: the score against the pass mark, and the gates apart from the score."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

PASS_SHARE = 0.75
"""Pass mark unless the file says otherwise: 75 % (Part-66 Appendix II, from memory)."""
GRAIN = 1e-9
"""Rounding error of a sum of marks that does not fail anyone, share of the full marks."""


@dataclass(frozen=True)
class Verdict:
    """Outcome of a paper.

    Attributes:
        marks: earned.
        out_of: full marks.
        share: marks/out_of, 0..1; 0 for a paper without marks.
        pass_share: pass mark used, 0..1.
        gates: gates that were not met; each alone means 'not yet'.
        passed: score reached and every gate met.
    """

    marks: float
    out_of: float
    share: float
    pass_share: float
    gates: tuple[str, ...]
    passed: bool

    @property
    def line(self) -> str:
        """The outcome in one sentence; a failed gate is named apart from the score."""
        score = f"{self.marks:.4g} of {self.out_of:g} ({self.share:.0%}, pass mark {self.pass_share:.0%})"
        word = "Pass" if self.passed else "Not yet"
        return f"{word}: {score}." + (f" Gate not met: {'; '.join(self.gates)}." if self.gates else "")


def verdict(
    marks: Sequence[float], out_of: Sequence[float], gates: Sequence[str] = (), pass_share: float = PASS_SHARE
) -> Verdict:
    """Sum a paper and compare it with the pass mark.

    Args:
        marks: earned, one for each question.
        out_of: full marks, one for each question.
        gates: gates that were not met.
        pass_share: pass mark, 0..1.

    Raises:
        ValueError: a mark is negative or above its full marks, the lists differ in length, or the pass mark
            is not between 0 and 1.
    """
    pairs = list(zip(marks, out_of, strict=True))
    if any(not 0.0 <= got <= full for got, full in pairs) or not 0.0 <= pass_share <= 1.0:
        raise ValueError("a mark that counts lies between 0 and its full marks, a pass mark between 0 and 1")
    got, full = sum(marks), sum(out_of)
    share = got / full if full else 0.0
    passed = full > 0 and share >= pass_share - GRAIN and not gates
    return Verdict(got, full, share, pass_share, tuple(gates), passed)
