"""A short case inside a lesson: readings from the model, marks by the rules for diagnosis with cost.

The weights (0.5 right fault, 0.2 price, 0.2 suspects named before testing, 0.1 stop at the right time, 0.1
off for a needless swap, an unsafe act a gate) are common practice, no source; the sums are worked by hand.
"""

from __future__ import annotations

import pytest
from glasscan.content import BadInput
from glasscan.faults.fault_data import faults
from glasscan.faults.observables import observe, subject
from glasscan.learning.cases.atlas import sound_rig
from glasscan.learning.cases.short_case import short_case
from glasscan.learning.exam.answer_codec import as_answer, read_line, shown_lines
from glasscan.learning.exam.case_line import is_open, read_case, told
from glasscan.learning.prompts import asked
from glasscan.learning.question_types.diagnose import CaseForm, case_result, right_way
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.study.study_plan import codes_taught

from tests.learning.handmade import HandLog

LOW = CaseForm(
    form="case",
    filter_kind="can",
    fault="F35a",
    severity=0.5,
    suspects=("F12", "F20", "F23a", "F23b", "F35a"),
    tests=("read-log", "second-gauge", "dp-two-gauges", "regulator-strip", "swap-filter"),
)
ALL = ("think:F23a", "think:F23b", "think:F35a")


def share(*words: str, form: CaseForm = LOW) -> float:
    """What an answer earns, 0..1."""
    return case_result(form, words, HandLog(), 1.0).share


def test_readings_are_those_of_the_rig_with_the_fault() -> None:
    """The second gauge shows what the fault engine gives; a low gauge leaves the gallery as it was."""
    case = short_case(LOW)
    values = observe(subject(faults()["F35a"], 0.5, sound_rig("can", "after")))
    sound = observe(subject(None, 0.0, sound_rig("can", "after")))
    assert values["gallery_cruise_kpa"] == pytest.approx(sound["gallery_cruise_kpa"])
    shown = 2.0 * round(values["gallery_cruise_kpa"] / 2.0)  # the second gauge is read to 2 kPa
    assert f"{shown:.0f} kPa" in case.tests["second-gauge"].result
    assert "oil pressure low" in case.complaint.lower()


def test_what_each_test_leaves_standing() -> None:
    """The complaint fits gauge and regulator; a second gauge ends it, a second filter does not."""
    case = short_case(LOW)
    assert case.fits == {"F23a", "F23b", "F35a"}
    assert case.standing(["second-gauge"]) == {"F35a"}
    assert case.standing(["swap-filter"]) == {"F23a", "F23b", "F35a"}
    assert case.cheapest == ("second-gauge",)
    assert right_way(LOW) == (*ALL, "test:second-gauge", "verdict:F35a")


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ((*ALL, "test:second-gauge", "verdict:F35a"), 1.0),
        ((ALL[0], "test:second-gauge", "verdict:F35a"), 0.5 + 0.2 + 0.12 + 0.1 / 3 + 0.08),
        (
            (*ALL, "test:dp-two-gauges", "test:second-gauge", "verdict:F35a"),
            0.5 + 0.2 + 0.12 / 3 + 0.1 + 0.08,
        ),
        ((*ALL, "test:second-gauge", "test:read-log", "verdict:F35a"), 0.5 + 0.2 + 0.12 * 30 / 35 + 0.1),
        ((*ALL, "verdict:F35a"), 0.5 + 0.1),
        ((*ALL, "verdict:cannot-tell"), 0.0),
        ((*ALL, "test:second-gauge", "verdict:cannot-tell"), 0.0),
        ((*ALL, "test:second-gauge", "verdict:F23a"), 0.0),
        (("verdict:F12",), 0.0),
        ((*ALL, "test:swap-filter", "verdict:F12"), 0.0),
    ],
)
def test_marks_worked_by_hand(words: tuple[str, ...], expected: float) -> None:
    """Behind the right fault count its proof, price, thinking before and stop; behind a wrong one nothing."""
    assert share(*words) == pytest.approx(expected)


