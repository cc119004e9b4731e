"""Several answers of many: K keys among N options."""

from __future__ import annotations

from collections.abc import Callable, Collection
from dataclasses import dataclass

from glasscan.learning.scoring.credit import Credit


@dataclass(frozen=True)
class Ticks:
    """Counts of one answer.

    Attributes:
        options: N, options shown.
        keys: K, options that are true.
        hits: true options ticked.
        false_ticks: other options ticked.
    """

    options: int
    keys: int
    hits: int
    false_ticks: int


def plus_minus(ticks: Ticks) -> float:
    """(H - F)/K, not below 0: ticking all or nothing earns nothing where keys are half or fewer."""
    return max(0.0, (ticks.hits - ticks.false_ticks) / ticks.keys)


def true_false(ticks: Ticks) -> float:
    """(H + N - K - F)/N: each option is one true/false question; an empty answer earns (N - K)/N."""
    return (ticks.hits + ticks.options - ticks.keys - ticks.false_ticks) / ticks.options


def true_false_rescaled(ticks: Ticks) -> float:
    """True/false with the better of 'all' and 'none' moved to 0, so that nothing is earned for nothing."""
    idle = max(ticks.keys, ticks.options - ticks.keys) / ticks.options
    return max(0.0, (true_false(ticks) - idle) / (1.0 - idle)) if idle < 1.0 else all_or_none(ticks)


def all_or_none(ticks: Ticks) -> float:
    """1 for exactly the keys."""
    return float(ticks.hits == ticks.keys and ticks.false_ticks == 0)


RULES: dict[str, Callable[[Ticks], float]] = {
    "plus-minus": plus_minus,
    "true-false": true_false,
    "true-false-rescaled": true_false_rescaled,
    "all-or-none": all_or_none,
}
"""Rules by name; plus-minus is the usual one (Betts et al. 2022: all usable, this among the best)."""


def several(
    ticked: Collection[str],
    keys: Collection[str],
    options: Collection[str],
    *,
    unsafe: Collection[str] = (),
    rule: str = "plus-minus",
) -> Credit:
    """Mark the options ticked.

    Args:
        ticked: options the learner ticked.
        keys: options that are true.
        options: all options shown.
        unsafe: options that would hurt someone: one of them ticked makes the whole item 0.
        rule: one of `RULES`.

    Raises:
        ValueError: there is no key, or a tick, key or unsafe option is not among the options.
    """
    shown, true, got = set(options), set(keys), set(ticked)
    if not true or not (true | got | set(unsafe)) <= shown:
        raise ValueError("several answers: expected one key or more, and only options that are shown")
    ticks = Ticks(len(shown), len(true), len(got & true), len(got - true))
    gates = tuple(option for option in options if option in got and option in unsafe)
    rights = tuple(option for option in options if option in got & true)
    wrongs = tuple(option for option in options if option in got ^ true)
    return Credit(0.0 if gates else RULES[rule](ticks), rights, wrongs, gates)
