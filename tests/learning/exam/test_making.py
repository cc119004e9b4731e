"""What a paper asks, and whether a variant is as hard as its file."""

from __future__ import annotations

from pathlib import Path

import pytest
from glasscan.content import BadInput
from glasscan.learning.exam.paper_making import Order, make
from glasscan.learning.exam.parallel_forms import uneven
from glasscan.learning.marking_log import MarkingLog
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.rig.records import Event

from tests.learning.exam.exampaper import FullLog, scenario_file


class ShutLog(FullLog):
    """A run in which the valve never moves."""

    events: tuple[Event, ...] = ()

    def __init__(self) -> None:
        super().__init__()
        object.__setattr__(self, "events", ())


def order(path: Path, seed: int = 1) -> Order:
    """A paper of one scenario."""
    return Order("week-3", (str(path),), seed, 1.0)


def test_what_does_not_count_is_not_asked(tmp_path: Path) -> None:
    """The prediction has no marks and is left out; the rest stands in the order of the file."""
    paper = make(order(scenario_file(tmp_path)), lambda _: FullLog()).paper
    assert [q.asked.id for q in paper.questions] == ["oil-morning/at-four", "oil-morning/who"]


def test_the_question_has_the_value_of_the_variant(tmp_path: Path) -> None:
    """The air temperature in the question is the one that was run; it is one of those the file allows."""
    ran: list[Scenario] = []

    def run(scenario: Scenario) -> MarkingLog:
        ran.append(scenario)
        return FullLog()

    paper = make(order(scenario_file(tmp_path), seed=4), run).paper
    air_c = ran[0].air_c
    assert air_c in (-10, -5, 0, 5)
    assert f"At {air_c:g} °C".replace("-", "−") in paper.questions[0].asked.text
    assert f"{air_c:g} °C".replace("-", "−") in paper.sections[0].about


def test_an_even_variant_has_no_note(tmp_path: Path) -> None:
    """Where the variant's run has the same events and right lines nothing is said."""
    assert make(order(scenario_file(tmp_path)), lambda _: FullLog()).notes == ()


def test_an_uneven_variant_is_told(tmp_path: Path) -> None:
    """Where the valve opens in the file and stays shut in the variant, events and right choice are named."""
    scenario = load_scenario(str(scenario_file(tmp_path)))
    told = uneven(scenario, ShutLog(), FullLog())
    assert [line.split(": ")[0] for line in told] == ["oil-morning", "oil-morning/who", "oil-morning/guess"]


def test_a_number_that_turns_into_never_is_told(tmp_path: Path) -> None:
    """A time that is a number in the file and 'never' in the variant is another kind of question."""
    path = scenario_file(tmp_path)
    text = path.read_text().replace(
        "{of: value-at-time, trace: dp_kpa, at_s: 4}", "{of: event-time, event: bypass-full}"
    )
    path.write_text(text.replace("unit: kPa", "unit: s"))
    told = uneven(load_scenario(str(path)), ShutLog(), FullLog())
    assert "oil-morning/at-four: this variant has another kind of answer ('never') than the file" in told


def test_nothing_to_vary_is_told(tmp_path: Path) -> None:
    """A scenario without `vary` is asked in the same way by every seed; its maker is told."""
    path = scenario_file(tmp_path)
    path.write_text(path.read_text().replace("vary:\n  - {key: air_c, among: [-10, -5, 0, 5]}\n", ""))
    assert make(order(path), lambda _: FullLog()).notes == (
        "oil-morning: has no key under 'vary': every seed asks the same",
    )


def test_nothing_to_mark_is_refused(tmp_path: Path) -> None:
    """A scenario without a question that counts makes no paper."""
    path = scenario_file(tmp_path)
    text = path.read_text()
    path.write_text(text[: text.index("  - kind: numeric")] + text[text.index("  - kind: predict") :])
    with pytest.raises(BadInput, match="oil-morning: has no question with marks"):
        make(order(path), lambda _: FullLog())
