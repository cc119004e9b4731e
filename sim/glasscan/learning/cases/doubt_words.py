"""What a test does to the doubt, in words: one bit of information halves it."""

from __future__ import annotations

LEAST_RATE = 1e-3  # bit a minute: slower than this a test halves no doubt in a working day


def halving(bits_per_min: float) -> str:
    """How soon a test at this rate halves the doubt among the suspects."""
    if bits_per_min < LEAST_RATE:
        return "leaves the doubt as it is"
    wait = 1.0 / bits_per_min
    return f"halves the doubt in {wait:.0f} min" if wait >= 1.5 else "halves the doubt within a minute"
