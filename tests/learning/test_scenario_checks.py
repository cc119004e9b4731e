"""What no single key can know is checked across the scenario, with place and nearest word."""

from __future__ import annotations

import ast
import inspect
import re
from pathlib import Path

import glasscan.contaminant.actions
import glasscan.faults.schedule
import glasscan.rig.event_detection
import glasscan.rig.pleat_state
import glasscan.rig.rig
import pytest
from glasscan.contaminant.actions import WORDS
from glasscan.content import BadInput
from glasscan.learning.catalogue import load_fluid, scenario_path
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.vocabulary import EVENTS, TRACE, columns, has_column
from glasscan.rig.trace import UNITS

from tests.world import SCENARIO

PREDICT = """
  - kind: predict-then-watch
    id: guess
    ask: What happens?
    marks: {marks}
    answer:
      form: choice
      choices:
        - {{id: a, text: first, true_when: [{{fact: never, event: {event}}}]}}
        - {{id: b, text: second{last}}}
"""


def refused(root: Path, text: str) -> tuple[str, ...]:
    """Messages for the world's scenario with another text, without the folder."""
    path = root / "scenarios" / "morning.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(BadInput) as caught:
        load_scenario("morning")
    return tuple(line.removeprefix(str(path)) for line in caught.value.lines)


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        (
            "scenario: morning",
            "scenario: evening",
            ":1:11: scenario: expected the name of the file, 'morning', found 'evening' "
            "(did you mean 'morning'?)",
        ),
        (
            "filter: small-can",
            "filter: smal-can",
            ":5:9: filter: expected one of small-can, found 'smal-can' (did you mean 'small-can'?)",
        ),
        (
            "fluid: thin-oil",
            "fluid: thin-oils",
            ":6:8: fluid: expected one of thick-oil, thin-oil, found 'thin-oils' (did you mean 'thin-oil'?)",
        ),
        (
            "rig: small-rig",
            "rig: other",
            ":9:8: plant.rig: expected one of small-rig, found 'other'",
        ),
        (
            "at_s: 2.0",
            "at_s: 61",
            ":12:12: timeline.0.at_s: expected a time within the run (end_s = 60 s)",
        ),
        (
            "end_s: 60",
            "  - {at_s: 4, set: rpm, to: 1}\nend_s: 60",
            ":13:12: timeline.1.at_s: the line before it moves rpm until 5 s",
        ),
        (
            "end_s: 60",
            "  - {at_s: 9, set: fluid, to: thickoil}\nend_s: 60",
            ":13:31: timeline.1.to: expected one of thick-oil, thin-oil, found 'thickoil' "
            "(did you mean 'thick-oil'?)",
        ),
        (
            "end_s: 60",
            "  - {at_s: 9, set: plant, key: pump.slip_mm, to: 1}\nend_s: 60",
            ":13:32: timeline.1.key: the rig has no number 'pump.slip_mm' (did you mean 'pump.slip_mm3'?)",
        ),
        (
            "{air_c} degC",
            "{airc} degC",
            ":17:10: prompts.0.ask: {airc} is no key of this scenario (did you mean 'air_c'?)",
        ),
        (
            "unit: kPa",
            "unit: kpascal",
            ":19:11: prompts.0.unit: expected a unit of pressure: Pa, kPa, MPa, bar, mbar, psi, "
            "found 'kpascal' (did you mean 'kPa'?)",
        ),
        (
            "trace: dp_kpa",
            "trace: dpp_kpa",
            ":18:36: prompts.0.quantity.trace: the trace has no column 'dpp_kpa': expected one of ",
        ),
        (
            "quantity: {of: largest, trace: dp_kpa}",
            "quantity: {of: event-time, event: bypas-cracks}",
            ":18:39: prompts.0.quantity.event: expected one of bypass-cracks, bypass-full, bypass-seats, "
            "gallery-full, pressure-green, pump-unloads, pump-loads, indicator-pops, indicator-reset, "
            "scraper-turned, bowl-drained, dirt-added, "
            "element-collapses, element-tears, fault-begins, fault-grown, found 'bypas-cracks' "
            "(did you mean 'bypass-cracks'?)",
        ),
    ],
)
def test_across_the_scenario(world: Path, old: str, new: str, expected: str) -> None:
    """Names, times, placeholders, units and events that do not fit give a line with the nearest word."""
    assert SCENARIO.count(old) == 1
    line = refused(world, SCENARIO.replace(old, new))[0]
    assert line.startswith(expected) if expected.endswith(" ") else line == expected


