"""Prompts against a run log made by hand; every expected value is read off its table by eye."""

from __future__ import annotations

from typing import Any

import pytest
from glasscan.content import load_text
from glasscan.learning.facts import holds
from glasscan.learning.marking_log import column
from glasscan.learning.prompt_schema import Happens, Never, Prompt, Quantity, StripForm
from glasscan.learning.prompts import asked, mark
from glasscan.learning.question_types.valve_strip import open_share
from glasscan.learning.run_quantities import read
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.typed_numbers import Unreadable
from glasscan.rig.records import Event
from pydantic import TypeAdapter

from tests.learning.handmade import HandLog, shut_log
from tests.world import SCENARIO

PROMPT: TypeAdapter[Any] = TypeAdapter(Prompt)
QUANTITY: TypeAdapter[Any] = TypeAdapter(Quantity)

CHOICE = {
    "kind": "predict-then-watch",
    "id": "valve",
    "ask": "At {air_c} degC, regulator {plant.regulator}?",
    "answer": {
        "form": "choice",
        "choices": [
            {"id": "shut", "text": "stays shut", "true_when": [{"fact": "never", "event": "bypass-cracks"}]},
            {
                "id": "filling",
                "text": "only while filling",
                "true_when": [
                    {"fact": "happens", "event": "bypass-cracks"},
                    {"fact": "never", "event": "bypass-seats", "after": "gallery-full"},
                ],
            },
            {"id": "seats", "text": "opens and seats"},
        ],
    },
}


def numeric(quantity: dict[str, Any], unit: str = "kPa", **more: Any) -> Any:
    """A numeric prompt on a quantity."""
    return PROMPT.validate_python(
        {"kind": "numeric", "id": "n", "ask": "?", "quantity": quantity, "unit": unit, **more}
    )


@pytest.mark.parametrize(
    ("quantity", "value"),
    [
        ({"of": "event-time", "event": "bypass-cracks"}, 4.0),
        ({"of": "value-at-event", "trace": "dp_kpa", "event": "bypass-cracks"}, 83.0),
        ({"of": "value-at-event", "trace": "filter_oil_c", "event": "bypass-seats"}, 45.0),
        ({"of": "value-at-time", "trace": "dp_kpa", "at_s": 30.0}, 90.0),
        ({"of": "value-at-end", "trace": "outlet_kpa"}, 300.0),
        ({"of": "largest", "trace": "dp_kpa"}, 140.0),
        ({"of": "largest", "trace": "dp_kpa", "from_s": 7.0}, 110.0),
        ({"of": "smallest", "trace": "dp_kpa", "from_s": 4.0, "to_s": 20.0}, 83.0),
        ({"of": "unfiltered"}, 7.5),
        ({"of": "time-between", "event": "bypass-cracks", "until": "bypass-seats"}, 36.0),
        ({"of": "event-time", "event": "indicator-pops"}, None),
        ({"of": "time-between", "event": "bypass-seats", "until": "bypass-cracks"}, None),
    ],
)
def test_quantities(quantity: dict[str, Any], value: float | None) -> None:
    """Each named quantity is the number one reads off the table."""
    assert read(QUANTITY.validate_python(quantity), HandLog()).value == pytest.approx(value)


def test_a_column_kept_in_another_unit_is_converted() -> None:
    """A log that keeps `dp` in bar answers for `dp_kpa`; a column it lacks is an error that names it."""
    log = HandLog(trace={"dp": HandLog().trace["dp_kpa"] / 100.0}, units={"dp": "bar"})
    assert column(log, "dp_kpa") == pytest.approx(HandLog().trace["dp_kpa"])
    with pytest.raises(KeyError, match="flow_lpm"):
        column(log, "flow_lpm")


def test_choice_follows_the_run() -> None:
    """The same prompt has another key where the valve stays shut, and where it seats early."""
    prompt = PROMPT.validate_python(CHOICE)
    cracks, full, _, seats = HandLog().events
    early = HandLog(events=(cracks, full, seats, Event(50.0, "gallery-full", 40e3, 50.0)))
    keys = {name: mark(prompt, "shut", log).key for name, log in
            {"cold": HandLog(), "warm": shut_log(), "early": early}.items()}  # fmt: skip
    assert keys == {"cold": "opens and seats", "warm": "stays shut", "early": "only while filling"}


@pytest.mark.parametrize(
    ("window", "occurs"),
    [
        ({}, True),
        ({"from_s": 4.0, "to_s": 4.0}, True),
        ({"from_s": 4.1}, False),
        ({"to_s": 3.9}, False),
        ({"after": "bypass-full"}, False),
        ({"after": "bypass-cracks"}, True),
        ({"after": "indicator-pops"}, False),
    ],
)
def test_windows_of_facts(window: dict[str, Any], occurs: bool) -> None:
    """An event at 4 s lies in or out of a window in seconds, or from the first of another event on."""
    for fact, truth in ((Happens, occurs), (Never, not occurs)):
        data = {"fact": fact.model_fields["fact"].annotation.__args__[0], "event": "bypass-cracks"}
        assert holds(fact.model_validate(data | window), HandLog()) is truth


