"""Faults named in a scenario file: they move the rig, and what does not fit is told with its place."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from glasscan.content import BadInput
from glasscan.faults.apply import combined
from glasscan.faults.fault_data import faults
from glasscan.learning.assemble import rig_setup
from glasscan.learning.catalogue import scenario_path
from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.presenter.notes import lines_of

from tests.faults.rigs import network


def written(folder: Path, lines: str) -> Path:
    """The cold start with faults, under another name."""
    text = scenario_path("cold-start").read_text(encoding="utf-8")
    path = folder / "ill.yaml"
    changed = text.replace("scenario: cold-start", "scenario: ill").replace(
        "timeline:", f"{lines}timeline:", 1
    )
    path.write_text(changed, encoding="utf-8")
    return path


def test_faults_of_a_file_are_those_of_the_data(tmp_path: Path) -> None:
    """The setup is the sound one with the same faults put in by hand."""
    path = written(tmp_path, "faults:\n  - {fault: F20, severity: 0.6}\n  - {fault: F35a}\n")
    ill = load_scenario(str(path))
    made = rig_setup(ill, _Solved())
    sound = rig_setup(load_scenario("cold-start"), _Solved())
    by_hand = combined([(faults()["F20"], 0.6), (faults()["F35a"], 0.5)], sound)
    assert made.plant == by_hand.plant
    assert made.plant != sound.plant


class _Solved:
    """A section of the shipped can, solved once for all tests of this process."""

    network = network("can")


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("{fault: F99}", "there is no fault 'F99'"),
        ("{fault: F30a}", "'F30a' does not occur on a can filter, regulator after it"),
        ("{fault: F34c}", "'F34c' does not occur on a can filter, regulator after it"),
        ("{fault: F06}\n  - {fault: F06}", "'F06' stands twice"),
        ("{fault: F06, severity: 2}", "severity"),
        ("{fault: F06, size: 1}", "size"),
        ("{fault: F06, at_s: 901}", "expected a time within the run (end_s = 900 s)"),
        ("{fault: F06, on_pulse: true}", "'F06' does not wait for a pulse: expected at_s"),
        ("{fault: F21b, at_s: 5}", "'F21b' is there from the start or not at all"),
        ("{fault: F06, over_s: -1}", "over_s"),
    ],
)
def test_what_does_not_fit_is_told_with_its_place(tmp_path: Path, line: str, said: str) -> None:
    """One line: file, line, column, key and what was expected."""
    with pytest.raises(BadInput) as bad:
        load_scenario(str(written(tmp_path, f"faults:\n  - {line}\n")))
    (told,) = bad.value.lines
    assert said in told
    assert "ill.yaml:" in told
    assert "faults." in told


def test_faults_to_come_stand_beside_those_that_are_there(tmp_path: Path) -> None:
    """One from the start, one at its moment, one on a pulse; the presenter's lines tell those to come."""
    lines = ("{fault: F20}", "{fault: F19, at_s: 60, over_s: 30}", "{fault: F15, on_pulse: true}")
    text = "".join(f"  - {line}\n" for line in lines)
    scenario = load_scenario(str(written(tmp_path, f"faults:\n{text}")))
    made = rig_setup(scenario, _Solved())
    assert [(c.fault.fault, c.at_s, c.over_s, c.on_pulse) for c in made.coming] == [
        ("F19", 60.0, 30.0, False),
        ("F15", 0.0, 0.0, True),
    ]
    assert made.plant == combined([(faults()["F20"], 0.5)], replace(made, coming=(), plant=SOUND)).plant
    told = [line.text for line in lines_of(scenario) if line.text.startswith("fault")]
    assert told == [
        "fault F19 begins, grows over 30 s: filter or bowl loose, not lockwired",
        "fault F15 waits for 415 kPa before the filter: doubled seal",
    ]


SOUND = rig_setup(load_scenario("cold-start"), _Solved()).plant