def test_the_right_group_is_half_right() -> None:
    """Naming the other kind of regulator fault earns half of what the right one does."""
    form = LOW.model_copy(update={"fault": "F23b"})
    thought = [word for word in right_way(form) if word.startswith("think:")]
    done = (*thought, "test:second-gauge")
    right = share(*done, "verdict:F23b", form=form)
    assert right > 0.5
    assert share(*done, "verdict:F23a", form=form) == pytest.approx(right / 2)


def test_a_run_that_what_was_noted_forbids_is_a_gate() -> None:
    """Oil pours out from the first crank on: whoever runs it for a test earns nothing."""
    form = CaseForm(
        form="case",
        filter_kind="can",
        fault="F14",
        severity=1.0,
        suspects=("F14", "F16", "F19"),
        tests=("leak-check", "seal-inspection"),
    )
    case = short_case(form)
    assert not case.runnable
    assert "leak-check" not in (case.cheapest or ())
    result = case_result(form, ("think:F14", "test:leak-check", "verdict:F14"), HandLog(), 3.0)
    assert (result.share, result.marks) == (0.0, 0.0)
    assert result.gates


@pytest.mark.parametrize(
    ("line", "why"),
    [
        ("test second-gauge", "before the first test"),
        ("think F99", "expected one of"),
        ("F12", "expected think, test or verdict first"),
        ("think F12 verdict F12 F20", "one verdict only"),
    ],
)
def test_lines_that_are_refused(line: str, why: str) -> None:
    """Each in one plain sentence."""
    with pytest.raises(ValueError, match=why):
        read_case(_asked(), line)


def _asked():  # type: ignore[no-untyped-def]
    scenario = load_scenario("three-low-readings")
    return asked(next(p for p in scenario.prompts if p.kind == "diagnose"), scenario, None, "")


def test_a_case_is_played_in_text_line_by_line() -> None:
    """Results come once a test is bought; lines add up until there is a verdict; the marking reads them."""
    shown = _asked()
    assert "Flight line: Oil pressure low" in shown.text
    assert not any(t.result in line for t in shown.tests for line in shown_lines(shown))
    first = read_line(shown, "think f23a, F23b F35a test second-gauge")
    assert first == "think:F23a think:F23b think:F35a test:second-gauge"
    assert is_open(shown, first)
    lines = told(shown, first)
    assert lines[-1] == "  30 min spent"
    assert len(lines) == 2
    whole = read_line(shown, f"{first} verdict F35a")
    assert not is_open(shown, whole)
    assert share(*as_answer(shown, whole)) == 1.0


def test_a_case_that_cannot_be_is_told_by_line(tmp_path) -> None:  # type: ignore[no-untyped-def]
    """A suspect of another filter, a fault that is no suspect and an unknown test: file, line, key."""
    text = load_text("three-low-readings")
    text = text.replace("fault: F35a", "fault: F25").replace("[F12, F20", "[F30a, F20")
    path = tmp_path / "three-low-readings.yaml"
    path.write_text(text.replace("read-log", "read-lock"), encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load_scenario(str(path))
    told_lines = "\n".join(caught.value.lines)
    assert "prompts.3.fault: expected one of the suspects" in told_lines
    assert "'F30a' does not act on this filter" in told_lines
    assert "did you mean 'read-log'" in told_lines


def load_text(name: str) -> str:
    """A shipped lesson as its file."""
    from glasscan.learning.catalogue import scenario_path

    return scenario_path(name).read_text(encoding="utf-8")


def test_each_family_has_a_lesson_with_a_case() -> None:
    """Can, cartridge and stack: each kind has a diagnosis in a lesson, and the lesson names a skill code."""
    from glasscan.learning.catalogue import scenario_names

    kinds = {}
    for scenario in map(load_scenario, scenario_names()):
        for prompt in scenario.prompts:
            if prompt.kind == "diagnose":
                kinds.setdefault(prompt.filter_kind, []).append(scenario)
    assert set(kinds) == {"can", "cartridge", "disc"}
    taught = [set(codes_taught(s)) for group in kinds.values() for s in group]
    assert all(codes & {"acs-iii-g-s", "acs-ii-f-s"} for codes in taught)
