"""A few cases of each long robustness run."""

import random

from sim.lessons.catalogue import scenario_names
from tests.fuzz.faulty import one_faulty_rig
from tests.fuzz.long import many, mutated, one_file, one_rig
from tests.fuzz.test_scenario_fuzz import TEXTS


def test_mutated_files_are_records_or_clear_lines():
    """Sixty mutated scenario files: always a record or clear lines, never another exception."""
    outcome = many(one_file, 60)
    assert outcome.total() == 60
    assert outcome["refused in clear lines"] > 20


def test_random_rigs_stay_finite_and_keep_their_books():
    """Thirty random rigs: finite, books closed, the filter takes power and gives none."""
    outcome = many(one_rig, 30)
    assert outcome.total() == 30
    assert outcome["valve open"] > 2
    assert outcome["valve shut"] > 2


def test_random_faults_and_hands_leave_the_rig_sound():
    """Eight shipped rigs with faults under random hands: finite, books closed, no power out of nothing."""
    assert many(one_faulty_rig, 8).total() == 8


def test_the_mutations_change_the_files():
    """Nearly every mutation changes its file."""
    changed = sum(mutated(TEXTS[0], random.Random(n)) != TEXTS[0] for n in range(50))
    assert changed > 40
    assert scenario_names()
