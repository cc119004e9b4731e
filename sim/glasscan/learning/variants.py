"""Papers of equal difficulty: a seed picks the values of the keys that a scenario lets vary."""

from __future__ import annotations

from collections.abc import Sequence

from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.shuffling import pick


def variant_overrides(scenario: Scenario, seed: int) -> tuple[str, ...]:
    """What a seed lays over a scenario, as `key=value`."""
    drawn = [(v.key, pick(v.among, seed, f"{scenario.scenario}.{v.key}")) for v in scenario.vary]
    return (*(f"{key}={value}" for key, value in drawn), f"seed={seed}")


def load_variant(word: str, seed: int, overrides: Sequence[str] = ()) -> Scenario:
    """A scenario as the paper of a seed asks it; question and key change together.

    Args:
        word: path of a file, or id of a shipped scenario.
        seed: of the paper, from 0 to 2^31 - 1.
        overrides: laid over the file before and after the seed's values, so that they win.

    Raises:
        BadInput: the scenario is bad, or a value it lets vary does not fit.
    """
    base = load_scenario(word, overrides)
    return load_scenario(word, (*variant_overrides(base, seed), *overrides))
