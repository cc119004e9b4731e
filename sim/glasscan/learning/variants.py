"""Papers of equal difficulty: a seed picks the values of the keys that a scenario lets vary."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from secrets import token_hex

from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.shuffling import pick

SECRET_BYTES = 16

Draw = int | str
"""What draws a variant: a seed, which anyone may try again, or the secret of an assessed paper."""


def new_secret() -> str:
    """A secret that draws an assessed paper or case: 128 random bits, 32 hexadecimal letters."""
    return token_hex(SECRET_BYTES)


def seed_of(draw: Draw) -> int:
    """The seed of the runs."""
    if isinstance(draw, int):
        return draw
    return int.from_bytes(sha256(f"runs {draw}".encode()).digest()[:4]) % 2**31


def variant_overrides(scenario: Scenario, seed: Draw) -> tuple[str, ...]:
    """What a seed or secret lays over a scenario, as `key=value`."""
    drawn = [(v.key, pick(v.among, seed, f"{scenario.scenario}.{v.key}")) for v in scenario.vary]
    return (*(f"{key}={value}" for key, value in drawn), f"seed={seed_of(seed)}")


def load_variant(word: str, seed: Draw, overrides: Sequence[str] = ()) -> Scenario:
    """A scenario as the paper of a seed asks it; question and key change together.

    Args:
        word: path of a file, or id of a shipped scenario.
        seed: of the paper, from 0 to 2^31 - 1; or its secret.
        overrides: laid over the file before and after the seed's values, so that they win.

    Raises:
        BadInput: the scenario is bad, or a value it lets vary does not fit.
    """
    base = load_scenario(word, overrides)
    return load_scenario(word, (*variant_overrides(base, seed), *overrides))
