"""Every shipped lesson runs without a window to its end, and every prompt of it can be marked.

No outside number: the ledgers, the marks and the reasons are held to what the lesson promises by itself.
The parts a prompt may name are held to the outlines of the section.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest
from glasscan.content.unit_words import unit_of_word
from glasscan.learning import prompt_schema as ask
from glasscan.learning.catalogue import load_filter, names, scenario_names
from glasscan.learning.marking import Band
from glasscan.learning.marking_log import value_at
from glasscan.learning.part_names import PARTS, part_names
from glasscan.learning.prompts import asked, mark
from glasscan.learning.question_types.choice import true_choice
from glasscan.learning.question_types.number_choice import NEVER_TEXT, WRONG, lines
from glasscan.learning.question_types.order import job
from glasscan.learning.run_quantities import read
from glasscan.learning.scenario_loading import load_scenario
from glasscan.learning.scenario_schema import Scenario
from glasscan.learning.syllabus import load_syllabus
from glasscan.learning.typed_numbers import typed
from glasscan.learning.variants import load_variant
from glasscan.rig.run_log import RunLog
from glasscan.rig.runner import row_step_s
from scipy.spatial import cKDTree

from tests.learning.playing import form_of, kept_run, right_answer, run_of, shipped_run, solved

NAMES = scenario_names()
LEDGER = 1e-9
"""Largest error of the books, as the plant promises."""

TWICE_S = 4.0
"""Length of the second run: the engine starts and, in the cold, the valve opens, s."""

NEAR_M = 0.02
"""A near miss lies within this distance of the right part."""


@pytest.mark.parametrize("name", NAMES)
def test_runs_to_its_end(name: str) -> None:
    """The run is completed, says why it ended, is finite, and its books close."""
    log = shipped_run(name)
    assert (log.ended, log.final.t_s) == ("completed", pytest.approx(load_scenario(name).end_s))
    assert log.why
    assert all(np.isfinite(column).all() for column in log.trace.values())
    assert log.ledger.volume_error_rel < LEDGER
    assert log.ledger.mass_error_rel < LEDGER


@pytest.mark.parametrize("name", NAMES)
def test_runs_alike_twice(name: str) -> None:
    """The first seconds run again give the same trace and events to the last bit."""
    scenario = load_scenario(name)
    again = run_of(scenario, for_s=TWICE_S)
    same_rows = row_step_s(scenario.end_s) == row_step_s(TWICE_S)
    first = shipped_run(name) if same_rows else run_of(scenario, for_s=TWICE_S)
    rows = len(again.times_s)
    assert rows > 20
    assert np.array_equal(again.times_s, first.times_s[:rows])
    assert all(np.array_equal(again.trace[c], first.trace[c][:rows]) for c in first.trace)
    assert again.events == tuple(e for e in first.events if e.t_s <= TWICE_S)


@pytest.mark.parametrize("name", NAMES)
def test_the_right_answer_earns_all(name: str) -> None:
    """Every prompt has a key; the answer the run bears out earns full marks, a reason, and no gate."""
    log = shipped_run(name)
    for prompt in load_scenario(name).prompts:
        result = mark(prompt, right_answer(prompt, log), log)
        assert (result.share, result.marks, result.gates) == (1.0, prompt.marks, ()), prompt.id
        assert result.key, prompt.id
        assert result.reason, prompt.id


CURVES = [name for name in NAMES if any(p.kind == "draw-the-curve" for p in load_scenario(name).prompts)]


@pytest.mark.parametrize("name", CURVES)
def test_a_run_to_be_drawn_fits_its_axes(name: str) -> None:
    """Whoever draws the run itself stays on the paper: its curve lies within the axes offered."""
    log = shipped_run(name)
    for form in (form_of(p) for p in load_scenario(name).prompts if p.kind == "draw-the-curve"):
        run = np.array([value_at(log, form.trace, t) for t in np.linspace(form.from_s, form.to_s, 201)])
        hair = 0.01 * (form.top - form.bottom)
        assert form.bottom - hair <= run.min(), name
        assert run.max() <= form.top + hair, name


@pytest.mark.parametrize("name", NAMES)
def test_wrong_answers_have_reasons_of_their_own(name: str) -> None:
    """No wrong line earns full marks, and no two wrong lines of a prompt give the same reason."""
    scenario, log = load_scenario(name), shipped_run(name)
    for prompt in scenario.prompts:
        shown = asked(prompt, scenario, log, "")
        if shown.form not in ("choice", "number-choice"):
            continue
        results = [mark(prompt, line, log) for line, _ in shown.choices]
        wrong = [r.reason for r in results if r.share < 1.0]
        assert len(wrong) == len(results) - 1, prompt.id
        assert len(set(wrong)) == len(wrong), prompt.id


@pytest.mark.parametrize("name", NAMES)
def test_every_line_says_because(name: str) -> None:
    """Each choice, option, step, target, near miss and item carries its own reason, no two alike."""
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        for field in ("choices", "options", "steps", "targets", "near", "items"):
            told = [line.because for line in getattr(form, field, ())]
            assert all(told), f"{prompt.id}: {field}"
            assert len(set(told)) == len(told), f"{prompt.id}: {field}"


@pytest.mark.parametrize("name", NAMES)
def test_no_wrong_number_is_nearly_right(name: str) -> None:
    """Of three numbers one is the key; the two others lie outside twice the tolerance, and apart."""
    log = shipped_run(name)
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        if isinstance(form, ask.NumberChoiceForm):
            _outside(form, log)


def _outside(form: ask.NumberChoiceForm, log: RunLog) -> None:
    shown, reading, unit = lines(form, log), read(form.quantity, log), unit_of_word(form.unit)
    assert len(shown) == WRONG + 1
    assert len({line.text for line in shown}) == len(shown)
    if reading.value is None:
        assert shown[-1].text == NEVER_TEXT
        return
    assert reading.unit
    assert unit
    key, band = reading.unit.to(unit, reading.value), Band(form.tol_abs, form.tol_rel)
    wrong = [line.text for line in shown if not line.right and line.text != NEVER_TEXT]
    shares = [band.share(typed(text.replace(unit.sign, "")).value, key) for text in wrong]
    assert shares == [0.0] * len(wrong)


@pytest.mark.parametrize("name", NAMES)
def test_a_wrong_number_with_its_unit_earns_nothing(name: str) -> None:
    """Outside twice the band, with the unit asked for typed, only a sign or another gauge counts."""
    log = shipped_run(name)
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        if not isinstance(form, ask.Numeric | ask.NumberForm):
            continue
        reading, unit = read(form.quantity, log), unit_of_word(form.unit)
        if reading.value is None or reading.unit is None or unit is None:
            continue
        key, band = reading.unit.to(unit, reading.value), Band(form.tol_abs, form.tol_rel)
        for factor in (-1e3, -10, -3, 0.0, 1e-3, 0.01, 0.1, 0.4, 2.7, 5, 12, 90, 700, 1e3, 1e6):
            for x in (key * factor, factor):
                result = mark(prompt, f"{x:.12f} {unit.sign}", log)
                if band.share(x, key) == 0.0 and result.share > 0.0:
                    assert result.slip not in ("unit", None), (prompt.id, x)
                    assert key != 0.0 or "for" in str(result.slip), (prompt.id, x)


@pytest.mark.parametrize("name", NAMES)
def test_a_broken_gate_earns_nothing(name: str) -> None:
    """A critical pair turned round, or a tick that would hurt someone, earns 0 and is named."""
    log = shipped_run(name)
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        for answer in _dangerous(form, log):
            result = mark(prompt, answer, log)
            assert result.share == 0.0, prompt.id
            assert result.gates, prompt.id


def _dangerous(form: Any, log: RunLog) -> list[list[str]]:
    if isinstance(form, ask.OrderForm):
        steps = list(job(form, log).example)
        return [[p.then, *(s for s in steps if s != p.then)] for p in form.critical]
    if isinstance(form, ask.SeveralForm):
        return [[o.id] for o in form.options if o.unsafe]
    return []


@pytest.mark.parametrize("name", NAMES)
def test_lesson_sheet(name: str) -> None:
    """Every lesson has objective, codes, time, caution, an invented world and questions without holes."""
    scenario = load_scenario(name)
    assert scenario.objective
    assert scenario.codes
    assert scenario.minutes
    assert scenario.world == "invented"
    assert "approved maintenance data" in scenario.safety
    assert "licensed release" in scenario.safety
    assert len(scenario.prompts) >= 3
    texts = [asked(p, scenario, shipped_run(name), "").text for p in scenario.prompts]
    assert all("{" not in text for text in texts)


def test_every_family_has_lessons_at_every_level() -> None:
    """Five lessons or more for each filter, twenty or more in all, and each level is there."""
    lessons = [load_scenario(name) for name in NAMES]
    count = {f: sum(s.filter == f for s in lessons) for f in names("filters")}
    assert min(count.values()) >= 5
    assert len(lessons) >= 20
    assert {s.level for s in lessons} == {1, 2, 3}


def test_every_code_has_a_lesson() -> None:
    """Each line of the syllabus is served by a lesson or by one of its questions."""
    lessons = [load_scenario(name) for name in NAMES]
    served = {c for s in lessons for c in s.codes} | {c for s in lessons for p in s.prompts for c in p.codes}
    assert {c.id for c in load_syllabus().codes} - served == set()


@pytest.mark.parametrize("name", NAMES)
def test_the_presenter_has_notes(name: str) -> None:
    """Each lesson tells its presenter what to say at the start and later; each choice has three lines."""
    scenario = load_scenario(name)
    assert len(scenario.notes) >= 2
    assert scenario.notes[0].at_s == 0
    for form in map(form_of, scenario.prompts):
        if isinstance(form, (ask.ChoiceForm, ask.SingleChoice)):
            assert len(form.choices) >= 3


def test_codes_are_data_and_unverified() -> None:
    """No code of the syllabus claims to be verified, and one that was found names its document."""
    codes = load_syllabus().codes
    assert len({c.id for c in codes}) == len(codes)
    assert not any(c.verified for c in codes)
    assert all(c.source for c in codes if c.status == "FOUND")


@pytest.mark.parametrize("name", [n for n in NAMES if load_scenario(n).vary])
def test_papers_of_equal_difficulty(name: str) -> None:
    """Another seed gives other numbers, the same events in the same order, and the same right choices."""
    base = load_scenario(name)
    paper = _another(base)
    assert load_variant(name, paper.seed) == paper
    log = kept_run(paper)
    assert [e.word for e in log.events] == [e.word for e in shipped_run(name).events]
    for prompt in base.prompts:
        form = form_of(prompt)
        if isinstance(form, (ask.ChoiceForm, ask.SingleChoice)):
            keys = {true_choice(form.choices, run).id for run in (log, shipped_run(name))}
            assert len(keys) == 1, prompt.id
        assert mark(prompt, right_answer(prompt, log), log).share == 1.0


def _another(base: Scenario) -> Scenario:
    """A paper whose values differ from those of the file; first, one that other tests play too."""
    bare = base.model_copy(update={"seed": 0})
    papers = (load_variant(base.scenario, seed) for seed in (7, *range(1, 30)))
    return next(p for p in papers if p.model_copy(update={"seed": 0}) != bare)


@pytest.mark.parametrize("filter_name", names("filters"))
def test_parts_are_those_of_the_section(filter_name: str) -> None:
    """The parts a prompt may name are the named parts drawn, in the same order."""
    drawn = {part.key: part.name for part in solved(filter_name).parts if part.name}
    assert list(PARTS[load_filter(filter_name).kind].items()) == list(drawn.items())


@pytest.mark.parametrize("name", NAMES)
def test_near_misses_are_neighbours(name: str) -> None:
    """A part that earns half lies beside the right one in the section."""
    scenario = load_scenario(name)
    points = {part.key: _points(part) for part in solved(scenario.filter).parts}
    for prompt in scenario.prompts:
        form = form_of(prompt)
        if isinstance(form, ask.PointForm):
            wanted = cKDTree(np.vstack([points[t.part] for t in form.targets]))
            for near in form.near:
                gaps, _ = wanted.query(points[near.part])
                assert gaps.min() < NEAR_M, f"{prompt.id}: {near.part}"


@pytest.mark.parametrize("name", [n for n in NAMES if load_scenario(n).filter == "cartridge-bowl"])
def test_a_part_has_the_name_of_its_own_filter(name: str) -> None:
    """The reason names a part as the picture does: the spring of a cartridge is no hold-down spring."""
    drawn = part_names("cartridge-bowl")
    for prompt in load_scenario(name).prompts:
        form = form_of(prompt)
        if isinstance(form, ask.PointForm):
            part = form.targets[-1].part
            assert mark(prompt, part, shipped_run(name)).key == drawn[part], prompt.id


def _points(part: Any) -> np.ndarray:
    """Points along the outlines of a part, or the two ends of a spring."""
    if part.spring is not None and not part.outlines:
        spring = part.spring
        ends = [spring.fixed_z_m, spring.free_z_m]
        return np.array([(e, spring.at_z_m) if spring.along_r else (spring.radius_m, e) for e in ends])
    share = np.linspace(0.0, 1.0, 30, endpoint=False)[:, None]
    sides = [(a, b) for line in part.outlines for a, b in zip(line, np.roll(line, -1, axis=0), strict=True)]
    return np.vstack([a + share * (b - a) for a, b in sides])
