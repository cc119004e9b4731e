"""Guessing, careless, careful and reference players come in that order, far apart.

No outside number: the order is what a score of diagnosis is for.
"""

from __future__ import annotations

from itertools import pairwise

import pytest
from glasscan.learning.cases.case_play import CANNOT_TELL, Case, hidden_of
from glasscan.learning.cases.debrief import debrief
from glasscan.learning.cases.scoring import review

from tests.bench.bench_players import APART, ordered, scores


@pytest.mark.parametrize("kind", ["can", "cartridge", "disc"])
def test_knowledge_earns_more_than_luck(kind: str) -> None:
    """Over 12 cases each player is well above the one before.

    A careful player names the fault as the reference does and loses only what needless tests cost.
    """
    found = scores(12, (kind,))
    learners = [found[player] for player in ("guessing", "careless", "careful")]
    assert all(b - a > APART for a, b in pairwise(learners)), found
    assert found["reference"] - found["careful"] > 0.03, found
    assert found["guessing"] < 0.2
    assert found["reference"] > 0.9


@pytest.mark.parametrize("verdict", ["wrong", CANNOT_TELL])
def test_a_blind_verdict_earns_nothing(verdict: str) -> None:
    """No test, a wrong fault or "cannot tell": 0; the right one by luck earns no more than half."""
    case = Case.begin(7, "can", 2)
    true = hidden_of(7, "can").code
    word = verdict if verdict == CANNOT_TELL else next(c for c in case.suspects if c[:3] != true[:3])
    case.decide(word)
    assert review(case).score.score == 0.0
    lucky = Case.begin(7, "can", 2)
    lucky.decide(true)
    assert review(lucky).score.score == 0.5


def test_the_debrief_says_which_readings_spoke_against_a_wrong_verdict() -> None:
    """After a look at the gauges a wrong verdict is answered with the readings that spoke against it."""
    case = Case.begin(7, "can", 2)
    ordered(case, "pressure-pattern")
    true = hidden_of(7, "can").code
    case.decide(next(c for c in case.suspects if c[:3] != true[:3]))
    told = [text for text in debrief(case).evidence if "That speaks for" in text]
    assert told
    assert all("Usual with" in text for text in told)
