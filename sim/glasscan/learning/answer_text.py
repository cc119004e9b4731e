"""Answers as text, so that one line holds any of them: at the keyboard, in a file, in the results store."""

from __future__ import annotations

from collections.abc import Sequence

Point = tuple[float, float]
"""(time s, value in the unit of the axis)."""


def as_ids(answer: object) -> tuple[str, ...]:
    """Ids of an answer: a sequence of them, or text such as `a, b`, `a > b` or `a b`; order is kept.

    Raises:
        ValueError: neither.
    """
    if isinstance(answer, str):
        return tuple(answer.replace(",", " ").replace(">", " ").split())
    if isinstance(answer, Sequence) and all(isinstance(a, str) for a in answer):
        return tuple(answer)
    raise ValueError("expected the names of the chosen lines")


def as_points(answer: object) -> tuple[Point, ...]:
    """Points of a drawn curve: pairs (time s, value), or text such as `0:0 5:80.5 60:20`.

    Raises:
        ValueError: no clear points, fewer than two, or times that do not rise.
    """
    pairs = [word.split(":") for word in answer.split()] if isinstance(answer, str) else answer
    try:
        points = tuple((float(t), float(v)) for t, v in pairs)  # type: ignore[attr-defined]
    except (TypeError, ValueError):
        raise ValueError("expected points of a curve, such as 0:0 5:80 60:20") from None
    times = [t for t, _ in points]
    if len(points) < 2 or times != sorted(set(times)) or not all(abs(x) < 1e12 for p in points for x in p):
        raise ValueError("expected two points or more, each later than the one before")
    return points


def to_text(answer: object) -> str:
    """An answer as one line of text that `as_ids`, `as_points` or the form itself reads back."""
    if isinstance(answer, str):
        return answer
    if not isinstance(answer, Sequence):
        raise ValueError("expected an answer")
    return " ".join(_word(item) for item in answer)


def _word(item: object) -> str:
    if isinstance(item, bool):
        return "open" if item else "shut"
    return item if isinstance(item, str) else ":".join(f"{x:.12g}" for x in item)  # type: ignore[attr-defined]
