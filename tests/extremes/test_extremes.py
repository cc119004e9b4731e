"""A sample of `python -m tests.extremes`: keys of two running lessons at the ends of their ranges."""

from __future__ import annotations

import random
from collections.abc import Iterator

import pytest
from glasscan.learning.catalogue import scenario_names
from glasscan.learning.scenario_loading import load_scenario

from tests.extremes.__main__ import IN_WINDOW_ONLY, agreed
from tests.extremes.keys import live, outside, starts
from tests.extremes.ride import REFUSED, Lesson, checked

SEED, SAMPLE = 17, 9


@pytest.fixture(scope="module", params=["cold-start", "scraper-day"])
def lesson(request: pytest.FixtureRequest) -> Iterator[Lesson]:
    """A lesson in the window's session."""
    found = Lesson(request.param)
    yield found
    found.close()


def test_sampled_keys_at_both_ends(lesson: Lesson) -> None:
    """Finite, both books closed to 1e-9, no exception after a key is moved to an end; or one clear line."""
    dice = random.Random(SEED)
    told = [agreed(lesson.name, lesson.live(one)) for one in dice.sample([*live(lesson.scenario)], SAMPLE)]
    told += [lesson.start(one) for one in dice.sample([*starts(lesson.scenario)], 3)]
    assert [(str(t.one), t.word) for t in told if t.lost] == []
    assert sum(t.frame_s > 0 for t in told) > SAMPLE / 2  # most ran; they were not all refused


def test_beyond_an_end_lesson_and_check_refuse_alike(lesson: Lesson) -> None:
    """The next number beyond an end is refused in the running rig and by `glasscan check`."""
    keys = [one for one in outside(live(lesson.scenario)) if one.key not in (*IN_WINDOW_ONLY, "rpm", "air_c")]
    for one in random.Random(SEED).sample(keys, 12):
        assert not checked(lesson.name, one), f"check admits {one}"
        if "." in one.key:
            assert lesson.live(one).word == REFUSED, f"the running rig takes {one}"


def test_every_lesson_has_keys_of_both_sorts() -> None:
    """No lesson is left out: at least its rig's numbers, its start and its end have two ends each."""
    for name in scenario_names():
        scenario = load_scenario(name)
        assert len([*live(scenario)]) > 150, name
        assert {one.key for one in starts(scenario)} >= {"air_c", "end_s", "start.rpm"}, name
