"""Beside a lesson with faults the same run can be set without one of them."""

from glasscan.learning.scenario_loading import load_scenario
from glasscan.window.lesson.lesson_loading import facts_of, rivals

from tests.learning.playing import solved


def test_each_fault_of_the_lesson_can_be_left_out() -> None:
    """The double fault without its clog, and without its stuck valve: filled long before its own run."""
    from glasscan.learning.assemble import rig_setup

    scenario = load_scenario("double-fault")
    section = solved(scenario.filter)
    found = rivals(scenario, rig_setup(scenario, section), section, facts_of(scenario, section))
    named = [name for name in found if name.startswith("without: ")]
    assert named == ["without: bypass valve stuck shut", "without: element clogged"]
    for name in named:
        session = found[name]()
        session.run_to(14.0)
        assert session.snapshot.gallery_fill == 1.0, name


def test_a_sound_lesson_has_none() -> None:
    """Nothing to leave out where nothing is wrong."""
    from glasscan.learning.assemble import rig_setup

    scenario = load_scenario("cold-start")
    section = solved(scenario.filter)
    found = rivals(scenario, rig_setup(scenario, section), section, facts_of(scenario, section))
    assert not [name for name in found if name.startswith("without")]
