"""One choice of several: 1 or 0; and the guess-corrected score that is told but never used to pass."""

from __future__ import annotations


def single_choice(given: str | None, key: str) -> float:
    """1 for the key, 0 for another choice or none; no negative mark in any score that passes or fails."""
    return 1.0 if given == key else 0.0


def guess_corrected(right: int, wrong: int, choices: int) -> float:
    """Formula score R - W/(k - 1): what is left when blind guesses average to nothing.

    Told for interest only. Part-66 forbids penalty marking for passing (from memory), and candidates with
    partial knowledge who hold back lose by it (Frary 1988, summary read).

    Args:
        right: questions answered right.
        wrong: questions answered wrong; blanks are in neither.
        choices: choices of each question, k >= 2.

    Raises:
        ValueError: fewer than two choices, or a negative count.
    """
    if choices < 2 or right < 0 or wrong < 0:
        raise ValueError("guess correction needs two choices or more, and counts from 0 up")
    return right - wrong / (choices - 1)
