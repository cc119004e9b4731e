"""The cold start against its own runs: every key emerges from the model and moves with the scenario.

No outside number: what is checked is that key and question follow the run, and the order of events that
common practice teaches (no source): cold oil opens the bypass where the whole pump flow goes through the
element, and only while the passages fill where the regulator sits before the filter.
"""

from __future__ import annotations

from functools import cache

import pytest
from glasscan.learning.prompts import asked, mark
from glasscan.learning.scenario_loading import load_scenario
from glasscan.rig.run_log import RunLog

from tests.learning.playing import kept_run

SETTINGS: dict[str, tuple[str, ...]] = {
    "as shipped": (),
    "stopped while cold": ("end_s=120",),
    "colder": ("air_c=-18",),
    "regulator before": ("plant.regulator=before",),
    "warm oil": ("start.oil_c=90",),
}


AIRS = ("as shipped", "colder")

SALT = "a sitting"


@cache
def log_of(name: str, setting: str) -> RunLog:
    """Run a shipped scenario with one of the settings."""
    return kept_run(load_scenario(name, SETTINGS[setting]))


def key(setting: str, number: int) -> str:
    """Key of a prompt of the cold start."""
    prompt = load_scenario("cold-start").prompts[number]
    answer = "never" if number else asked(prompt, load_scenario("cold-start"), None, SALT).choices[0][0]
    return mark(prompt, answer, log_of("cold-start", setting)).key


def test_the_prediction_has_the_key_of_its_run() -> None:
    """The same question has four keys in four states of the rig."""
    assert key("as shipped", 0).startswith("It opens, stays open while the oil is cold")
    assert key("stopped while cold", 0).startswith("It opens soon after the start, and it is still open")
    assert key("regulator before", 0).startswith("It opens only while the gallery fills")
    assert key("warm oil", 0).startswith("It stays on its seat")


def test_the_number_is_the_one_of_the_event_list() -> None:
    """The numeric key is the oil temperature of the run's last seating, within the trace's straight lines."""
    log = log_of("cold-start", "as shipped")
    last = [e for e in log.events if e.word == "bypass-seats"][-1]
    value, unit = key("as shipped", 2).split()
    assert float(value) == pytest.approx(last.oil_c, abs=0.5)
    assert unit == "°C"
    assert key("stopped while cold", 2) == "never"


def test_the_air_changes_question_and_key() -> None:
    """Colder air asks another question and has another answer."""
    questions = {
        asked(s.prompts[1], s, None, SALT).text
        for s in (load_scenario("cold-start", SETTINGS[n]) for n in AIRS)
    }
    assert len(questions) == len({key(name, 1) for name in AIRS}) == 2
