"""The invented manual: every cited line is there, and no two files answer one question differently.

Outside sources stand in the manual's own lines (document and status). Here its numbers are held to those of
the rigs, filters, machines and sheets that say the same thing, and to the texts of the lessons.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from glasscan.content import BadInput
from glasscan.learning import prompt_schema as ask
from glasscan.learning.catalogue import load_filter, load_plant, scenario_names
from glasscan.learning.manual import HEADING, cited_lines, manual_line, manual_lines, manuals, read_manual
from glasscan.learning.prompts import asked, mark
from glasscan.learning.scenario_loading import load_scenario
from glasscan.paths import asset

from tests.learning.playing import form_of, right_answer, shipped_run

PSI_KPA = 6.894757
"""One pound-force per square inch, kPa (NIST SP 811)."""

NAMES = scenario_names()


def value(name: str) -> float:
    """The number of a line."""
    number = manual_line(name).value
    assert number is not None, name
    return number


def texts(piece: Any) -> Iterator[str]:
    """Every text of a lesson that a person reads; not ids, words to match, or sources."""
    if isinstance(piece, dict):
        for key, item in piece.items():
            if key not in ("source", "words", "id", "manual", "sheet"):
                yield from texts(item)
    elif isinstance(piece, list):
        for item in piece:
            yield from texts(item)
    elif isinstance(piece, str):
        yield piece


def lesson(name: str) -> Any:
    """A lesson file as it is written."""
    from glasscan.learning.catalogue import scenario_path

    return yaml.safe_load(scenario_path(name).read_text(encoding="utf-8"))


def test_every_line_is_marked_invented_and_says_where_its_class_is_known_from() -> None:
    """Each sheet is of the invented world, each number has its unit, each line its source."""
    assert {sheet.manual for sheet in manuals()} >= {
        "piston",
        "radial",
        "hydraulic-older",
        "hydraulic-modern",
        "turbine",
        "debris",
    }
    for sheet in manuals():
        assert sheet.about.startswith("Invented for training")
        for line in sheet.lines:
            assert line.source, line.id
            assert line.value is None or line.unit, line.id
            assert line.told().endswith((".", ").")), line.id


@pytest.mark.parametrize("name", NAMES)
def test_every_line_that_a_lesson_cites_is_there(name: str) -> None:
    """`sheet`, `manual` and the sources of given keys name lines of the manual."""
    known = manual_lines()
    assert [line for _, line in cited_lines(load_scenario(name)) if line not in known] == []


def test_lessons_do_cite_the_manual() -> None:
    """The manual is used: many lessons rest a key on it, and every class of machine is cited."""
    cited = {line.partition(".")[0] for name in NAMES for _, line in cited_lines(load_scenario(name))}
    assert cited >= {"piston", "radial", "turbine", "hydraulic-older", "debris"}


def test_a_line_that_is_not_there_is_told_with_place_and_nearest_name(tmp_path: Path) -> None:
    """`check` names file, line, key and the nearest line of the manual."""
    text = asset("..", "scenarios", "after-the-change.yaml").read_text(encoding="utf-8")
    wrong = text.replace("manual: [piston.pressure-time]", "manual: [piston.presure-time]")
    assert wrong != text
    path = tmp_path / "after-the-change.yaml"
    path.write_text(wrong, encoding="utf-8")
    with pytest.raises(
        BadInput,
        match=r"after-the-change.yaml:\d+:\d+: .*no line 'piston.presure-time'.*piston.pressure-time",
    ):
        load_scenario(str(path))


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("value: 30, unit: s,", "value: 30,", "a number has its unit"),
        ("id: idle-minimum", "id: pressure-time", "duplicate id 'pressure-time'"),
        ("up_to: 25", "up_to: 2", "expected a number above value"),
        ("manual: piston", "manual: piton", "expected the name of the file"),
    ],
)
def test_a_bad_sheet_is_told(tmp_path: Path, old: str, new: str, said: str) -> None:
    """A number without unit, a line twice, a range turned round, a wrong name."""
    text = asset("manual", "piston.yaml").read_text(encoding="utf-8")
    path = tmp_path / "piston.yaml"
    path.write_text(text.replace(old, new, 1), encoding="utf-8")
    with pytest.raises(BadInput, match=said):
        read_manual(path)


def test_the_sheet_is_read_beside_the_question_and_the_line_stands_in_the_reason() -> None:
    """The learner reads several lines before and the one that decided after; both say: invented."""
    scenario = load_scenario("mirror-patterns")
    prompt = next(p for p in scenario.prompts if p.id == "against-the-manual")
    shown = asked(prompt, scenario, None, "a sitting").text
    assert HEADING in shown
    assert "hot idle, lowest (the green begins here): 25 psi" in shown
    assert "at cruise: 55 to 95 psi" in shown
    log = shipped_run("mirror-patterns")
    reason = mark(prompt, right_answer(prompt, log), log).reason
    assert reason.endswith(f"{HEADING} {manual_line('piston.cruise').told()}")


def test_rigs_and_manual_give_the_same_limits() -> None:
    """Green of the gauge, regulator, indicator: the rig's numbers are the manual's, in its own units."""
    piston, radial = load_plant("piston-single"), load_plant("radial-lube")
    assert piston.gauge.green_kpa == pytest.approx(value("piston.idle-minimum") * PSI_KPA, rel=0.02)
    assert piston.regulator.set_kpa == pytest.approx(value("piston.regulator") * PSI_KPA, rel=0.02)
    assert radial.gauge.green_kpa == pytest.approx(value("radial.pressure-low") * PSI_KPA, rel=0.02)
    old, new = load_plant("hydraulic-1500"), load_plant("hydraulic-3000")
    assert old.regulator.set_kpa == pytest.approx(value("hydraulic-older.relief") * PSI_KPA, rel=0.02)
    assert new.regulator.set_kpa == pytest.approx(value("hydraulic-modern.relief") * PSI_KPA, rel=0.02)
    assert old.indicator.trip_kpa == pytest.approx(
        value("hydraulic-older.indicator-setting") * PSI_KPA, rel=0.02
    )
    assert old.indicator.lockout_c == value("hydraulic-older.indicator-temperature")
    stand = load_plant("piston-test-stand")
    assert (stand.indicator.trip_kpa, stand.indicator.lockout_c) == (
        value("piston.indicator-setting"),
        value("piston.indicator-temperature"),
    )
    assert not piston.indicator.fitted
    turbine = load_plant("turbine-lube")
    assert turbine.gauge.green_kpa == pytest.approx(value("turbine.idle-minimum") * PSI_KPA, rel=0.02)
    assert value("turbine.pressure") < turbine.regulator.set_kpa / PSI_KPA < 100.0
    assert (turbine.indicator.trip_kpa, turbine.indicator.lockout_c) == (
        value("turbine.indicator-setting"),
        value("turbine.indicator-temperature"),
    )
    assert radial.regulator.set_kpa == pytest.approx(value("radial.regulator") * PSI_KPA, rel=0.02)


def test_filters_and_manual_give_the_same_settings() -> None:
    """Opening of the bypass valves, and gap, count and height of the pack."""
    for name in ("can-full-flow", "cartridge-bowl"):
        assert load_filter(name).valve.cracking_psi == value("piston.bypass") == value("turbine.bypass")
    disc: Any = load_filter("disc-stack")
    assert disc.valve.cracking_psi == value("radial.bypass") == value("hydraulic-older.bypass-setting")
    stack = disc.stack
    gap_mm = stack.gap_um / 1000.0
    assert value("radial.gap") == pytest.approx(gap_mm)
    assert value("radial.spacers") == stack.gaps
    assert value("radial.discs") == stack.gaps + 1
    height = (stack.gaps + 1) * stack.disc_mm + stack.gaps * gap_mm
    assert value("radial.pack-height") == pytest.approx(height, abs=0.05)
    assert value("radial.pack-tolerance") < gap_mm / 2.0


def test_inspection_sheet_and_manual_give_the_same_limits() -> None:
    """Pieces of each kind and film: the sheet on the bench is a page of the same manual."""
    sheet = yaml.safe_load(asset("workshop", "example-manual.yaml").read_text(encoding="utf-8"))
    assert (
        value("debris.film")
        == sheet["film_limit_g_per_10_h"]["can"]
        == sheet["film_limit_g_per_10_h"]["cartridge"]
    )
    kinds = [name for name in manual_lines() if re.fullmatch(r"debris\.d\d+", name)]
    assert len(kinds) >= 6
    for name in kinds:
        assert value(name) == sheet["kinds"][name.partition(".")[2].upper()]["most"], name


@pytest.mark.parametrize(
    ("joint", "line"),
    [
        ("filter", "piston.torque-spin-on"),
        ("bowl", "piston.torque-bowl-bolt"),
        ("drain", "piston.torque-drain"),
        ("cover", "radial.torque-cover"),
    ],
)
def test_the_machines_of_the_jobs_have_the_torques_of_the_manual(joint: str, line: str) -> None:
    """A wrench at the bench is set to the number of the same manual."""
    path = asset("workshop", "machines.yaml")
    if not path.is_file():
        pytest.skip("no machines in this copy")
    low, high, _ = yaml.safe_load(path.read_text(encoding="utf-8"))["joints"][joint]["torque_nm"]
    assert (low, high) == (manual_line(line).value, manual_line(line).up_to)


LIMIT = re.compile(
    r"(?<![\d.,-])(\d+(?:,\d{3})*(?:\.\d+)?)(?: to (\d+(?:\.\d+)?))? ?(psi|N·m|twists|ppm an hour)\b"
)
ALLOWED = {
    "psi": {"30", "1,000", "1,500"},  # shop air (TM 1-1500-204-23-3); the range of the older plants
    "ppm an hour": {"0.8", "0.9", "1.2"},  # rates worked out from the oil report in the question
}


@pytest.mark.parametrize("name", NAMES)
def test_a_limit_that_a_lesson_states_is_a_limit_of_the_manual(name: str) -> None:
    """A pressure, torque or twist count written into a lesson is a number of some line in that unit."""
    known: dict[str, set[str]] = {}
    for line in manual_lines().values():
        unit = {"ppm/h": "ppm an hour"}.get(line.unit or "", line.unit or "")
        known.setdefault(unit, set()).update(f"{v:,g}" for v in (line.value, line.up_to) if v is not None)
    for text in texts(lesson(name)):
        for low, high, unit in LIMIT.findall(text):
            for number in filter(None, (low, high)):
                assert number in known.get(unit, set()) | ALLOWED.get(unit, set()), f"{number} {unit}: {text}"


@pytest.mark.parametrize("name", NAMES)
def test_an_engine_that_has_soaked_is_started_on_an_oil_of_the_chart(name: str) -> None:
    """Cold-soaked starts keep chart and preheat rule, or the lesson says that the manual forbids them."""
    scenario = load_scenario(name)
    sheet = next((s.manual for s in manuals() if scenario.plant.rig in s.plants), "")
    grade = {
        "sae-60-mineral": "grade-60",
        "sae-50-mineral": "grade-50",
        "sae-40-mineral": "grade-40",
        "sae-30-mineral": "grade-30",
        "multigrade-15w-50": "grade-multi",
    }
    if scenario.start.oil_c is not None or sheet not in ("piston", "radial"):
        return
    airs = [scenario.air_c, *(v for line in scenario.vary if line.key == "air_c" for v in line.among)]
    fluids = [scenario.fluid, *(v for line in scenario.vary if line.key == "fluid" for v in line.among)]
    lowest = max(value(f"{sheet}.{grade[fluid]}") for fluid in fluids)
    multi = all(fluid == "multigrade-15w-50" for fluid in fluids)
    preheat = value("piston.preheat-multi" if multi and sheet == "piston" else f"{sheet}.preheat")
    if min(airs) < max(lowest, preheat):
        told = " ".join(texts(lesson(name))).lower()
        assert re.search(
            r"forbid|not permitted|does not allow|although the manual|the manual (demands|asks)", told
        )


NUMBER = re.compile(r"\d[\d.,]* ?(psi|kPa|bar|°C|N·m|mm|h|hours|ppm)\b")


@pytest.mark.parametrize("name", NAMES)
def test_a_given_key_with_a_number_points_to_the_manual_or_a_document(name: str) -> None:
    """A limit is not common knowledge: its key cites a line or a document, or how it is worked out."""
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        for line in (*getattr(form, "choices", ()), *getattr(form, "options", ())):
            given = [fact for fact in line.true_when if isinstance(fact, ask.GivenFact)]
            if given and NUMBER.search(line.text):
                sourced = bool(prompt.manual) or all("no source" not in fact.source for fact in given)
                assert sourced, f"{prompt.id}: {line.text}"
