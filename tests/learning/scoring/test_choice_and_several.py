"""One choice, guess correction, several answers.

The worked numbers are plain arithmetic of the published rules (COMPUTED by hand); the ranking of rules for
'select all that apply' is Betts et al. 2022 (FOUND).
"""

from __future__ import annotations

import pytest
from glasscan.learning.scoring.choice import guess_corrected, single_choice
from glasscan.learning.scoring.several import RULES, several
from hypothesis import given
from hypothesis import strategies as st

SIX = tuple("abcdef")


def test_single_choice_has_no_negative_mark() -> None:
    """The key earns 1; a wrong choice and a blank earn 0 alike."""
    assert [single_choice(given, "b") for given in ("b", "a", None)] == [1.0, 0.0, 0.0]


def test_guess_corrected_worked() -> None:
    """40 items of three options, 28 right, 9 wrong, 3 blank: 28 - 4.5 = 23.5, 58.75 %."""
    assert guess_corrected(28, 9, 3) == 23.5
    assert guess_corrected(28, 9, 3) / 40 == pytest.approx(0.5875)


@given(st.integers(2, 6), st.integers(1, 50))
def test_blind_guessing_earns_nothing_on_average(choices: int, rounds: int) -> None:
    """One right in k, the rest wrong, is what blind guessing brings: it sums to 0."""
    assert guess_corrected(rounds, rounds * (choices - 1), choices) == pytest.approx(0.0)


@pytest.mark.parametrize("bad", [(1, 1, 1), (-1, 0, 3), (0, -1, 3)])
def test_guess_corrected_refuses(bad: tuple[int, int, int]) -> None:
    """One choice or negative counts make no sense."""
    with pytest.raises(ValueError, match="two choices"):
        guess_corrected(*bad)


@pytest.mark.parametrize(
    ("ticked", "rule", "share"),
    [
        ("abd", "plus-minus", 1 / 3),
        ("abd", "true-false", 2 / 3),
        ("abd", "all-or-none", 0.0),
        ("abcdef", "plus-minus", 0.0),
        ("abcdef", "true-false", 0.5),
        ("", "true-false", 0.5),
        ("", "plus-minus", 0.0),
        ("abcdef", "true-false-rescaled", 0.0),
        ("", "true-false-rescaled", 0.0),
        ("abd", "true-false-rescaled", 1 / 3),
    ],
)
def test_several_worked(ticked: str, rule: str, share: float) -> None:
    """N=6, K=3: two hits and one false tick give 0.333 / 0.667 / 0; all and none give 0 / 0.5 / 0."""
    assert several(ticked, "abc", SIX, rule=rule).share == pytest.approx(share)


@given(st.sets(st.sampled_from(SIX), min_size=1), st.sets(st.sampled_from(SIX)), st.sampled_from(list(RULES)))
def test_several_stays_between_0_and_1(keys: set[str], ticked: set[str], rule: str) -> None:
    """Every rule gives 0..1, and 1 for exactly the keys and for nothing else."""
    share = several(ticked, keys, SIX, rule=rule).share
    assert 0.0 <= share <= 1.0
    assert (share == 1.0) == (ticked == keys)


@pytest.mark.parametrize("keys", ["a", "abc", "abcde", "abcdef"])
def test_rescaled_gives_nothing_for_nothing(keys: str) -> None:
    """Ticking all or none earns 0 however many keys there are, unless all is the key."""
    shares = [several(ticked, keys, SIX, rule="true-false-rescaled").share for ticked in ("", "abcdef")]
    assert shares == [0.0, float(keys == "abcdef")]


def test_unsafe_tick_makes_the_item_nothing() -> None:
    """Opening the bowl under pressure is 0 whatever else was ticked, and is named as a gate."""
    credit = several("abc", "ab", SIX, unsafe="c")
    assert (credit.share, credit.gates) == (0.0, ("c",))
    assert several("ab", "ab", SIX, unsafe="c").share == 1.0


def test_several_names_right_and_wrong() -> None:
    """The credit says which options were right and which were not, in the order shown."""
    credit = several("dab", "abc", SIX)
    assert (credit.rights, credit.wrongs) == (("a", "b"), ("c", "d"))


@pytest.mark.parametrize(("ticked", "keys", "unsafe"), [("a", "", ""), ("z", "a", ""), ("a", "a", "z")])
def test_several_refuses(ticked: str, keys: str, unsafe: str) -> None:
    """No key, or an option that is not shown, is a fault of the file."""
    with pytest.raises(ValueError, match="several answers"):
        several(ticked, keys, SIX, unsafe=unsafe)
