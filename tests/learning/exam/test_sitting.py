"""The clock and the memory of a sitting."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from glasscan.learning.exam.exam_sitting import TICK_S, ExamSitting, TimeIsUp, begin, handed_in
from glasscan.learning.exam.paper import Paper
from glasscan.learning.store.results_files import results_of
from glasscan.learning.store.rows import StoredAnswer
from glasscan.learning.store.store import Store
from glasscan.learning.store.store_problems import StoreProblem

from tests.learning.exam.exampaper import small_paper


class HandClock:
    """A clock that goes only when it is told to."""

    def __init__(self) -> None:
        self.now = 1000.0

    def __call__(self) -> float:
        """The time it shows."""
        return self.now


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    """An empty store."""
    with Store(tmp_path / "results.sqlite3") as opened:
        yield opened


@pytest.fixture
def paper(tmp_path: Path) -> Paper:
    """A paper of one minute."""
    return small_paper(tmp_path)[0]


def started(store: Store, paper: Paper, clock: HandClock) -> ExamSitting:
    """Wen's sitting, new or gone on with."""
    return begin(store, store.person("Wen"), paper, clock)


def test_time_is_kept_over_a_crash_and_none_passes_between(store: Store, paper: Paper) -> None:
    """After 25 s a crash and a night, 35 s of 60 are left, less at most one tick more."""
    clock = HandClock()
    exam = started(store, paper, clock)
    for _ in range(25):
        clock.now += 1.0
        exam.tick()
    clock.now += 8 * 3600.0  # the first program is dead: nothing of it runs any more
    again = started(store, paper, clock)
    assert again.sitting.id == exam.sitting.id
    assert 35.0 <= again.left_s <= 35.0 + TICK_S


def test_an_answer_notes_the_time_too(store: Store, paper: Paper) -> None:
    """An answer stores the time left together with itself."""
    clock = HandClock()
    exam = started(store, paper, clock)
    clock.now += 17.0
    exam.give(paper.questions[0], "12 kPa", 17.0)
    assert store.sitting(exam.sitting.id).left_s == pytest.approx(43.0)
    assert started(store, paper, clock).answers == {"oil-morning/at-four": "12 kPa"}


def test_ticks_do_not_write_more_often_than_needed(store: Store, paper: Paper) -> None:
    """Within two seconds of the last note nothing is written."""
    clock = HandClock()
    exam = started(store, paper, clock)
    clock.now += TICK_S / 2
    exam.tick()
    assert store.sitting(exam.sitting.id).left_s == 60.0
    clock.now += TICK_S / 2
    exam.tick()
    assert store.sitting(exam.sitting.id).left_s == pytest.approx(60.0 - TICK_S)


def test_too_late_is_not_stored(store: Store, paper: Paper) -> None:
    """An answer after the end is refused, not stored, and the time left is 0, not less."""
    clock = HandClock()
    exam = started(store, paper, clock)
    clock.now += 60.0
    with pytest.raises(TimeIsUp):
        exam.give(paper.questions[0], "12", 1.0)
    assert exam.left_s == 0.0
    assert store.answers(exam.sitting) == []


def test_no_answer_is_not_stored(store: Store, paper: Paper) -> None:
    """A line that is no answer is refused before the store is touched."""
    exam = started(store, paper, HandClock())
    with pytest.raises(ValueError, match="expected a number"):
        exam.give(paper.questions[0], "twelve", 1.0)
    assert store.answers(exam.sitting) == []
    assert len(exam.open_questions) == 2


def test_a_clock_set_back_gives_no_time_back(store: Store, paper: Paper) -> None:
    """Steps back count for nothing, before and after going on; steps forward count as ever."""
    clock = HandClock()
    exam = started(store, paper, clock)
    left = [exam.left_s]
    for step in (10.0, -500.0, 5.0, -1.0, 5.0):
        clock.now += step
        left.append(exam.left_s)
    assert left == pytest.approx([60.0, 50.0, 50.0, 45.0, 45.0, 40.0])
    exam.give(paper.questions[0], "12", -500.0)
    clock.now -= 900.0
    again = started(store, paper, clock)
    assert again.left_s == pytest.approx(40.0, abs=0.5)
    again.give(paper.questions[1], "a", 1.0)
    kept = store.answers(again.sitting)
    assert [one.given.prompt for one in kept] == [q.asked.id for q in paper.questions]
    assert results_of(store, again.hand_in()).items[0].spent_s == 0.0  # less than none could not be handed in


def test_the_time_noted_after_a_clock_set_back_is_that_left(store: Store, paper: Paper) -> None:
    """Ticks go on being written after a step back: a crash then costs no more than two seconds."""
    clock = HandClock()
    exam = started(store, paper, clock)
    clock.now -= 3600.0
    for _ in range(20):
        clock.now += 1.0
        exam.tick()
    assert started(store, paper, clock).left_s == pytest.approx(exam.left_s, abs=TICK_S)
    assert exam.left_s == pytest.approx(41.0, abs=1.0)


def test_no_more_time_than_the_paper_gives(store: Store, paper: Paper) -> None:
    """A sitting begun with a paper of that name that gave an hour goes on with one minute, not sixty."""
    store.begin(store.person("Wen"), "exam", paper.paper, paper.seed, 3600.0)
    assert started(store, paper, HandClock()).left_s == paper.limit_s


def test_a_handed_in_paper_is_not_sat_again(store: Store, paper: Paper) -> None:
    """After handing in, no answer is taken, and the sitting is found as handed in."""
    exam = started(store, paper, HandClock())
    exam.give(paper.questions[1], "a", 1.0)
    done = exam.hand_in()
    found = handed_in(store, store.person("wen"), paper)
    assert found == done
    with pytest.raises(StoreProblem, match="handed in"):
        exam.give(paper.questions[1], "b", 1.0)


def test_people_and_variants_are_kept_apart(store: Store, paper: Paper, tmp_path: Path) -> None:
    """Another person, or another seed of the same paper, begins anew."""
    exam = started(store, paper, HandClock())
    other = begin(store, store.person("Bo"), paper)
    variant = begin(store, store.person("Wen"), small_paper(tmp_path, seed=2)[0])
    assert len({exam.sitting.id, other.sitting.id, variant.sitting.id}) == 3


def test_a_sitting_of_another_paper_of_that_name_is_refused(store: Store, paper: Paper) -> None:
    """A file that took the name of another paper does not mix with its answers."""
    exam = started(store, paper, HandClock())
    store.answer(exam.sitting, StoredAnswer("elsewhere/q", "1"))
    with pytest.raises(StoreProblem, match="'elsewhere/q', which this paper does not ask"):
        started(store, paper, HandClock())