def test_predictions_carry_no_marks_but_are_answered() -> None:
    """A prediction is compared with the run and explained, and earns nothing by itself."""
    prompt = PROMPT.validate_python(CHOICE)
    right, wrong = mark(prompt, "seats", HandLog()), mark(prompt, "shut", HandLog())
    assert (right.share, right.marks, wrong.share, wrong.marks) == (1.0, 0.0, 0.0, 0.0)
    assert "opens and seats" in wrong.reason
    assert wrong.wrongs == ("stays shut",)


def test_a_prediction_of_something_that_never_comes() -> None:
    """Where a predicted event stays out, `never` is right and any number is wrong."""
    answer = {"form": "number", "quantity": {"of": "event-time", "event": "bypass-cracks"}, "unit": "s"}
    prompt = PROMPT.validate_python({"kind": "predict-then-watch", "id": "t", "ask": "?", "answer": answer})
    assert mark(prompt, "never", shut_log()).share == 1.0
    assert mark(prompt, "4", shut_log()).share == 0.0
    assert mark(prompt, "never", HandLog()).share == 0.0
    assert mark(prompt, "4 s", HandLog()).share == 1.0


def test_gauge_read_for_differential() -> None:
    """The inlet pressure at the moment of the largest difference, 400 kPa, is recognised as such."""
    result = mark(numeric({"of": "largest", "trace": "dp_kpa"}), "400", HandLog())
    assert (result.slip, result.share) == ("gauge (inlet) for differential", 0.5)


def test_the_unit_asked_for_rules_the_key() -> None:
    """Asked in psi, the key is 140 kPa = 20.3 psi (140 / 6.894757), and 140 is a unit slip."""
    prompt = numeric({"of": "largest", "trace": "dp_kpa"}, unit="psi")
    assert mark(prompt, "20,3", HandLog()).share == 1.0
    assert mark(prompt, "140", HandLog()).slip == "unit"
    assert mark(prompt, "140 kPa", HandLog()).share == 1.0


def test_the_reason_ends_with_the_lesson() -> None:
    """The why of the prompt follows the reason of the mark."""
    assert mark(numeric({"of": "unfiltered"}, "L", why="Because."), "7.5", HandLog()).reason.endswith(
        "Because."
    )


def test_valve_strip() -> None:
    """Open more than half of a window counts as open; marks are the share of windows said right."""
    answer = {"form": "valve-strip", "edges_s": [0, 4, 20, 40, 60]}
    form = StripForm.model_validate(answer)
    assert open_share(form, HandLog()) == pytest.approx((0.0, 1.0, 1.0, 0.0))
    data = {"kind": "predict-then-watch", "id": "s", "ask": "?", "answer": answer, "marks": 1.0}
    prompt = PROMPT.validate_python(data)
    assert mark(prompt, [False, True, True, False], HandLog()).marks == 1.0
    half = mark(prompt, [False, True, False, True], HandLog())
    assert (half.share, half.rights) == (0.5, ("0–4 s shut", "4–20 s open"))
    assert mark(prompt, [False] * 4, shut_log()).share == 1.0


@pytest.mark.parametrize(
    ("prompt", "answer"),
    [(CHOICE, "nonsense"), (CHOICE | {"answer": {"form": "valve-strip", "edges_s": [0, 1]}}, [])],
)
def test_answers_of_another_form_are_refused(prompt: dict[str, Any], answer: Any) -> None:
    """An answer that is not of the prompt's form is an error that says what was expected, not a mark."""
    with pytest.raises(ValueError, match="expected"):
        mark(PROMPT.validate_python(prompt), answer, HandLog())


def test_an_unreadable_number_is_asked_again() -> None:
    """A number that can be read in two ways raises instead of earning nothing."""
    with pytest.raises(Unreadable):
        mark(numeric({"of": "unfiltered"}, "L"), "7,500", HandLog())


def test_the_question_tells_the_state_of_its_scenario() -> None:
    """`{air_c}` and `{plant.regulator}` in a question change with the overrides."""
    prompt = PROMPT.validate_python(CHOICE)
    cold = load_text(SCENARIO, "f", Scenario, overrides=("air_c=-18", "plant.regulator=before"))
    shown = asked(prompt, cold, None, "")
    assert shown.text == "At −18 degC, regulator before?"
    assert (shown.when, shown.form, dict(shown.choices)["shut"]) == ("before", "choice", "stays shut")
    number = asked(cold.prompts[0], cold, None, "")
    assert (number.when, number.unit, "psi" in number.units) == ("after", "kPa", True)
