"""A few cases of each long robustness run."""

import random

import pytest
from glasscan.content import BadInput
from glasscan.learning.cases.case_files import read
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.exam.paper import read_questions, read_sources
from glasscan.learning.store.results_files import load_results
from glasscan.learning.store.store_problems import StoreProblem

from tests.fuzz.faulty import one_faulty_rig
from tests.fuzz.feeding import one_paper, one_results, one_seal
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


def test_damaged_results_are_read_or_refused_in_one_line():
    """600 damaged results files: of use in store, marking and class report, or one line."""
    outcome = many(one_results, 600)
    assert outcome["refused in one line"] > 300
    assert outcome["read and marked"] > 30


def test_damaged_papers_are_sat_or_refused_in_one_line():
    """400 damaged exam papers: they can be sat to the end, or one line."""
    outcome = many(one_paper, 400)
    assert outcome["refused in one line"] > 200
    assert outcome["read and sat"] > 20


def test_a_damaged_seal_opens_whole_or_not_at_all():
    """100 damaged seals: the very text that was sealed (spaces and order of keys are free), or one line."""
    outcome = many(one_seal, 100)
    assert outcome["refused in one line"] > 50


def test_a_folder_or_nothing_instead_of_a_file(tmp_path):
    """A folder, a missing file and a name no system takes: one line from every reader."""
    readers = (
        load_results,
        read,
        lambda path: read_questions(path, str),
        lambda path: read_sources(path, str),
    )
    for path in (tmp_path, tmp_path / "none.json", tmp_path / "none" / "x.json", tmp_path / "a\0b"):
        for reader in readers:
            with pytest.raises((BadInput, StoreProblem)) as told:
                reader(path)
            assert str(told.value).isprintable()


def test_the_mutations_change_the_files():
    """Nearly every mutation changes its file."""
    changed = sum(mutated(TEXTS[0], random.Random(n)) != TEXTS[0] for n in range(50))
    assert changed > 40
    assert scenario_names()