@pytest.mark.parametrize(
    ("marks", "event", "last", "expected"),
    [
        ("0.2", "bypass-cracks", "", "expected predictions to carry at most a tenth of all 1.2 marks"),
        ("0", "bypass-crack", "", "(did you mean 'bypass-cracks'?)"),
        (
            "0",
            "bypass-cracks",
            ", true_when: [{fact: never, event: bypass-full}]",
            "the last choice stands for anything else: expected no true_when",
        ),
    ],
)
def test_prompts_must_be_markable(world: Path, marks: str, event: str, last: str, expected: str) -> None:
    """Predictions weigh little, name real events, and leave no run without a key."""
    (line,) = refused(world, SCENARIO + PREDICT.format(marks=marks, event=event, last=last)[1:])
    assert expected in line


def test_a_light_prediction_is_fine(world: Path) -> None:
    """A prediction of a tenth of all marks passes."""
    text = SCENARIO.replace("unit: kPa", "unit: kPa\n    marks: 0.9")
    path = world / "scenarios" / "morning.yaml"
    path.write_text(text + PREDICT.format(marks="0.1", event="bypass-cracks", last="")[1:], encoding="utf-8")
    assert len(load_scenario("morning").prompts) == 2


def test_two_prompts_of_one_id(world: Path) -> None:
    """An id that stands twice is told at its second place."""
    again = SCENARIO[SCENARIO.index("  - kind") :]
    assert refused(world, SCENARIO + again) == (":21:9: prompts.1.id: duplicate id 'peak'",)


def test_words_for_scenarios_and_oils(world: Path) -> None:
    """An id finds the shipped file, a path stays a path, and a wrong word names the nearest."""
    assert scenario_path("morning") == world / "scenarios" / "morning.yaml"
    assert scenario_path("other/my.yaml") == Path("other/my.yaml")
    with pytest.raises(
        BadInput, match=r"mornin: expected a file NAME\.yaml or one of morning \(did you mean"
    ):
        scenario_path("mornin")
    assert load_fluid("thin-oil").nu_m2_s(40.0) == pytest.approx(30e-6)
    with pytest.raises(BadInput, match=r"fluids: expected one of thick-oil, thin-oil, found 'oil'"):
        load_fluid("oil")


def test_words_are_the_plants_own() -> None:
    """Events and trace columns that scenarios may name are exactly those the plant writes."""
    trees = [
        ast.parse(inspect.getsource(module))
        for module in (
            glasscan.rig.event_detection,
            glasscan.contaminant.actions,
            glasscan.rig.pleat_state,
            glasscan.faults.schedule,
            glasscan.rig.rig,
        )
    ]
    nodes = [n for tree in trees for n in ast.walk(tree)]
    words = {n.value for n in nodes if isinstance(n, ast.Constant) and isinstance(n.value, str)}
    said = {w for w in words if re.fullmatch(r"[a-z]+(-[a-z]+)+", w)}
    assert said | set(WORDS.values()) == set(EVENTS)
    assert UNITS == TRACE


def test_columns_are_named_with_their_unit() -> None:
    """A column is known in its own unit, in another unit of the same kind, and not in one of another kind."""
    assert {"dp_kpa", "lift_mm", "filter_oil_c", "viscosity_mm2_s", "gallery_fill", "rpm"} <= set(columns())
    assert [has_column(n) for n in ("dp_psi", "pump_flow_gpm", "dp_c", "dp", "lift_kpa", "oil")] == [
        True, True, False, True, False, False,
    ]  # fmt: skip
