"""Information in words a trade uses. Source: C. E. Shannon, Bell System Technical Journal 27 (1948) 379-423:
one bit chooses between two equally likely answers, so it halves the number of suspects."""

import math

import pytest
from glasscan.learning.cases.doubt_words import halving


@pytest.mark.parametrize(("suspects", "left", "cost_min"), [(8, 4, 12.0), (8, 2, 24.0), (6, 3, 40.0)])
def test_a_halving_is_one_bit(suspects, left, cost_min):
    """A test that leaves so many of the suspects for its minutes: its rate halves them in those minutes."""
    bits = math.log2(suspects / left)
    assert halving(bits / cost_min) == f"halves the doubt in {cost_min / bits:.0f} min"


def test_quick_and_useless_tests_have_words_of_their_own():
    """No minutes that nobody reads: less than one, or longer than a working day."""
    assert halving(2.0) == "halves the doubt within a minute"
    assert halving(0.0) == halving(1e-9) == "leaves the doubt as it is"
