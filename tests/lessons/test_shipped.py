"""The shipped lessons against their own runs: every key emerges from the model and moves with the scenario.

No outside number: what is checked is that key and question follow the run, and the order of events that
common practice teaches (no source): cold oil opens the bypass where the whole pump flow goes through the
element, and only while the passages fill where the regulator sits before the filter.
"""

from __future__ import annotations

from functools import cache

import numpy as np
import pytest

from sim.filters.build import build
from sim.filters.data import FilterData
from sim.filters.section import Section
from sim.lessons.assemble import rig_setup
from sim.lessons.catalogue import load_filter, scenario_names
from sim.lessons.prompts import asked, mark
from sim.lessons.scenarios import load_scenario
from sim.plant.runlog import RunLog
from sim.plant.runner import run

SETTINGS: dict[str, tuple[str, ...]] = {
    "as shipped": (),
    "stopped while cold": ("end_s=120",),
    "colder": ("air_c=-18",),
    "regulator before": ("plant.regulator=before",),
    "warm oil": ("start.oil_c=90",),
}


AIRS = ("as shipped", "colder")


@cache
def log_of(name: str, setting: str) -> RunLog:
    """Run a shipped scenario with one of the settings."""
    scenario = load_scenario(name, SETTINGS[setting])
    return run(rig_setup(scenario, solved(scenario.filter)))


@cache
def solved(name: str) -> Section:
    """The section of a filter, solved once for all scenarios that use it."""
    return build(FilterData(load_filter(name)))


def key(setting: str, number: int) -> str:
    """Key of a prompt of the cold start."""
    prompt = load_scenario("cold-start").prompts[number]
    answer = "never" if number else asked(prompt, load_scenario("cold-start")).choices[0][0]
    return mark(prompt, answer, log_of("cold-start", setting)).key


def test_the_prediction_has_the_key_of_its_run() -> None:
    """The same question has four keys in four states of the rig."""
    assert key("as shipped", 0).startswith("It opens, stays open while the oil is cold")
    assert key("stopped while cold", 0).startswith("It opens and is still open at the end")
    assert key("regulator before", 0).startswith("It opens only while the oil passages fill")
    assert key("warm oil", 0).startswith("It stays shut")


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
        asked(s.prompts[1], s).text for s in (load_scenario("cold-start", SETTINGS[n]) for n in AIRS)
    }
    assert len(questions) == len({key(name, 1) for name in AIRS}) == 2


@pytest.mark.parametrize("name", scenario_names())
def test_every_prompt_can_be_marked(name: str) -> None:
    """Every shipped prompt takes an answer of its form, gives a reason, and has one answer that is right."""
    scenario, log = load_scenario(name), log_of(name, "as shipped")
    for prompt in scenario.prompts:
        shown = asked(prompt, scenario)
        if shown.form == "choice":
            results = [mark(prompt, choice, log) for choice, _ in shown.choices]
        elif shown.form == "valve-strip":
            windows = len(shown.edges_s) - 1
            results = [
                mark(prompt, [bool(n >> i & 1) for i in range(windows)], log) for n in range(2**windows)
            ]
        else:
            results = [mark(prompt, mark(prompt, "0", log).key.replace("−", "-"), log)]
        assert sum(r.share == 1.0 for r in results) == 1
        assert all(r.reason and r.key for r in results)


@pytest.mark.parametrize("name", scenario_names())
def test_questions_name_nothing_unknown(name: str) -> None:
    """No placeholder is left in a question, and each tells where the work can hurt."""
    scenario = load_scenario(name)
    assert all("{" not in asked(p, scenario).text for p in scenario.prompts)
    assert "approved maintenance data" in scenario.safety


@pytest.mark.parametrize("name", scenario_names())
def test_every_shipped_run_ends_with_closed_books(name: str) -> None:
    """A shipped lesson runs to its end, every number is finite, and volume and dirt close to 1e-9."""
    log = log_of(name, "as shipped")
    assert (log.ended, log.times_s[-1]) == ("completed", load_scenario(name).end_s)
    assert all(np.isfinite(column).all() for column in log.trace.values())
    assert max(log.ledger.volume_error_rel, log.ledger.mass_error_rel) < 1e-9


def test_a_clogging_element_is_told_before_it_is_passed() -> None:
    """Common practice, no source: indicator first, then the bypass, after some 10 to 20 g of test dust."""
    log = log_of("element-clogs", "as shipped")
    words = [e.word for e in log.events]
    assert words[-2:] == ["indicator-pops", "bypass-cracks"]
    held_g = np.interp(log.events[-1].t_s, log.times_s, log.trace["deposit"]) * 1e-3
    assert 10.0 < held_g < 20.0
    assert abs(log.trace["gauge"][-1] / log.trace["gauge"][3] - 1.0) < 0.01


def test_a_slug_of_dust_opens_the_bypass_within_minutes() -> None:
    """The dirty funnel: shut before the dust comes in, open within two minutes after it."""
    cracks = [e.t_s for e in log_of("cartridge-clogs", "as shipped").events if e.word == "bypass-cracks"]
    assert 60.0 < cracks[0] < 180.0


def test_only_the_night_makes_a_leaking_diaphragm_slow() -> None:
    """Pressure comes about as fast after ten minutes as after a minute, and far later after the night."""
    green = [e.t_s for e in log_of("after-the-night", "as shipped").events if e.word == "pressure-green"]
    first, second, third = green[0] - 2.0, green[1] - 660.0, green[2] - 60000.0
    assert second < 1.5 * first
    assert third > 3.0 * second
